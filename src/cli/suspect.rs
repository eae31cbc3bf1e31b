//! From what was seen to the part.

use std::path::Path;

use super::args::{Seeking, Sought};
use super::ask::{Asked, Reply, Show};
use super::failure::Failure;
use crate::answer::Likelihoods;
use crate::circuit::{Case, Circuit};
use crate::net::Net;
use crate::report;
use crate::sheet::{self, CaseList};
use crate::suspect::{Efforts, Inquiry, SuspectsQuestion};

impl Seeking {
    fn sought(&self) -> &Sought {
        match self {
            Seeking::Suspects(sought) | Seeking::Next(sought) => sought,
        }
    }

    /// The circuit file it is about.
    pub fn file(&self) -> &Path {
        &self.sought().file.file
    }

    /// Answers it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        let (circuit, sought) = (net.circuit(), self.sought());
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
        let mut likelihoods = Likelihoods::default();
        for text in case.likelihoods.iter().chain(&sought.likelihoods) {
            if let Err(error) = likelihoods.give(circuit, text) {
                asked.mistake(error.to_string(), &error.remedy());
            }
        }
        let mut efforts = Efforts::default();
        for text in case.efforts.iter().chain(&sought.efforts) {
            if let Err(error) = efforts.give(text) {
                asked.mistake(error.to_string(), &error.remedy);
            }
        }
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
        let inquiry = Inquiry::new(net, question);
        match self {
            Seeking::Suspects(_) => {
                let answer = inquiry.suspects();
                show.reply(&answer, |words| report::suspects(&answer, words))
            }
            Seeking::Next(_) => {
                let answer = inquiry.next();
                show.reply(&answer, |words| report::next(&answer, words))
            }
        }
    }
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
