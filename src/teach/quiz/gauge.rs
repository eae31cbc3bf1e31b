//! Which gauge tells two faults apart?

use super::draw::{Case, Made};
use super::facts::{Facts, Swept};
use super::{GaugeChoice, QuizAsked, QuizLevel, QuizQuestion, Shows};
use crate::circuit::PartName;
use crate::teach::Dice;

/// Wrong gauges are drawn from so many of the nearest.
const NEAREST: usize = 5;

/// Pairs of faults of two parts that starve the same outlets, where one gauge tells them apart
/// and another does not.
pub(super) fn cases(facts: &Facts<'_>, state: usize, dice: &mut Dice) -> Vec<Case> {
    if facts.gauges.len() < 2 {
        return Vec::new();
    }
    let swept = facts.swept(state);
    let starving: Vec<usize> = (0..facts.faults.len())
        .filter(|fault| swept.is_certain(*fault) && facts.starves_another(swept, *fault))
        .collect();
    let shows: Vec<Vec<Shows>> = (starving.iter())
        .map(|fault| all(facts, swept, *fault))
        .collect();
    let mut cases = Vec::new();
    for (i, a) in starving.iter().enumerate() {
        for (j, b) in starving.iter().enumerate().skip(i + 1) {
            let alike = swept.symptoms(*a) == swept.symptoms(*b)
                && facts.faults[*a].part != facts.faults[*b].part;
            let both = || shows[i].iter().zip(&shows[j]);
            if alike
                && both().any(|(a, b)| a.surely_differs(*b))
                && both().any(|(a, b)| a.surely_agrees(*b))
            {
                cases.push(Case::Pair(*a, *b));
            }
        }
    }
    dice.shuffle(&mut cases);
    cases
}

pub(super) fn question(
    facts: &Facts<'_>,
    state: usize,
    mut pair: [usize; 2],
    most: QuizLevel,
    dice: &mut Dice,
) -> Option<Made> {
    dice.shuffle(&mut pair);
    let swept = facts.swept(state);
    let [a, b] = pair.map(|fault| all(facts, swept, fault));
    let gauges = facts.gauges.iter().zip(a.into_iter().zip(b));
    let choices = gauges.map(|(gauge, (a, b))| GaugeChoice {
        gauge: gauge.name.clone(),
        access: gauge.access,
        shows: [a, b],
    });
    let (mut right, mut wrong) = (Vec::new(), Vec::new());
    for choice in choices {
        let [a, b] = choice.shows;
        if a.surely_differs(b) {
            right.push(choice);
        } else if a.surely_agrees(b) {
            wrong.push(choice);
        }
    }
    if right.is_empty() || wrong.is_empty() {
        return None;
    }
    let right = right.swap_remove(dice.below(right.len()));
    let [a, b] = pair.map(|fault| facts.level(state, fault, &[&right.gauge]));
    let level = a.max(b);
    if level > most {
        return Some(Made::Harder(level));
    }
    let far = facts.places.from(&right.gauge);
    wrong.sort_by_cached_key(|choice| far.to(&choice.gauge));
    wrong.truncate(NEAREST);
    dice.shuffle(&mut wrong);
    wrong.truncate(3);
    let (starved, on_when_off): (&[PartName], &[PartName]) = swept.symptoms(pair[0]);
    let at = dice.below(wrong.len() + 1);
    let mut choices = wrong;
    choices.insert(at, right);
    Some(Made::Question(Box::new(QuizQuestion {
        level,
        state: facts.state(state).map(str::to_owned),
        asked: QuizAsked::Gauge {
            faults: pair.map(|fault| facts.say(fault)),
            starved: starved.to_vec(),
            on_when_off: on_when_off.to_vec(),
            choices,
        },
        right: at,
    })))
}

/// What every gauge shows with a fault.
fn all(facts: &Facts<'_>, swept: &Swept, fault: usize) -> Vec<Shows> {
    let gauges = 0..facts.gauges.len();
    gauges.map(|g| swept.shows(facts, fault, g)).collect()
}
