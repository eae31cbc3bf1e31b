//! Questions about many faults, in figures.

use std::path::Path;

use super::args::{Many, Measuring, Signing};
use super::asked::Asked;
use super::failure::Failure;
use super::flows::cannot_say;
use super::show::{Reply, Show};
use crate::answer::{self, SignatureQuestion};
use crate::circuit::{Fault, Kind};
use crate::net::Net;
use crate::report;

impl Measuring {
    /// The circuit file it is about.
    pub fn file(&self) -> &Path {
        match self {
            Measuring::TakesHold(asking) => &asking.file.file,
            Measuring::Signatures(Signing { many, .. }) | Measuring::Agree { many, .. } => {
                &many.file.file
            }
        }
    }

    /// Answers it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        match self {
            Measuring::Signatures(asked) => asked.ask(net, show),
            Measuring::TakesHold(asking) => {
                let circuit = net.circuit();
                let mut asked = Asked::of(circuit);
                let faults = asked.faults(&asking.faults);
                let state = asked.state(&asking.state);
                let flows = asked.given(&asking.given);
                asked.understood(Some(()))?;
                let answer = answer::takes_hold(net, &faults, state.as_deref(), &flows);
                let answer = answer.map_err(|error| cannot_say(error, circuit))?;
                show.reply(&answer, |words| report::takes_hold(&answer, words))
            }
            Measuring::Agree { many, given } => {
                let circuit = net.circuit();
                let mut asked = Asked::of(circuit);
                let (faults, states) = asked.many(many);
                let flows = asked.given(given);
                some(asked, &faults)?;
                let answer = answer::agreement(net, &faults, &states, &flows);
                let answer = answer.map_err(|error| cannot_say(error, circuit))?;
                show.reply(&answer, |words| report::agree(&answer, words))
            }
        }
    }
}

/// Refuses what made no sense, or meant no fault.
fn some(asked: Asked<'_>, faults: &[Fault]) -> Result<(), Failure> {
    asked.understood(Some(()))?;
    match faults {
        [] => Err(Failure::one(
            "the catalogue has no fault for these parts".to_owned(),
            "list what can be wrong with `oilpath parts FILE --faults`",
        )),
        _ => Ok(()),
    }
}

impl Signing {
    fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        let circuit = net.circuit();
        let mut asked = Asked::of(circuit);
        let (faults, states) = asked.many(&self.many);
        let flows = asked.taken(&self.taken);
        some(asked, &faults)?;
        let usual = SignatureQuestion::default();
        let [cold, hot] = usual.oil;
        let [idle, fast] = usual.speed;
        let question = SignatureQuestion {
            oil: [self.cold.unwrap_or(cold), self.hot.unwrap_or(hot)],
            speed: [self.idle.unwrap_or(idle), self.fast.unwrap_or(fast)],
            flows,
            ..usual
        };
        let answer = answer::signatures(net, &faults, &states, &question);
        let mut answer = answer.map_err(|error| cannot_say(error, circuit))?;
        if let Some(seen) = self.seen {
            answer.keep(seen);
        }
        show.reply(&answer, |words| report::signatures(&answer, words))
    }
}

impl Asked<'_> {
    /// Faults, and every fault of the parts that are named among them or of these kinds; without
    /// any, every fault there is. And the states.
    fn many(&mut self, many: &Many) -> (Vec<Fault>, Vec<String>) {
        let circuit = self.circuit;
        let mut faults = Vec::new();
        for text in &many.faults {
            let of = match text.contains(':') {
                true => self.faults(std::slice::from_ref(text)),
                false => match self.part(text, Kind::ALL) {
                    Some(part) => circuit.faults_of(&part),
                    None => Vec::new(),
                },
            };
            faults.extend(of);
        }
        let (kinds, states) = (&many.kinds, many.states.iter());
        let every = many.faults.is_empty() && kinds.is_empty();
        let of_kind = circuit.faults().into_iter();
        faults.extend(of_kind.filter(|f| every || kinds.contains(&f.part.kind)));
        let mut known: Vec<Fault> = Vec::new();
        for fault in faults {
            if !known.contains(&fault) {
                known.push(fault);
            }
        }
        let states = states.filter_map(|state| self.state_id(state));
        (known, states.collect())
    }
}
