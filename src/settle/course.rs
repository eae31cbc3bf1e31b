//! Settling: pressures move valves, valves change pressures, until nothing moves.

use std::collections::HashSet;

use super::point::{Course, Move, Point, merge_alike, name, names};
use super::solver::Solver;
use super::walk::{Choices, Meet, Run, Start, Undecided, Walk};
use super::wants::{Want, wants_at};
use super::{Pressures, Value};
use crate::circuit::Level;
use crate::net::{Cavity, Held, Stage};

/// Combinations of undecided positions that are settled one by one.
const COMBINATIONS: usize = 64;

/// The end of settling, or all its possible ends.
#[derive(Clone, Debug)]
pub struct Settled {
    /// Each possible end; one where the course is steady.
    pub ends: Vec<Point>,
    /// How it went.
    pub course: Course,
    /// Rounds of the longest way to an end.
    pub rounds: usize,
    /// What moved on the way to the first end, in order.
    pub moves: Vec<Move>,
}

impl Settled {
    /// Whether a cavity has at least a level: where the ends differ, undecided.
    #[must_use]
    pub fn at_least(&self, level: Level, cavity: Cavity) -> Value {
        let mut values = self
            .ends
            .iter()
            .map(|e| e.pressures.at_least(level, cavity));
        let first = values.next().unwrap_or_default();
        if values.all(|v| v == first) {
            first
        } else {
            Value::Undecided
        }
    }

    /// Where everything stands at the first end.
    #[must_use]
    pub fn held(&self) -> &Held {
        &self.ends[0].held
    }

    /// Where a valve can stand at the ends; none stands for an unknown position.
    #[must_use]
    pub fn positions(&self, valve: usize) -> Vec<Option<u32>> {
        let mut positions: Vec<_> = self.ends.iter().map(|e| e.held.valves[valve]).collect();
        positions.sort_unstable();
        positions.dedup();
        positions
    }
}

/// Settles a stage from cold: all cavities drained, valves at rest or, where nothing but the lever and
/// the inputs moves them, where those put them; then all that want to move do so at once, round by
/// round, until nothing changes.
///
/// A valve whose rule cannot be decided is a set of possible positions, never two at once: each
/// combination is settled by itself (up to 64). Where two parts move in one round and one would
/// not once the other has, every order of single moves is followed: ends that differ are a race.
#[must_use]
pub fn settle(stage: &Stage<'_>) -> Settled {
    settle_start(&Solver::new(stage), &Start::Cold, &|_| true)
}

/// The same with what a solver knows already, and where it is known of movers whether any two of them
/// may have to do with each other: those whose moves never meet may be made in any order.
pub(super) fn settle_knowing(known: &Solver<'_>, meet: Meet<'_>) -> Settled {
    settle_start(known, &Start::Cold, meet)
}

/// Settles a stage from where another state left things, as the lever walks: valves start where
/// they stood, sealed cavities keep what they held.
#[must_use]
pub fn settle_from(stage: &Stage<'_>, from: &Point) -> Settled {
    settle_start(&Solver::new(stage), &Start::From(from), &|_| true)
}

/// Settles a stage from given pressures, every valve first where those put it.
#[must_use]
pub fn settle_given(stage: &Stage<'_>, pressures: &Pressures) -> Settled {
    settle_start(&Solver::new(stage), &Start::Given(pressures), &|_| true)
}

/// What holds wherever everything started and whatever moves first: settling from nothing known,
/// a valve that may stand in several places open and shut at once. Too vague for an answer; what
/// it decides must cover every end.
#[must_use]
pub fn surely(stage: &Stage<'_>) -> Pressures {
    let net = stage.net();
    let nothing = vec![Value::Undecided; net.cavity_count()];
    let nothing = Pressures::given(stage, &nothing);
    let mut held = stage.fix(Held::unknown(net));
    held.boosted.fill(false);
    let mut pressures = Pressures::solve(stage, &held, &nothing);
    // Every round only adds to what is known, and there are so many things to know.
    for _ in 0..=net.valves().len() {
        for (valve, want) in wants_at(stage, &held, &pressures)
            .movers
            .into_iter()
            .enumerate()
        {
            if let (Want::Go(to), Some(stands)) = (want, held.valves.get_mut(valve)) {
                *stands = Some(to);
            }
        }
        pressures = Pressures::solve(stage, &held, &nothing);
    }
    pressures
}

fn settle_start(solver: &Solver<'_>, start: &Start<'_>, meet: Meet<'_>) -> Settled {
    let stage = solver.stage();
    let mut open: Vec<Choices> = vec![Choices::new()];
    let mut runs: Vec<Run> = Vec::new();
    let mut undecided: Vec<usize> = Vec::new();
    while let Some(choices) = open.pop() {
        let mover = match Walk::new(solver, &choices, meet).run(start) {
            Ok(run) => {
                runs.push(run);
                continue;
            }
            Err(Undecided { mover, places }) => {
                for place in places.iter().rev() {
                    let mut choices = choices.clone();
                    choices.insert(mover, *place);
                    open.push(choices);
                }
                mover
            }
        };
        undecided.push(mover);
        if open.len() + runs.len() > COMBINATIONS {
            return unknown(stage, undecided);
        }
    }
    join(stage, runs, undecided)
}

fn join(stage: &Stage<'_>, runs: Vec<Run>, undecided: Vec<usize>) -> Settled {
    let mut settled = Settled {
        ends: Vec::new(),
        course: Course::Steady,
        rounds: 0,
        moves: Vec::new(),
    };
    let mut seen = HashSet::new();
    let several = runs.len() > 1;
    for run in runs {
        if settled.ends.is_empty() {
            let named = run.moves.into_iter().map(|moved| Move {
                round: moved.round,
                part: name(stage, moved.mover).clone(),
                from: moved.from,
                to: moved.to,
            });
            settled.moves = named.collect();
        }
        settled.rounds = settled.rounds.max(run.rounds);
        if settled.course == Course::Steady {
            settled.course = run.course;
        }
        settled
            .ends
            .extend(run.ends.into_iter().filter(|end| seen.insert(end.clone())));
    }
    // Which undecided mover is met first, and so the order of the later runs, hangs on which orders are
    // spared. The first run takes the first place of each.
    if let (true, [_, others @ ..]) = (several, &mut settled.ends[..]) {
        others.sort_unstable_by(|a, b| a.order().cmp(&b.order()));
    }
    if settled.ends.len() > 1 && settled.course == Course::Steady {
        merge_alike(&mut settled.ends);
    }
    let stand = |end: &Point| (end.held.valves.clone(), end.held.shuttles.clone());
    let places: HashSet<_> = settled.ends.iter().map(stand).collect();
    if settled.course == Course::Steady && places.len() > 1 {
        settled.course = Course::Undecided(names(stage, undecided));
    }
    settled
}

/// More combinations than can be tried: the undecided positions stay unknown.
fn unknown(stage: &Stage<'_>, undecided: Vec<usize>) -> Settled {
    let mut held = stage.fix(Held::unknown(stage.net()));
    let mut pressures = Pressures::solve(stage, &held, &Pressures::cold(stage));
    // Positions that hold whatever the unknown ones do can only become more.
    let rounds = stage.net().valves().len() + 1;
    for _ in 0..rounds {
        let wants = wants_at(stage, &held, &pressures);
        for (stands, want) in held.valves.iter_mut().zip(&wants.movers) {
            if let Want::Go(to) = want {
                *stands = Some(*to);
            }
        }
        pressures = Pressures::solve(stage, &held, &Pressures::cold(stage));
    }
    Settled {
        ends: vec![Point { held, pressures }],
        course: Course::TooMany(names(stage, undecided)),
        rounds,
        moves: Vec::new(),
    }
}
