//! The reassembly map: every piece that lies on the bench, where it goes, and what goes wrong
//! where it does not get there.

use std::collections::HashMap;

use serde::Serialize;

use super::judged::judged;
use super::piece::{Piece, PieceKind, can_be_swapped, pieces_of, placed, sized};
use super::sound::Sound;
use super::{Answer, Depth, Severity, Starve, StarveState, Verdict, states};
use crate::circuit::{Condition, Fault, PartName};
use crate::net::Net;
use crate::settle::settle;

/// Every piece of a control block on the bench, the worst to get wrong first.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Reassemble {
    /// How deep the answer looks.
    pub depth: Depth,
    /// How many pieces of each kind there are.
    pub counts: Vec<PieceCount>,
    /// The pieces, the worst to get wrong first, then kind by kind in file order.
    pub pieces: Vec<Piece>,
}

/// How many pieces of a kind there are.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PieceCount {
    /// The kind of piece.
    pub kind: PieceKind,
    /// How many.
    pub count: usize,
}

/// One way to get a piece wrong, and what comes of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Slip {
    /// The fault, as a reader would type it.
    pub fault: String,
    /// How bad the worst of it is.
    pub severity: Severity,
    /// The states in which it is that bad; empty where nothing changes.
    pub states: Vec<String>,
    /// The outlets behind the worst, in the order they are complained of.
    pub outlets: Vec<PartName>,
}

impl Answer for Reassemble {
    const NAME: &'static str = "reassemble";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Draws up the map: every plate, ball, metering hole, seal, spool, spring, plug, clip, sleeve,
/// solenoid, accumulator and plug of a tap once, with what it costs in all states to leave it out, loose or
/// backwards, to swap it, or to put it in the wrong pocket.
///
/// ```
/// use oilpath::{answer::{self, PieceKind, Severity}, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "hollow"] }
///     [source]
///     pump = { feeds = "line" }
///     [plate]
///     small-cover = { kind = "cover", roofs = ["hollow"], bolts = 2 }
///     [orifice]
///     hop = { between = ["line", "hollow"], under = "small-cover", hole-at = "line" }
///     [outlet]
///     bearing = { kind = "bearing", at = "hollow" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let map = answer::reassemble(&net);
/// let cover = &map.pieces[0];
/// assert_eq!((cover.kind, cover.severity), (PieceKind::Cover, Severity::RunsDry));
/// assert_eq!(cover.slips[0].fault, "small-cover:loose");
/// ```
#[must_use]
pub fn reassemble(net: &Net<'_>) -> Reassemble {
    let circuit = net.circuit();
    let found: Vec<(PieceKind, PartName)> = circuit
        .parts()
        .flat_map(|(name, part)| {
            let kinds = pieces_of(part).into_iter();
            kinds.map(move |kind| (kind, name.clone()))
        })
        .collect();
    let sound = Sound::of(net, states(circuit, None));
    let faults = circuit.faults();
    let mut known: HashMap<&Fault, Slip> = HashMap::new();
    let mut pieces = Vec::new();
    for (kind, name) in &found {
        let slips = faults.iter().filter(|fault| is_slip(*kind, name, fault));
        let mut slips: Vec<Slip> = slips
            .map(|fault| {
                let slip = known
                    .entry(fault)
                    .or_insert_with(|| slip(net, &sound, fault));
                slip.clone()
            })
            .collect();
        slips.sort_by_key(|slip| slip.severity);
        let worst = slips.first().map(|slip| slip.severity);
        let size = |part: &PartName| sized(circuit, part);
        let alike = found.iter().filter(|(k, other)| {
            k == kind && other != name && can_be_swapped(*kind) && size(other) == size(name)
        });
        let alike = alike.map(|(_, other)| other.clone()).collect();
        let severity = worst.unwrap_or(Severity::Nothing);
        pieces.push(Piece {
            alike,
            severity,
            slips,
            ..placed(net, *kind, name)
        });
    }
    pieces.sort_by_key(|piece| (piece.severity, piece.kind));
    let mut counts: Vec<PieceCount> = Vec::new();
    let mut kinds: Vec<PieceKind> = found.iter().map(|(kind, _)| *kind).collect();
    kinds.sort_unstable();
    for kind in kinds.chunk_by(|a, b| a == b) {
        counts.push(PieceCount {
            kind: kind[0],
            count: kind.len(),
        });
    }
    Reassemble {
        depth: Depth::Settle,
        counts,
        pieces,
    }
}

/// Whether a fault is a slip of assembly with that piece of a part: left out, loose, backwards,
/// swapped, in the wrong pocket. A swap is one with either part; a missing spring does what a
/// broken one does, a missing seal of an accumulator or
/// a solenoid what a cut one does, and a metering hole left
/// out or swapped for a wider one is oversize.
fn is_slip(kind: PieceKind, part: &PartName, fault: &Fault) -> bool {
    use Condition as C;
    let own = fault.part == *part;
    let swapped_with = |other: &String| fault.part.kind == part.kind && *other == part.id;
    match (kind, &fault.condition) {
        (PieceKind::Spring, C::SpringSwapped(other)) => own || swapped_with(other),
        (PieceKind::Solenoid, C::Swapped(other)) => own || swapped_with(other),
        _ if !own => false,
        (PieceKind::Spring | PieceKind::Accumulator, C::SpringBroken)
        | (PieceKind::Accumulator, C::Cut)
        | (PieceKind::Solenoid, C::SealCut)
        | (PieceKind::Spool, C::Backwards)
        | (PieceKind::Plug, C::PlugOut)
        | (PieceKind::Clip, C::ClipOut)
        | (PieceKind::Orifice, C::Oversize) => true,
        (
            PieceKind::Spool
            | PieceKind::Spring
            | PieceKind::Plug
            | PieceKind::Clip
            | PieceKind::Sleeve,
            _,
        ) => false,
        (_, condition) => matches!(
            condition,
            C::Loose | C::LeftOut | C::Wrong(_) | C::Misplaced(_)
        ),
    }
}

fn slip(net: &Net<'_>, sound: &Sound<'_>, fault: &Fault) -> Slip {
    let states = sound.states.iter().map(|sound| {
        let stage = sound.stage.with(std::slice::from_ref(fault));
        judged(sound, &stage, &settle(&stage), |_| false)
    });
    let answer = Starve {
        faults: vec![net.circuit().say(fault)],
        depth: Depth::Settle,
        states: states.collect(),
    };
    let worst = answer.states.iter().map(Severity::in_state).min();
    let worst = worst.unwrap_or(Severity::Nothing);
    let is_worst =
        |state: &&StarveState| worst < Severity::Nothing && Severity::in_state(state) == worst;
    let states = answer.states.iter().filter(is_worst);
    let mut outlets: Vec<PartName> = Vec::new();
    for state in states.clone() {
        let complaints = state.complaints.iter();
        let behind = complaints.filter(|c| Severity::from(c.what) == worst);
        let open = state
            .outlets
            .iter()
            .filter(|o| worst == Severity::Undecided && o.verdict == Verdict::Undecided);
        let open = open.map(|o| &o.outlet);
        for outlet in behind.flat_map(|c| &c.outlets).chain(open) {
            if !outlets.contains(outlet) {
                outlets.push(outlet.clone());
            }
        }
    }
    Slip {
        severity: Severity::of(net, &answer),
        states: states.filter_map(|s| s.state.clone()).collect(),
        outlets,
        fault: answer.faults.concat(),
    }
}
