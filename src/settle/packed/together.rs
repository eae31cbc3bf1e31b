//! Scenes that show the same at every stand looked at: they go together until one shows something
//! else, and settle once.

use indexmap::IndexMap;
use rustc_hash::{FxBuildHasher, FxHashMap, FxHashSet};

use super::column::Column;
use super::driven::PackedDriven;
use crate::net::Stage;
use crate::settle::point::stands;
use crate::settle::solver::{At, Solver, Stand};
use crate::settle::walk::at_rest;
use crate::settle::wants::{Want, Wants};
use crate::settle::{Course, Point, Pressures, Settled};

/// More points than this of one scene are not worked out ahead.
const MOST: usize = 600;

/// Combinations of places of undecided movers that are looked at from one point.
const COMBINATIONS: usize = 16;

/// What is looked at next of some scenes, and what has been, as long as they show the same.
#[derive(Clone)]
pub(super) struct Ahead<'s> {
    pub scenes: Vec<usize>,
    /// Of the first of them.
    pub solver: Solver<'s>,
    /// Where everything stands to begin with.
    rest: At,
    /// Points come to, and those of them that are still to be gone on from.
    seen: FxHashSet<At>,
    open: Vec<At>,
    /// Of what is still to be worked out, and the points that wait for it.
    pub wanted: Vec<Stand>,
    waiting: FxHashMap<Stand, Vec<At>>,
}

impl<'s> Ahead<'s> {
    /// One scene, with where everything stands before the first round.
    pub fn of(stage: &'s Stage<'s>, scene: usize) -> Self {
        let solver = Solver::new(stage);
        let held = at_rest(stage);
        let rest = solver.number(Point {
            held: held.clone(),
            pressures: Pressures::cold(stage),
        });
        let mut ahead = Ahead {
            scenes: vec![scene],
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

    /// Whether all begins as in another scene, and goes on so as long as both show the same.
    pub fn begins_as(&self, other: &Ahead<'_>) -> bool {
        self.solver.stage().moves_as(other.solver.stage())
            && self.solver.wants(self.rest) == other.solver.wants(other.rest)
    }

    /// Learns what has been worked out of some stands, each scene in as many lanes from its first on.
    /// Scenes that show something else than the first ones go their own way from here.
    pub fn learn(
        &mut self,
        stands: &[Stand],
        driven: &PackedDriven,
        (first, stages): (&[usize], &'s [Stage<'s>]),
    ) -> Vec<Ahead<'s>> {
        let mut parts: IndexMap<Vec<Column>, Vec<usize>, FxBuildHasher> = IndexMap::default();
        for scene in std::mem::take(&mut self.scenes) {
            let lanes = first[scene]..first[scene] + stands.len();
            let shown = lanes.map(|lane| driven.lane(lane)).collect();
            parts.entry(shown).or_default().push(scene);
        }
        let mut parts = parts.into_iter();
        let Some((shown, scenes)) = parts.next() else {
            return Vec::new();
        };
        let others = parts.map(|(shown, scenes)| {
            let mut own = self.clone();
            own.solver = own.solver.on(&stages[scenes[0]]);
            own.scenes = scenes;
            own.take_in(stands, driven, &shown);
            own
        });
        let others = others.collect();
        self.scenes = scenes;
        self.take_in(stands, driven, &shown);
        others
    }

    /// Goes on from where it waited for what is shown now.
    fn take_in(&mut self, stands: &[Stand], driven: &PackedDriven, shown: &[Column]) {
        for (stand, column) in stands.iter().zip(shown) {
            let (driven, strokes) = driven.told(column);
            self.solver.learn(*stand, driven, strokes);
            for before in self.waiting.remove(stand).unwrap_or_default() {
                self.lead(*stand, before);
            }
            self.go_on();
        }
    }

    /// How each of its scenes settles.
    pub fn settled(
        &self,
        stages: &'s [Stage<'s>],
        walk: &dyn Fn(&Solver<'_>, usize) -> Settled,
    ) -> Vec<(usize, Settled)> {
        let (first, others) = (self.scenes[0], &self.scenes[1..]);
        let ahead = (!others.is_empty()).then(|| self.solver.clone());
        let settled = walk(&self.solver, first);
        // What was not worked out ahead may be otherwise in each.
        let alone = self.solver.worked_out() || matches!(settled.course, Course::TooMany(_));
        let others = others.iter().map(|scene| match &ahead {
            Some(ahead) if alone => (*scene, walk(&ahead.clone().on(&stages[*scene]), *scene)),
            _ => (*scene, settled.clone()),
        });
        let others: Vec<(usize, Settled)> = others.collect();
        std::iter::once((first, settled)).chain(others).collect()
    }
}
