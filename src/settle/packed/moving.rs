//! Settling many scenes at once: all movers of all scenes round by round, each scene until
//! nothing moves in it.

use std::cell::OnceCell;

use super::apart::Apart;
use super::point::{PackedMove, PackedPoint, PackedPressures};
use super::wants::{PackedWants, wants};
use super::{PackedBalance, PackedSettle, PackedValues, balance_packed};
use crate::circuit::Level;
use crate::net::{Held, Lanes, Pack, PackedHeld, PackedStage};

/// Settles every scene of a stage from cold: the same ends, rounds, moves and course as
/// [`settle`](crate::settle::settle) finds for each alone. Scenes that one pass cannot decide are
/// named in [`PackedSettle::alone`]: those with a mover that may go to several places, an end
/// that may hang on the order of moves, or no end.
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
    let mut walk = Walk::of(stage);
    let Step {
        mut point,
        pack: mut low,
        oil,
    } = walk.start();
    let mut last = (walk.active, oil);
    let mut rounds = Vec::new();
    let mut moves = Vec::new();
    // What comes to an earlier point again goes round for ever: each is held against one that is
    // left behind at longer and longer intervals (R. P. Brent, BIT 20, 1980).
    let mut left_behind = point.clone();
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
        last = (changed, next.oil);
        (point, low) = (next.point, next.pack);
        if round.is_power_of_two() {
            left_behind = point.clone();
        }
    }
    let (lanes, oil) = last;
    let levels = point.pressures.levels.iter().zip(oil);
    let mut low = levels.filter(|(level, _)| **level == Level::Low);
    PackedSettle {
        oil: OnceCell::new(),
        last: low.next().map(|(_, oil)| (lanes, oil.turns)),
        stage,
        end: point,
        rounds,
        moves,
        lone: Vec::new(),
        alone: walk.alone,
        apart: walk.apart,
    }
}

/// Many scenes on their way.
pub(super) struct Walk<'p> {
    pub stage: &'p PackedStage<'p>,
    /// Scenes that have not come to an end.
    pub active: Lanes,
    /// Scenes that are to be settled alone.
    pub alone: Lanes,
    /// Which movers meet; worked out where several move at once.
    pub apart: OnceCell<Apart>,
}

/// A point just come to.
pub(super) struct Step<'p> {
    pub point: PackedPoint<'p>,
    /// The balance at each level, and the scenes asked at low.
    pub oil: Vec<PackedBalance>,
    pub pack: Pack<'p>,
}

impl<'p> Walk<'p> {
    pub fn of(stage: &'p PackedStage<'p>) -> Self {
        Walk {
            stage,
            active: stage.all(),
            alone: Lanes::NONE,
            apart: OnceCell::new(),
        }
    }

    /// Leaves scenes to be settled alone.
    pub fn leave(&mut self, lanes: Lanes) {
        self.alone |= lanes;
        self.active &= !lanes;
    }

    /// Where everything stands before the first round: valves at rest or, without a resting
    /// place, where their rules put them when all is drained.
    fn start(&mut self) -> Step<'p> {
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
        self.solve(point.held, &point.pressures, self.active)
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
        let mut oil: Vec<PackedBalance> = Vec::with_capacity(before.levels.len());
        let mut packs: Vec<Pack<'p>> = Vec::with_capacity(before.levels.len());
        let mut pressures = PackedPressures {
            levels: before.levels,
            values: Vec::with_capacity(before.levels.len()),
            keeps: before.keeps & !lanes,
        };
        for (level, before) in before.levels.iter().zip(&before.values) {
            let pack = self.stage.scene(&held, *level, lanes);
            // Many levels stand alike.
            let mut balance = match (packs.last(), oil.last()) {
                (Some(last), Some(oil)) if last.stands_as(&pack) => {
                    PackedBalance::of(&pack, oil.turns.clone(), Some(before))
                }
                _ => balance_packed(&pack, Some(before)),
            };
            let cavities = self.stage.net().cavities();
            let keeps = cavities.fold(Lanes::NONE, |keeps, c| keeps | !balance.turns.settled(c));
            pressures.keeps |= keeps & lanes;
            packs.push(pack);
            let mut taken = std::mem::take(&mut balance.values);
            if let Some(lower) = pressures.values.last() {
                taken.bound_by(lower);
            }
            pressures.values.push(taken);
            oil.push(balance);
        }
        let low = before.levels.iter().position(|level| *level == Level::Low);
        let pack = match low {
            Some(low) => packs.swap_remove(low),
            None => self.stage.scene(&held, Level::Low, lanes),
        };
        Step {
            point: PackedPoint { held, pressures },
            oil,
            pack,
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
pub(super) fn differ(one: &PackedPoint<'_>, other: &PackedPoint<'_>, lanes: Lanes) -> Lanes {
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
