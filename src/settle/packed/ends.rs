//! Ends come to elsewhere, laid side by side.

use super::PackedSettle;
use super::point::PackedPoint;
use crate::net::{Lanes, PackedStage};
use crate::settle::Point;

impl<'p> PackedSettle<'p> {
    /// Scenes that settled elsewhere, each standing at one end: what it looks like there can then be
    /// asked of all at once.
    pub(crate) fn at_ends(stage: &'p PackedStage<'p>, ends: &[&Point]) -> Self {
        let ends = ends.iter().map(|end| (&end.held, &end.pressures));
        let end = PackedPoint::at(stage.net(), ends.enumerate());
        PackedSettle {
            alone: Lanes::NONE,
            oil: Default::default(),
            last: None,
            stage,
            end,
            rounds: Vec::new(),
            moves: Vec::new(),
            lone: Vec::new(),
            apart: Default::default(),
        }
    }
}
