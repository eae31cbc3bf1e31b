//! Questions about a whole circuit, answered as charts.

use clap::Subcommand;

use super::named::{File, InState, kinds};
use crate::circuit::Kind;

/// Questions about a whole circuit, answered as charts.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum Charts {
    /// Chart which parts each state uses, and what bad states share that good ones do not
    #[command(after_help = "Examples:
  oilpath chart circuits/transfer-box.toml
  oilpath chart circuits/tractor-powershift.toml --kind orifice --kind ball
  oilpath chart circuits/tractor-powershift.toml --bad forward-high --bad reverse-high

With --bad alone every other state counts as good, and the other way round. What the good states
use as much as the bad ones is not ranked, though it may be the culprit: ask `suspects` then.")]
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
    /// List what a circuit file may have left out: what no state uses, drains, ways back
    #[command(after_help = "Examples:
  oilpath checklist circuits/transfer-box.toml
  oilpath checklist circuits/six-speed-bus.toml

For whoever types a circuit from a chart. What is listed may be as it should.")]
    Checklist {
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
