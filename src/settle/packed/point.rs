//! What every cavity holds and where everything stands, in many scenes at once.

use std::cell::OnceCell;

use super::apart::Apart;
use super::balance::Turns;
use super::{PackedBalance, balance_packed};
use crate::circuit::{Level, PartName};
use crate::net::{Cavity, Held, Lanes, Net, Pack, PackedHeld, PackedStage, Tide};
use crate::settle::point::name;
use crate::settle::{Course, Move, Point, Pressures, Settled, Span, Value};

/// For each cavity, by number, the scenes in which it is fed and those in which it is drained;
/// in the others it is undecided.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PackedValues {
    pub(super) fed: Vec<Lanes>,
    pub(super) drained: Vec<Lanes>,
}

impl PackedValues {
    pub(super) fn undecided(net: &Net<'_>) -> Self {
        let none = vec![Lanes::NONE; net.cavity_count()];
        PackedValues {
            fed: none.clone(),
            drained: none,
        }
    }

    pub(super) fn cold(net: &Net<'_>) -> Self {
        PackedValues {
            drained: vec![Lanes::ALL; net.cavity_count()],
            ..Self::undecided(net)
        }
    }

    pub(super) fn of_mut(&mut self, tide: Tide) -> &mut Vec<Lanes> {
        match tide {
            Tide::Supply => &mut self.fed,
            Tide::Drain => &mut self.drained,
        }
    }

    /// What lacks a level lacks every higher one, as the single run has it.
    pub(super) fn bound_by(&mut self, lower: &PackedValues) {
        for (fed, below) in self.fed.iter_mut().zip(&lower.fed) {
            *fed &= *below;
        }
        for (drained, below) in self.drained.iter_mut().zip(&lower.drained) {
            *drained |= *below;
        }
    }

    /// What a cavity holds in one scene.
    #[must_use]
    pub fn value(&self, lane: usize, cavity: Cavity) -> Value {
        let at = cavity.number();
        match (self.fed[at].contains(lane), self.drained[at].contains(lane)) {
            (true, _) => Value::Fed,
            (_, true) => Value::Drained,
            _ => Value::Undecided,
        }
    }

    /// Scenes in which a cavity is fed, and those in which it is drained.
    pub(crate) fn rows(&self, cavity: Cavity) -> [Lanes; 2] {
        [&self.fed, &self.drained].map(|rows| rows[cavity.number()])
    }

    /// Scenes in which a cavity holds something else.
    pub(super) fn differ(&self, other: &PackedValues, cavity: Cavity) -> Lanes {
        let at = cavity.number();
        (self.fed[at] ^ other.fed[at]) | (self.drained[at] ^ other.drained[at])
    }

    /// Scenes in which some cavity holds something else than in one scene.
    pub(super) fn differ_from(&self, lane: usize) -> Lanes {
        let all = self.fed.iter().chain(&self.drained);
        all.fold(Lanes::NONE, |differ, lanes| {
            differ | (*lanes ^ Lanes::all_if(lanes.contains(lane)))
        })
    }
}

/// What every cavity holds, level by level.
#[derive(Clone, Debug)]
pub(super) struct PackedPressures<'n> {
    pub levels: &'n [Level],
    pub values: Vec<PackedValues>,
    /// Scenes in which some cavity keeps what it held.
    pub keeps: Lanes,
}

impl PackedPressures<'_> {
    /// Whether each cavity has at least a level; levels the circuit cannot tell apart answer
    /// alike.
    pub fn at_least(&self, level: Level) -> &PackedValues {
        let known = self.levels.iter().position(|l| *l >= level);
        &self.values[known.unwrap_or(self.levels.len() - 1)]
    }
}

/// Where everything stands, and what every cavity holds.
#[derive(Clone, Debug)]
pub(super) struct PackedPoint<'n> {
    pub held: PackedHeld,
    pub pressures: PackedPressures<'n>,
}

impl<'n> PackedPoint<'n> {
    /// Some scenes, each with everything standing somewhere and cavities holding something; those not
    /// named stand nowhere.
    pub fn at<'h>(
        net: &'n Net<'n>,
        scenes: impl Iterator<Item = (usize, (&'h Held, &'h Pressures))>,
    ) -> Self {
        let levels = net.levels();
        let mut held = PackedHeld::all(net, &Held::unknown(net), Lanes::NONE);
        let mut values = vec![PackedValues::undecided(net); levels.len()];
        for (lane, (stands, pressures)) in scenes {
            held.stand(lane, stands);
            for (level, values) in values.iter_mut().enumerate() {
                let rows = [&mut values.fed, &mut values.drained];
                for (lanes, row) in rows.into_iter().zip(pressures.rows(level)) {
                    for (at, lanes) in lanes.iter_mut().enumerate() {
                        if row[at / 64] >> (at % 64) & 1 == 1 {
                            lanes.insert(lane);
                        }
                    }
                }
            }
        }
        PackedPoint {
            held,
            pressures: PackedPressures {
                levels,
                values,
                keeps: Lanes::NONE,
            },
        }
    }

    /// Everything that has a bit for each scene, always in the same order.
    pub fn rows(&self) -> impl Iterator<Item = &Lanes> {
        let pressures = &self.pressures;
        let levels = pressures.values.iter();
        let values = levels.flat_map(|level| level.fed.iter().chain(&level.drained));
        let held = self.held.rows().chain(values);
        held.chain([&pressures.keeps])
    }

    pub fn rows_mut(&mut self) -> impl Iterator<Item = &mut Lanes> {
        let pressures = &mut self.pressures;
        let levels = pressures.values.iter_mut();
        let values = levels.flat_map(|level| level.fed.iter_mut().chain(&mut level.drained));
        let held = self.held.rows_mut().chain(values);
        held.chain([&mut pressures.keeps])
    }

    /// Has some scenes stand as at another point.
    pub fn put(&mut self, lanes: Lanes, other: &PackedPoint<'_>) {
        for (row, other) in self.rows_mut().zip(other.rows()) {
            *row = (*row & !lanes) | (*other & lanes);
        }
    }

    /// One scene of it, as it is alone.
    pub fn lane(&self, lane: usize) -> Point {
        let pressures = &self.pressures;
        let cavities = pressures.values[0].fed.len();
        let levels = pressures.values.iter();
        let rows = levels.flat_map(|level| [&level.fed, &level.drained]);
        let words = rows.flat_map(|row| row.chunks(64));
        let within = |lanes: &Lanes| u64::from(lanes.contains(lane));
        let word = |word: &[Lanes]| {
            let bits = word.iter().map(within).zip(0..);
            bits.fold(0, |word, (bit, at)| word | bit << at)
        };
        let kept = pressures.keeps.contains(lane);
        let rows = words.map(word).collect();
        Point {
            held: self.held.lane(lane),
            pressures: Pressures::of(pressures.levels.into(), cavities, rows, kept),
        }
    }
}

/// A mover that went somewhere in one round, in some scenes.
#[derive(Clone, Debug)]
pub(super) struct PackedMove {
    pub round: usize,
    pub mover: usize,
    pub from: usize,
    pub to: usize,
    pub lanes: Lanes,
}

/// The ends of settling in many scenes at once.
#[derive(Clone, Debug)]
pub struct PackedSettle<'p> {
    pub(super) stage: &'p PackedStage<'p>,
    /// Where scenes with one end come to rest.
    pub(super) end: PackedPoint<'p>,
    /// Supply against drain there, asked at low; worked out when first asked for.
    pub(super) oil: OnceCell<PackedBalance>,
    /// Scenes that moved last of all, and what their oil then reached.
    pub(super) last: Option<(Lanes, Turns)>,
    /// Scenes that ended in each round, from the first.
    pub(super) rounds: Vec<Lanes>,
    pub(super) moves: Vec<PackedMove>,
    /// Scenes that settled alone, by number.
    pub(super) lone: Vec<(usize, Settled)>,
    pub(super) alone: Lanes,
    /// Which movers meet; worked out where that is asked.
    pub(super) apart: OnceCell<Apart>,
}

impl PackedSettle<'_> {
    /// Scenes that could not be decided in one pass; once they have [settled](Self::settle_left), those
    /// of them that do not come to rest in one place.
    #[must_use]
    pub fn alone(&self) -> Lanes {
        self.alone
    }

    /// Whether a cavity has at least a level at the end of one scene, undecided where its ends
    /// differ; none where it is to be settled alone.
    #[must_use]
    pub fn at_least(&self, lane: usize, level: Level, cavity: Cavity) -> Option<Value> {
        match self.lone(lane) {
            Some(settled) => Some(settled.at_least(level, cavity)),
            None => self.decides(lane).then(|| {
                let values = self.end.pressures.at_least(level);
                values.value(lane, cavity)
            }),
        }
    }

    /// How one scene settled, as [`settle`](crate::settle::settle) has it; none where it is to be
    /// settled alone.
    #[must_use]
    pub fn settled(&self, lane: usize) -> Option<Settled> {
        if let Some(settled) = self.lone(lane) {
            return Some(settled.clone());
        }
        if !self.decides(lane) {
            return None;
        }
        let moves = self.moves.iter().filter(|m| m.lanes.contains(lane));
        let moves = moves.map(|m| Move {
            round: m.round,
            part: name(self.stage.sound(), m.mover).clone(),
            from: Some(m.from as u32),
            to: m.to as u32,
        });
        let ended = self.rounds.iter().position(|lanes| lanes.contains(lane))?;
        Some(Settled {
            ends: vec![self.end.lane(lane)],
            course: Course::Steady,
            rounds: ended + 1,
            moves: moves.collect(),
        })
    }

    pub(super) fn lone(&self, lane: usize) -> Option<&Settled> {
        let found = self.lone.binary_search_by_key(&lane, |(lane, _)| *lane);
        found.ok().map(|at| &self.lone[at].1)
    }

    /// Supply against drain in scenes with one end as they stand there, asked at low.
    pub(crate) fn oil(&self) -> &PackedBalance {
        self.oil.get_or_init(|| {
            let steady = self.steady();
            let (pack, low) = (self.at_rest(steady), self.values(Level::Low));
            match &self.last {
                Some((lanes, turns)) if *lanes == steady => {
                    PackedBalance::of(&pack, turns.clone(), Some(low))
                }
                _ => balance_packed(&pack, Some(low)),
            }
        })
    }

    /// The net it settled on.
    pub(crate) fn net(&self) -> &Net<'_> {
        self.stage.net()
    }

    /// What scenes with one end hold there.
    pub(crate) fn values(&self, level: Level) -> &PackedValues {
        self.end.pressures.at_least(level)
    }

    /// Where a scene with one end comes to rest.
    pub(crate) fn end(&self, lane: usize) -> Point {
        self.end.lane(lane)
    }

    /// Where everything stands there.
    pub(crate) fn held(&self, lane: usize) -> Held {
        self.end.held.lane(lane)
    }

    /// Between which levels a cavity is in a scene with one end.
    pub(crate) fn span(&self, lane: usize, cavity: Cavity) -> Span {
        Span::of(|level| self.values(level).value(lane, cavity))
    }

    /// Some scenes with one end as they stand there, asked at low.
    pub(crate) fn at_rest(&self, lanes: Lanes) -> Pack<'_> {
        self.stage.scene(&self.end.held, Level::Low, lanes)
    }

    /// The same, asked at each level that can be told apart.
    pub(crate) fn at_each_level(&self, lanes: Lanes) -> Vec<Pack<'_>> {
        let levels = self.net().levels().iter();
        levels
            .map(|level| self.stage.scene(&self.end.held, *level, lanes))
            .collect()
    }

    /// Accumulators that take up no oil in some scenes, each with the cavity it should fill from.
    pub(crate) fn jammed(&self) -> &[((PartName, Cavity), Lanes)] {
        self.stage.faults().jammed()
    }

    /// Whether a regulator, by number, no longer keeps its cavity down in one scene.
    pub(crate) fn raises(&self, lane: usize, regulator: usize) -> bool {
        self.stage.faults().raises(lane, regulator)
    }

    /// Whether a regulator, by number, is boosted in a scene with one end.
    pub(crate) fn boosted(&self, lane: usize, regulator: usize) -> bool {
        self.end.held.boosted[regulator].contains(lane)
    }

    /// Scenes that surely come to rest in one place, which is known here.
    pub(crate) fn steady(&self) -> Lanes {
        self.stage.all() & !self.alone
    }

    fn decides(&self, lane: usize) -> bool {
        self.steady().contains(lane)
    }
}
