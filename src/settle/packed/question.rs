//! Whether the end hangs on the order of moves, in many scenes at once.

use super::moving::{Step, Walk, differ, moved, union};
use super::point::PackedPoint;
use super::wants::PackedWants;
use crate::net::Lanes;

/// So many movers are tried in every order; with more of them, or in fewer scenes than orders, it
/// is faster to go alone.
const IN_EVERY_ORDER: usize = 4;

impl<'p> Walk<'p> {
    /// Puts scenes in question in which one of the movers that are left would not move once others
    /// have, or another would, in whatever order, or not all orders end alike.
    fn question_orders(
        &mut self,
        left: &[Vec<Lanes>],
        point: &PackedPoint<'p>,
        wants: &PackedWants,
        together: &Step<'p>,
        lanes: Lanes,
    ) {
        for (i, first) in left.iter().enumerate() {
            let lanes = lanes & !self.in_question & !self.alone;
            if !lanes.any() {
                return;
            }
            let rest = [&left[..i], &left[i + 1..]].concat();
            let held = moved(point, wants, &|mover| first[mover], lanes);
            let next = self.solve(held, &point.pressures, lanes);
            if rest.is_empty() {
                self.in_question |= differ(&next.point, &together.point, lanes);
                continue;
            }
            let then = self.wants(&next.pack, &next.point);
            let mut hangs = Lanes::NONE;
            for (mover, going) in wants.going.iter().enumerate() {
                let waits = rest.iter().fold(Lanes::NONE, |any, nth| any | nth[mover]);
                // What is left would still move, and nothing else would before it has.
                let places = going.iter().zip(&then.going[mover]);
                hangs = places.fold(hangs, |any, (now, then)| any | ((*now & waits) ^ *then));
            }
            self.in_question |= hangs & lanes & !self.alone;
            self.question_orders(&rest, &next.point, wants, together, lanes);
        }
    }

    /// Puts scenes in question in which several move and one would not once others have, or another
    /// would before them, or not all would end alike whichever is first.
    pub fn question(&mut self, point: &PackedPoint<'p>, wants: &PackedWants, together: &Step<'p>) {
        let nth = nth_movers(wants, self.active & !self.in_question);
        let at_least = |count: usize| nth.get(count - 1).map_or(Lanes::NONE, |m| union(m));
        self.leave(at_least(IN_EVERY_ORDER + 1));
        for count in 3..=IN_EVERY_ORDER {
            // Of three or more, two before the third may do what neither does alone.
            let lanes = at_least(count) & !at_least(count + 1) & !self.alone;
            let orders: usize = (1..=count).product();
            match lanes.count() < orders {
                true => self.leave(lanes),
                false => self.question_orders(&nth[..count], point, wants, together, lanes),
            }
        }
        let several = at_least(2) & !at_least(3);
        for first in nth.iter().take(2) {
            let lanes = several & union(first) & self.active & !self.in_question;
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
            self.in_question |= hangs & lanes;
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
