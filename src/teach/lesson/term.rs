//! The words of the trade that a lesson uses.

use serde::Serialize;

use super::{LessonStep, StepAt};
use crate::circuit::{BallKind, Circuit, Kind, Part, PlateKind};

/// A word of the trade that whoever reads a lesson must know.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Term {
    /// Where everything ends.
    Sump,
    /// A volume of oil at one pressure.
    Cavity,
    /// A body with passages in it.
    Casting,
    /// What makes pressure.
    Pump,
    /// What holds a pressure.
    Regulator,
    /// An open way.
    Port,
    /// A metered way.
    MeteringHole,
    /// A running fit that leaks.
    Clearance,
    /// A one-way ball.
    CheckBall,
    /// A ball between two inlets.
    ShuttleBall,
    /// A spool in a bore.
    Valve,
    /// An electric valve.
    Solenoid,
    /// A drilled plate between two castings.
    SeparatorPlate,
    /// A gasket.
    Gasket,
    /// A cover whose hollow carries oil.
    Cover,
    /// A ring, O-ring, grommet or lip.
    Seal,
    /// A filter or screen.
    Filter,
    /// A torque converter.
    Converter,
    /// An oil cooler.
    Cooler,
    /// What the oil is for.
    Outlet,
    /// Without oil.
    Starved,
}

/// The words that some steps use, in the order of the list.
pub(super) fn of(circuit: &Circuit, steps: &[LessonStep]) -> Vec<Term> {
    let mut terms = vec![
        Term::Sump,
        Term::Cavity,
        Term::Casting,
        Term::Outlet,
        Term::Starved,
    ];
    let suction = steps.iter().flat_map(|step| match &step.at {
        StepAt::Source { suction, .. } => suction.iter().map(|hop| &hop.part).collect(),
        _ => Vec::new(),
    });
    let parts = steps.iter().flat_map(|step| &step.parts).chain(suction);
    terms.extend(parts.filter_map(|part| term(circuit.get(part.kind, &part.id)?, part.kind)));
    terms.sort_unstable();
    terms.dedup();
    terms
}

fn term(part: Part<'_>, kind: Kind) -> Option<Term> {
    Some(match (part, kind) {
        (Part::Source(_), _) => Term::Pump,
        (Part::Regulator(_), _) => Term::Regulator,
        (Part::Port(_), _) => Term::Port,
        (Part::Orifice(_), _) => Term::MeteringHole,
        (Part::Clearance(_), _) => Term::Clearance,
        (Part::Ball(ball), _) => match &ball.kind {
            BallKind::OneWay { .. } => Term::CheckBall,
            BallKind::Shuttle { .. } => Term::ShuttleBall,
        },
        (Part::Valve(_), _) => Term::Valve,
        (Part::Solenoid(_), _) => Term::Solenoid,
        (Part::Plate(plate), _) => match plate.kind {
            PlateKind::Separator => Term::SeparatorPlate,
            PlateKind::Gasket => Term::Gasket,
            PlateKind::Cover | PlateKind::Bridge => Term::Cover,
        },
        (Part::Seal(_), _) => Term::Seal,
        (Part::Through(_), Kind::Filter) => Term::Filter,
        (Part::Through(_), Kind::Converter) => Term::Converter,
        (Part::Through(_), Kind::Cooler) => Term::Cooler,
        _ => return None,
    })
}
