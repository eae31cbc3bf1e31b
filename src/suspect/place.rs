//! The circuit in the states that something was seen in.

use super::bench::Bench;
use super::cone::Cone;
use super::fit::Mark;
use super::ground::Ground;
use super::hypothesis::Trial;
use super::question::SuspectsQuestion;
use super::when::Whens;
use crate::answer::{Glances, Scenarios, Sweeper};
use crate::circuit::Sighting;
use crate::net::{Cavity, Change, Net};

/// The states that something was seen in; one for a circuit of which nothing was seen in any.
pub(super) fn states(net: &Net<'_>, saw: &[Sighting]) -> Vec<String> {
    let mut states: Vec<String> = saw.iter().filter_map(|s| s.state.clone()).collect();
    states.sort();
    states.dedup();
    if states.is_empty() {
        states.extend(net.circuit().states.keys().next().cloned());
    }
    states
}

pub(super) fn nothing(net: &Net<'_>) -> Scenarios {
    Scenarios::alone(net.circuit(), |_| false)
}

/// The circuit measured in some states, where its file gives the sizes.
pub(super) fn glances<'n>(
    net: &'n Net<'n>,
    states: &[String],
    question: &SuspectsQuestion,
) -> Option<Glances<'n>> {
    let glances = question
        .measure
        .then(|| Glances::new(net, states, &question.flows));
    let glances = glances?.ok()?;
    (question.flows.assume || glances.sized()).then_some(glances)
}

/// The circuit in the states that something was seen in.
pub(super) struct Place<'n> {
    pub sweeper: Sweeper<'n>,
    pub ground: Ground,
    pub glances: Option<Glances<'n>>,
}

impl<'n> Place<'n> {
    pub fn new(net: &'n Net<'n>, states: &[String], question: &SuspectsQuestion) -> Self {
        let sweeper = Sweeper::new(net, nothing(net), states);
        Place {
            ground: Ground::of(net, &sweeper),
            glances: glances(net, states, question),
            sweeper,
        }
    }

    /// When things that show at times alone would, as far as signatures tell.
    pub fn whens(&self, net: &Net<'_>, marks: &[Mark], question: &SuspectsQuestion) -> Whens {
        let mut faults = Vec::new();
        if question.saw.iter().any(|sighting| sighting.only.is_some()) {
            let cone = Cone::of(net, &self.ground, marks);
            faults = net.circuit().faults();
            faults.retain(|fault| {
                let change = Change::of(net, std::slice::from_ref(fault));
                cone.holds(net, fault, &change)
            });
        }
        let flows = self.glances.as_ref().map(|_| &question.flows);
        Whens::of(net, &self.ground, (&question.saw, marks), &faults, flows)
    }

    pub fn trial<'t>(
        &'t self,
        net: &'n Net<'n>,
        seen: Seeing<'t, 'n>,
        question: &'t SuspectsQuestion,
    ) -> Trial<'t, 'n> {
        Trial {
            net,
            sweeper: &self.sweeper,
            ground: &self.ground,
            bench: seen.bench,
            marks: seen.marks,
            whens: Some(seen.whens),
            glances: self.glances.as_ref(),
            gauges: seen.gauges,
            likelihoods: &question.likelihoods,
        }
    }
}

/// What was seen, ready to be held against faults.
pub(super) struct Seeing<'t, 'n> {
    pub bench: &'t Bench<'n>,
    pub marks: &'t [Mark],
    pub whens: &'t Whens,
    pub gauges: &'t [Cavity],
}
