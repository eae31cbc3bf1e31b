//! The record of a case: its story, and what was found held against what was seen.

use serde::Serialize;

use super::inquiry::Inquiry;
use super::outlook::{CANNOT_BE, FORETOLD};
use super::question::SuspectsQuestion;
use super::suspects::{Cause, Suspects};
use crate::answer::Answer;
use crate::circuit::{Case, Story};
use crate::net::Net;

/// The story of one gearbox, from the complaint to what was done.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CaseRecord {
    /// What is told of it.
    #[serde(flatten)]
    pub story: Story,
    /// What was seen, and what can be behind it.
    pub suspects: Suspects,
    /// What was found; none where nothing is yet.
    pub found: Option<CaseFound>,
}

/// What was found to be wrong, held against what was seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CaseFound {
    /// The faults, as a reader types them.
    pub faults: Vec<String>,
    /// What each thing seen says of them, in the order of what was seen.
    pub held: Vec<HeldAgainst>,
    /// Where they stand among the suspects, from 1; those as likely share their places. None where
    /// they are not among them.
    pub place: Option<f64>,
    /// What leads from them to what was seen.
    pub causes: Vec<Cause>,
}

/// One thing seen, held against what was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum HeldAgainst {
    /// It is what the faults do.
    Foretold,
    /// The faults neither foretell it nor speak against it.
    LeftOpen,
    /// With the faults it would hardly have been seen.
    Unlikely,
    /// With the faults it cannot be.
    Contradicted,
    /// It is not weighed.
    NotWeighed,
}

/// A chance below which something seen speaks against what was found (assumption, no source).
const UNLIKELY: f64 = FORETOLD / 2.0;

impl CaseFound {
    /// Whether something that was seen speaks against what was found.
    #[must_use]
    pub fn is_doubtful(&self) -> bool {
        let against =
            |h: &HeldAgainst| matches!(h, HeldAgainst::Unlikely | HeldAgainst::Contradicted);
        self.held.iter().any(against)
    }

    /// How many things seen were held so.
    #[must_use]
    pub fn count(&self, held: HeldAgainst) -> usize {
        self.held.iter().filter(|h| **h == held).count()
    }
}

impl Answer for CaseRecord {
    const NAME: &'static str = "case";
    const VERSION: u32 = 1;

    /// Something that was seen speaks against what was found: one of the two may not be so.
    fn wrong(&self) -> bool {
        self.found.as_ref().is_some_and(CaseFound::is_doubtful)
    }
}

/// Makes the record of a case. What was seen is what the case says, whatever the question names.
///
/// ```
/// use oilpath::suspect::{HeldAgainst, SuspectsQuestion, case_record};
/// let circuit = oilpath::sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
/// "#).unwrap().circuit;
/// let text = "saw = ['bearing starved']\nfound = ['hop:plugged']\ndone = 'Hole cleared.'";
/// let case = oilpath::sheet::read_case(text, &circuit, &|_, _| Ok(())).unwrap();
/// let net = oilpath::net::Net::new(&circuit).unwrap();
/// let record = case_record(&net, &case, SuspectsQuestion::default());
/// assert_eq!(record.found.unwrap().held, [HeldAgainst::Foretold]);
/// ```
#[must_use]
pub fn case_record(net: &Net<'_>, case: &Case, question: SuspectsQuestion) -> CaseRecord {
    let saw = case.saw.clone();
    let inquiry = Inquiry::new(net, SuspectsQuestion { saw, ..question });
    CaseRecord {
        story: case.story.clone(),
        suspects: inquiry.suspects(),
        found: (!case.found.is_empty()).then(|| inquiry.found(case)),
    }
}

impl Inquiry<'_> {
    fn found(&self, case: &Case) -> CaseFound {
        let circuit = self.net.circuit();
        let judged = self.judge(&case.found);
        let held = self.marks.iter().enumerate().map(|(i, mark)| {
            if !mark.counts() {
                HeldAgainst::NotWeighed
            } else if judged.foretold[i] {
                HeldAgainst::Foretold
            } else if judged.fits[i] < CANNOT_BE {
                HeldAgainst::Contradicted
            } else if judged.fits[i] < UNLIKELY {
                HeldAgainst::Unlikely
            } else {
                HeldAgainst::LeftOpen
            }
        });
        CaseFound {
            faults: case.found.iter().map(|f| circuit.say(f)).collect(),
            held: held.collect(),
            place: self.rank(&case.found),
            causes: self.causes(&judged),
        }
    }
}
