//! The steps of the oil, in words.

use super::Words;
use crate::answer::{Hop, Narrowest};
use crate::circuit::{BallKind, Kind, Outlet, Part, PartName, Seat, Work};
use crate::net::Strength;
use crate::report::page::Line;
use crate::units::Quantity;

impl Words<'_> {
    /// One step of the oil, as someone with a finger on the chart would tell it.
    pub(in crate::report) fn hop(&self, hop: &Hop) -> Line {
        let into = Line::from(" into ") + self.cavity(&hop.to);
        let mut line = self.crossing(hop) + into;
        if hop.to_casting != hop.from_casting
            && let Some(casting) = &hop.to_casting
        {
            line = line + ", in " + self.casting(casting);
        }
        if !hop.sure {
            line = line + ", if it stands open: that cannot be said";
        }
        line.capital()
    }

    /// The place of a way that lets least through.
    pub(in crate::report) fn narrow(&self, place: &Narrowest) -> Line {
        let part = self.part(&place.part);
        match (place.strength, place.bore_m) {
            (Strength::Leak, _) => Line::from("a leak at ") + part,
            (_, Some(bore)) => Line::from(format!("a {} hole, ", self.bore(bore))) + part,
            (_, None) => Line::from("a metering hole of unknown bore, ") + part,
        }
    }

    /// How the oil passes the part of a hop.
    fn crossing(&self, hop: &Hop) -> Line {
        let part = self.part(&hop.part);
        let bore = hop.bore_m.map(|m| self.bore(m));
        let body = self.circuit.get(hop.part.kind, &hop.part.id);
        let holes = match (&bore, hop.strength) {
            (Some(bore), Strength::Metered) => format!("a {bore} metering hole, "),
            (None, Strength::Metered) => "a metering hole, ".to_owned(),
            (Some(bore), _) => format!("a {bore} hole, "),
            (None, _) => String::new(),
        };
        match body {
            Some(Part::Port(_) | Part::Orifice(_)) => {
                let plates = hop.through.iter().map(|id| PartName::new(Kind::Plate, id));
                let plates: Vec<PartName> = plates.collect();
                let way = match &plates[..] {
                    [] => Line::from("through ") + holes + part,
                    plates => {
                        let crosses = Line::from("crosses ") + self.parts(plates);
                        crosses + (if holes.is_empty() { " at " } else { " by " }) + holes + part
                    }
                };
                match &hop.under {
                    Some(cover) => {
                        way + ", under " + self.part(&PartName::new(Kind::Plate, cover)) + ","
                    }
                    None => way + ",",
                }
            }
            Some(Part::Ball(ball)) => match &ball.kind {
                BallKind::OneWay {
                    lifts_at: Some(at), ..
                } => {
                    let at = at.show(self.units);
                    Line::from("lifts ") + part + " off its seat above " + at + ", and so"
                }
                BallKind::OneWay { .. } => Line::from("lifts ") + part + " off its seat and goes",
                BallKind::Shuttle { .. } => Line::from("pushes ") + part + " across and goes",
            },
            Some(Part::Valve(_)) => match &hop.position {
                Some(position) => {
                    Line::from("through ") + part + " standing in " + Line::id(position) + ","
                }
                None => Line::from("past the worn bore of ") + part,
            },
            Some(Part::Regulator(regulator)) => {
                let spills =
                    regulator.holds == hop.from && matches!(regulator.work, Work::Spills(_));
                part + if spills {
                    " spills what is too much"
                } else {
                    " lets just enough"
                }
            }
            Some(Part::Relief(_)) => part + " opens, and lets oil",
            Some(Part::Clearance(_)) => Line::from("leaks along ") + part,
            Some(Part::Solenoid(_)) => Line::from("through ") + part + ",",
            Some(Part::Plate(_)) => Line::from("through the gap at ") + part,
            Some(Part::Seal(_)) => Line::from("past ") + part,
            Some(Part::Passage(_)) => Line::from("through the wall of ") + part,
            Some(Part::Accumulator(_)) => Line::from("past the piston of ") + part,
            _ => Line::from("through ") + part + ",",
        }
    }

    /// What the oil does where a walk ends.
    pub(in crate::report) fn arrives(&self, part: &PartName) -> Option<Line> {
        let name = self.part(part);
        Some(match self.circuit.get(part.kind, &part.id)? {
            Part::Outlet(Outlet {
                seat: Seat::TwoSided { .. },
                ..
            }) => Line::from("It comes to the apply side of ") + name,
            Part::Outlet(outlet) if outlet.kind.by_pressure() => Line::from("It applies ") + name,
            Part::Outlet(_) => Line::from("It reaches ") + name,
            Part::Tap(_) => Line::from("A gauge in ") + name + " shows it",
            Part::Switch(_) => name.capital() + " feels it",
            Part::Through(_) => Line::from("It goes through ") + name,
            Part::Accumulator(_) => Line::from("It fills ") + name,
            _ => return None,
        })
    }
}
