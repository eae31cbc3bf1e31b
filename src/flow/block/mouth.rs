//! The runs of a passage from its middle to the ways at it.

use super::Laying;
use crate::circuit::{Kind, PartName};
use crate::flow::law::{Passage, Run, Section, minor};
use crate::flow::network::Node;
use crate::flow::sizes::Measure;
use crate::net::{Cavity, SUMP_CAVITY};
use crate::units::Length;

/// Height of the roughness of a cast or drilled wall (`common practice, no source`).
const ROUGHNESS: Length = Length::from_m(0.05e-3);

/// Half of a passage.
///
/// A cavity has one pressure, that of its middle. Oil that comes in by one way and leaves by another
/// crosses half of the passage to the middle and half of it from there: its whole length. That is
/// right for a passage with its ways at its two ends, an assumption for one with more.
pub(super) type Mouth = Passage;

impl Laying<'_> {
    /// Half of a passage whose shape is known; one whose shape is not costs the oil nothing.
    pub(super) fn mouth_of(&mut self, cavity: Cavity) -> Option<Mouth> {
        if cavity == SUMP_CAVITY {
            return None;
        }
        let name = PartName::new(Kind::Passage, self.net.name(cavity));
        let passage = &self.circuit.passages[&name.id];
        let bore = self.asked.may(&name, Measure::Bore, passage.bore);
        let width = self.asked.may(&name, Measure::Width, passage.width);
        let depth = self.asked.may(&name, Measure::Depth, passage.depth);
        let length = self.asked.may(&name, Measure::Length, passage.length)?;
        let section = match (bore, width, depth) {
            (Some(bore), _, _) => Section::Round { bore },
            (None, Some(width), Some(depth)) => Section::Rectangular { width, depth },
            _ => return None,
        };
        let bends = f64::from(passage.bends.unwrap_or_default());
        let run = Run {
            section,
            length: Length::from_m(length.m() / 2.0),
            roughness: ROUGHNESS,
            fittings: bends / 2.0 * minor::mitre_bend(std::f64::consts::FRAC_PI_2),
        };
        let half = Passage::new(run, self.running.fluid);
        self.sized(&name, half)
    }

    /// The node at which a new way joins a cavity.
    pub(super) fn mouth(&mut self, cavity: Cavity) -> Node {
        let core = self.at(cavity);
        match self.mouths[cavity.number()] {
            Some(half) => {
                let mouth = self.network.free(0.0);
                self.network.way(core, mouth, half);
                mouth
            }
            None => core,
        }
    }
}
