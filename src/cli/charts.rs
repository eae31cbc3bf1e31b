//! Questions about a whole circuit, answered as charts.

use std::path::Path;

use super::args::Charts;
use super::asked::Asked;
use super::failure::Failure;
use super::show::{Reply, Show};
use crate::answer;
use crate::net::Net;
use crate::report;

impl Charts {
    /// The circuit file it is about.
    pub fn file(&self) -> &Path {
        match self {
            Charts::Chart { file, .. }
            | Charts::Checklist { file }
            | Charts::Unplugged { file }
            | Charts::Reassemble { file }
            | Charts::Walk { file, .. }
            | Charts::Overnight { file, .. } => &file.file,
        }
    }

    /// Answers it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        let mut asked = Asked::of(net.circuit());
        if net.circuit().faults().is_empty() {
            return Err(Failure::one(
                "there is not one part in this file that oil could pass".to_owned(),
                "check that it is the right file, or start with its castings: `oilpath new` \
                 begins one",
            ));
        }
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
            Charts::Checklist { .. } => {
                let answer = answer::checklist(net);
                show.reply(&answer, |words| report::checklist(&answer, words))
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
