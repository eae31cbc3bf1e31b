//! Points that settling alone will come to, worked out ahead and side by side: of each scene as many at
//! a time as there are lanes for.

use rustc_hash::{FxHashMap, FxHashSet};

use super::PackedSettle;
use super::apart::Apart;
use super::driven::PackedDriven;
use super::point::PackedPoint;
use crate::circuit::Fault;
use crate::net::{Held, LANES, Lanes, PackedFaults, PackedHeld, PackedStage, Stage};
use crate::settle::course::settle_knowing;
use crate::settle::point::stands;
use crate::settle::solver::{At, Solver, Stand};
use crate::settle::walk::at_rest;
use crate::settle::wants::{Want, Wants};
use crate::settle::{Course, Point, Pressures, Settled};

/// So few points are worked out faster alone.
const FEWEST: usize = 24;

/// More points than this of one scene are not worked out ahead.
const MOST: usize = 600;

/// Combinations of places of undecided movers that are looked at from one point.
const COMBINATIONS: usize = 16;

impl<'p> PackedSettle<'p> {
    /// Settles the scenes that could not be decided in one pass, of which the sets of faults are given
    /// by number: the same ends as [`settle`](crate::settle::settle) finds, orders of movement followed
    /// only for movers that ever meet. Those with one end stand there with the others from then on.
    pub fn settle_left(&mut self, sets: &[Vec<Fault>]) {
        let sound = self.stage.sound();
        let left = self.alone.iter().filter(|lane| *lane < sets.len());
        let left: Vec<usize> = left.filter(|lane| self.lone(*lane).is_none()).collect();
        let stages: Vec<Stage<'_>> = left.iter().map(|lane| sound.with(&sets[*lane])).collect();
        let ahead = stages.iter().zip(&left);
        let ahead = ahead.map(|(stage, lane)| Ahead::of(stage, &sets[*lane]));
        let mut ahead: Vec<Ahead<'_>> = ahead.collect();
        look_ahead(sound, &mut ahead);
        let apart = || self.apart.get_or_init(|| Apart::of(self.stage));
        let settled = left.iter().zip(&ahead).map(|(lane, ahead)| {
            let meet = |movers: &[usize]| apart().meet(*lane, movers);
            (*lane, settle_knowing(&ahead.solver, &meet))
        });
        let settled: Vec<(usize, Settled)> = settled.collect();
        self.lone.extend(settled);
        self.lone.sort_by_key(|(lane, _)| *lane);
        self.stand_at_ends();
    }

    /// Has scenes that settled alone and have one end stand there.
    fn stand_at_ends(&mut self) {
        let lone = self.lone.iter();
        let steady = lone.filter_map(|(lane, settled)| match &settled.ends[..] {
            [end] if settled.course == Course::Steady => Some((*lane, end)),
            _ => None,
        });
        let lanes = steady.clone().map(|(lane, _)| Lanes::one(lane));
        let lanes = lanes.fold(Lanes::NONE, |lanes, lane| lanes | lane);
        let ends = steady.map(|(lane, end)| (lane, (&end.held, &end.pressures)));
        let ends = PackedPoint::at(self.stage.net(), ends);
        self.end.put(lanes, &ends);
        self.alone &= !lanes;
        self.oil = self.end.oil(self.stage, self.steady());
    }
}

/// What is looked at next of one scene, and what has been.
struct Ahead<'s> {
    faults: &'s [Fault],
    solver: Solver<'s>,
    /// Where everything stands to begin with.
    rest: At,
    /// Points come to, and those of them that are still to be gone on from.
    seen: FxHashSet<At>,
    open: Vec<At>,
    /// Of what is still to be worked out, and the points that wait for it.
    wanted: Vec<Stand>,
    waiting: FxHashMap<Stand, Vec<At>>,
}

impl<'s> Ahead<'s> {
    /// With where everything stands before the first round.
    fn of(stage: &'s Stage<'s>, faults: &'s [Fault]) -> Self {
        let solver = Solver::new(stage);
        let held = at_rest(stage);
        let rest = solver.number(Point {
            held: held.clone(),
            pressures: Pressures::cold(stage),
        });
        let mut ahead = Ahead {
            faults,
            rest,
            open: Vec::new(),
            seen: FxHashSet::default(),
            wanted: Vec::new(),
            waiting: FxHashMap::default(),
            solver,
        };
        let wants = ahead.solver.wants(rest);
        let nowhere = |mover: usize| stands(&held, mover).is_none();
        ahead.ask(rest, &wants, &held.boosted, nowhere);
        ahead.go_on();
        ahead
    }

    /// Asks where some movers lead to from a point at once, wherever those go of which that cannot be
    /// said.
    fn ask(&mut self, at: At, wants: &Wants, boosted: &[bool], moves: impl Fn(usize) -> bool) {
        let mut all: Vec<Vec<(usize, u32)>> = vec![Vec::new()];
        for (mover, want) in wants.movers.iter().enumerate().filter(|(m, _)| moves(*m)) {
            match self.places(at, mover, want) {
                [] => {}
                [only] => all.iter_mut().for_each(|moves| moves.push((mover, *only))),
                places => {
                    let further = all.iter().flat_map(|moves| {
                        let to = places.iter().map(|place| (mover, *place));
                        to.map(|to| [&moves[..], &[to]].concat())
                    });
                    all = further.take(COMBINATIONS).collect();
                }
            }
        }
        for moves in all {
            self.lead(self.solver.moved(at, &moves, boosted), at);
        }
    }

    /// The places to which a mover may go from a point.
    fn places<'w>(&self, at: At, mover: usize, want: &'w Want) -> &'w [u32] {
        let stands = |at| self.solver.stands(at, mover);
        match want {
            Want::Stay => &[],
            Want::Go(place) => std::slice::from_ref(place),
            // Whichever place is chosen, it mostly goes there once and stays.
            Want::Any(_) if stands(at) != stands(self.rest) => &[],
            Want::Any(places) => places,
        }
    }

    /// Asks what may be asked next from a point just come to: all moving at once, and each alone.
    fn ask_from(&mut self, at: At) {
        let wants = self.solver.wants(at);
        self.ask(at, &wants, &wants.boosted, |_| true);
        let moving = || {
            wants
                .movers
                .iter()
                .enumerate()
                .filter(|(_, w)| **w != Want::Stay)
        };
        for (mover, want) in moving().filter(|_| moving().nth(1).is_some()) {
            for place in self.places(at, mover, want) {
                let stand = self.solver.moved(at, &[(mover, *place)], &wants.boosted);
                self.lead(stand, at);
            }
        }
    }

    /// Comes to where a stand leads from a point, or waits for it.
    fn lead(&mut self, stand: Stand, before: At) {
        if let Some(at) = self.solver.leads(stand, before) {
            if self.seen.insert(at) && self.seen.len() < MOST {
                self.open.push(at);
            }
            return;
        }
        let waiting = self.waiting.entry(stand).or_insert_with(|| {
            self.wanted.push(stand);
            Vec::new()
        });
        waiting.push(before);
    }

    /// Goes on as far as that leads without anything being worked out.
    fn go_on(&mut self) {
        while let Some(at) = self.open.pop() {
            self.ask_from(at);
        }
    }

    /// Goes on from where it waited for what has been worked out since.
    fn learnt(&mut self, stand: Stand) {
        for before in self.waiting.remove(&stand).unwrap_or_default() {
            self.lead(stand, before);
        }
        self.go_on();
    }
}

/// Works out what scenes will come to, a generation of points after the other.
fn look_ahead(sound: &Stage<'_>, ahead: &mut [Ahead<'_>]) {
    let mut open: Vec<&mut Ahead<'_>> = ahead.iter_mut().collect();
    loop {
        open.retain(|ahead| !ahead.wanted.is_empty());
        let wanted: usize = open.iter().map(|ahead| ahead.wanted.len()).sum();
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
    let nowhere = PackedHeld::all(sound.net(), &Held::unknown(sound.net()), Lanes::NONE);
    loop {
        let mut wanted: Vec<(usize, Stand)> = Vec::new();
        let mut lanes = Lanes::NONE;
        let mut held = nowhere.clone();
        for (scene, ahead) in scenes.iter_mut().enumerate() {
            for lane in scene * each..(scene + 1) * each {
                if let Some(stand) = ahead.wanted.pop() {
                    held.stand(lane, &ahead.solver.held(stand));
                    wanted.push((lane, stand));
                    lanes.insert(lane);
                }
            }
        }
        if wanted.len() < FEWEST {
            for (lane, stand) in wanted {
                scenes[lane / each].wanted.push(stand);
            }
            return;
        }
        let driven = PackedDriven::of(&stage, &held, lanes);
        for (lane, stand) in wanted {
            let ahead = &mut scenes[lane / each];
            let (driven, strokes) = driven.lane(lane);
            ahead.solver.learn(stand, driven, strokes);
            ahead.learnt(stand);
        }
        let open = scenes.iter().filter(|ahead| !ahead.wanted.is_empty());
        if open.count() * 2 <= scenes.len() {
            return;
        }
    }
}
