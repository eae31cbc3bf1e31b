//! One walk to where nothing moves: all movers at once, and where that is in question one by one.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::Pressures;
use super::solver::Solver;
use super::wants::Want;
use crate::circuit::{Level, PartName};
use crate::net::{Held, Stage};

/// Points that orders of movement are followed through, up to a thousand cavities.
const POINTS: usize = 600;

/// Movers of one round that are each tried alone before the others.
pub(super) const ALONE: usize = 12;

/// Movers of one round that are tried in every order where something is sealed off; of more, so
/// many orders are.
const FEW: usize = 5;
const SHUFFLED: usize = 100;

/// Where everything stands, and what every cavity holds.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Point {
    /// Where everything that moves stands.
    pub held: Held,
    /// What every cavity holds.
    pub pressures: Pressures,
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

pub(super) enum Start<'p> {
    /// All drained, valves at rest.
    Cold,
    /// As another state left it.
    From(&'p Point),
    /// At these pressures.
    Given(&'p Pressures),
}

/// Which place an undecided mover is taken to go to.
pub(super) type Choices = BTreeMap<usize, u32>;

/// A mover whose place has to be chosen.
pub(super) struct Undecided {
    pub mover: usize,
    pub places: Vec<u32>,
}

/// One walk to its end or ends.
pub(super) struct Run {
    pub ends: Vec<Point>,
    pub course: Course,
    pub rounds: usize,
    pub moves: Vec<Move>,
}

/// The names of movers by number: valves, then shuttle balls.
pub(super) fn names(stage: &Stage<'_>, mut movers: Vec<usize>) -> Vec<PartName> {
    movers.sort_unstable();
    movers.dedup();
    let net = stage.net();
    let valves = net.valves().iter().map(|v| &v.name);
    let all: Vec<&PartName> = valves
        .chain(net.shuttles().iter().map(|s| &s.name))
        .collect();
    movers.into_iter().map(|m| all[m].clone()).collect()
}

/// One way of settling, with a place chosen for every undecided mover.
pub(super) struct Walk<'w> {
    solver: &'w Solver<'w>,
    choices: &'w Choices,
}

/// Keeps of the ends that differ only in where a shuttle ball lies, and so in nothing that any
/// cavity shows, the first.
pub(super) fn merge_alike(ends: &mut Vec<Point>) {
    let stand = |end: &Point| (end.held.valves.clone(), end.held.shuttles.clone());
    ends.sort_by_cached_key(stand);
    let mut seen = HashSet::new();
    ends.retain(|end| seen.insert((end.held.valves.clone(), end.pressures.clone())));
}

impl<'w> Walk<'w> {
    pub fn new(solver: &'w Solver<'w>, choices: &'w Choices) -> Self {
        Walk { solver, choices }
    }

    /// Where everything stands before the first round.
    fn start(&self, start: &Start<'_>) -> Result<Point, Undecided> {
        let stage = self.solver.stage();
        let net = stage.net();
        let cold = match start {
            Start::From(from) => {
                let held = stage.fix(from.held.clone());
                return Ok(self.solver.solve(held, &from.pressures));
            }
            Start::Cold => Pressures::cold(stage),
            Start::Given(pressures) => (*pressures).clone(),
        };
        let mut held = Held::unknown(net);
        held.valves = net.valves().iter().map(|v| v.rest).collect();
        held.shuttles.fill(Some(0));
        held.boosted.fill(false);
        let held = stage.fix(held);
        // Without a resting place, or at given pressures, it stands where its rule puts it.
        let given = matches!(start, Start::Given(_));
        let point = Point {
            held,
            pressures: cold.clone(),
        };
        let wants = self.decided(&point)?;
        let mut held = point.held;
        for (stands, place) in held.valves.iter_mut().zip(&wants.0) {
            if given || stands.is_none() {
                *stands = place.or(*stands);
            }
        }
        Ok(self.solver.solve(held, &cold))
    }

    /// Where each mover would go, undecided ones as chosen; none for those that stay. And which
    /// regulators are boosted.
    fn decided(&self, point: &Point) -> Result<(Vec<Option<u32>>, Vec<bool>), Undecided> {
        let wants = self.solver.wants(point);
        let places = wants.movers.iter().enumerate().map(|(mover, want)| {
            let place = match want {
                Want::Stay => None,
                Want::Go(place) => Some(*place),
                Want::Any(places) => match self.choices.get(&mover) {
                    Some(chosen) if places.contains(chosen) => Some(*chosen),
                    Some(_) => Some(places[0]),
                    None => {
                        let places = places.clone();
                        return Err(Undecided { mover, places });
                    }
                },
            };
            Ok(place.filter(|place| Some(*place) != stands(&point.held, mover)))
        });
        Ok((places.collect::<Result<_, _>>()?, wants.boosted.clone()))
    }

    /// The point after some movers have gone to their places.
    fn after(&self, point: &Point, places: &[Option<u32>], boosted: &[bool]) -> Point {
        let mut held = point.held.clone();
        for (mover, place) in places.iter().enumerate() {
            if let Some(place) = place {
                put(&mut held, mover, *place);
            }
        }
        held.boosted = boosted.to_vec();
        self.solver.solve(held, &point.pressures)
    }

    /// Walks to the end or the ends.
    ///
    /// # Errors
    /// A mover whose place has to be chosen first.
    pub fn run(&self, start: &Start<'_>) -> Result<Run, Undecided> {
        let start = self.start(start)?;
        let mut seen: HashMap<Point, usize> = HashMap::new();
        let mut track = vec![start.clone()];
        let mut moves = Vec::new();
        let mut in_question = false;
        loop {
            let round = track.len();
            let point = track[round - 1].clone();
            seen.insert(point.clone(), round);
            let (places, boosted) = self.decided(&point)?;
            let moving: Vec<usize> = (0..places.len()).filter(|m| places[*m].is_some()).collect();
            for mover in &moving {
                moves.push(Move {
                    round,
                    part: names(self.solver.stage(), vec![*mover]).remove(0),
                    from: stands(&point.held, *mover),
                    to: places[*mover].unwrap_or_default(),
                });
            }
            if moving.len() > 1 && !in_question {
                in_question = !self.independent(&point, &places, &boosted)?;
            }
            let next = self.after(&point, &places, &boosted);
            if next == point {
                if in_question {
                    return self.every_order(&start, round, moves, None);
                }
                return Ok(Run {
                    ends: vec![next],
                    course: Course::Steady,
                    rounds: round,
                    moves,
                });
            }
            if let Some(first) = seen.get(&next) {
                let lap = track[first - 1..].to_vec();
                return self.every_order(&start, round, moves, Some(lap));
            }
            track.push(next);
        }
    }

    /// Whether the moves of one round are each still made whichever of them are made first, and
    /// all end alike.
    fn independent(
        &self,
        point: &Point,
        places: &[Option<u32>],
        boosted: &[bool],
    ) -> Result<bool, Undecided> {
        let together = self.after(point, places, boosted);
        let moving: Vec<usize> = (0..places.len()).filter(|m| places[*m].is_some()).collect();
        // With three or more, what a sealed cavity holds may hang on the order of any of them.
        let orders = match moving.len() > 2 && together.pressures.seals() {
            true if moving.len() <= FEW => permutations(moving),
            true => shuffled(moving),
            false => firsts(moving),
        };
        for order in orders {
            let mut now = point.clone();
            let mut left = places.to_vec();
            for step in order {
                let mut alone = vec![None; places.len()];
                for mover in step {
                    alone[mover] = left[mover].take();
                }
                now = self.after(&now, &alone, boosted);
                if left.iter().all(Option::is_none) {
                    break;
                }
                let (then, _) = self.decided(&now)?;
                let mut still = left.iter().zip(&then);
                if !still.all(|(left, then)| left.is_none() || left == then) {
                    return Ok(false);
                }
            }
            // What is trapped on the way may differ even where the moves do not.
            if now != together {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Follows every order of single moves to all its ends. `lap` is what all moving at once goes
    /// round in, if it does.
    fn every_order(
        &self,
        start: &Point,
        rounds: usize,
        moves: Vec<Move>,
        lap: Option<Vec<Point>>,
    ) -> Result<Run, Undecided> {
        let mut seen: HashSet<Point> = HashSet::from([start.clone()]);
        let mut open = vec![start.clone()];
        let mut ends: Vec<Point> = Vec::new();
        let most = most_points(start);
        while let Some(point) = open.pop() {
            let (places, boosted) = self.decided(&point)?;
            let moving: Vec<usize> = (0..places.len()).filter(|m| places[*m].is_some()).collect();
            let mut alone: Vec<Vec<Option<u32>>> = Vec::new();
            for mover in &moving {
                let mut place = vec![None; places.len()];
                place[*mover] = places[*mover];
                alone.push(place);
            }
            if moving.is_empty() {
                let next = self.after(&point, &places, &boosted);
                if next == point {
                    ends.push(point);
                    continue;
                }
                alone.push(places);
            }
            for places in alone {
                let next = self.after(&point, &places, &boosted);
                if seen.len() < most && seen.insert(next.clone()) {
                    open.push(next);
                }
            }
        }
        let differing = |points: &[Point]| differing(self.solver.stage(), points);
        merge_alike(&mut ends);
        let course = match (&ends[..], &lap) {
            // Ends that differ in nothing but what is sealed in somewhere are one end.
            ([_, ..], _) => match differing(&ends) {
                parts if parts.is_empty() => Course::Steady,
                parts => Course::Race(parts),
            },
            ([], Some(lap)) => Course::Oscillation {
                parts: differing(lap),
                period: lap.len(),
            },
            ([], None) => Course::Race(Vec::new()),
        };
        if ends.is_empty() {
            ends = lap.unwrap_or_else(|| vec![start.clone()]);
        }
        Ok(Run {
            ends,
            course,
            rounds,
            moves,
        })
    }
}

/// Groups of movers, one group after another.
type Order = Vec<Vec<usize>>;

/// Orders to see whether the others still move alike after some: each first and then the rest; of
/// very many, halves that between them put each before every other.
fn firsts(moving: Vec<usize>) -> Vec<Order> {
    let split = |first: &dyn Fn(usize) -> bool| {
        let places = moving.iter().copied().enumerate();
        let (first, rest): (Vec<_>, Vec<_>) = places.partition(|(i, _)| first(*i));
        [first, rest]
            .map(|half| half.into_iter().map(|(_, m)| m).collect())
            .into()
    };
    if moving.len() <= ALONE {
        return (0..moving.len()).map(|i| split(&|at| at == i)).collect();
    }
    // Numbers that differ do so in some bit.
    let bits = usize::BITS - moving.len().leading_zeros();
    let halves = (0..bits).flat_map(|bit| [0, 1].map(|first| split(&|at| at >> bit & 1 == first)));
    halves.collect()
}

/// Every order of single moves.
fn permutations(moving: Vec<usize>) -> Vec<Order> {
    let mut orders: Vec<Order> = vec![Vec::new()];
    for _ in 0..moving.len() {
        let longer = orders.iter().flat_map(|order| {
            let next = moving.iter().filter(|m| !order.contains(&vec![**m]));
            next.map(|m| [&order[..], &[vec![*m]]].concat())
        });
        orders = longer.collect();
    }
    orders
}

/// Some orders of single moves, always the same.
fn shuffled(moving: Vec<usize>) -> Vec<Order> {
    let mut seed: u64 = 0x9E37_79B9_7F4A_7C15;
    let mut below = |n: usize| {
        // Marsaglia's xorshift, Journal of Statistical Software 8(14), 2003.
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        (seed % n as u64) as usize
    };
    let order = |_| {
        let mut order = moving.clone();
        (1..order.len()).for_each(|i| order.swap(i, below(i + 1)));
        order.into_iter().map(|m| vec![m]).collect()
    };
    (0..SHUFFLED).map(order).collect()
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

/// How many points orders of movement are followed through: fewer where each costs more.
pub(super) fn most_points(start: &Point) -> usize {
    let cavities = start.pressures.values(Level::Low).len();
    (POINTS * 1000 / cavities.max(1)).clamp(16, POINTS)
}

fn stands(held: &Held, mover: usize) -> Option<u32> {
    match mover.checked_sub(held.valves.len()) {
        None => held.valves[mover],
        Some(shuttle) => held.shuttles[shuttle].map(u32::from),
    }
}

fn put(held: &mut Held, mover: usize, place: u32) {
    match mover.checked_sub(held.valves.len()) {
        None => held.valves[mover] = Some(place),
        Some(shuttle) => held.shuttles[shuttle] = Some(place as u8),
    }
}
