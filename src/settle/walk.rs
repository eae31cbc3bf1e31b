//! One walk to where nothing moves: all movers at once, and where that is in question one by one.

use std::collections::BTreeMap;
use std::rc::Rc;

use rustc_hash::FxHashSet;

use super::Pressures;
use super::orders::{ALONE, FEW, MORE, firsts, shuffled};
use super::point::{Course, Move, Point, differing, merge_alike, name, put, stands};
use super::solver::{At, Solver};
use super::wants::{Want, Wants};
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

/// Where each mover goes; none for those that stay.
type Places = Vec<Option<u32>>;

/// Where everything goes from one point.
struct Decided {
    places: Places,
    wants: Rc<Wants>,
}

impl Decided {
    fn boosted(&self) -> &[bool] {
        &self.wants.boosted
    }
}

/// The movers that go somewhere.
fn moving(places: &[Option<u32>]) -> Vec<usize> {
    (0..places.len()).filter(|m| places[*m].is_some()).collect()
}

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

/// Whether any two of some movers may have to do with each other.
pub(super) type Meet<'m> = &'m dyn Fn(&[usize]) -> bool;

/// One way of settling, with a place chosen for every undecided mover.
pub(super) struct Walk<'w, 's> {
    solver: &'w Solver<'s>,
    choices: &'w Choices,
    meet: Meet<'w>,
}

impl<'w, 's> Walk<'w, 's> {
    pub fn new(solver: &'w Solver<'s>, choices: &'w Choices, meet: Meet<'w>) -> Self {
        Walk {
            solver,
            choices,
            meet,
        }
    }

    /// Where everything stands before the first round.
    fn start(&self, start: &Start<'_>) -> Result<At, Undecided> {
        let stage = self.solver.stage();
        let net = stage.net();
        let cold = match start {
            Start::From(from) => {
                let held = stage.fix(from.held.clone());
                return Ok(self.solver.solve(held, self.solver.number((*from).clone())));
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
        let before = self.solver.number(Point {
            held: held.clone(),
            pressures: cold,
        });
        let wants = self.decided(before)?;
        let mut held = held;
        for (stands, place) in held.valves.iter_mut().zip(&wants.places) {
            if given || stands.is_none() {
                *stands = place.or(*stands);
            }
        }
        Ok(self.solver.solve(held, before))
    }

    /// Where each mover would go, undecided ones as chosen; none for those that stay. And which
    /// regulators are boosted.
    fn decided(&self, at: At) -> Result<Decided, Undecided> {
        let wants = self.solver.wants(at);
        let point = self.solver.point(at);
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
        let places: Places = places.collect::<Result<_, _>>()?;
        Ok(Decided { places, wants })
    }

    /// The point after some movers have gone to their places.
    fn after(&self, at: At, places: &[Option<u32>], boosted: &[bool]) -> At {
        let mut held = self.solver.point(at).held.clone();
        for (mover, place) in places.iter().enumerate() {
            if let Some(place) = place {
                put(&mut held, mover, *place);
            }
        }
        held.boosted.copy_from_slice(boosted);
        self.solver.solve(held, at)
    }

    /// Walks to the end or the ends.
    ///
    /// # Errors
    /// A mover whose place has to be chosen first.
    pub fn run(&self, start: &Start<'_>) -> Result<Run, Undecided> {
        let start = self.start(start)?;
        let mut track = vec![start];
        let mut moves = Vec::new();
        let mut in_question = false;
        loop {
            let round = track.len();
            let at = track[round - 1];
            let go = self.decided(at)?;
            let moving = moving(&go.places);
            let point = self.solver.point(at);
            for mover in &moving {
                moves.push(Move {
                    round,
                    part: name(self.solver.stage(), *mover).clone(),
                    from: stands(&point.held, *mover),
                    to: go.places[*mover].unwrap_or_default(),
                });
            }
            if moving.len() > 1 && !in_question && (self.meet)(&moving) {
                in_question = !self.independent(at, &go)?;
            }
            let next = self.after(at, &go.places, go.boosted());
            if next == at {
                if in_question {
                    return self.every_order(start, round, moves, None);
                }
                return Ok(Run {
                    ends: vec![Point::clone(&point)],
                    course: Course::Steady,
                    rounds: round,
                    moves,
                });
            }
            if let Some(first) = track.iter().position(|seen| *seen == next) {
                let lap = track.split_off(first);
                return self.every_order(start, round, moves, Some(lap));
            }
            track.push(next);
        }
    }

    /// Whether the moves of one round are each still made whichever of them are made first, nothing
    /// else moves before all are, and all end alike. Then every order comes by where all at once
    /// lead to.
    fn independent(&self, at: At, go: &Decided) -> Result<bool, Undecided> {
        let together = self.after(at, &go.places, go.boosted());
        let moving = moving(&go.places);
        // Of three or more, two before the third may do what neither does alone.
        let orders = match moving.len() {
            2..=FEW => {
                let mut seen = FxHashSet::default();
                let all = (together, go.boosted());
                return self.in_every_order(at, all, &go.places, &mut seen);
            }
            MORE..=ALONE => shuffled(moving),
            _ => firsts(moving),
        };
        for order in orders {
            let mut now = at;
            let mut left = go.places.clone();
            for step in order {
                let mut alone = vec![None; left.len()];
                for mover in step {
                    alone[mover] = left[mover].take();
                }
                now = self.after(now, &alone, go.boosted());
                if left.iter().all(Option::is_none) {
                    break;
                }
                // What is left would still move, and nothing else would before it has.
                if left != self.decided(now)?.places {
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
        now: At,
        all: (At, &[bool]),
        left: &[Option<u32>],
        seen: &mut FxHashSet<(At, Places)>,
    ) -> Result<bool, Undecided> {
        let (together, boosted) = all;
        for mover in moving(left) {
            let mut alone = vec![None; left.len()];
            let mut left = left.to_vec();
            alone[mover] = left[mover].take();
            let now = self.after(now, &alone, boosted);
            if left.iter().all(Option::is_none) {
                // What is trapped on the way may differ even where the moves do not.
                if now != together {
                    return Ok(false);
                }
                continue;
            }
            if !seen.insert((now, left.clone())) {
                continue;
            }
            // What is left would still move, and nothing else would before it has.
            let then = self.decided(now)?.places;
            if left != then || !self.in_every_order(now, all, &left, seen)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Follows every order of single moves to all its ends. `lap` is what all moving at once goes
    /// round in, if it does.
    fn every_order(
        &self,
        start: At,
        rounds: usize,
        moves: Vec<Move>,
        lap: Option<Vec<At>>,
    ) -> Result<Run, Undecided> {
        let mut seen: FxHashSet<At> = FxHashSet::from_iter([start]);
        let mut open = vec![start];
        let mut ends: Vec<Point> = Vec::new();
        let most = most_points(&self.solver.point(start));
        while let Some(at) = open.pop() {
            let go = self.decided(at)?;
            let mut alone = vec![None; go.places.len()];
            let mut add = |next: At| {
                if seen.len() < most && seen.insert(next) {
                    open.push(next);
                }
            };
            let moving = moving(&go.places);
            for mover in &moving {
                alone[*mover] = go.places[*mover];
                add(self.after(at, &alone, go.boosted()));
                alone[*mover] = None;
            }
            if moving.is_empty() {
                let next = self.after(at, &alone, go.boosted());
                match next == at {
                    true => ends.push(Point::clone(&self.solver.point(at))),
                    false => add(next),
                }
            }
        }
        let differing = |points: &[Point]| differing(self.solver.stage(), points);
        merge_alike(&mut ends);
        let lap = lap.map(|lap| {
            let points = lap.iter().map(|at| Point::clone(&self.solver.point(*at)));
            points.collect::<Vec<Point>>()
        });
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
            ends = lap.unwrap_or_else(|| vec![Point::clone(&self.solver.point(start))]);
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
