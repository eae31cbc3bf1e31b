//! Sheets for the bench, and two circuits held against each other.

use super::args::{Bench, Check, Compare, Shown};
use super::asked::Asked;
use super::failure::Failure;
use super::flows::cannot_say;
use super::show::{Reply, Show};
use crate::answer::{self, BenchCheck};
use crate::circuit::{Circuit, Kind, PartName};
use crate::net::Net;
use crate::report::{self, Look};

impl Bench {
    /// Answers it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        let circuit = net.circuit();
        let mut asked = Asked::of(circuit);
        let state = asked.state(&self.state);
        let flows = asked.given(&self.given);
        asked.understood(Some(()))?;
        let only: Vec<BenchCheck> = self.only.iter().copied().map(BenchCheck::from).collect();
        let answer = answer::bench(net, &only, state.as_deref(), &flows);
        let answer = answer.map_err(|error| cannot_say(error, circuit))?;
        show.reply(&answer, |words| report::bench(&answer, words))
    }
}

impl From<Check> for BenchCheck {
    fn from(check: Check) -> Self {
        match check {
            Check::Air => BenchCheck::Air,
            Check::Vacuum => BenchCheck::Vacuum,
            Check::Gauges => BenchCheck::Gauges,
        }
    }
}

impl Compare {
    /// Answers it.
    pub fn ask(
        &self,
        ours: &Circuit,
        theirs: &Circuit,
        shown: &Shown,
        look: Look,
    ) -> Result<Reply, Failure> {
        if [&self.file.file, &self.other]
            .iter()
            .all(|file| file.as_os_str() == "-")
        {
            let what = "standard input cannot be both circuits".to_owned();
            return Err(Failure::one(what, "name a file for one of the two"));
        }
        let mut asked = Asked::of(ours);
        let mut mapped: Vec<(PartName, PartName)> = Vec::new();
        for text in &self.map {
            let Some(pair) = asked.renamed(text, theirs) else {
                continue;
            };
            let twice = mapped.iter().find(|(a, b)| *a == pair.0 || *b == pair.1);
            match twice {
                Some(twice) if *twice == pair => {}
                Some((a, b)) => {
                    let what = format!("`{text}` and `{a}={b}` cannot both be");
                    asked.mistake(what, "leave one of the two out");
                }
                None => mapped.push(pair),
            }
        }
        asked.understood(Some(()))?;
        let unread = |e: crate::net::NetError| Failure::one(e.to_string(), "check the file");
        let ours = Net::new(ours).map_err(unread)?;
        let theirs = Net::new(theirs).map_err(unread)?;
        let answer = answer::compare(&ours, &theirs, &mapped);
        let show = Show::of(ours.circuit(), shown, look);
        show.reply(&answer, |words| report::compare(&answer, words))
    }
}

impl Asked<'_> {
    /// A part by its name in another circuit: `hop=jump`.
    fn renamed(&mut self, text: &str, theirs: &Circuit) -> Option<(PartName, PartName)> {
        let Some((old, new)) = text.split_once('=') else {
            let what = format!("`{text}` maps nothing");
            self.mistake(what, "write OLD=NEW, such as hop=jump");
            return None;
        };
        let part = self.part(old.trim(), Kind::ALL);
        let kinds = part
            .as_ref()
            .map_or(Kind::ALL, |part| std::slice::from_ref(&part.kind));
        match theirs.find(new.trim(), kinds) {
            Ok(found) => Some((part?, found)),
            Err(error) => {
                self.mistake(format!("in the second, {error}"), &error.remedy());
                None
            }
        }
    }
}
