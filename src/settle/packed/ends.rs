//! Ends come to elsewhere, laid side by side.

use super::point::{PackedPoint, PackedPressures};
use super::{PackedSettle, PackedValues, balance_packed};
use crate::circuit::Level;
use crate::net::{Held, Lanes, PackedHeld, PackedStage};
use crate::settle::{Point, Value};

impl<'p> PackedSettle<'p> {
    /// Scenes that settled elsewhere, each standing at one end: what it looks like there can then be
    /// asked of all at once. Bores may decide in those that are left to go alone.
    pub(crate) fn at_ends(stage: &'p PackedStage<'p>, ends: &[&Point]) -> Self {
        let net = stage.net();
        let levels = net.levels();
        let mut held = PackedHeld::all(net, &Held::unknown(net), Lanes::NONE);
        let mut values = vec![PackedValues::undecided(net); levels.len()];
        for (lane, end) in ends.iter().enumerate() {
            held.stand(lane, &end.held);
            for (level, values) in levels.iter().zip(&mut values) {
                for (at, value) in end.pressures.values(*level).iter().enumerate() {
                    match value {
                        Value::Fed => values.fed[at].insert(lane),
                        Value::Drained => values.drained[at].insert(lane),
                        Value::Undecided => {}
                    }
                }
            }
        }
        let end = PackedPoint {
            held,
            pressures: PackedPressures {
                levels,
                values,
                keeps: Lanes::NONE,
            },
        };
        let scene = stage.scene(&end.held, Level::Low, stage.all());
        let oil = balance_packed(&scene, Some(end.pressures.at_least(Level::Low)));
        PackedSettle {
            alone: oil.unsure(),
            oil,
            stage,
            end,
            rounds: Vec::new(),
            moves: Vec::new(),
            ordered: Vec::new(),
            apart: Default::default(),
        }
    }
}
