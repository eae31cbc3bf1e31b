//! What a fault on the way does, in the state of a lesson.

use serde::Serialize;

use crate::answer::{self, Complaint, CourseWord, MovedValve, OutletVerdict, Verdict};
use crate::circuit::{Fault, PartName};
use crate::net::Net;

/// What a fault does in the state of a lesson.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Effect {
    /// The fault, as a reader would type it.
    pub fault: String,
    /// Sources whose cavity has got a wide open way to the sump: no pressure will build, and no
    /// outlet can be counted on.
    pub will_not_build: Vec<PartName>,
    /// Sources that no longer give oil.
    pub cannot_draw: Vec<PartName>,
    /// Valves that stand elsewhere than in the sound circuit.
    pub moved: Vec<MovedValve>,
    /// How settling went.
    pub course: CourseWord,
    /// What the driver or the gauge would say of it, the gravest first.
    pub complaints: Vec<Complaint>,
    /// Outlets that something is wrong with, the worst off first.
    pub suffering: Vec<OutletVerdict>,
}

impl Effect {
    /// Whether it surely takes its oil from an outlet.
    #[must_use]
    pub fn starves(&self, outlet: &PartName) -> bool {
        let lost = |o: &&OutletVerdict| o.outlet == *outlet && o.verdict == Verdict::Starved;
        self.suffering.iter().any(|o| lost(&o))
    }

    /// Whether it costs nobody anything.
    #[must_use]
    pub fn is_harmless(&self) -> bool {
        self.suffering.is_empty() && self.will_not_build.is_empty() && self.cannot_draw.is_empty()
    }

    /// Whether nothing about it is open.
    fn is_certain(&self) -> bool {
        let open = |o: &OutletVerdict| o.verdict == Verdict::Undecided;
        self.course == CourseWord::Steady && !self.suffering.iter().any(open)
    }
}

/// A state in which a fault is felt.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Felt {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// Outlets that something is wrong with, the worst off first.
    pub suffering: Vec<OutletVerdict>,
}

/// What is tried on one outlet in one state.
pub(super) struct Trial<'t, 'n> {
    pub net: &'t Net<'n>,
    pub outlet: &'t PartName,
    pub state: Option<&'t str>,
}

impl Trial<'_, '_> {
    /// What each of some faults does, found one by one as they are looked at; those are left out
    /// of which something cannot be said.
    pub fn effects<'f>(&'f self, faults: &'f [Fault]) -> impl Iterator<Item = Effect> + 'f {
        let effects = faults.iter().filter_map(|fault| self.effect(fault));
        effects.filter(Effect::is_certain)
    }

    /// The states in which a fault surely harms something.
    pub fn felt(&self, fault: &Fault) -> Vec<Felt> {
        let answer = answer::starve(self.net, std::slice::from_ref(fault), None);
        let states = answer.states.into_iter().filter(|told| {
            told.course == CourseWord::Steady
                && told.will_not_build.is_empty()
                && told.cannot_draw.is_empty()
        });
        let felt = states.map(|told| Felt {
            state: told.state,
            suffering: told
                .outlets
                .into_iter()
                .filter(|o| o.verdict.is_bad())
                .collect(),
        });
        felt.filter(|felt| !felt.suffering.is_empty()).collect()
    }

    fn effect(&self, fault: &Fault) -> Option<Effect> {
        let mut answer = answer::starve(self.net, std::slice::from_ref(fault), self.state);
        let told = answer.states.pop()?;
        let outlets = told.outlets.into_iter();
        Some(Effect {
            fault: answer.faults.pop()?,
            will_not_build: told.will_not_build,
            cannot_draw: told.cannot_draw,
            moved: told.moved,
            course: told.course,
            complaints: told.complaints,
            suffering: outlets.filter(|o| o.verdict.is_bad()).collect(),
        })
    }
}
