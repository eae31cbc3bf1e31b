//! One walk to where nothing moves: all movers at once, and where that is in question one by one.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::Pressures;
use super::orders::{ALONE, FEW, MORE, firsts, shuffled};
use super::point::{Course, Move, Point, differing, merge_alike, names, put, stands};
use super::solver::Solver;
use super::wants::Want;
use crate::circuit::Level;
use crate::net::Held;

/// Points that orders of movement are followed through, up to a thousand cavities.
const POINTS: usize = 600;

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

/// One way of settling, with a place chosen for every undecided mover.
pub(super) struct Walk<'w> {
    solver: &'w Solver<'w>,
    choices: &'w Choices,
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

    /// Whether the moves of one round are each still made whichever of them are made first, nothing
    /// else moves before all are, and all end alike. Then every order comes by where all at once
    /// lead to.
    fn independent(
        &self,
        point: &Point,
        places: &[Option<u32>],
        boosted: &[bool],
    ) -> Result<bool, Undecided> {
        let together = self.after(point, places, boosted);
        let moving: Vec<usize> = (0..places.len()).filter(|m| places[*m].is_some()).collect();
        // Of three or more, two before the third may do what neither does alone.
        let orders = match moving.len() {
            2..=FEW => {
                let mut seen = HashSet::new();
                return self.in_every_order(point, (&together, boosted), places, &mut seen);
            }
            MORE..=ALONE => shuffled(moving),
            _ => firsts(moving),
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
                // What is left would still move, and nothing else would before it has.
                if left != then {
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

    /// The same for few moves, in every order. What is left of them at a point come to before has
    /// been tried there.
    fn in_every_order(
        &self,
        now: &Point,
        all: (&Point, &[bool]),
        left: &[Option<u32>],
        seen: &mut HashSet<(Point, Vec<Option<u32>>)>,
    ) -> Result<bool, Undecided> {
        let (together, boosted) = all;
        for mover in (0..left.len()).filter(|m| left[*m].is_some()) {
            let mut alone = vec![None; left.len()];
            let mut left = left.to_vec();
            alone[mover] = left[mover].take();
            let now = self.after(now, &alone, boosted);
            if left.iter().all(Option::is_none) {
                // What is trapped on the way may differ even where the moves do not.
                if now != *together {
                    return Ok(false);
                }
                continue;
            }
            if !seen.insert((now.clone(), left.clone())) {
                continue;
            }
            // What is left would still move, and nothing else would before it has.
            let (then, _) = self.decided(&now)?;
            if left != then || !self.in_every_order(&now, all, &left, seen)? {
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

/// How many points orders of movement are followed through: fewer where each costs more.
pub(super) fn most_points(start: &Point) -> usize {
    let cavities = start.pressures.values(Level::Low).len();
    (POINTS * 1000 / cavities.max(1)).clamp(16, POINTS)
}
