//! The laws of what faults open.

use super::Laying;
use super::way::{Made, boxed, mm};
use crate::circuit::{Condition, Kind, PartName};
use crate::flow::law::Film;
use crate::flow::sizes::Measure;
use crate::net::{Cavity, SUMP_CAVITY, Strength, WayId};
use crate::units::Length;

/// Stand-ins for how far a fault has gone, which no file can know (`common practice, no source`).
const GAP: Length = mm(0.2);
const WALL: Length = mm(4.0);
const EDGE: Length = mm(40.0);
const SPOOL: Length = mm(12.0);
const CLEARANCE: Length = mm(0.015);
const LAND: Length = mm(5.0);
const WEAR: Length = mm(0.04);

/// The same for a fault that opens a plain hole.
fn hole_of(kind: Kind, strength: Strength) -> Length {
    match (kind, strength) {
        (Kind::Plate, Strength::Open) => mm(8.0),
        (Kind::Plate, _) => mm(1.0),
        (Kind::Tap, _) => mm(6.0),
        (_, Strength::Open) => mm(3.0),
        _ => mm(0.5),
    }
}

/// Wear across the bore, from wear on the radius.
fn across(wear: Length) -> Length {
    Length::from_m(2.0 * wear.m())
}

impl Laying<'_> {
    /// The law of a way that a fault has added.
    pub(super) fn law_of_fault(&mut self, id: WayId) -> Option<Made> {
        let way = self.scene.way(id).clone();
        let part = self.net.part(&way).clone();
        let circuit = self.circuit;
        Some(match part.kind {
            // The hole a cover lay over, in the casting itself.
            _ if way.bore.is_some() => self.hole(way.bore?, None),
            Kind::Plate if self.is(&part, |c| *c == Condition::Loose) => {
                self.under_plate(&part, way.ends)
            }
            Kind::Regulator => {
                let bore = self.bore_of_regulator(&part, &circuit.regulators[&part.id]);
                self.hole(bore, None)
            }
            Kind::Relief => {
                let bore = self.bore_of_relief(&part, &circuit.reliefs[&part.id]);
                self.hole(bore, None)
            }
            Kind::Valve if way.strength == Strength::Leak => {
                let valve = &circuit.valves[&part.id];
                let diameter = self
                    .asked
                    .need(&part, Measure::Diameter, valve.diameter, SPOOL);
                let play = valve.clearance;
                let clearance = self.asked.need(&part, Measure::Clearance, play, CLEARANCE);
                let wear = self.asked.need(&part, Measure::Wear, valve.wear, WEAR);
                let land = self.asked.need(&part, Measure::Land, valve.land, LAND);
                let fluid = self.running.fluid;
                boxed(Film::worn_bore(
                    diameter,
                    clearance,
                    across(wear),
                    land,
                    fluid,
                ))
            }
            Kind::Clearance => {
                let fit = &circuit.clearances[&part.id];
                let [diameter, gap, length] = self.fit(&part, fit);
                let wear = self.asked.need(&part, Measure::Wear, fit.wear, WEAR);
                let fluid = self.running.fluid;
                boxed(Film::worn_bore(diameter, gap, across(wear), length, fluid))
            }
            kind => {
                let usual = match kind {
                    // Where a plug is out, the bore it closed stands open.
                    Kind::Valve => circuit.valves[&part.id].diameter.unwrap_or(SPOOL),
                    kind => hole_of(kind, way.strength),
                };
                let bore = self.asked.need(&part, Measure::Leak, None, usual);
                self.hole(bore, None)
            }
        })
    }

    /// Under a loose plate, over the face beside a passage and along the length of it.
    fn under_plate(&mut self, part: &PartName, ends: [Cavity; 2]) -> Made {
        let plate = &self.circuit.plates[&part.id];
        let gap = self.asked.need(part, Measure::Gap, plate.gap, GAP);
        let wall = self.asked.need(part, Measure::Wall, plate.wall, WALL);
        let passages = ends.into_iter().filter(|end| *end != SUMP_CAVITY);
        let edges: Vec<Length> = passages.map(|cavity| self.edge(cavity)).collect();
        // Two passages share no longer an edge than the shorter of them.
        let edge = edges
            .into_iter()
            .map(Length::m)
            .fold(f64::INFINITY, f64::min);
        boxed(Film::plate_edge(
            gap,
            Length::from_m(edge),
            wall,
            self.running.fluid,
        ))
    }

    fn edge(&mut self, cavity: Cavity) -> Length {
        let name = PartName::new(Kind::Passage, self.net.name(cavity));
        let given = self.circuit.passages[&name.id].length;
        self.asked.need(&name, Measure::Length, given, EDGE)
    }
}
