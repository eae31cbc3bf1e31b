//! The pieces that parts come apart into, each in its place.

use serde::Serialize;

use super::{Severity, Slip};
use crate::circuit::{
    BallKind, Circuit, Kind, Part, PartName, PlateKind, SUMP, SealSeat, SolenoidKind, Work,
};
use crate::net::Net;

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum PieceKind {
    /// A separator plate.
    Separator,
    /// A gasket.
    Gasket,
    /// A cover.
    Cover,
    /// A bridge cover.
    Bridge,
    /// A ball.
    Ball,
    /// A metering hole: an insert, or a drilling to be measured.
    Orifice,
    /// A ring, O-ring, grommet or lip.
    Seal,
    /// The spool of a valve.
    Spool,
    /// The spring of a valve, regulator, relief, sprung ball or accumulator.
    Spring,
    /// The bore plug of a valve.
    Plug,
    /// The clip or pin that holds a bore plug.
    Clip,
    /// The sleeve of a valve.
    Sleeve,
    /// The spool of a regulator.
    Regulator,
    /// The ball or piston of a relief.
    Relief,
    /// A solenoid with its connector.
    Solenoid,
    /// The piston of an accumulator with its seal.
    Accumulator,
    /// A filter or screen.
    Filter,
    /// The plug of a tap or of a drilling.
    TapPlug,
    /// A pressure switch.
    Switch,
}

/// One piece: where it goes and what it costs to get it wrong.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Piece {
    /// What it is.
    pub kind: PieceKind,
    /// The part that it is, or belongs to.
    pub part: PartName,
    /// The castings it lies in or on.
    pub castings: Vec<String>,
    /// The cavities around it, as the part names them; for what belongs to a valve, the cavity at
    /// its place where that is known.
    pub cavities: Vec<String>,
    /// The cover it lies under.
    pub under: Option<String>,
    /// Plates its hole or seat is in.
    pub through: Vec<String>,
    /// Diameter of its hole or seat, for pieces of a valve of the valve's bore, m.
    pub bore_m: Option<f64>,
    /// Pressure that lifts a sprung ball, Pa.
    pub lifts_at_pa: Option<f64>,
    /// Pressure that a regulator holds or a relief opens at, Pa; told at its spring, too.
    pub set_at_pa: Option<f64>,
    /// Bolts that hold it.
    pub bolts: Option<u32>,
    /// Tightening torque of each, N·m.
    pub torque_n_m: Option<f64>,
    /// Other pieces of its kind and size that can be taken for it.
    pub alike: Vec<PartName>,
    /// How bad the worst of its slips is.
    pub severity: Severity,
    /// What can go wrong with it in assembly, the worst first; empty where the catalogue has
    /// nothing for it.
    pub slips: Vec<Slip>,
}

/// The pieces that a part is, or comes apart into.
pub(super) fn pieces_of(kind: Kind, part: Part<'_>) -> Vec<PieceKind> {
    match part {
        Part::Plate(plate) => vec![match plate.kind {
            PlateKind::Separator => PieceKind::Separator,
            PlateKind::Gasket => PieceKind::Gasket,
            PlateKind::Cover => PieceKind::Cover,
            PlateKind::Bridge => PieceKind::Bridge,
        }],
        Part::Ball(ball) => match ball.kind {
            BallKind::OneWay {
                lifts_at: Some(_), ..
            } => vec![PieceKind::Ball, PieceKind::Spring],
            _ => vec![PieceKind::Ball],
        },
        Part::Regulator(_) => vec![PieceKind::Regulator, PieceKind::Spring],
        Part::Relief(_) => vec![PieceKind::Relief, PieceKind::Spring],
        Part::Orifice(_) => vec![PieceKind::Orifice],
        Part::Seal(_) => vec![PieceKind::Seal],
        Part::Solenoid(_) => vec![PieceKind::Solenoid],
        Part::Accumulator(_) => vec![PieceKind::Accumulator, PieceKind::Spring],
        Part::Tap(_) => vec![PieceKind::TapPlug],
        Part::Switch(_) => vec![PieceKind::Switch],
        Part::Through(_) if kind == Kind::Filter => vec![PieceKind::Filter],
        Part::Valve(valve) => {
            let mut pieces = vec![PieceKind::Spool];
            pieces.extend(valve.spring.as_ref().map(|_| PieceKind::Spring));
            pieces.extend(valve.plug.then_some(PieceKind::Plug));
            pieces.extend(valve.clip.then_some(PieceKind::Clip));
            pieces.extend(valve.sleeve.then_some(PieceKind::Sleeve));
            pieces
        }
        _ => Vec::new(),
    }
}

/// Separator plates and gaskets fit nowhere but where they belong, and nothing is known of the
/// threads of plugs and switches, of the size of filters, regulators, reliefs and their springs; what else is of one
/// size can be swapped.
pub(super) fn can_be_swapped(kind: PieceKind, part: &PartName) -> bool {
    let unknown = matches!(
        kind,
        PieceKind::Separator
            | PieceKind::Gasket
            | PieceKind::TapPlug
            | PieceKind::Switch
            | PieceKind::Filter
    );
    !unknown && !matches!(part.kind, Kind::Regulator | Kind::Relief)
}

/// What of a part has to agree for its pieces to be taken for another's.
pub(super) fn sized(circuit: &Circuit, part: &PartName) -> String {
    match circuit.get(part.kind, &part.id) {
        Some(Part::Plate(p)) => format!("{:?}", p.bolts),
        Some(Part::Ball(p)) => format!("{:?}", p.bore),
        Some(Part::Orifice(p)) => format!("{:?}", p.bore),
        Some(Part::Seal(p)) => p.kind.word().to_owned(),
        Some(Part::Valve(p)) => format!("{:?}", p.diameter),
        Some(Part::Solenoid(p)) => format!("{:?}", p.bore),
        _ => String::new(),
    }
}

/// A piece in its place.
pub(super) fn placed(net: &Net<'_>, kind: PieceKind, part: &PartName) -> Piece {
    let circuit = net.circuit();
    let mut piece = Piece {
        kind,
        part: part.clone(),
        castings: Vec::new(),
        cavities: Vec::new(),
        under: None,
        through: Vec::new(),
        bore_m: None,
        lifts_at_pa: None,
        set_at_pa: None,
        bolts: None,
        torque_n_m: None,
        alike: Vec::new(),
        severity: Severity::Nothing,
        slips: Vec::new(),
    };
    match circuit.get(part.kind, &part.id) {
        Some(Part::Plate(p)) => {
            piece.castings.clone_from(&p.faces);
            piece.cavities.clone_from(&p.roofs);
            let apart = p.separates.iter().flatten();
            piece.cavities.extend(apart.cloned());
            piece.bolts = p.bolts;
            piece.torque_n_m = p.torque.map(|t| t.n_m());
        }
        Some(Part::Ball(p)) => {
            piece.through.clone_from(&p.through);
            piece.under.clone_from(&p.under);
            piece.bore_m = p.bore.map(|b| b.m());
            match &p.kind {
                BallKind::OneWay { from, to, lifts_at } => {
                    piece.cavities = vec![from.clone(), to.clone()];
                    piece.lifts_at_pa = lifts_at.map(|p| p.pa());
                }
                BallKind::Shuttle { inlets, outlet } => {
                    piece.cavities = inlets.to_vec();
                    piece.cavities.push(outlet.clone());
                }
            }
        }
        Some(Part::Orifice(p)) => {
            piece.cavities = p.between.to_vec();
            piece.through.clone_from(&p.through);
            piece.under.clone_from(&p.under);
            piece.bore_m = p.bore.map(|b| b.m());
        }
        Some(Part::Seal(p)) => match &p.seat {
            SealSeat::Between(between) => piece.cavities = between.to_vec(),
            SealSeat::On(way) => {
                let way = circuit.find(way, &Kind::WAYS).ok();
                let ways = way.into_iter().flat_map(|way| net.ways_of(&way));
                let ends = ways.flat_map(|way| net.ways()[way.at()].ends);
                piece.cavities = ends.map(|c| net.name(c).to_owned()).collect();
            }
        },
        Some(Part::Valve(p)) => {
            piece.bore_m = p.diameter.map(|b| b.m());
            piece.cavities = match kind {
                PieceKind::Spring => p.spring.iter().cloned().collect(),
                PieceKind::Plug | PieceKind::Clip => p.bore.last().into_iter().cloned().collect(),
                _ => p.bore.clone(),
            };
        }
        Some(Part::Solenoid(p)) => {
            piece.bore_m = p.bore.map(|b| b.m());
            piece.cavities = match &p.kind {
                SolenoidKind::Bleed { on } => vec![on.clone()],
                SolenoidKind::TwoWay { between } => between.to_vec(),
                SolenoidKind::Plunger => Vec::new(),
            };
        }
        Some(Part::Accumulator(p)) => {
            piece.cavities = vec![p.at.clone()];
            piece.cavities.extend(p.back.clone());
        }
        Some(Part::Regulator(p)) => {
            piece.set_at_pa = p.at.map(|at| at.pa());
            piece.cavities = vec![p.holds.clone()];
            match &p.work {
                Work::Spills(to) => piece.cavities.extend(to.iter().cloned()),
                Work::Reduces(from) => piece.cavities.insert(0, from.clone()),
            }
            piece.cavities.extend(p.boost.keys().cloned());
        }
        Some(Part::Relief(p)) => {
            piece.set_at_pa = p.at.map(|at| at.pa());
            let to = p.to.clone().unwrap_or_else(|| SUMP.to_owned());
            piece.cavities = vec![p.on.clone(), to];
        }
        Some(Part::Through(p)) => {
            piece.cavities = p.between.to_vec();
            piece.bore_m = p.bore.map(|b| b.m());
        }
        Some(Part::Tap(p)) => piece.cavities = vec![p.at.clone()],
        Some(Part::Switch(p)) => piece.cavities = vec![p.at.clone()],
        _ => {}
    }
    let mut seen: Vec<String> = Vec::new();
    piece.cavities.retain(|cavity| {
        let new = !seen.contains(cavity);
        seen.push(cavity.clone());
        new
    });
    for cavity in piece.cavities.iter().filter(|c| *c != SUMP) {
        let passage = circuit.find(cavity, &[Kind::Passage]).ok();
        let body = passage.and_then(|name| circuit.passages.get(&name.id));
        if let Some(casting) = body.map(|p| p.casting.clone())
            && !piece.castings.contains(&casting)
        {
            piece.castings.push(casting);
        }
    }
    piece
}
