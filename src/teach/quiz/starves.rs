//! Which outlet loses its oil to a fault?

use super::draw::{Case, Made};
use super::facts::{Facts, unharmed};
use super::{QuizAsked, QuizLevel, QuizQuestion};
use crate::answer::{OutletVerdict, Verdict};
use crate::circuit::PartName;
use crate::net::User;
use crate::teach::Dice;

/// One question in so many has "none at all" for its right answer, where there are such.
const NONE_IN: usize = 4;
/// Wrong outlets are drawn from so many of the nearest.
const NEAREST: usize = 6;

/// Faults that surely starve something and, thinly strewn among them, faults that surely do not.
pub(super) fn cases(facts: &Facts<'_>, state: usize, dice: &mut Dice) -> Vec<Case> {
    let swept = facts.swept(state);
    let certain = (0..facts.faults.len()).filter(|fault| swept.is_certain(*fault));
    let (mut starving, mut idle): (Vec<usize>, Vec<usize>) =
        certain.partition(|fault| !swept.symptoms(*fault).0.is_empty());
    dice.shuffle(&mut starving);
    dice.shuffle(&mut idle);
    let mut cases = Vec::new();
    let mut idle = idle.into_iter().map(Case::Fault);
    for some in starving.chunks(NONE_IN - 1) {
        let start = cases.len();
        cases.extend(some.iter().copied().map(Case::Fault));
        if let Some(one) = idle.next() {
            cases.insert(start + dice.below(some.len() + 1), one);
        }
    }
    cases.extend(idle);
    cases
}

pub(super) fn question(
    facts: &Facts<'_>,
    state: usize,
    fault: usize,
    most: QuizLevel,
    dice: &mut Dice,
) -> Option<Made> {
    let part = &facts.faults[fault].part;
    // That a filter which is blocked passes nothing says itself.
    let (starved, _) = facts.swept(state).symptoms(fault);
    let apart = |outlet: &&PartName| *outlet != part && one_sided(facts, outlet);
    let apart: Vec<&PartName> = starved.iter().filter(apart).collect();
    let right = match (starved.len(), apart.len()) {
        (0, _) => None,
        (_, 0) => return None,
        (_, n) => Some(apart[dice.below(n)]),
    };
    if let Some(right) = right {
        let level = facts.level(state, fault, &[right]);
        if level > most {
            return Some(Made::Harder(level));
        }
    }
    let told = facts.starve(state, fault)?;
    let sure = |outlet: &OutletVerdict| unharmed(outlet) || outlet.verdict == Verdict::OnWhenOff;
    if right.is_none() && !told.outlets.iter().all(sure) {
        // What has less behind its oil could be argued about.
        return None;
    }
    let (lost, others): (Vec<OutletVerdict>, Vec<OutletVerdict>) = told
        .outlets
        .into_iter()
        .partition(|outlet| Some(&outlet.outlet) == right);
    let wrong = others.into_iter();
    let wrong = wrong.filter(|o| unharmed(o) && one_sided(facts, &o.outlet));
    let mut wrong: Vec<OutletVerdict> = wrong.collect();
    let far = facts.places.from(part);
    // Those that have oil to lose before those that have none, then the nearest.
    wrong.sort_by_cached_key(|outlet| {
        let unlike = right.is_some_and(|right| right.kind != outlet.outlet.kind);
        (
            outlet.verdict == Verdict::Off,
            unlike,
            far.to(&outlet.outlet),
        )
    });
    wrong.truncate(NEAREST);
    dice.shuffle(&mut wrong);
    wrong.truncate(if right.is_some() { 2 } else { 3 });
    let ends: Vec<&PartName> = match right {
        Some(right) => vec![right],
        None => wrong.iter().map(|outlet| &outlet.outlet).collect(),
    };
    if right.is_none() && wrong.iter().all(|o| o.verdict == Verdict::Off) {
        // Where nothing had oil to lose there is nothing to think about.
        return None;
    }
    let level = facts.level(state, fault, &ends);
    if level > most {
        return Some(Made::Harder(level));
    }
    let at = match right {
        Some(_) => dice.below(wrong.len() + 1),
        None => wrong.len(),
    };
    let mut choices = wrong;
    choices.splice(at..at, lost);
    let choices = choices.into_iter().map(Some).chain([None]);
    Some(Made::Question(Box::new(QuizQuestion {
        level,
        state: facts.state(state).map(str::to_owned),
        asked: QuizAsked::Starves {
            fault: facts.say(fault),
            moved: told.moved,
            choices: choices.collect(),
        },
        right: at,
    })))
}

/// Whether an outlet that goes without has lost its own oil: one that is held off by oil on its
/// other side has not.
fn one_sided(facts: &Facts<'_>, outlet: &PartName) -> bool {
    let user = facts.net.outlet(outlet).map(|o| o.user);
    !matches!(user, Some(User::TwoSided { .. }))
}
