//! Questions about many faults, in figures.

use std::path::Path;

use super::args::{Measuring, Signing};
use super::ask::{Asked, Reply, Show};
use super::failure::Failure;
use super::flows::cannot_say;
use crate::answer::{self, SignatureQuestion};
use crate::circuit::{Fault, Kind};
use crate::net::Net;
use crate::report;

impl Measuring {
    /// The circuit file it is about.
    pub fn file(&self) -> &Path {
        match self {
            Measuring::Signatures(asked) => &asked.file.file,
        }
    }

    /// Answers it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        match self {
            Measuring::Signatures(asked) => asked.ask(net, show),
        }
    }
}

impl Signing {
    fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        let circuit = net.circuit();
        let mut asked = Asked::of(circuit);
        let faults = asked.faults_or_parts(&self.faults, &self.kinds);
        let states = self.states.iter();
        let states: Vec<String> = states.filter_map(|state| asked.state_id(state)).collect();
        let flows = asked.taken(&self.taken);
        asked.understood(Some(()))?;
        if faults.is_empty() {
            return Err(Failure::one(
                "the catalogue has no fault for these parts".to_owned(),
                "list what can be wrong with `oilpath parts FILE --faults`",
            ));
        }
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
    /// any, every fault there is.
    fn faults_or_parts(&mut self, texts: &[String], kinds: &[Kind]) -> Vec<Fault> {
        let circuit = self.circuit;
        let mut faults = Vec::new();
        for text in texts {
            let of = match text.contains(':') {
                true => self.faults(std::slice::from_ref(text)),
                false => match self.part(text, Kind::ALL) {
                    Some(part) => circuit.faults_of(&part),
                    None => Vec::new(),
                },
            };
            faults.extend(of);
        }
        let every = texts.is_empty() && kinds.is_empty();
        let of_kind = circuit.faults().into_iter();
        faults.extend(of_kind.filter(|f| every || kinds.contains(&f.part.kind)));
        let mut known: Vec<Fault> = Vec::new();
        for fault in faults {
            if !known.contains(&fault) {
                known.push(fault);
            }
        }
        known
    }
}
