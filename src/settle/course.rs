//! Settling: pressures move valves, valves change pressures, until nothing moves.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::wants::{Want, wants};
use super::{Pressures, Value};
use crate::circuit::{Level, PartName};
use crate::net::{Cavity, Held, Stage};

/// Combinations of undecided positions that are settled one by one.
const COMBINATIONS: usize = 64;
/// Points that orders of movement are followed through.
const POINTS: usize = 600;

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
    /// To one end.
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

/// Settles a stage from cold: all cavities drained, valves at rest, then all that want to move do
/// so at once, round by round, until nothing changes.
///
/// A valve whose rule cannot be decided is a set of possible positions, never two at once: each
/// combination is settled by itself (up to 64). Where two parts move in one round and one would
/// not once the other has, every order of single moves is followed: ends that differ are a race.
#[must_use]
pub fn settle(stage: &Stage<'_>) -> Settled {
    settle_start(stage, &Start::Cold)
}

/// Settles a stage from where another state left things, as the lever walks: valves start where
/// they stood, sealed cavities keep what they held.
#[must_use]
pub fn settle_from(stage: &Stage<'_>, from: &Point) -> Settled {
    settle_start(stage, &Start::From(from))
}

/// Settles a stage from given pressures, every valve first where those put it.
#[must_use]
pub fn settle_given(stage: &Stage<'_>, pressures: &Pressures) -> Settled {
    settle_start(stage, &Start::Given(pressures))
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
        for (valve, want) in wants(stage, &held, &pressures)
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

enum Start<'p> {
    /// All drained, valves at rest.
    Cold,
    /// As another state left it.
    From(&'p Point),
    /// At these pressures.
    Given(&'p Pressures),
}

fn settle_start(stage: &Stage<'_>, start: &Start<'_>) -> Settled {
    let mut open: Vec<Choices> = vec![Choices::new()];
    let mut runs: Vec<Run> = Vec::new();
    let mut undecided: Vec<usize> = Vec::new();
    while let Some(choices) = open.pop() {
        let mover = match Walk::new(stage, &choices).run(start) {
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

/// Which place an undecided mover is taken to go to.
type Choices = BTreeMap<usize, u32>;

/// A mover whose place has to be chosen.
struct Undecided {
    mover: usize,
    places: Vec<u32>,
}

/// One walk to its end or ends.
struct Run {
    ends: Vec<Point>,
    course: Course,
    rounds: usize,
    moves: Vec<Move>,
}

fn names(stage: &Stage<'_>, mut movers: Vec<usize>) -> Vec<PartName> {
    movers.sort_unstable();
    movers.dedup();
    let net = stage.net();
    let valves = net.valves().iter().map(|v| &v.name);
    let all: Vec<&PartName> = valves
        .chain(net.shuttles().iter().map(|s| &s.name))
        .collect();
    movers.into_iter().map(|m| all[m].clone()).collect()
}

fn join(stage: &Stage<'_>, runs: Vec<Run>, undecided: Vec<usize>) -> Settled {
    let mut settled = Settled {
        ends: Vec::new(),
        course: Course::Steady,
        rounds: 0,
        moves: Vec::new(),
    };
    let mut seen = HashSet::new();
    for run in runs {
        if settled.ends.is_empty() {
            settled.moves = run.moves;
        }
        settled.rounds = settled.rounds.max(run.rounds);
        if settled.course == Course::Steady {
            settled.course = run.course;
        }
        settled
            .ends
            .extend(run.ends.into_iter().filter(|end| seen.insert(end.clone())));
    }
    if settled.course == Course::Steady && settled.ends.len() > 1 {
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
        let wants = wants(stage, &held, &pressures);
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

/// One way of settling, with a place chosen for every undecided mover.
struct Walk<'w> {
    stage: &'w Stage<'w>,
    choices: &'w Choices,
}

impl<'w> Walk<'w> {
    fn new(stage: &'w Stage<'w>, choices: &'w Choices) -> Self {
        Walk { stage, choices }
    }

    /// Where everything stands before the first round.
    fn start(&self, start: &Start<'_>) -> Result<Point, Undecided> {
        let net = self.stage.net();
        let cold = match start {
            Start::From(from) => {
                let held = self.stage.fix(from.held.clone());
                let pressures = Pressures::solve(self.stage, &held, &from.pressures);
                return Ok(Point { held, pressures });
            }
            Start::Cold => Pressures::cold(self.stage),
            Start::Given(pressures) => (*pressures).clone(),
        };
        let mut held = Held::unknown(net);
        held.valves = net.valves().iter().map(|v| v.rest).collect();
        held.shuttles.fill(Some(0));
        held.boosted.fill(false);
        let mut held = self.stage.fix(held);
        // Without a resting place, or at given pressures, it stands where its rule puts it.
        let given = matches!(start, Start::Given(_));
        let wants = self.decided(&held, &cold)?;
        for (stands, place) in held.valves.iter_mut().zip(&wants.0) {
            if given || stands.is_none() {
                *stands = place.or(*stands);
            }
        }
        let pressures = Pressures::solve(self.stage, &held, &cold);
        Ok(Point { held, pressures })
    }

    /// Where each mover would go, undecided ones as chosen; none for those that stay. And which
    /// regulators are boosted.
    fn decided(
        &self,
        held: &Held,
        pressures: &Pressures,
    ) -> Result<(Vec<Option<u32>>, Vec<bool>), Undecided> {
        let wants = wants(self.stage, held, pressures);
        let places = wants.movers.into_iter().enumerate().map(|(mover, want)| {
            let place = match want {
                Want::Stay => None,
                Want::Go(place) => Some(place),
                Want::Any(places) => match self.choices.get(&mover) {
                    Some(chosen) if places.contains(chosen) => Some(*chosen),
                    Some(_) => Some(places[0]),
                    None => return Err(Undecided { mover, places }),
                },
            };
            Ok(place.filter(|place| Some(*place) != stands(held, mover)))
        });
        Ok((places.collect::<Result<_, _>>()?, wants.boosted))
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
        let pressures = Pressures::solve(self.stage, &held, &point.pressures);
        Point { held, pressures }
    }

    fn run(&self, start: &Start<'_>) -> Result<Run, Undecided> {
        let start = self.start(start)?;
        let mut seen: HashMap<Point, usize> = HashMap::new();
        let mut track = vec![start.clone()];
        let mut moves = Vec::new();
        let mut in_question = false;
        loop {
            let round = track.len();
            let point = track[round - 1].clone();
            seen.insert(point.clone(), round);
            let (places, boosted) = self.decided(&point.held, &point.pressures)?;
            let moving: Vec<usize> = (0..places.len()).filter(|m| places[*m].is_some()).collect();
            for mover in &moving {
                moves.push(Move {
                    round,
                    part: names(self.stage, vec![*mover]).remove(0),
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

    /// Whether each of the moves would still be made after any one of the others.
    fn independent(
        &self,
        point: &Point,
        places: &[Option<u32>],
        boosted: &[bool],
    ) -> Result<bool, Undecided> {
        for mover in (0..places.len()).filter(|m| places[*m].is_some()) {
            let mut alone = vec![None; places.len()];
            alone[mover] = places[mover];
            let next = self.after(point, &alone, boosted);
            let (then, _) = self.decided(&next.held, &next.pressures)?;
            let persists = (0..places.len())
                .filter(|m| *m != mover && places[*m].is_some())
                .all(|m| then[m] == places[m]);
            if !persists {
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
        while let Some(point) = open.pop() {
            let (places, boosted) = self.decided(&point.held, &point.pressures)?;
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
                if seen.len() < POINTS && seen.insert(next.clone()) {
                    open.push(next);
                }
            }
        }
        let differing = |points: &[Point]| {
            let movers = 0..start.held.valves.len() + start.held.shuttles.len();
            let differ = movers.filter(|m| {
                points
                    .iter()
                    .any(|p| stands(&p.held, *m) != stands(&points[0].held, *m))
            });
            names(self.stage, differ.collect())
        };
        ends.sort_by_cached_key(|end| (end.held.valves.clone(), end.held.shuttles.clone()));
        let course = match (&ends[..], &lap) {
            ([_], _) => Course::Steady,
            ([_, ..], _) => Course::Race(differing(&ends)),
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
