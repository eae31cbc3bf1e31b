//! Questions about a whole circuit, answered as charts.

use std::path::Path;

use clap::Subcommand;

use super::args::{File, InState, kinds};
use super::ask::{Asked, Reply, Show};
use super::failure::Failure;
use crate::answer;
use crate::circuit::Kind;
use crate::net::Net;
use crate::report;

/// Questions about a whole circuit, answered as charts.
#[derive(Debug, Subcommand)]
pub(super) enum Charts {
    /// Chart which parts each state uses, and what bad states share that good ones do not
    #[command(after_help = "Examples:
  oilpath chart circuits/transfer-box.toml
  oilpath chart circuits/tractor-powershift.toml --kind orifice --kind ball
  oilpath chart circuits/tractor-powershift.toml --bad forward-high --bad reverse-high

With --bad alone every other state counts as good, and the other way round.")]
    Chart {
        #[command(flatten)]
        file: File,
        /// A state that is bad; may be given several times
        #[arg(long = "bad", value_name = "STATE")]
        bad: Vec<String>,
        /// A state that is good; may be given several times
        #[arg(long = "good", value_name = "STATE")]
        good: Vec<String>,
        /// Only parts of this kind; may be given several times
        #[arg(long = "kind", value_name = "KIND", value_parser = kinds())]
        kinds: Vec<Kind>,
    },
    /// Say what each state becomes when the plug is pulled and no solenoid has current
    #[command(after_help = "Example:
  oilpath unplugged circuits/six-speed-bus.toml")]
    Unplugged {
        #[command(flatten)]
        file: File,
    },
    /// Drive from state to state: what each applies, what moves, what it remembers
    #[command(after_help = "Examples:
  oilpath walk circuits/six-speed-bus.toml fourth fifth plug-pulled-drive
  oilpath walk circuits/six-speed-bus.toml fifth plug-pulled-drive --fault limp-relay:stuck=reset

The first state starts from cold, each next from where the one before it ended.
Exit status: 1 if a step does not apply exactly what its state lists; with faults, if a step fares
otherwise than without.")]
    Walk {
        #[command(flatten)]
        file: File,
        /// The states, in the order driven
        #[arg(value_name = "STATE", num_args = 2.., required = true)]
        states: Vec<String>,
        /// What is wrong from the first step on; may be given several times
        #[arg(long = "fault", value_name = "FAULT")]
        faults: Vec<String>,
    },
    /// Say what empties overnight and through what, what keeps its oil, and what fills last
    #[command(after_help = "Examples:
  oilpath overnight circuits/transfer-box.toml --state neutral
  oilpath overnight circuits/six-speed-bus.toml drain-back:stuck-off --state park

Exit status: 1 if something runs off with the faults that should not.")]
    Overnight {
        #[command(flatten)]
        file: File,
        /// What is wrong, such as drain-back:stuck-off; none asks after the sound circuit
        #[arg(value_name = "FAULT")]
        faults: Vec<String>,
        #[command(flatten)]
        state: InState,
    },
    /// List every piece to put back, where it goes, and what a slip with it costs
    #[command(after_help = "Example:
  oilpath reassemble circuits/transfer-box.toml")]
    Reassemble {
        #[command(flatten)]
        file: File,
    },
}

impl Charts {
    /// The circuit file it is about.
    pub fn file(&self) -> &Path {
        match self {
            Charts::Chart { file, .. }
            | Charts::Unplugged { file }
            | Charts::Reassemble { file }
            | Charts::Walk { file, .. }
            | Charts::Overnight { file, .. } => &file.file,
        }
    }

    /// Answers it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        let mut asked = Asked::of(net.circuit());
        match self {
            Charts::Chart {
                bad, good, kinds, ..
            } => {
                let bad = asked.states(bad);
                let good = asked.states(good);
                asked.never_both(&bad, &good);
                asked.understood(Some(()))?;
                let answer = answer::chart(net, kinds, &bad, &good);
                show.reply(&answer, |words| report::chart(&answer, words))
            }
            Charts::Unplugged { .. } => {
                let answer = answer::unplugged(net);
                show.reply(&answer, |words| report::unplugged(&answer, words))
            }
            Charts::Walk { states, faults, .. } => {
                let states = asked.states(states);
                let faults = asked.faults(faults);
                asked.understood(Some(()))?;
                let answer = answer::walk(net, &states, &faults)
                    .map_err(|e| Failure::one(e.to_string(), &e.remedy()))?;
                show.reply(&answer, |words| report::walk(&answer, words))
            }
            Charts::Overnight { faults, state, .. } => {
                let faults = asked.faults(faults);
                let state = asked.state(state);
                asked.understood(Some(()))?;
                let answer = answer::overnight(net, &faults, state.as_deref());
                show.reply(&answer, |words| report::overnight(&answer, words))
            }
            Charts::Reassemble { .. } => {
                let answer = answer::reassemble(net);
                show.reply(&answer, |words| report::reassemble(&answer, words))
            }
        }
    }
}

impl Asked<'_> {
    fn states(&mut self, texts: &[String]) -> Vec<String> {
        let found = texts.iter().filter_map(|text| self.state_id(text));
        found.collect()
    }

    /// A state cannot be bad and good at once.
    fn never_both(&mut self, bad: &[String], good: &[String]) {
        for state in bad.iter().filter(|state| good.contains(state)) {
            self.mistake(
                format!("`{state}` is called bad and good"),
                "leave one of the two out",
            );
        }
    }
}
