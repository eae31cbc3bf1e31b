//! Points that settling alone will come to, worked out ahead and side by side: of each scene as many at
//! a time as there are lanes for.

use std::rc::Rc;

use rustc_hash::FxHashSet;

use super::PackedSettle;
use super::apart::Apart;
use super::moving::Walk;
use super::point::PackedPoint;
use super::wants::wants;
use crate::circuit::Fault;
use crate::net::{Held, LANES, Lanes, PackedFaults, PackedStage, Stage};
use crate::settle::course::settle_knowing;
use crate::settle::point::{put, stands};
use crate::settle::solver::{At, Solver};
use crate::settle::wants::{Want, Wants};
use crate::settle::{Point, Pressures, Settled};

/// So few points are worked out faster alone.
const FEWEST: usize = 24;

/// More points than this of one scene are not worked out ahead.
const MOST: usize = 600;

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
        let ahead = stages.iter().zip(faults);
        let mut ahead: Vec<Ahead<'_>> = ahead.map(|(s, faults)| Ahead::of(s, faults)).collect();
        look_ahead(sound, &mut ahead);
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
    faults: &'s [Fault],
    solver: Solver<'s>,
    /// Where everything stands to begin with.
    rest: Held,
    /// Where everything is to stand next, and from which point on.
    open: Vec<(Held, At)>,
    asked: FxHashSet<(Held, At)>,
}

impl<'s> Ahead<'s> {
    /// With where everything stands before the first round.
    fn of(stage: &'s Stage<'s>, faults: &'s [Fault]) -> Self {
        let net = stage.net();
        let mut held = Held::unknown(net);
        held.valves = net.valves().iter().map(|v| v.rest).collect();
        held.shuttles.fill(Some(0));
        held.boosted.fill(false);
        let rest = stage.fix(held);
        let solver = Solver::new(stage);
        let at = solver.number(Point {
            held: rest.clone(),
            pressures: Pressures::cold(stage),
        });
        let mut ahead = Ahead {
            faults,
            solver,
            rest,
            open: Vec::new(),
            asked: FxHashSet::default(),
        };
        let wants = ahead.solver.wants(at);
        let rest = ahead.rest.clone();
        ahead.ask(at, &wants, rest.clone(), |mover| {
            stands(&rest, mover).is_none()
        });
        ahead
    }

    /// Asks where some movers lead to from a point at once, wherever those go of which that cannot be
    /// said. `held` is where everything stands.
    fn ask(&mut self, at: At, wants: &Wants, held: Held, moves: impl Fn(usize) -> bool) {
        let mut all = vec![held];
        for (mover, want) in wants.movers.iter().enumerate().filter(|(m, _)| moves(*m)) {
            let places = match want {
                Want::Stay => continue,
                Want::Go(place) => std::slice::from_ref(place),
                // Whichever place is chosen, it mostly goes there once and stays.
                Want::Any(_) if stands(&all[0], mover) != stands(&self.rest, mover) => continue,
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
            if !self.solver.knows(&held) && self.asked.insert((held.clone(), at)) {
                self.open.push((held, at));
            }
        }
    }

    /// Asks what may be asked next from a point just come to: all moving at once, and each alone.
    fn ask_from(&mut self, at: At) {
        let wants = self.solver.wants(at);
        let mut held = self.solver.point(at).held.clone();
        held.boosted.clone_from(&wants.boosted);
        let moving = wants.movers.iter().enumerate();
        let moving: Vec<usize> = moving
            .filter(|(_, want)| **want != Want::Stay)
            .map(|(mover, _)| mover)
            .collect();
        self.ask(at, &wants, held.clone(), |_| true);
        for mover in moving.iter().filter(|_| moving.len() > 1) {
            self.ask(at, &wants, held.clone(), |other| other == *mover);
        }
    }

    /// What is to be worked out next.
    fn next(&mut self) -> Option<(Held, At)> {
        while let Some((held, before)) = self.open.pop() {
            if !self.solver.knows(&held) {
                return Some((held, before));
            }
        }
        None
    }

    fn learn(&mut self, before: At, point: Point, wants: Wants) {
        let at = self.solver.learn(before, point, wants);
        if self.asked.len() < MOST {
            self.ask_from(at);
        }
    }
}

/// Works out what scenes will come to, a generation of points after the other.
fn look_ahead(sound: &Stage<'_>, ahead: &mut [Ahead<'_>]) {
    let mut open: Vec<&mut Ahead<'_>> = ahead.iter_mut().collect();
    loop {
        open.retain(|ahead| !ahead.open.is_empty());
        let wanted: usize = open.iter().map(|ahead| ahead.open.len()).sum();
        if wanted < FEWEST {
            return;
        }
        for some in open.chunks_mut(LANES) {
            generations(sound, some);
        }
    }
}

/// The same for scenes that go into one pass together, until half of them are through.
fn generations(sound: &Stage<'_>, scenes: &mut [&mut Ahead<'_>]) {
    let each = LANES / scenes.len();
    let sets = scenes.iter().map(|ahead| ahead.faults.to_vec());
    let sets = sets.flat_map(|set| std::iter::repeat_n(set, each));
    let laid = PackedFaults::new(sound.net(), &sets.collect::<Vec<_>>());
    let stage = PackedStage::new(sound, &laid);
    loop {
        let mut asked: Vec<(usize, Held, At)> = Vec::new();
        let mut lanes = Lanes::NONE;
        for (scene, ahead) in scenes.iter_mut().enumerate() {
            for lane in scene * each..(scene + 1) * each {
                if let Some((held, before)) = ahead.next() {
                    asked.push((lane, held, before));
                    lanes.insert(lane);
                }
            }
        }
        if asked.len() < FEWEST {
            return;
        }
        let before = asked.iter().map(|(lane, _, before)| {
            let ahead = &scenes[lane / each];
            ahead.solver.point(*before)
        });
        let before: Vec<Rc<Point>> = before.collect();
        let points = asked.iter().zip(&before);
        let points = points.map(|((lane, held, _), before)| (*lane, (held, &before.pressures)));
        let PackedPoint { held, pressures } = PackedPoint::at(sound.net(), points);
        let mut walk = Walk::of(&stage);
        let step = walk.solve(held, &pressures, lanes);
        let wants = wants(&stage, &step.pack, &step.point);
        for (lane, _, before) in asked {
            // What bores decide is left to be worked out alone, and what comes of it.
            if !walk.alone.contains(lane) {
                let (point, wants) = (step.point.lane(lane), wants.lane(lane));
                scenes[lane / each].learn(before, point, wants);
            }
        }
        let open = scenes.iter().filter(|ahead| !ahead.open.is_empty());
        if open.count() * 2 <= scenes.len() {
            return;
        }
    }
}
