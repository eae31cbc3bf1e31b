//! Settling many scenes at once: all movers of all scenes round by round, each scene until
//! nothing moves in it.

use super::orders::every_order;
use super::point::{PackedMove, PackedPoint, PackedPressures};
use super::wants::{PackedWants, wants};
use super::{PackedBalance, PackedSettle, PackedValues, balance_packed};
use crate::circuit::Level;
use crate::net::{Held, Lanes, Pack, PackedHeld, PackedStage};
use crate::settle::walk::ALONE;

/// So many movers are tried in every order where a cavity is sealed off; of more it is faster to
/// try them alone.
const IN_EVERY_ORDER: usize = 4;

/// Settles every scene of a stage from cold: the same ends, rounds, moves and course as
/// [`settle`](crate::settle::settle) finds for each alone. Scenes that one pass cannot decide are
/// named in [`PackedSettle::alone`]: those with a way that may be open or shut, a mover that may
/// go to several places, a contested cavity that bores may decide, or no end.
///
/// ```
/// use oilpath::{circuit::Level, net::{Net, PackedFaults, PackedStage, Stage}, sheet};
/// use oilpath::settle::{Value, settle_packed};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "pilot", "feed"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     jet = { between = ["line", "pilot"] }
///     [valve.relay]
///     bore = ["pilot", "line", "feed", "sump"]
///     rest = { joins = [["feed", "sump"]], otherwise = true }
///     over = { joins = [["line", "feed"]], when = "pilot" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let fault = |text| vec![circuit.fault(text).unwrap()];
/// let faults = PackedFaults::new(&net, &[vec![], fault("jet:plugged"), fault("relay:stuck=rest")]);
/// let stage = PackedStage::new(&Stage::new(&net, &Default::default(), &[]), &faults);
/// let settled = settle_packed(&stage);
/// let feed = net.cavity("feed").unwrap();
/// let values = [0, 1, 2].map(|lane| settled.at_least(lane, Level::Low, feed));
/// assert_eq!(values, [Some(Value::Fed), Some(Value::Drained), Some(Value::Drained)]);
/// ```
#[must_use]
pub fn settle_packed<'p>(stage: &'p PackedStage<'p>) -> PackedSettle<'p> {
    let mut walk = Walk {
        stage,
        active: stage.all(),
        in_question: Lanes::NONE,
        alone: Lanes::NONE,
    };
    let (mut point, mut low) = walk.start();
    let start = point.clone();
    let mut rounds = Vec::new();
    let mut moves = Vec::new();
    // What comes to an earlier point again goes round for ever: each is held against one that is
    // left behind at longer and longer intervals (R. P. Brent, BIT 20, 1980).
    let mut left_behind = start.clone();
    for round in 1.. {
        let wants = walk.wants(&low, &point);
        let mut moving = Lanes::NONE;
        for mover in 0..point.held.movers() {
            moving |= wants.moves(mover) & walk.active;
        }
        let changed = point.held.boosted.iter().zip(&wants.boosted);
        let changed = changed.fold(moving, |any, (was, is)| any | (*was ^ *is)) & walk.active;
        rounds.push(walk.active & !changed);
        walk.active = changed;
        if !changed.any() {
            break;
        }
        record(&mut moves, round, &point, &wants, moving);
        let held = moved(&point, &wants, &|_| Lanes::ALL, walk.active);
        let next = walk.solve(held, &point.pressures, walk.active);
        walk.question(&point, &wants, &next);
        let again = walk.active & !differ(&next.point, &left_behind, walk.active);
        walk.leave(again);
        Step {
            point,
            pack: low,
            ..
        } = next;
        if round.is_power_of_two() {
            left_behind = point.clone();
        }
    }
    let in_question = walk.in_question & !walk.alone;
    let ordered = every_order(&mut walk, &start, in_question, &mut point);
    let scene = stage.scene(&point.held, Level::Low, stage.all() & !walk.alone);
    PackedSettle {
        oil: balance_packed(&scene, Some(point.pressures.at_least(Level::Low))),
        stage,
        end: point,
        rounds,
        moves,
        ordered,
        alone: walk.alone,
    }
}

/// Many scenes on their way.
pub(super) struct Walk<'p> {
    pub stage: &'p PackedStage<'p>,
    /// Scenes that have not come to an end.
    active: Lanes,
    /// Scenes whose end may hang on the order of moves.
    in_question: Lanes,
    /// Scenes that are to be settled alone.
    pub alone: Lanes,
}

/// A point just come to.
pub(super) struct Step<'p> {
    pub point: PackedPoint<'p>,
    /// The balance at each level, and the scenes asked at low.
    oil: Vec<PackedBalance>,
    pack: Pack<'p>,
}

impl<'p> Walk<'p> {
    /// Leaves scenes to be settled alone.
    pub fn leave(&mut self, lanes: Lanes) {
        self.alone |= lanes;
        self.active &= !lanes;
    }

    /// Where everything stands before the first round: valves at rest or, without a resting
    /// place, where their rules put them when all is drained.
    fn start(&mut self) -> (PackedPoint<'p>, Pack<'p>) {
        let net = self.stage.net();
        let mut held = Held::unknown(net);
        held.valves = net.valves().iter().map(|v| v.rest).collect();
        held.shuttles.fill(Some(0));
        held.boosted.fill(false);
        let levels = net.levels();
        let mut point = PackedPoint {
            held: self.stage.fix(&held),
            pressures: PackedPressures {
                levels,
                values: vec![PackedValues::cold(net); levels.len()],
                keeps: Lanes::NONE,
                seals: Lanes::NONE,
            },
        };
        let cold = self.stage.scene(&point.held, Level::Low, self.active);
        let wants = self.wants(&cold, &point);
        for (valve, rest) in held.valves.iter().enumerate() {
            if rest.is_some() {
                continue;
            }
            let stands = point.held.places(valve).iter();
            let nowhere = stands.fold(self.active, |nowhere, lanes| nowhere & !*lanes);
            for (place, lanes) in wants.going[valve].iter().enumerate() {
                point.held.put(valve, place, nowhere & *lanes);
            }
            self.leave(nowhere & !wants.moves(valve));
        }
        let Step { point, pack, .. } = self.solve(point.held, &point.pressures, self.active);
        (point, pack)
    }

    /// Where everything would go; leaves scenes in which that cannot be said.
    pub fn wants(&mut self, low: &Pack<'_>, point: &PackedPoint<'_>) -> PackedWants {
        let wants = wants(self.stage, low, point);
        self.leave(wants.undecided);
        wants
    }

    /// What earlier pressures become in some scenes with everything standing as in `held`; leaves
    /// those of them that cannot be decided.
    pub fn solve(
        &mut self,
        held: PackedHeld,
        before: &PackedPressures<'p>,
        lanes: Lanes,
    ) -> Step<'p> {
        let mut oil = Vec::with_capacity(before.levels.len());
        let mut low = None;
        let mut pressures = PackedPressures {
            levels: before.levels,
            values: Vec::with_capacity(before.levels.len()),
            keeps: before.keeps & !lanes,
            seals: before.seals & !lanes,
        };
        for (level, before) in before.levels.iter().zip(&before.values) {
            let pack = self.stage.scene(&held, *level, lanes);
            let mut balance = balance_packed(&pack, Some(before));
            self.leave(balance.unsure() & lanes);
            let cavities = self.stage.net().cavities();
            let keeps = cavities.fold(Lanes::NONE, |keeps, c| keeps | !balance.turns.settled(c));
            pressures.keeps |= keeps & lanes;
            if *level == Level::Low {
                pressures.seals |= keeps & lanes;
                low = Some(pack);
            }
            let taken = std::mem::replace(&mut balance.values, PackedValues::default());
            pressures.values.push(taken);
            oil.push(balance);
        }
        let pack = low.unwrap_or_else(|| self.stage.scene(&held, Level::Low, lanes));
        Step {
            point: PackedPoint { held, pressures },
            oil,
            pack,
        }
    }

    /// Puts scenes in question in which one of the movers that are left would not move once others
    /// have, in whatever order, or not all orders end alike.
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
                let places = going.iter().zip(&then.going[mover]);
                hangs = places.fold(hangs, |any, (now, then)| any | (*now & !*then & waits));
            }
            self.in_question |= hangs & lanes & !self.alone;
            self.question_orders(&rest, &next.point, wants, together, lanes);
        }
    }

    /// Puts scenes in question in which several move and one would not once another has, or not
    /// all would end alike whichever is first.
    fn question(&mut self, point: &PackedPoint<'p>, wants: &PackedWants, together: &Step<'p>) {
        let nth = nth_movers(wants, self.active & !self.in_question);
        let at_least = |count: usize| nth.get(count - 1).map_or(Lanes::NONE, |m| union(m));
        // What a sealed cavity holds may hang on the order of any of three or more.
        let sealed = at_least(3) & together.point.pressures.seals;
        self.leave(at_least(ALONE + 1) | (sealed & at_least(IN_EVERY_ORDER + 1)));
        for count in 3..=IN_EVERY_ORDER {
            let lanes = sealed & at_least(count) & !at_least(count + 1) & !self.alone;
            self.question_orders(&nth[..count.min(nth.len())], point, wants, together, lanes);
        }
        let several = at_least(2) & !sealed;
        for first in nth.iter().take(ALONE) {
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
                    hangs |= *now & !*then & !first[mover];
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

/// Where everything stands after movers have gone to their places, each of them in the scenes in
/// which it is to go first.
pub(super) fn moved(
    point: &PackedPoint<'_>,
    wants: &PackedWants,
    first: &dyn Fn(usize) -> Lanes,
    lanes: Lanes,
) -> PackedHeld {
    let mut held = point.held.clone();
    for (mover, going) in wants.going.iter().enumerate() {
        let goes = first(mover) & lanes;
        for (place, going) in going.iter().enumerate() {
            held.put(mover, place, *going & goes);
        }
    }
    for (boosted, wanted) in held.boosted.iter_mut().zip(&wants.boosted) {
        *boosted = (*boosted & !lanes) | (*wanted & lanes);
    }
    held
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

/// Notes what moves in a round.
fn record(
    moves: &mut Vec<PackedMove>,
    round: usize,
    point: &PackedPoint<'_>,
    wants: &PackedWants,
    lanes: Lanes,
) {
    for (mover, going) in wants.going.iter().enumerate() {
        let stands = point.held.places(mover);
        for (to, going) in going.iter().enumerate() {
            for (from, there) in stands.iter().enumerate() {
                let lanes = *going & *there & lanes;
                if lanes.any() {
                    moves.push(PackedMove {
                        round,
                        mover,
                        from,
                        to,
                        lanes,
                    });
                }
            }
        }
    }
}

/// Of some scenes those in which two points differ.
fn differ(one: &PackedPoint<'_>, other: &PackedPoint<'_>, lanes: Lanes) -> Lanes {
    let mut differ = Lanes::NONE;
    for mover in 0..one.held.movers() {
        let places = one.held.places(mover).iter().zip(other.held.places(mover));
        differ = places.fold(differ, |any, (a, b)| any | (*a ^ *b));
    }
    let boosted = one.held.boosted.iter().zip(&other.held.boosted);
    differ = boosted.fold(differ, |any, (a, b)| any | (*a ^ *b));
    for (a, b) in one.pressures.values.iter().zip(&other.pressures.values) {
        let lanes = a
            .fed
            .iter()
            .zip(&b.fed)
            .chain(a.drained.iter().zip(&b.drained));
        differ = lanes.fold(differ, |any, (a, b)| any | (*a ^ *b));
    }
    differ & lanes
}

pub(super) fn union(lanes: &[Lanes]) -> Lanes {
    lanes.iter().fold(Lanes::NONE, |all, lanes| all | *lanes)
}
