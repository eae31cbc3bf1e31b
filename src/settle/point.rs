//! Where everything stands, and how it came to stand there.

use std::collections::HashSet;

use super::Pressures;
use crate::circuit::PartName;
use crate::net::{Held, Stage};

/// Where everything stands, and what every cavity holds.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Point {
    /// Where everything that moves stands.
    pub held: Held,
    /// What every cavity holds.
    pub pressures: Pressures,
}

impl Point {
    /// What ends are put in order by, for want of anything that says which comes first.
    pub(super) fn order(&self) -> impl Ord + '_ {
        let Held {
            valves,
            shuttles,
            boosted,
        } = &self.held;
        (valves, shuttles, boosted, self.pressures.every_row())
    }
}

/// One thing that moved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Move {
    /// In which round, from 1.
    pub round: usize,
    /// The valve or shuttle ball.
    pub part: PartName,
    /// Where it stood; none where that was not known.
    pub from: Option<u32>,
    /// Where it went.
    pub to: u32,
}

/// How settling went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Course {
    /// To one end: everything that moves comes to rest in one place.
    Steady,
    /// Positions that cannot be decided were tried one by one; the ends are all of them.
    Undecided(Vec<PartName>),
    /// Where it ends depends on which of these moves first.
    Race(Vec<PartName>),
    /// It never ends: these keep moving, and after so many rounds all is as before.
    Oscillation {
        /// What keeps moving.
        parts: Vec<PartName>,
        /// Rounds until all is as before.
        period: usize,
    },
    /// More undecided positions than can be tried: these are left unknown.
    TooMany(Vec<PartName>),
}

/// The names of movers by number: valves, then shuttle balls.
pub(super) fn names(stage: &Stage<'_>, mut movers: Vec<usize>) -> Vec<PartName> {
    movers.sort_unstable();
    movers.dedup();
    let names = movers.into_iter().map(|mover| name(stage, mover).clone());
    names.collect()
}

/// The name of a mover by number.
pub(super) fn name<'s>(stage: &Stage<'s>, mover: usize) -> &'s PartName {
    let net = stage.net();
    match mover.checked_sub(net.valves().len()) {
        None => &net.valves()[mover].name,
        Some(shuttle) => &net.shuttles()[shuttle].name,
    }
}

/// Keeps of the ends that differ only in where a shuttle ball lies, and so in nothing that any
/// cavity shows, the first.
pub(super) fn merge_alike(ends: &mut Vec<Point>) {
    let stand = |end: &Point| (end.held.valves.clone(), end.held.shuttles.clone());
    ends.sort_by_cached_key(stand);
    let mut seen = HashSet::new();
    ends.retain(|end| seen.insert((end.held.valves.clone(), end.pressures.clone())));
}

/// What does not stand alike at all of some points.
pub(super) fn differing(stage: &Stage<'_>, points: &[Point]) -> Vec<PartName> {
    let movers = 0..points[0].held.valves.len() + points[0].held.shuttles.len();
    let differ = movers.filter(|m| {
        let mut points = points.iter().map(|p| stands(&p.held, *m));
        let first = points.next();
        points.any(|stands| Some(stands) != first)
    });
    names(stage, differ.collect())
}

/// Where a mover stands: valves by number, then shuttle balls.
pub(super) fn stands(held: &Held, mover: usize) -> Option<u32> {
    match mover.checked_sub(held.valves.len()) {
        None => held.valves[mover],
        Some(shuttle) => held.shuttles[shuttle].map(u32::from),
    }
}
