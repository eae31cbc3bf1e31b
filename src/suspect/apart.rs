//! The suspects that are left, told apart by everything that can be checked.

use super::check::Checks;
use super::fit::Expected;
use super::ground::Ground;
use super::group::{Group, groups};
use super::hypothesis::{Hypothesis, settled};
use super::measured::{Measured, cavities};
use super::place::{Place, glances, nothing};
use super::question::SuspectsQuestion;
use crate::answer::{SweepState, Sweeper};
use crate::circuit::{Fault, Sighting};
use crate::net::Net;

/// The circuit in every state.
pub(super) struct Everywhere<'n> {
    pub net: &'n Net<'n>,
    pub sweeper: Sweeper<'n>,
    pub ground: Ground,
}

/// Suspects told apart.
pub(super) struct Apart {
    pub groups: Vec<Group>,
    /// What the first member of each group does, state by state.
    pub effects: Vec<Vec<Option<SweepState>>>,
    /// The weight of all suspects, of those that are not told apart too.
    pub whole: f64,
}

/// How much less likely a suspect is that would be felt in every state of which nothing is said
/// (assumption, no source): whoever names a state that drives badly mostly names the others too.
const UNREPORTED: f64 = 0.5;

/// So many of the likeliest are told apart; the others are counted.
const KEPT: usize = 40;

/// What checks show in every state is measured where that is so many states in all; else in those
/// that something was seen in.
const MEASURED: usize = 400;

impl<'n> Everywhere<'n> {
    pub fn new(net: &'n Net<'n>) -> Self {
        let sweeper = Sweeper::new(net, nothing(net), &[]);
        Everywhere {
            ground: Ground::of(net, &sweeper),
            sweeper,
            net,
        }
    }
}

impl Apart {
    /// Tells the likeliest of those left apart.
    pub fn of(
        checks: Checks<'_, '_>,
        everywhere: &Everywhere<'_>,
        near: &Place<'_>,
        question: &SuspectsQuestion,
        left: &[Hypothesis],
    ) -> Self {
        let mut kept: Vec<Hypothesis> = left.iter().take(KEPT).cloned().collect();
        let firsts: Vec<Vec<Fault>> = kept.iter().map(Hypothesis::first).collect();
        let effects = everywhere.sweeper.of_sets(&firsts);
        for (suspect, effects) in kept.iter_mut().zip(&effects) {
            suspect.weight *= unreported(checks.ground, &question.saw, effects);
        }
        let kept_weight: f64 = kept.iter().map(|suspect| suspect.weight).sum();
        let others = left.iter().skip(KEPT).map(|suspect| suspect.weight);
        let whole = kept_weight + others.sum::<f64>();
        let mut expected = settled(checks.ground, &effects);
        measure(everywhere, near, question, &firsts, &mut expected);
        let groups = groups(checks, kept, expected);
        let of_first = |group: &Group| effects[group.first].clone();
        Apart {
            effects: groups.iter().map(of_first).collect(),
            groups,
            whole,
        }
    }
}

/// How likely it is that nobody says more, by the share of the states of which nothing is said that
/// would be felt to drive badly.
fn unreported(ground: &Ground, saw: &[Sighting], effects: &[Option<SweepState>]) -> f64 {
    let said = |id: &Option<String>| saw.iter().any(|sighting| sighting.state == *id);
    let unsaid = ground
        .states
        .iter()
        .zip(effects)
        .filter(|(state, _)| !said(&state.id));
    let felt = |effect: &Option<SweepState>| {
        let complaints = effect.iter().flat_map(|effect| &effect.complaints);
        complaints
            .into_iter()
            .any(|complaint| complaint.what.is_felt())
    };
    let all = unsaid.clone().count().max(1);
    let bad = unsaid.filter(|(_, effect)| felt(effect)).count();
    1.0 - (1.0 - UNREPORTED) * bad as f64 / all as f64
}

/// Adds what pressures and flows expect in every state, or in those that something was seen in.
fn measure(
    everywhere: &Everywhere<'_>,
    near: &Place<'_>,
    question: &SuspectsQuestion,
    firsts: &[Vec<Fault>],
    expected: &mut [Vec<Expected>],
) {
    let Everywhere { net, ground, .. } = everywhere;
    let Some(seen_in) = &near.glances else { return };
    let all = match firsts.len() * ground.states.len() <= MEASURED {
        true => glances(net, &[], question),
        false => None,
    };
    let gauges = cavities(net, ground);
    let states = ground.states.iter().enumerate();
    // Where it is measured, by the number that it has there.
    let places = states.filter_map(|(state, own)| match all {
        Some(_) => Some((state, state)),
        None => Some((near.ground.state(own.id.as_deref())?, state)),
    });
    let glances = all.as_ref().unwrap_or(seen_in);
    for (place, state) in places {
        let found = glances.of_sets(place, firsts, &gauges);
        for (expected, glance) in expected.iter_mut().zip(found) {
            let own = &mut expected[state];
            let of = |glance| Measured::of(net.circuit(), ground, state, &glance, &own.settled);
            own.measured = glance.map(of);
        }
    }
}
