//! Points that settling alone will come to, worked out ahead and side by side: of each scene as many at
//! a time as there are lanes for.

use rustc_hash::FxHashSet;

use super::PackedSettle;
use super::apart::Apart;
use super::moving::Walk;
use super::point::PackedPoint;
use crate::circuit::Fault;
use crate::net::{Held, LANES, Lanes, PackedFaults, PackedStage, Stage};
use crate::settle::course::settle_knowing;
use crate::settle::point::{put, stands};
use crate::settle::solver::{At, Solver};
use crate::settle::wants::Want;
use crate::settle::{Point, Pressures, Settled};

/// So few points are worked out faster alone.
const FEWEST: usize = 24;

/// More points than this of one scene are not worked out ahead.
const MOST: usize = 200;

/// Combinations of places of undecided movers that are looked at from one point.
const COMBINATIONS: usize = 16;

impl<'p> PackedSettle<'p> {
    /// How some scenes settle, each given with its faults, those included that could not be decided in
    /// one pass: the same ends as [`settle`](crate::settle::settle) finds, orders of movement followed
    /// only for movers that ever meet.
    pub(crate) fn settle_all(&self, scenes: &[(usize, &[Fault])]) -> Vec<Settled> {
        let sound = self.stage.sound();
        let left = scenes.iter().filter(|(lane, _)| !self.decides(*lane));
        let faults: Vec<&[Fault]> = left.map(|(_, faults)| *faults).collect();
        let stages: Vec<Stage<'_>> = faults.iter().map(|faults| sound.with(faults)).collect();
        let mut ahead: Vec<Ahead<'_>> = stages.iter().map(Ahead::of).collect();
        look_ahead(sound, &faults, &mut ahead);
        let apart = || self.apart.get_or_init(|| Apart::of(self.stage));
        let mut ahead = ahead.into_iter();
        let settled = scenes.iter().filter_map(|(lane, _)| {
            let meet = |movers: &[usize]| apart().meet(*lane, movers);
            let alone = || Some(settle_knowing(&ahead.next()?.solver, &meet));
            self.settled(*lane).or_else(alone)
        });
        settled.collect()
    }
}

/// What is looked at next of one scene, and what has been.
struct Ahead<'s> {
    solver: Solver<'s>,
    open: Vec<(Held, At)>,
    asked: FxHashSet<(Held, At)>,
}

impl<'s> Ahead<'s> {
    /// With where everything stands before the first round.
    fn of(stage: &'s Stage<'s>) -> Self {
        let net = stage.net();
        let mut held = Held::unknown(net);
        held.valves = net.valves().iter().map(|v| v.rest).collect();
        held.shuttles.fill(Some(0));
        held.boosted.fill(false);
        let point = Point {
            held: stage.fix(held),
            pressures: Pressures::cold(stage),
        };
        let solver = Solver::new(stage);
        let at = solver.number(point);
        let mut ahead = Ahead {
            solver,
            open: Vec::new(),
            asked: FxHashSet::default(),
        };
        ahead.ask(at, |held, mover| stands(held, mover).is_none(), false);
        ahead
    }

    /// Asks where all of some movers lead to from a point at once, wherever those go of which that
    /// cannot be said.
    fn ask(&mut self, at: At, moves: impl Fn(&Held, usize) -> bool, boosts: bool) {
        let point = self.solver.point(at);
        let wants = self.solver.wants(at);
        let mut held = point.held.clone();
        if boosts {
            held.boosted.clone_from(&wants.boosted);
        }
        let mut all = vec![held];
        for (mover, want) in wants.movers.iter().enumerate() {
            if !moves(&point.held, mover) {
                continue;
            }
            let places = match want {
                Want::Stay => continue,
                Want::Go(place) => std::slice::from_ref(place),
                Want::Any(places) => &places[..],
            };
            let further = all.iter().flat_map(|held| {
                places.iter().map(|place| {
                    let mut held = held.clone();
                    put(&mut held, mover, *place);
                    held
                })
            });
            all = further.take(COMBINATIONS).collect();
        }
        for held in all {
            let asked = (held, at);
            if !self.solver.knows(&asked.0, at) && self.asked.insert(asked.clone()) {
                self.open.push(asked);
            }
        }
    }

    /// Asks what may be asked next from a point just come to: all moving at once, and each alone.
    fn ask_from(&mut self, at: At) {
        self.ask(at, |_, _| true, true);
        let movers = self.solver.wants(at).movers.len();
        for mover in 0..movers {
            if self.solver.wants(at).movers[mover] != Want::Stay {
                self.ask(at, |_, other| other == mover, true);
            }
        }
    }
}

/// Works out what scenes will come to, a generation of points after the other.
fn look_ahead(sound: &Stage<'_>, faults: &[&[Fault]], ahead: &mut [Ahead<'_>]) {
    for (faults, ahead) in faults.chunks(LANES).zip(ahead.chunks_mut(LANES)) {
        let each = LANES / faults.len();
        let sets = faults
            .iter()
            .flat_map(|f| std::iter::repeat_n(f.to_vec(), each));
        let laid = PackedFaults::new(sound.net(), &sets.collect::<Vec<_>>());
        let stage = PackedStage::new(sound, &laid);
        loop {
            let mut here: Vec<(usize, usize, Held, At)> = Vec::new();
            for (scene, ahead) in ahead.iter_mut().enumerate() {
                for lane in scene * each..(scene + 1) * each {
                    while let Some((held, before)) = ahead.open.pop() {
                        if !ahead.solver.knows(&held, before) {
                            here.push((lane, scene, held, before));
                            break;
                        }
                    }
                }
            }
            if here.len() < FEWEST {
                break;
            }
            let before: Vec<_> = here
                .iter()
                .map(|(_, scene, _, before)| ahead[*scene].solver.point(*before))
                .collect();
            let points = here.iter().zip(&before);
            let points = points.map(|((lane, _, held, _), p)| (*lane, (held, &p.pressures)));
            let PackedPoint { held, pressures } = PackedPoint::at(sound.net(), points);
            let lanes = here.iter().map(|(lane, ..)| Lanes::one(*lane));
            let lanes = lanes.fold(Lanes::NONE, |all, lane| all | lane);
            let mut walk = Walk::of(&stage);
            let step = walk.solve(held, &pressures, lanes);
            let wants = super::wants::wants(&stage, &step.pack, &step.point);
            for (lane, scene, _, before) in here {
                if walk.alone.contains(lane) {
                    continue;
                }
                let ahead = &mut ahead[scene];
                let (point, wants) = (step.point.lane(lane), wants.lane(lane));
                let at = ahead.solver.learn(before, point, wants);
                if ahead.asked.len() < MOST {
                    ahead.ask_from(at);
                }
            }
        }
    }
}
