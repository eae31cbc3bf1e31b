//! Which outlet loses its oil to a fault?

use super::draw::Case;
use super::facts::{Facts, unharmed};
use super::{QuizAsked, QuizQuestion};
use crate::answer::{OutletVerdict, Verdict};
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
    dice: &mut Dice,
) -> Option<QuizQuestion> {
    let told = facts.starve(state, fault)?;
    let part = &facts.faults[fault].part;
    let (starved, others): (Vec<OutletVerdict>, Vec<OutletVerdict>) = told
        .outlets
        .into_iter()
        .partition(|outlet| outlet.verdict == Verdict::Starved);
    let none = starved.is_empty();
    // One that is held off by oil on its other side has not lost its own.
    let one_sided = |outlet: &OutletVerdict| {
        let user = facts.net.outlet(&outlet.outlet).map(|o| o.user);
        !matches!(user, Some(User::TwoSided { .. }))
    };
    // And that a filter which is blocked passes nothing says itself.
    let apart = |outlet: &OutletVerdict| outlet.outlet != *part && one_sided(outlet);
    let starved: Vec<OutletVerdict> = starved.into_iter().filter(apart).collect();
    if starved.is_empty() && !none {
        return None;
    }
    let sure = |outlet: &OutletVerdict| unharmed(outlet) || outlet.verdict == Verdict::OnWhenOff;
    if starved.is_empty() && !others.iter().all(sure) {
        // What has less behind its oil could be argued about.
        return None;
    }
    let right = match starved.len() {
        0 => None,
        n => starved.into_iter().nth(dice.below(n)),
    };
    let far = facts.places.from(part);
    let wrong = others.into_iter().filter(|o| unharmed(o) && one_sided(o));
    let mut wrong: Vec<OutletVerdict> = wrong.collect();
    // Those that have oil to lose before those that have none, then the nearest.
    wrong.sort_by_cached_key(|outlet| {
        let like = right.as_ref().map(|r| r.outlet.kind != outlet.outlet.kind);
        (outlet.verdict == Verdict::Off, like, far.to(&outlet.outlet))
    });
    wrong.truncate(NEAREST);
    dice.shuffle(&mut wrong);
    wrong.truncate(if right.is_some() { 2 } else { 3 });
    let ends: Vec<_> = match &right {
        Some(right) => vec![&right.outlet],
        None => wrong.iter().map(|outlet| &outlet.outlet).collect(),
    };
    let had_oil = |outlet: &&OutletVerdict| outlet.verdict != Verdict::Off;
    if right.is_none() && !wrong.iter().any(|outlet| had_oil(&outlet)) {
        // Where nothing had oil to lose there is nothing to think about.
        return None;
    }
    let level = facts.level(!told.moved.is_empty(), part, &ends);
    let mut choices: Vec<Option<OutletVerdict>> = wrong.into_iter().map(Some).collect();
    let at = match right {
        Some(right) => {
            let at = dice.below(choices.len() + 1);
            choices.insert(at, Some(right));
            at
        }
        None => choices.len(),
    };
    choices.push(None);
    Some(QuizQuestion {
        level,
        state: facts.state(state).map(str::to_owned),
        asked: QuizAsked::Starves {
            fault: facts.say(fault),
            moved: told.moved,
            choices,
        },
        right: at,
    })
}
