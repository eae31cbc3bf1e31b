//! The law of each way of the circuit.

use super::{Laying, Unsized};
use crate::circuit::{Ball, BallKind, Clearance, Condition, Kind, Level, PartName, Through};
use crate::flow::law::{Film, Hole, Law, OneWay, Orifice, Rated, Rating, SEATED_LEAK, Shuttle};
use crate::flow::size::SizeError;
use crate::flow::sizes::Measure;
use crate::net::{Drive, WayId};
use crate::units::{Length, Pressure};

pub(super) const fn mm(mm: f64) -> Length {
    Length::from_m(mm / 1e3)
}

/// Stand-ins for sizes that a file does not give: of the order of what is found in gearboxes of
/// cars and light lorries (`common practice, no source`).
const PORT: Length = mm(8.0);
const ORIFICE: Length = mm(1.5);
const BALL_SEAT: Length = mm(5.0);
const OPENING: Length = mm(6.0);
const SOLENOID_SEAT: Length = mm(1.5);
const THROUGH: Length = mm(8.0);
const FIT: [Length; 3] = [mm(20.0), mm(0.05), mm(10.0)];
pub(super) type Made = Result<Box<dyn Law>, Unsized>;

pub(super) fn boxed<L: Law + 'static>(law: Result<L, SizeError>) -> Made {
    Ok(Box::new(law?))
}

/// The part of the loss of a filter's cloth, a converter or a cooler's tubes that goes with
/// viscosity (`common practice, no source`).
fn viscous(kind: Kind) -> f64 {
    match kind {
        Kind::Filter => 1.0,
        Kind::Cooler => 0.5,
        _ => 0.0,
    }
}

impl Laying<'_> {
    /// The law of a way of the circuit; none where nothing passes.
    pub(super) fn law_of_way(&mut self, id: WayId) -> Option<Made> {
        let way = &self.net.ways()[id.at()];
        let part = self.net.part(way).clone();
        let setting = self.scene.setting(id);
        let bared = setting.bared();
        if self.standing.stage.shuts(id) || !(setting.sure() || self.standing.doubtful_open) {
            return None;
        }
        let circuit = self.circuit;
        Some(match part.kind {
            Kind::Port | Kind::Orifice if bared => {
                let usual = way.bore.unwrap_or(ORIFICE);
                let wide = match self.is(&part, |c| *c == Condition::Oversize) {
                    true => Length::from_m(1.5 * usual.m()),
                    false => PORT,
                };
                let bore = self.asked.need(&part, Measure::Wide, None, wide);
                self.hole(bore, None)
            }
            Kind::Port => {
                let port = &circuit.ports[&part.id];
                let bore = self.asked.need(&part, Measure::Bore, port.bore, PORT);
                let thickness = self.thickness(&part, port.thickness, &port.through);
                self.hole(bore, thickness)
            }
            Kind::Orifice => {
                let orifice = &circuit.orifices[&part.id];
                let bore = self.asked.need(&part, Measure::Bore, orifice.bore, ORIFICE);
                let thickness = self.thickness(&part, orifice.thickness, &orifice.through);
                self.hole(bore, thickness)
            }
            Kind::Clearance => {
                let [diameter, gap, length] = self.fit(&part, &circuit.clearances[&part.id]);
                boxed(Film::annulus(
                    diameter,
                    gap,
                    0.0,
                    length,
                    self.running.fluid,
                ))
            }
            Kind::Ball => self.ball(&part, &circuit.balls[&part.id], bared),
            Kind::Valve => {
                setting.strength()?;
                let valve = &circuit.valves[&part.id];
                let bore = way.bore.unwrap_or_else(|| {
                    self.asked
                        .need(&part, Measure::Opening, valve.opening, OPENING)
                });
                self.hole(bore, None)
            }
            Kind::Solenoid => {
                let bore = self.solenoid_opening(&part)?;
                self.hole(bore, None)
            }
            Kind::Filter => self.through(&part, &circuit.filters[&part.id]),
            Kind::Converter => self.through(&part, &circuit.converters[&part.id]),
            Kind::Cooler => self.through(&part, &circuit.coolers[&part.id]),
            // What regulators do is laid with the other controls.
            _ => return None,
        })
    }

    pub(super) fn hole(&self, bore: Length, thickness: Option<Length>) -> Made {
        boxed(self.orifice(bore, thickness))
    }

    /// A hole of no known thickness is sharp-edged.
    pub(super) fn orifice(
        &self,
        bore: Length,
        thickness: Option<Length>,
    ) -> Result<Orifice, SizeError> {
        let thickness = thickness.unwrap_or(mm(0.0));
        Orifice::new(Hole::drilled(bore, thickness), self.running.fluid)
    }

    /// How long a hole is: as said of it, else as thick as the plates it goes through.
    fn thickness(
        &mut self,
        part: &PartName,
        given: Option<Length>,
        plates: &[String],
    ) -> Option<Length> {
        let circuit = self.circuit;
        let plates = plates.iter().filter_map(|plate| {
            let plate = circuit.find(plate, &[Kind::Plate]).ok()?;
            circuit.plates[&plate.id].thickness
        });
        let stack = plates.map(Length::m).reduce(|a, b| a + b);
        let given = given.or(stack.map(Length::from_m));
        self.asked.may(part, Measure::Thickness, given)
    }

    /// A ball that settling found off its seat lets oil both ways; a shuttle pressed on one still
    /// opens to whatever outweighs its outlet.
    fn ball(&mut self, part: &PartName, ball: &Ball, bared: bool) -> Made {
        let bore = self.asked.need(part, Measure::Bore, ball.bore, BALL_SEAT);
        let seat = self.orifice(bore, None)?;
        if bared {
            return Ok(Box::new(seat));
        }
        match &ball.kind {
            BallKind::OneWay { lifts_at, .. } => {
                let lifts_at = self.asked.may(part, Measure::LiftsAt, *lifts_at);
                let lifts_at = lifts_at.unwrap_or(Pressure::from_pa(0.0));
                boxed(OneWay::new(seat, lifts_at, SEATED_LEAK))
            }
            BallKind::Shuttle { .. } => {
                boxed(Shuttle::new(seat, SEATED_LEAK).map(|shuttle| shuttle.inlet()))
            }
        }
    }

    /// Diameter, play on the radius and length of a fit.
    pub(super) fn fit(&mut self, part: &PartName, fit: &Clearance) -> [Length; 3] {
        let [diameter, gap, length] = FIT;
        [
            self.asked
                .need(part, Measure::Diameter, fit.diameter, diameter),
            self.asked.need(part, Measure::Gap, fit.gap, gap),
            self.asked.need(part, Measure::Length, fit.length, length),
        ]
    }

    /// The hole a solenoid opens, driven as it is; none where it is shut.
    fn solenoid_opening(&mut self, part: &PartName) -> Option<Length> {
        let (number, _, solenoid) = self.circuit.solenoids.get_full(&part.id)?;
        let current = match self.standing.stage.drives().solenoids[number] {
            Drive::Off => 0.0,
            Drive::On => 1.0,
            // Its level in the words of the circuit, as parts of full.
            Drive::At(level) => f64::from(level as u8) / f64::from(Level::Full as u8),
        };
        let open = match solenoid.normally_open {
            true => 1.0 - current,
            false => current,
        };
        if open == 0.0 {
            return None;
        }
        let bore = self
            .asked
            .need(part, Measure::Bore, solenoid.bore, SOLENOID_SEAT);
        if open == 1.0 {
            return Some(bore);
        }
        let mean = Length::from_m(bore.m() * f64::sqrt(open));
        Some(
            self.asked
                .need(part, Measure::Driven, solenoid.driven, mean),
        )
    }

    fn through(&mut self, part: &PartName, through: &Through) -> Made {
        match (
            through.bore,
            through.passes,
            through.drop,
            through.passes_at,
        ) {
            (None, Some(flow), Some(drop), Some(at)) => {
                let rating = Rating {
                    flow,
                    drop,
                    with: self.running.oil.at(at)?,
                    viscous: viscous(part.kind),
                };
                boxed(Rated::new(rating, self.running.fluid))
            }
            (bore, ..) => {
                let bore = self.asked.need(part, Measure::Bore, bore, THROUGH);
                self.hole(bore, None)
            }
        }
    }
}
