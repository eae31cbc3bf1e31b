//! From what was seen to the part.

use std::path::Path;

use super::args::{Recorded, Seeking, Sought};
use super::asked::Asked;
use super::failure::Failure;
use super::show::{Reply, Show};
use crate::answer::Likelihoods;
use crate::circuit::{Case, Circuit};
use crate::net::Net;
use crate::page::Drawings;
use crate::report;
use crate::sheet::{self, CaseList};
use crate::suspect::{Efforts, Inquiry, SuspectsQuestion, case_record};

impl Seeking {
    /// The circuit file it is about.
    pub fn file(&self) -> &Path {
        match self {
            Seeking::Suspects(sought) | Seeking::Next(sought) => &sought.file.file,
            Seeking::Case(recorded) => &recorded.file.file,
        }
    }

    /// The case file that is read beside it.
    pub fn case(&self) -> Option<&Path> {
        match self {
            Seeking::Suspects(sought) | Seeking::Next(sought) => sought.case.as_deref(),
            Seeking::Case(recorded) => Some(&recorded.case),
        }
    }

    /// Answers it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        match self {
            Seeking::Suspects(sought) => {
                let answer = sought.inquire(net)?.suspects();
                show.reply(&answer, |words| report::suspects(&answer, words))
            }
            Seeking::Next(sought) => {
                let answer = sought.inquire(net)?.next();
                show.reply(&answer, |words| report::next(&answer, words))
            }
            Seeking::Case(recorded) => recorded.ask(net, show),
        }
    }
}

impl Sought {
    fn inquire<'n>(&self, net: &'n Net<'n>) -> Result<Inquiry<'n>, Failure> {
        let (circuit, sought) = (net.circuit(), self);
        let case = match &sought.case {
            Some(path) => open(path, circuit)?,
            None => Case::default(),
        };
        let mut asked = Asked::of(circuit);
        let mut saw = case.saw;
        for text in &sought.saw {
            match circuit.sightings(text) {
                Ok(sightings) => saw.extend(sightings),
                Err(error) => asked.mistake(error.to_string(), &error.remedy),
            }
        }
        let likelihoods = likelihoods(&mut asked, &[&case.likelihoods, &sought.likelihoods]);
        let efforts = efforts(&mut asked, &[&case.efforts, &sought.efforts]);
        if sought.case.is_none() && sought.saw.is_empty() {
            asked.mistake(
                "nothing was seen".to_owned(),
                "say what was, such as `--saw 'reverse: none'`, or give a `--case` file",
            );
        }
        let flows = asked.given(&sought.given);
        asked.understood(Some(()))?;
        let question = SuspectsQuestion {
            saw,
            up_to: sought.up_to,
            most: sought.most,
            likelihoods,
            efforts,
            measure: !sought.weigh_only,
            flows,
        };
        Ok(Inquiry::new(net, question))
    }
}

impl Recorded {
    fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        let case = open(&self.case, net.circuit())?;
        let mut asked = Asked::of(net.circuit());
        let question = SuspectsQuestion {
            likelihoods: likelihoods(&mut asked, &[&case.likelihoods]),
            efforts: efforts(&mut asked, &[&case.efforts]),
            flows: asked.given(&self.given),
            ..SuspectsQuestion::default()
        };
        asked.understood(Some(()))?;
        let answer = case_record(net, &case, question);
        let drawings = || {
            if case.found.is_empty() {
                return Ok(Drawings::default());
            }
            let seen = &answer.suspects.seen;
            let complained = seen.iter().find(|s| s.abnormal).or(seen.first());
            let state = complained.and_then(|s| s.state.as_deref());
            super::page::faulty(net, state, &case.found, show.words().units)
        };
        show.drawn(
            &answer,
            |words| report::case_record(&answer, words),
            drawings,
        )
    }
}

fn likelihoods(asked: &mut Asked<'_>, given: &[&[String]]) -> Likelihoods {
    let mut likelihoods = Likelihoods::default();
    for text in given.iter().copied().flatten() {
        if let Err(error) = likelihoods.give(asked.circuit, text) {
            asked.mistake(error.to_string(), &error.remedy());
        }
    }
    likelihoods
}

fn efforts(asked: &mut Asked<'_>, given: &[&[String]]) -> Efforts {
    let mut efforts = Efforts::default();
    for text in given.iter().copied().flatten() {
        if let Err(error) = efforts.give(text) {
            asked.mistake(error.to_string(), &error.remedy);
        }
    }
    efforts
}

/// Reads a case file.
fn open(path: &Path, circuit: &Circuit) -> Result<Case, Failure> {
    let check = |list: CaseList, text: &str| match list {
        CaseList::Likelihoods => Likelihoods::default()
            .give(circuit, text)
            .map_err(|error| [error.to_string(), error.remedy()]),
        CaseList::Efforts => Efforts::default()
            .give(text)
            .map_err(|error| [error.what, error.remedy]),
    };
    sheet::open_case(path, circuit, &check).map_err(Failure::RefusedCase)
}
