//! The steps of a lesson.

use super::effect::{Effect, Felt, Trial};
use super::{LessonStep, StepAt, StepQuestion};
use crate::answer::{self, Hop, Mover, Route};
use crate::circuit::{BallKind, Condition, Fault, Kind, PartName, SUMP, SealSeat, Work};

/// One step for the source, one for what holds its pressure, one for each hop and one for the
/// outlet.
pub(super) fn steps(trial: &Trial<'_, '_>, route: &Route) -> Vec<LessonStep> {
    let mut steps = vec![source(trial, route)];
    steps.extend(held(trial, route, &route.start));
    let movers = movers(trial);
    for hop in &route.hops {
        steps.push(through(trial, route, hop, &movers));
        // A reducing regulator holds what the hop through it leads to: told by that hop.
        let reduces = hop.part.kind == Kind::Regulator;
        steps.extend(held(trial, route, &hop.to).filter(|_| !reduces));
    }
    steps.push(outlet(trial, route));
    steps
}

/// Where oil is made.
fn source(trial: &Trial<'_, '_>, route: &Route) -> LessonStep {
    let feeds = PartName::new(Kind::Passage, &route.start);
    let suction = route.suction.iter().map(|hop| &hop.part);
    let parts: Vec<&PartName> = suction.chain([&route.source, &feeds]).collect();
    let faults: Vec<Fault> = parts.iter().flat_map(|part| plain(trial, part)).collect();
    let (without, asked) = told_and_asked(trial, &faults, &faults);
    let mut cavities: Vec<String> = route.suction.iter().map(|hop| hop.to.clone()).collect();
    cavities.push(route.start.clone());
    LessonStep {
        at: StepAt::Source {
            source: route.source.clone(),
            suction: route.suction.clone(),
            feeds: route.start.clone(),
        },
        cavities,
        parts: parts
            .into_iter()
            .take(route.suction.len() + 1)
            .cloned()
            .collect(),
        without,
        question: asked.unwrap_or_else(|| way_round(route, &route.source)),
    }
}

/// What holds the pressure of a cavity.
fn held(trial: &Trial<'_, '_>, route: &Route, cavity: &str) -> Option<LessonStep> {
    let circuit = trial.net.circuit();
    let (id, body) = circuit.regulators.iter().find(|(_, r)| r.holds == cavity)?;
    let regulator = PartName::new(Kind::Regulator, id);
    let spills = match &body.work {
        Work::Spills(to) => to.clone(),
        Work::Reduces(_) => Vec::new(),
    };
    let faults = plain(trial, &regulator);
    let (without, asked) = told_and_asked(trial, &faults, &faults);
    let question = match asked {
        _ if !spills.is_empty() => StepQuestion::Spills {
            regulator: regulator.clone(),
            to: spills.clone(),
        },
        Some(asked) => asked,
        None => way_round(route, &regulator),
    };
    let spilled = spills.iter().filter(|to| *to != SUMP).cloned();
    Some(LessonStep {
        cavities: std::iter::once(cavity.to_owned()).chain(spilled).collect(),
        parts: vec![regulator.clone()],
        at: StepAt::Held {
            regulator,
            cavity: cavity.to_owned(),
            spills,
        },
        without,
        question,
    })
}

/// Through something.
fn through(trial: &Trial<'_, '_>, route: &Route, hop: &Hop, movers: &[Mover]) -> LessonStep {
    let circuit = trial.net.circuit();
    let plates = |ids: &[String]| -> Vec<PartName> {
        ids.iter()
            .map(|id| PartName::new(Kind::Plate, id))
            .collect()
    };
    let under = plates(hop.under.as_slice());
    let through = plates(&hop.through);
    let seals: Vec<PartName> = circuit
        .seals
        .iter()
        .filter(|(_, seal)| match &seal.seat {
            SealSeat::On(way) => {
                let way = circuit.find(way, &Kind::WAYS);
                way.is_ok_and(|way| way == hop.part)
            }
            SealSeat::Between(_) => false,
        })
        .map(|(id, _)| PartName::new(Kind::Seal, id))
        .collect();
    // What lies around the part makes the better question.
    let own = plain(trial, &hop.part);
    let back_by = back_by(trial, hop);
    let around = under.iter().chain(&seals).chain(&back_by);
    let around = around.flat_map(|part| plain(trial, part));
    let behind = through.iter().flat_map(|part| plain(trial, part));
    let asked_of: Vec<Fault> = around.chain(own.iter().cloned()).chain(behind).collect();
    let (without, asked) = told_and_asked(trial, &own, &asked_of);
    let mover = movers.iter().find(|mover| mover.part == hop.part);
    LessonStep {
        at: StepAt::Hop {
            hop: Box::new(hop.clone()),
            mover: mover.cloned().map(Box::new),
            back_by: back_by.clone(),
        },
        cavities: vec![hop.from.clone(), hop.to.clone()],
        parts: [hop.part.clone()]
            .into_iter()
            .chain(under)
            .chain(seals)
            .chain(back_by)
            .chain(through)
            .collect(),
        without,
        question: asked.unwrap_or_else(|| way_round(route, &hop.part)),
    }
}

/// One-way balls from where a hop leads to where it comes from: slow on, quick off.
fn back_by(trial: &Trial<'_, '_>, hop: &Hop) -> Vec<PartName> {
    let circuit = trial.net.circuit();
    let is = |text: &str, cavity: &str| {
        let found = circuit.find(text, &[Kind::Passage]);
        found.is_ok_and(|passage| passage.id == cavity)
    };
    let back = circuit.balls.iter().filter(|(_, ball)| match &ball.kind {
        BallKind::OneWay { from, to, .. } => is(from, &hop.to) && is(to, &hop.from),
        BallKind::Shuttle { .. } => false,
    });
    back.map(|(id, _)| PartName::new(Kind::Ball, id)).collect()
}

/// Where oil is used.
fn outlet(trial: &Trial<'_, '_>, route: &Route) -> LessonStep {
    let last = route.hops.last().map_or(&route.start, |hop| &hop.to);
    LessonStep {
        at: StepAt::Outlet {
            outlet: trial.outlet.clone(),
            cavity: last.clone(),
        },
        cavities: vec![last.clone()],
        parts: vec![trial.outlet.clone()],
        without: None,
        question: StepQuestion::Narrowest {
            place: route.narrowest.clone(),
        },
    }
}

/// The faults of a part that are one idea: none that names another part, or a gap between two.
fn plain(trial: &Trial<'_, '_>, part: &PartName) -> Vec<Fault> {
    let mut faults = trial.net.circuit().faults_of(part);
    faults.retain(|fault| {
        !matches!(
            fault.condition,
            Condition::Wrong(_)
                | Condition::Leaking(_)
                | Condition::Porous(_)
                | Condition::Misplaced(_)
                | Condition::WornBetween(_)
                | Condition::StuckBetween(_)
                | Condition::SpringSwapped(_)
                | Condition::Swapped(_)
        )
    });
    faults
}

/// What is told of some faults: the first that starves the outlet. And what is asked: the first
/// of the others that does something else, be it in another state.
fn told_and_asked(
    trial: &Trial<'_, '_>,
    told_of: &[Fault],
    asked_of: &[Fault],
) -> (Option<Effect>, Option<StepQuestion>) {
    let first = trial
        .effects(told_of)
        .find(|effect| effect.starves(trial.outlet));
    let first = first.or_else(|| trial.effects(told_of).find(|effect| !effect.is_harmless()));
    // A fault that does the same again asks nothing new.
    let new = |effect: &Effect| {
        let same = |first: &Effect| {
            first.suffering == effect.suffering
                && first.will_not_build == effect.will_not_build
                && first.cannot_draw == effect.cannot_draw
        };
        !effect.is_harmless() && !first.as_ref().is_some_and(same)
    };
    let asked = trial.effects(asked_of).find(new);
    let asked = asked.map(|effect| StepQuestion::Fault { effect });
    let asked = asked.or_else(|| elsewhere(trial, asked_of));
    (first, asked)
}

/// A fault that is felt in other states alone.
fn elsewhere(trial: &Trial<'_, '_>, faults: &[Fault]) -> Option<StepQuestion> {
    faults.iter().find_map(|fault| {
        let states = trial.felt(fault);
        let here = |felt: &Felt| felt.state.as_deref() == trial.state;
        let elsewhere = !states.is_empty() && !states.iter().any(here);
        elsewhere.then(|| StepQuestion::Elsewhere {
            fault: trial.net.circuit().say(fault),
            states,
        })
    })
}

fn way_round(route: &Route, part: &PartName) -> StepQuestion {
    StepQuestion::WayRound {
        part: part.clone(),
        needed: route.needed.contains(part),
    }
}

/// Why everything on the way that moves stands as it does.
fn movers(trial: &Trial<'_, '_>) -> Vec<Mover> {
    let why = answer::why(trial.net, trial.outlet, &[], trial.state);
    let ends = why
        .into_iter()
        .flat_map(|why| why.states)
        .flat_map(|s| s.ends);
    ends.flat_map(|end| end.movers).collect()
}
