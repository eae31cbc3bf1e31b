//! What the parts on the oil's way are there for.

use crate::answer::Hop;
use crate::circuit::{BallKind, Kind, Part, PartName, SUMP};
use crate::net::Strength;
use crate::report::page::Line;
use crate::report::words::Words;
use crate::units::Quantity;

impl Words<'_> {
    /// What a part is there for.
    pub(super) fn purpose(&self, hop: &Hop) -> Line {
        let from = self.cavity(&hop.from);
        match self.circuit.get(hop.part.kind, &hop.part.id) {
            _ if hop.strength == Strength::Leak => {
                " Nobody made this way: it is a leak, and lets by only a little.".into()
            }
            Some(Part::Orifice(_)) => {
                let roof = match &hop.under {
                    Some(_) => " The cover is the roof over this way: it must be tight.",
                    None => "",
                };
                Line::from(" The hole is small and lets only a little oil by at a time. So ")
                    + from
                    + " keeps its pressure even if something behind the hole leaks."
                    + roof
            }
            Some(Part::Port(_)) if hop.under.is_some() => {
                " The way is open. The cover is its roof and must be tight.".into()
            }
            Some(Part::Port(_)) if !hop.through.is_empty() => {
                " The way is open. It crosses a joint, so every plate and gasket there must have \
                 its hole in the right place."
                    .into()
            }
            Some(Part::Port(_)) => " The way is open: nothing holds the oil up.".into(),
            Some(Part::Ball(ball)) => match &ball.kind {
                BallKind::OneWay {
                    lifts_at: Some(_), ..
                } => " Below that pressure the ball stays shut: it is a way for too much.".into(),
                BallKind::OneWay { .. } => " The ball lets oil go this way and not back.".into(),
                BallKind::Shuttle { .. } => {
                    " The ball shuts the inlet that is lower, so one feed cannot run off through \
                     the other."
                        .into()
                }
            },
            Some(Part::Valve(_)) => {
                " Where the spool stands decides which ports are joined.".into()
            }
            Some(Part::Regulator(_)) if hop.from == SUMP => Line::default(),
            Some(Part::Regulator(regulator)) if regulator.holds == hop.from => {
                Line::from(
                    " What comes here is left over: when oil is short, it is short here \
                     before it is short in ",
                ) + from
                    + "."
            }
            Some(Part::Regulator(regulator)) => {
                let at = regulator
                    .at
                    .map(|at| format!(" of {}", at.show(self.units)));
                let at = at.unwrap_or_default();
                Line::from(format!(
                    " It holds a lower pressure{at} behind it, however high "
                )) + from
                    + " stands."
            }
            Some(Part::Relief(_)) => " It is a way for too much, shut below its pressure.".into(),
            Some(Part::Solenoid(_)) => " Current opens or shuts it.".into(),
            Some(Part::Through(_)) => match hop.part.kind {
                Kind::Filter => " It keeps dirt back, and must let all the oil by.".into(),
                Kind::Cooler => " The oil leaves its heat here.".into(),
                _ => " The oil does its work here and goes on.".into(),
            },
            _ => Line::default(),
        }
    }

    pub(super) fn back(&self, balls: &[PartName]) -> Line {
        match balls {
            [] => Line::default(),
            balls => {
                let balls = self.parts(balls);
                Line::from(" Beside it lies ")
                    + balls
                    + ", shut to oil that comes this way: by it the oil gets back out at once."
            }
        }
    }
}
