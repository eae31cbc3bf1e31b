//! The suspects, as plain data.

use serde::Serialize;

use super::check::Check;
use super::clash::Clash;
use super::search::TriedSets;
use crate::answer::{
    AirSign, Answer, Complaint, Depth, Event, OutletSignature, Range, Reason, Verdict, When,
};
use crate::circuit::{Access, Only, PartName};

/// What can be wrong where this was seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Suspects {
    /// How deep the answer looks.
    pub depth: Depth,
    /// What was seen, in the order given.
    pub seen: Vec<SeenTold>,
    /// What of it cannot be, and why.
    pub clashes: Vec<Clash>,
    /// Single faults that can have a hand in something seen.
    pub faults: usize,
    /// Their parts.
    pub parts: usize,
    /// How many sets of faults were tried.
    pub tried: Vec<TriedSets>,
    /// The likeliest suspects; those that no available check tells apart are one.
    pub suspects: Vec<Suspect>,
    /// How many sets of faults contradict nothing and are not listed.
    pub more: usize,
    /// The share of the chance that these have.
    pub more_share: f64,
    /// Where nothing is left: what would be left without one of the things seen.
    pub without: Vec<Without>,
}

impl Answer for Suspects {
    const NAME: &'static str = "suspects";
    const VERSION: u32 = 1;

    /// It asks what could be, not what is.
    fn wrong(&self) -> bool {
        false
    }
}

/// One thing that was seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SeenTold {
    /// As a reader would type it.
    pub said: String,
    /// The state; none for a circuit that declares no states, and for what is seen in none.
    pub state: Option<String>,
    /// The part, if it is about one.
    pub part: Option<PartName>,
    /// When alone it is seen. What comes after standing is not weighed at all.
    pub only: Option<Only>,
    /// Whether that narrows the suspects: it does where the file has the sizes to compute when what
    /// falls short does so.
    pub narrows: bool,
    /// How sure it is, up to 1.
    pub sure: f64,
    /// Whether it is weighed.
    pub weighed: bool,
    /// Why it is not, where it is not.
    pub unweighed: Option<Unweighed>,
    /// Whether it is other than in the sound circuit.
    pub abnormal: bool,
    /// What the gauge should read, in Pa, where that is known.
    pub should_pa: Option<Range>,
}

/// Why something seen is not weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Unweighed {
    /// It shows after standing: what runs off meanwhile is not computed for suspects.
    AfterStanding,
    /// Air blown in there goes off at once on a sound block and strokes nothing.
    AirTellsNothing,
    /// No land of the valve's bore can be tested by itself.
    NoLand,
    /// The circuit has no such state or part.
    NotThere,
}

/// A suspect: sets of faults that no available check tells apart.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Suspect {
    /// Its share of the chance, over everything that contradicts nothing seen.
    pub share: f64,
    /// Whether the likeliest of its sets foretells everything seen.
    pub explains: bool,
    /// Its sets, the likeliest first.
    pub sets: Vec<SuspectSet>,
    /// Things seen, by number, that it foretells.
    pub foretells: Vec<usize>,
    /// Things seen, by number, that it neither foretells nor contradicts.
    pub leaves_open: Vec<usize>,
    /// What leads from it to what was seen.
    pub causes: Vec<Cause>,
    /// Of things seen at times alone, when they show with it.
    pub shows_when: Vec<ShowsWhen>,
    /// Of things seen on the bench, what else than a sound block it shows there.
    pub on_bench: Vec<OnBench>,
    /// What else it would do.
    pub also: Vec<Also>,
    /// Checks that set it apart from the others, most for their effort first.
    pub confirm: Vec<Confirm>,
}

/// Faults that together are a suspect.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SuspectSet {
    /// One row a fault: it, and those that change exactly the same.
    pub faults: Vec<Vec<String>>,
    /// How likely it is before anything was seen.
    pub likelihood: f64,
    /// Whether some of that is assumed.
    pub assumption: bool,
    /// Its share of the chance.
    pub share: f64,
    /// How hard it is to look at.
    pub access: Access,
}

/// What a suspect does to one outlet in a state in which something was seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Cause {
    /// The state.
    pub state: Option<String>,
    /// The outlet.
    pub outlet: PartName,
    /// What became of it.
    pub verdict: Verdict,
    /// Why.
    pub reason: Option<Reason>,
    /// What leads to it, the first cause first.
    pub chain: Vec<Event>,
}

/// When something seen shows with a suspect.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ShowsWhen {
    /// Which thing seen, by number.
    pub seen: usize,
    /// When that was seen.
    pub when: When,
    /// Whether it may show then and at no other time.
    pub fits: bool,
    /// In what patterns outlets that it can be about fall short; empty where none does.
    pub outlets: Vec<OutletSignature>,
}

/// What a suspect shows in a check by air that was made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct OnBench {
    /// Which thing seen, by number.
    pub seen: usize,
    /// What else than a sound block shows.
    pub signs: Vec<AirSign>,
}

/// What a suspect would do that nobody reported.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Also {
    /// The complaint.
    pub complaint: Complaint,
    /// The states; empty for a circuit that declares none.
    pub states: Vec<String>,
}

/// A check that sets a suspect apart.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Confirm {
    /// The check.
    pub check: Check,
    /// What is seen if this is the suspect.
    pub seen: String,
    /// The share of the others' chance that shows something else.
    pub sets_apart: f64,
}

/// What would be left without one thing seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Without {
    /// Which.
    pub seen: usize,
    /// How many single faults contradict nothing else.
    pub left: usize,
}
