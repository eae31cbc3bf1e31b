//! In which order does the oil meet these parts?

use super::draw::{Case, Made};
use super::facts::Facts;
use super::{QuizAsked, QuizLevel, QuizQuestion};
use crate::circuit::{Kind, Level, PartName};
use crate::net::{Cavity, SUMP_CAVITY, Scene, WayId};
use crate::reach::Dominators;
use crate::settle::Status;
use crate::teach::Dice;
use crate::teach::places::Places;

/// Every outlet.
pub(super) fn cases(facts: &Facts<'_>, dice: &mut Dice) -> Vec<Case> {
    let outlets = 0..facts.net.outlets().len();
    let mut cases: Vec<Case> = outlets.map(Case::Outlet).collect();
    dice.shuffle(&mut cases);
    cases
}

/// Something that every way to the outlet meets at this place.
struct Met {
    part: PartName,
    /// The casting it lies in; none where it leads from one to another.
    casting: Option<String>,
    moves: bool,
}

/// Made as hard as wanted, or easier where that cannot be.
pub(super) fn question(
    facts: &Facts<'_>,
    state: usize,
    outlet: usize,
    most: QuizLevel,
    dice: &mut Dice,
) -> Option<Made> {
    let met = met(facts, state, outlet)?;
    let easier = QuizLevel::ALL.into_iter().rev().filter(|l| *l <= most);
    let harder = QuizLevel::ALL.into_iter().filter(|l| *l > most);
    let (level, right) = easier
        .chain(harder)
        .find_map(|level| Some((level, pick(&met, level, dice)?)))?;
    if level > most {
        return Some(Made::Harder(level));
    }
    let mut choices = wrong(&right, dice);
    let at = dice.below(choices.len() + 1);
    choices.insert(at, right);
    Some(Made::Question(Box::new(QuizQuestion {
        level,
        state: facts.state(state).map(str::to_owned),
        asked: QuizAsked::Order {
            outlet: facts.net.outlets()[outlet].name.clone(),
            choices,
        },
        right: at,
    })))
}

/// What every way of the oil to an outlet meets, in order; none where the outlet has no oil.
fn met(facts: &Facts<'_>, state: usize, outlet: usize) -> Option<Vec<Met>> {
    let net = facts.net;
    let outlet = &net.outlets()[outlet];
    let settled = facts.sound(state);
    let [end] = &settled.ends[..] else {
        return None;
    };
    let on = end.pressures.status(outlet.user, outlet.by_pressure) == Status::On;
    if !on {
        return None;
    }
    let scene = facts.stage(state, &[]).scene(&end.held, Level::Low);
    let chain = Dominators::of_pressure(&scene).chain(outlet.user.feed());
    let mut met: Vec<Met> = Vec::new();
    let mut before = None;
    for (way, cavity) in chain {
        if let (Some(way), Some(from)) = (way, before) {
            met.extend(passed(&facts.places, &scene, way, [from, cavity]));
        }
        met.push(Met {
            part: PartName::new(Kind::Passage, net.name(cavity)),
            casting: facts.places.casting(cavity).map(str::to_owned),
            moves: false,
        });
        before = Some(cavity);
    }
    let once = |m: &Met| met.iter().filter(|other| other.part == m.part).count() == 1;
    let once: Vec<bool> = met.iter().map(once).collect();
    let mut once = once.into_iter();
    met.retain(|_| once.next().unwrap_or_default());
    Some(met)
}

/// The part of a way, if the oil can meet it here alone.
fn passed(places: &Places<'_>, scene: &Scene<'_>, way: WayId, ends: [Cavity; 2]) -> Option<Met> {
    let net = scene.net();
    let body = scene.way(way);
    let part = net.part(body);
    // Another of its ways may lead on to the outlet too, unless it is shut or ends in the sump.
    let mut others = net.ways_of(part).filter(|other| *other != way);
    let elsewhere = others.any(|other| {
        let open = scene.setting(other).strength().is_some();
        open && !net.ways()[other.at()].ends.contains(&SUMP_CAVITY)
    });
    // A plate or a passage that leaks is no part the oil is led through.
    let led = !matches!(part.kind, Kind::Plate | Kind::Passage);
    let [from, to] = ends.map(|cavity| places.casting(cavity));
    (led && !elsewhere).then(|| Met {
        part: part.clone(),
        casting: from.filter(|_| from == to).map(str::to_owned),
        moves: body.is_switched(),
    })
}

/// A few of what is met, in order, such that the question is of a level: so many as that is
/// hard. Passages come in only where the parts between them are too few.
fn pick(met: &[Met], level: QuizLevel, dice: &mut Dice) -> Option<Vec<PartName>> {
    let most = 2 + usize::from(level.number());
    let fits: Vec<usize> = match level {
        QuizLevel::OneCasting => {
            let still = (0..met.len()).filter(|i| !met[*i].moves && met[*i].casting.is_some());
            let still: Vec<usize> = still.collect();
            let runs = still.chunk_by(|a, b| met[*a].casting == met[*b].casting);
            runs.max_by_key(|run| run.len())?.to_vec()
        }
        QuizLevel::WholeWay => (0..met.len()).filter(|i| !met[*i].moves).collect(),
        QuizLevel::MovingValves => (0..met.len()).collect(),
    };
    let (mut parts, mut passages): (Vec<usize>, Vec<usize>) = fits
        .into_iter()
        .partition(|i| met[*i].part.kind != Kind::Passage);
    dice.shuffle(&mut parts);
    dice.shuffle(&mut passages);
    // What moves first, where it is to be in the question.
    parts.sort_by_key(|i| !met[*i].moves);
    parts.truncate(most);
    parts.extend(passages.into_iter().take(most - parts.len()));
    parts.sort_unstable();
    let some: Vec<&Met> = parts.into_iter().map(|i| &met[i]).collect();
    let fits = match level {
        QuizLevel::OneCasting => true,
        QuizLevel::WholeWay => some.windows(2).any(|w| w[0].casting != w[1].casting),
        QuizLevel::MovingValves => some.iter().any(|m| m.moves),
    };
    (fits && some.len() >= 3).then(|| some.into_iter().map(|m| m.part.clone()).collect())
}

/// Up to three other orders of the same parts: neighbours changed about, once or twice.
fn wrong(right: &[PartName], dice: &mut Dice) -> Vec<Vec<PartName>> {
    let mut found: Vec<Vec<PartName>> = Vec::new();
    // Three parts have five other orders: three of them turn up soon.
    for swaps in [1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6] {
        let mut other = right.to_vec();
        for _ in 0..swaps {
            let at = dice.below(right.len() - 1);
            other.swap(at, at + 1);
        }
        if found.len() < 3 && other != right && !found.contains(&other) {
            found.push(other);
        }
    }
    found
}
