//! Which part did it?

use super::draw::{Case, Made};
use super::facts::{Facts, Swept, unharmed};
use super::{QuizAsked, QuizLevel, QuizQuestion, SuspectChoice};
use crate::answer::{OutletVerdict, Verdict};
use crate::circuit::PartName;
use crate::teach::Dice;

/// Wrong suspects are drawn from so many of the nearest parts.
const NEAREST: usize = 8;

/// Faults that starve something and harm nothing in a way that could be argued about.
pub(super) fn cases(facts: &Facts<'_>, state: usize, dice: &mut Dice) -> Vec<Case> {
    let swept = facts.swept(state);
    let mut cases: Vec<Case> = (0..facts.faults.len())
        .filter(|fault| {
            swept.is_certain(*fault)
                && facts.starves_another(swept, *fault)
                && swept.otherwise_harmed(*fault).next().is_none()
        })
        .map(Case::Fault)
        .collect();
    dice.shuffle(&mut cases);
    cases
}

pub(super) fn question(
    facts: &Facts<'_>,
    state: usize,
    culprit: usize,
    most: QuizLevel,
    dice: &mut Dice,
) -> Option<Made> {
    let swept = facts.swept(state);
    let (starved, on_when_off) = swept.symptoms(culprit);
    let ends: Vec<&PartName> = starved.iter().collect();
    let level = facts.level(state, culprit, &ends);
    if level > most {
        return Some(Made::Harder(level));
    }
    let mut cleared = nearest(facts, swept, culprit);
    dice.shuffle(&mut cleared);
    let mut choices: Vec<SuspectChoice> = Vec::new();
    for of_part in cleared {
        if choices.len() == 3 {
            break;
        }
        let fault = of_part[dice.below(of_part.len())];
        let told = facts.starve(state, fault)?;
        // An outlet that has not lost its oil, or one that has and should not have.
        let clears = |outlet: &OutletVerdict| match outlet.verdict {
            Verdict::Starved => !starved.contains(&outlet.outlet),
            Verdict::OnWhenOff => !on_when_off.contains(&outlet.outlet),
            _ => {
                let suffers = starved.iter().chain(on_when_off);
                unharmed(outlet) && suffers.clone().any(|o| *o == outlet.outlet)
            }
        };
        choices.push(SuspectChoice {
            fault: facts.say(fault),
            cleared_by: Some(told.outlets.into_iter().find(clears)?),
        });
    }
    if choices.is_empty() {
        return None;
    }
    let told = facts.starve(state, culprit)?;
    let right = dice.below(choices.len() + 1);
    choices.insert(
        right,
        SuspectChoice {
            fault: facts.say(culprit),
            cleared_by: None,
        },
    );
    let outlets = told.outlets.into_iter();
    Some(Made::Question(Box::new(QuizQuestion {
        level,
        state: facts.state(state).map(str::to_owned),
        asked: QuizAsked::Culprit {
            starved: starved.to_vec(),
            on_when_off: on_when_off.to_vec(),
            moved: told.moved,
            suffering: outlets.filter(|o| o.verdict.is_bad()).collect(),
            choices,
        },
        right,
    })))
}

/// The faults of the nearest other parts that would show otherwise beyond doubt, part by part.
fn nearest(facts: &Facts<'_>, swept: &Swept, culprit: usize) -> Vec<Vec<usize>> {
    let part = &facts.faults[culprit].part;
    let clear: Vec<usize> = (0..facts.faults.len())
        .filter(|fault| facts.faults[*fault].part != *part)
        .filter(|fault| swept.is_certain(*fault) && shows_otherwise(swept, culprit, *fault))
        .collect();
    let far = facts.places.from(part);
    let mut parts: Vec<Vec<usize>> = clear
        .chunk_by(|a, b| facts.faults[*a].part == facts.faults[*b].part)
        .map(<[usize]>::to_vec)
        .collect();
    // One that shows somewhere before one that nobody would notice, then the nearest.
    parts.sort_by_cached_key(|of_part| {
        let silent = of_part.iter().all(|fault| swept.is_silent(*fault));
        (silent, far.to(&facts.faults[of_part[0]].part))
    });
    parts.truncate(NEAREST);
    parts
}

/// Whether some outlet is surely otherwise with the other fault.
fn shows_otherwise(swept: &Swept, culprit: usize, other: usize) -> bool {
    let (starved, on) = swept.symptoms(culprit);
    let (also_starved, also_on) = swept.symptoms(other);
    let has_more = |these: &[PartName], those: &[PartName]| {
        let mut these = these.iter();
        these.any(|outlet| !those.contains(outlet))
    };
    // What it harms only a little neither has its oil for certain nor lacks it.
    let open = |outlet: &&PartName| !swept.otherwise_harmed(other).any(|o| o == *outlet);
    let lacking = |these: &[PartName], those: &[PartName]| {
        let mut these = these.iter().filter(open);
        these.any(|outlet| !those.contains(outlet))
    };
    has_more(also_starved, starved)
        || has_more(also_on, on)
        || lacking(starved, also_starved)
        || lacking(on, also_on)
}
