//! Whether the end hangs on the order of moves, in many scenes at once.

use super::apart::Apart;
use super::moving::{Step, Walk, moved, union};
use super::point::PackedPoint;
use super::wants::{PackedWants, twice};
use crate::net::Lanes;
use crate::settle::orders::FEW;

/// In fewer scenes it is faster to go alone.
const FEWEST: usize = 4;

/// What is seen of several movers going one after another, in every order.
struct Seen {
    /// For each level and cavity the scenes in which it held something else on the way than before
    /// the round.
    changed: Vec<Vec<Lanes>>,
    /// The same for scenes in which it kept what it held.
    kept: Vec<Vec<Lanes>>,
}

impl Seen {
    /// With what all moving together keep.
    fn of(together: &Step<'_>) -> Self {
        let cavities = together.pack.net().cavity_count();
        let mut seen = Seen {
            changed: vec![vec![Lanes::NONE; cavities]; together.oil.len()],
            kept: vec![vec![Lanes::NONE; cavities]; together.oil.len()],
        };
        seen.add_kept(together, Lanes::ALL);
        seen
    }

    fn add_kept(&mut self, step: &Step<'_>, lanes: Lanes) {
        for (kept, oil) in self.kept.iter_mut().zip(&step.oil) {
            for (kept, cavity) in kept.iter_mut().zip(step.pack.net().cavities()) {
                *kept |= lanes & !oil.turns.settled(cavity);
            }
        }
    }

    fn add(&mut self, step: &Step<'_>, before: &PackedPoint<'_>, lanes: Lanes) {
        self.add_kept(step, lanes);
        let levels = step.point.pressures.values.iter();
        let levels = levels.zip(&before.pressures.values);
        for (changed, (now, before)) in self.changed.iter_mut().zip(levels) {
            for (changed, cavity) in changed.iter_mut().zip(step.pack.net().cavities()) {
                *changed |= now.differ(before, cavity) & lanes;
            }
        }
    }

    /// Scenes in which what is held somewhere may hang on the order in which some have moved: what
    /// keeps its value there had another on the way. Elsewhere it hangs on which have moved alone.
    fn hangs_on_order(&self) -> Lanes {
        let all = self.changed.iter().flatten();
        let all = all.zip(self.kept.iter().flatten());
        all.fold(Lanes::NONE, |any, (changed, kept)| any | (*changed & *kept))
    }
}

/// Several movers of one round.
struct Round<'r, 'p> {
    point: &'r PackedPoint<'p>,
    wants: &'r PackedWants,
    /// Which is the first, the second and so on in each scene.
    nth: &'r [Vec<Lanes>],
}

impl<'p> Walk<'p> {
    /// Leaves scenes in which one of several movers would not move once others have, or another
    /// would. Each set of those that have moved is looked at once, from the set without its last: in
    /// the order in which a single walk first comes to it.
    ///
    /// `moved_on` are the movers that have moved, by their place in the round, and where that led.
    fn question_sets(
        &mut self,
        round: &Round<'_, 'p>,
        moved_on: (&[usize], &PackedPoint<'p>),
        lanes: Lanes,
        seen: &mut Seen,
    ) {
        let (gone, from) = moved_on;
        let count = round.nth.len();
        if gone.len() + 1 == count {
            return;
        }
        for i in gone.last().map_or(0, |last| last + 1)..count {
            let lanes = lanes & !self.alone;
            if !lanes.any() {
                return;
            }
            let gone = [gone, &[i]].concat();
            let first = |mover: usize| round.nth[i][mover];
            let held = moved(from, round.wants, &first, lanes);
            let step = self.solve(held, &from.pressures, lanes);
            seen.add(&step, round.point, lanes);
            let then = self.wants(&step.pack, &step.point);
            let mut hangs = Lanes::NONE;
            for (mover, going) in round.wants.going.iter().enumerate() {
                let left = (0..count).filter(|n| !gone.contains(n));
                let waits = left.fold(Lanes::NONE, |any, n| any | round.nth[n][mover]);
                // What is left would still move, and nothing else would before it has.
                let places = going.iter().zip(&then.going[mover]);
                hangs = places.fold(hangs, |any, (now, then)| any | ((*now & waits) ^ *then));
            }
            self.leave(hangs & lanes);
            self.question_sets(round, (&gone, &step.point), lanes, seen);
        }
    }

    /// Leaves scenes in which several move and one would not once others have, or another
    /// would before them, or not all would end alike whichever is first. Of those that never meet
    /// none minds which is first.
    pub fn question(&mut self, point: &PackedPoint<'p>, wants: &PackedWants, together: &Step<'p>) {
        let lanes = self.active;
        let moves: Vec<Lanes> = (0..wants.going.len())
            .map(|mover| wants.moves(mover) & lanes)
            .collect();
        if !twice(&moves).any() {
            return;
        }
        let apart = self.apart.get_or_init(|| Apart::of(self.stage));
        let nth = nth_movers(wants, apart.crowd(&moves));
        let at_least = |count: usize| nth.get(count - 1).map_or(Lanes::NONE, |m| union(m));
        self.leave(at_least(FEW + 1));
        for count in 3..=FEW {
            // Of three or more, two before the third may do what neither does alone.
            let lanes = at_least(count) & !at_least(count + 1) & !self.alone;
            if lanes.count() < FEWEST {
                self.leave(lanes);
                continue;
            }
            let round = Round {
                point,
                wants,
                nth: &nth[..count],
            };
            let mut seen = Seen::of(together);
            self.question_sets(&round, (&[], point), lanes, &mut seen);
            self.leave(lanes & seen.hangs_on_order());
        }
        let several = at_least(2) & !at_least(3);
        for first in nth.iter().take(2) {
            let lanes = several & union(first) & self.active;
            if !lanes.any() {
                continue;
            }
            let held = moved(point, wants, &|mover| first[mover], lanes);
            let next = self.solve(held, &point.pressures, lanes);
            let then = self.wants(&next.pack, &next.point);
            let mut hangs = Lanes::NONE;
            for (mover, going) in wants.going.iter().enumerate() {
                let places = going.iter().zip(&then.going[mover]);
                for (now, then) in places {
                    hangs |= (*now & !first[mover]) ^ *then;
                }
            }
            // What is trapped on the way may differ even where the moves do not.
            let levels = together.oil.iter().zip(&next.point.pressures.values);
            for ((oil, next), before) in levels.zip(&point.pressures.values) {
                for cavity in self.stage.net().cavities() {
                    hangs |= next.differ(before, cavity) & !oil.turns.settled(cavity);
                }
            }
            self.leave(hangs & lanes);
        }
    }
}

/// For the first, second and so on of the movers that move in each scene: which that is, by the
/// scenes of each.
pub(super) fn nth_movers(wants: &PackedWants, lanes: Lanes) -> Vec<Vec<Lanes>> {
    let none = vec![Lanes::NONE; wants.going.len()];
    let mut nth: Vec<Vec<Lanes>> = Vec::new();
    // Scenes in which so many have been counted.
    let mut counted: Vec<Lanes> = Vec::new();
    for mover in 0..wants.going.len() {
        let mut left = wants.moves(mover) & lanes;
        for n in 0.. {
            if !left.any() {
                break;
            }
            if n == nth.len() {
                nth.push(none.clone());
                counted.push(Lanes::NONE);
            }
            let here = left & !counted[n];
            nth[n][mover] = here;
            left &= counted[n];
            counted[n] |= here;
        }
    }
    nth
}
