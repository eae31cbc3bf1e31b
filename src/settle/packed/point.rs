//! What every cavity holds and where everything stands, in many scenes at once.

use super::PackedBalance;
use crate::circuit::Level;
use crate::net::{Cavity, Lanes, Net, PackedHeld, PackedStage, Tide};
use crate::settle::walk::names;
use crate::settle::{Course, Move, Point, Pressures, Settled, Value};

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

    /// What a cavity holds in one scene.
    #[must_use]
    pub fn value(&self, lane: usize, cavity: Cavity) -> Value {
        let at = cavity.number();
        match (
            self.fed[at].contains(lane),
            self.drained[at].contains(lane),
        ) {
            (true, _) => Value::Fed,
            (_, true) => Value::Drained,
            _ => Value::Undecided,
        }
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
    /// Scenes in which some cavity keeps what it held; and is sealed off, asked at low.
    pub keeps: Lanes,
    pub seals: Lanes,
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
    pub(super) end: PackedPoint<'p>,
    /// Supply against drain at the end, asked at low.
    pub(super) oil: PackedBalance,
    /// Scenes that ended in each round, from the first.
    pub(super) rounds: Vec<Lanes>,
    pub(super) moves: Vec<PackedMove>,
    pub(super) alone: Lanes,
}

impl PackedSettle<'_> {
    /// Scenes that could not be decided in one pass: those are to be settled alone.
    #[must_use]
    pub fn alone(&self) -> Lanes {
        self.alone
    }

    /// Whether a cavity has at least a level at the end of one scene; none where that is to be
    /// settled alone.
    #[must_use]
    pub fn at_least(&self, lane: usize, level: Level, cavity: Cavity) -> Option<Value> {
        let values = self.end.pressures.at_least(level);
        self.decides(lane).then(|| values.value(lane, cavity))
    }

    /// Supply against drain at the end of every scene, asked at low.
    #[must_use]
    pub fn balance(&self) -> &PackedBalance {
        &self.oil
    }

    /// How one scene settled, as [`settle`](crate::settle::settle) has it; none where it is to be
    /// settled alone.
    #[must_use]
    pub fn settled(&self, lane: usize) -> Option<Settled> {
        if !self.decides(lane) {
            return None;
        }
        let net = self.stage.net();
        let pressures = &self.end.pressures;
        let levels = pressures.values.iter();
        let values = levels.map(|level| net.cavities().map(|c| level.value(lane, c)).collect());
        let kept = [pressures.keeps, pressures.seals].map(|lanes| lanes.contains(lane));
        let end = Point {
            held: self.end.held.lane(lane),
            pressures: Pressures::of(pressures.levels.into(), values.collect(), kept),
        };
        let moves = self.moves.iter().filter(|m| m.lanes.contains(lane));
        let ended = self.rounds.iter().position(|lanes| lanes.contains(lane));
        Some(Settled {
            ends: vec![end],
            course: Course::Steady,
            rounds: ended? + 1,
            moves: moves
                .map(|m| Move {
                    round: m.round,
                    part: names(self.stage.sound(), vec![m.mover]).remove(0),
                    from: Some(m.from as u32),
                    to: m.to as u32,
                })
                .collect(),
        })
    }

    pub(super) fn decides(&self, lane: usize) -> bool {
        self.stage.all().contains(lane) && !self.alone.contains(lane)
    }
}
