//! One walk to where nothing moves: all movers at once, and where that is in question one by one.

use std::collections::BTreeMap;
use std::rc::Rc;

use rustc_hash::FxHashSet;

use super::Pressures;
use super::orders::{ALONE, FEW, MORE, firsts, shuffled};
use super::point::{Course, Point, differing, merge_alike};
use super::solver::{At, Solver};
use super::wants::{Want, Wants};
use crate::net::{Held, Stage};

/// Points that orders of movement are followed through, up to a thousand cavities.
const POINTS: usize = 600;

/// However large a circuit is, through as many as four movers of one round and what follows may take.
const FEWEST: usize = 100;

pub(super) enum Start<'p> {
    /// All drained, valves at rest; what the lever and the inputs alone move stands where they put it.
    Cold,
    /// As another state left it.
    From(&'p Point),
    /// At these pressures.
    Given(&'p Pressures),
}

/// Which place an undecided mover is taken to go to.
pub(super) type Choices = BTreeMap<usize, u32>;

/// Which movers go, in their order, and where to.
type Moves = Vec<(usize, u32)>;

/// Where everything goes from one point.
struct Decided {
    moves: Moves,
    wants: Rc<Wants>,
}

impl Decided {
    fn boosted(&self) -> &[bool] {
        &self.wants.boosted
    }

    fn movers(&self) -> Vec<usize> {
        self.moves.iter().map(|(mover, _)| *mover).collect()
    }
}

/// A mover whose place has to be chosen.
pub(super) struct Undecided {
    pub mover: usize,
    pub places: Vec<u32>,
}

/// A mover, by number, that went somewhere.
pub(super) struct Moved {
    pub round: usize,
    pub mover: usize,
    pub from: Option<u32>,
    pub to: u32,
}

/// One walk to its end or ends.
pub(super) struct Run {
    pub ends: Vec<Point>,
    pub course: Course,
    pub rounds: usize,
    pub moves: Vec<Moved>,
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
        let cold = match start {
            Start::From(from) => {
                let before = self.solver.number((*from).clone());
                let held = stage.fix(from.held.clone());
                let stand = self.solver.stand(&held);
                return Ok(self.solver.solve(stand, before));
            }
            Start::Cold => Pressures::cold(stage),
            Start::Given(pressures) => (*pressures).clone(),
        };
        let held = at_rest(stage);
        // Without a resting place, or at given pressures, it stands where its rule puts it.
        let given = matches!(start, Start::Given(_));
        let before = self.solver.number(Point {
            held: held.clone(),
            pressures: cold,
        });
        let mut moves = self.decided(before)?.moves;
        let goes = |mover: usize| {
            held.valves
                .get(mover)
                .is_some_and(|at| given || at.is_none())
        };
        moves.retain(|(mover, _)| goes(*mover));
        Ok(self.after(before, &moves, &held.boosted))
    }

    /// Where each mover would go, undecided ones as chosen. And which regulators are boosted.
    fn decided(&self, at: At) -> Result<Decided, Undecided> {
        let wants = self.solver.wants(at);
        let mut moves = Moves::new();
        for (mover, want) in wants.movers.iter().enumerate() {
            let place = match want {
                Want::Stay => continue,
                Want::Go(place) => *place,
                Want::Any(places) => match self.choices.get(&mover) {
                    Some(chosen) if places.contains(chosen) => *chosen,
                    Some(_) => places[0],
                    None => {
                        let places = places.clone();
                        return Err(Undecided { mover, places });
                    }
                },
            };
            if self.solver.stands(at, mover) != Some(place) {
                moves.push((mover, place));
            }
        }
        Ok(Decided { moves, wants })
    }

    /// The point after some movers have gone to their places.
    fn after(&self, at: At, moves: &[(usize, u32)], boosted: &[bool]) -> At {
        let stand = self.solver.moved(at, moves, boosted);
        self.solver.solve(stand, at)
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
            moves.extend(go.moves.iter().map(|(mover, to)| Moved {
                round,
                mover: *mover,
                from: self.solver.stands(at, *mover),
                to: *to,
            }));
            if go.moves.len() > 1 && !in_question && (self.meet)(&go.movers()) {
                in_question = !self.independent(at, &go)?;
            }
            let next = self.after(at, &go.moves, go.boosted());
            if next == at {
                if in_question {
                    return self.every_order(start, round, moves, None);
                }
                return Ok(Run {
                    ends: vec![self.solver.point(at)],
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
        let together = self.after(at, &go.moves, go.boosted());
        // Of three or more, two before the third may do what neither does alone.
        let orders = match go.moves.len() {
            count @ 2..=FEW => {
                let all = (1 << count) - 1;
                let mut seen = FxHashSet::default();
                return self.in_every_order(at, (together, go), all, &mut seen);
            }
            MORE..=ALONE => shuffled(go.movers()),
            _ => firsts(go.movers()),
        };
        for order in orders {
            let mut now = at;
            let mut left = go.moves.clone();
            for step in order {
                let first = |(mover, _): &(usize, u32)| step.contains(mover);
                let (first, rest): (Moves, Moves) = left.into_iter().partition(first);
                now = self.after(now, &first, go.boosted());
                left = rest;
                if left.is_empty() {
                    break;
                }
                // What is left would still move, and nothing else would before it has.
                if left != self.decided(now)?.moves {
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

    /// The same for few moves, in every order: of those `left`, a bit each. What is left of them at a
    /// point come to before has been tried there.
    fn in_every_order(
        &self,
        now: At,
        (together, go): (At, &Decided),
        left: u32,
        seen: &mut FxHashSet<(At, u32)>,
    ) -> Result<bool, Undecided> {
        for i in (0..go.moves.len()).filter(|i| left >> i & 1 == 1) {
            let now = self.after(now, &go.moves[i..=i], go.boosted());
            let left = left & !(1 << i);
            if left == 0 {
                // What is trapped on the way may differ even where the moves do not.
                if now != together {
                    return Ok(false);
                }
                continue;
            }
            if !seen.insert((now, left)) {
                continue;
            }
            // What is left would still move, and nothing else would before it has.
            let then = self.decided(now)?;
            let rest = go.moves.iter().enumerate();
            let rest = rest.filter(|(i, _)| left >> i & 1 == 1).map(|(_, m)| m);
            if !then.moves.iter().eq(rest)
                || !self.in_every_order(now, (together, go), left, seen)?
            {
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
        moves: Vec<Moved>,
        lap: Option<Vec<At>>,
    ) -> Result<Run, Undecided> {
        let mut seen: FxHashSet<At> = FxHashSet::from_iter([start]);
        let mut open = vec![start];
        let mut ends: Vec<Point> = Vec::new();
        let most = most_points(self.solver.stage().net().cavity_count());
        while let Some(at) = open.pop() {
            let go = self.decided(at)?;
            let mut add = |next: At| {
                if seen.len() < most && seen.insert(next) {
                    open.push(next);
                }
            };
            for alone in go.moves.chunks(1) {
                add(self.after(at, alone, go.boosted()));
            }
            if go.moves.is_empty() {
                let next = self.after(at, &[], go.boosted());
                match next == at {
                    true => ends.push(self.solver.point(at)),
                    false => add(next),
                }
            }
        }
        let differing = |points: &[Point]| differing(self.solver.stage(), points);
        merge_alike(&mut ends);
        let lap = lap.map(|lap| {
            let points = lap.iter().map(|at| self.solver.point(*at));
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
            ends = lap.unwrap_or_else(|| vec![self.solver.point(start)]);
        }
        Ok(Run {
            ends,
            course,
            rounds,
            moves,
        })
    }
}

/// Where everything stands before anything is known of pressures: valves at rest, those without a
/// resting place nowhere yet.
pub(super) fn at_rest(stage: &Stage<'_>) -> Held {
    let mut held = Held::unknown(stage.net());
    held.valves = stage.net().valves().iter().map(|v| v.rest).collect();
    held.shuttles.fill(Some(0));
    held.boosted.fill(false);
    stage.fix(held)
}

/// How many points orders of movement are followed through: fewer where each costs more.
pub(super) fn most_points(cavities: usize) -> usize {
    (POINTS * 1000 / cavities.max(1)).clamp(FEWEST, POINTS)
}
