//! The reassembly map: every piece that lies on the bench, where it goes, and what goes wrong
//! where it does not get there.

use std::collections::HashMap;

use serde::Serialize;

use super::judged::judged;
use super::overnight::{Night, StandingCavity};
use super::piece::{Piece, PieceKind, can_be_swapped, pieces_of, placed, sized};
use super::sound::Sound;
use super::{Answer, Depth, Severity, Starve, Verdict, states};
use crate::circuit::{Circuit, Condition, Fault, Kind, PartName, State, Work};
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
    /// What it does in the other states that it harms, the worst first.
    pub also: Vec<SlipEffect>,
    /// What runs off overnight that should stay, or sooner than it should.
    pub overnight: Vec<SlipNight>,
}

/// What a slip does in some of the states: the worst of it in each.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SlipEffect {
    /// How bad it is.
    pub severity: Severity,
    /// The states, in file order.
    pub states: Vec<String>,
    /// The outlets behind it, in the order they are complained of.
    pub outlets: Vec<PartName>,
}

/// What a slip lets run off overnight, left in some of the states.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SlipNight {
    /// The cavities, in file order.
    pub cavities: Vec<String>,
    /// Whether they keep their oil in the sound circuit; where not, they run off sooner than there.
    pub kept: bool,
    /// The states, in file order.
    pub states: Vec<String>,
}

impl Slip {
    /// Whether nothing that is computed changes, overnight neither.
    #[must_use]
    pub fn is_harmless(&self) -> bool {
        self.severity == Severity::Nothing && self.overnight.is_empty()
    }
}

impl Answer for Reassemble {
    const NAME: &'static str = "reassemble";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Draws up the map: every plate, ball, metering hole, seal, spool, spring, plug, clip, sleeve,
/// regulator, relief, solenoid, accumulator, filter, switch and plug of a tap once, with what it costs in all states to
/// leave it out, loose or backwards, to swap it, or to put it in the wrong pocket, and what then runs off overnight
/// that should not.
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
            let kinds = pieces_of(name.kind, part).into_iter();
            kinds.map(move |kind| (kind, name.clone()))
        })
        .collect();
    let asked = states(circuit, None);
    let sound = Sound::of(net, asked.clone());
    let nights = sound.states.iter().zip(&asked);
    let nights = nights.map(|(sound, (_, state))| {
        let night = Night::of(state, &sound.stage, sound.settled.clone(), &[]);
        (*state, night)
    });
    let nights: Vec<(&State, Night<'_>)> = nights.collect();
    let faults = circuit.faults();
    let mut known: HashMap<&Fault, Slip> = HashMap::new();
    let mut pieces = Vec::new();
    for (kind, name) in &found {
        let slips = faults
            .iter()
            .filter(|fault| is_slip(circuit, *kind, name, fault));
        let mut slips: Vec<Slip> = slips
            .map(|fault| {
                let slip = known
                    .entry(fault)
                    .or_insert_with(|| slip(net, &sound, &nights, fault));
                slip.clone()
            })
            .collect();
        slips.sort_by_key(|slip| (slip.severity, slip.overnight.is_empty()));
        let worst = slips.first().map(|slip| slip.severity);
        let size = |part: &PartName| sized(circuit, part);
        let alike = found.iter().filter(|(k, other)| {
            let same = k == kind && other.kind == name.kind && size(other) == size(name);
            same && other != name && can_be_swapped(*kind, name)
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
    let harmless = |piece: &Piece| piece.slips.iter().all(Slip::is_harmless);
    pieces.sort_by_key(|piece| (piece.severity, harmless(piece), piece.kind));
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
/// out or swapped for a wider one is oversize. The spring of a regulator works against the pressure
/// that moves it: without, one that spills stands open, as a relief does, and one that reduces
/// stands shut.
fn is_slip(circuit: &Circuit, kind: PieceKind, part: &PartName, fault: &Fault) -> bool {
    use Condition as C;
    let own = fault.part == *part;
    let swapped_with = |other: &String| fault.part.kind == part.kind && *other == part.id;
    match (kind, &fault.condition) {
        (PieceKind::Spring, C::SpringSwapped(other)) => own || swapped_with(other),
        (PieceKind::Solenoid, C::Swapped(other)) => own || swapped_with(other),
        _ if !own => false,
        (PieceKind::Spring, C::StuckOpen | C::StuckShut) => {
            let regulator = circuit.regulators.get(&part.id);
            let regulator = regulator.filter(|_| part.kind == Kind::Regulator);
            let reduces = regulator.is_some_and(|r| matches!(r.work, Work::Reduces(_)));
            (fault.condition == C::StuckShut) == reduces
        }
        (PieceKind::Spring, C::SpringBroken)
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

fn slip(net: &Net<'_>, sound: &Sound<'_>, nights: &[(&State, Night<'_>)], fault: &Fault) -> Slip {
    let faults = std::slice::from_ref(fault);
    let mut overnight: Vec<SlipNight> = Vec::new();
    let states = sound
        .states
        .iter()
        .zip(nights)
        .map(|(sound, (state, night))| {
            let stage = sound.stage.with(faults);
            let settled = settle(&stage);
            let told = judged(sound, &stage, &settled, |_| false);
            let now = Night::of(state, &stage, settled, faults);
            runs_off(&mut overnight, sound.id, &now.cavities(night));
            told
        });
    let answer = Starve {
        faults: vec![net.circuit().say(fault)],
        depth: Depth::Settle,
        states: states.collect(),
    };
    let mut effects = effects(&answer).into_iter();
    let worst = effects.next();
    let (states, outlets) = worst.map_or_else(Default::default, |w| (w.states, w.outlets));
    Slip {
        severity: Severity::of(net, &answer),
        states,
        outlets,
        also: effects.collect(),
        overnight,
        fault: answer.faults.concat(),
    }
}

/// Adds what runs off in the night after one state and should not.
fn runs_off(overnight: &mut Vec<SlipNight>, state: Option<&str>, cavities: &[StandingCavity]) {
    for kept in [true, false] {
        let worse = cavities
            .iter()
            .filter(|c| c.is_worse() && c.sound.is_none() == kept);
        let cavities: Vec<String> = worse.map(|c| c.cavity.clone()).collect();
        let states = state.map(str::to_owned);
        let mut known = overnight.iter_mut();
        match known.find(|n| n.kept == kept && n.cavities == cavities) {
            _ if cavities.is_empty() => {}
            Some(known) => known.states.extend(states),
            None => overnight.push(SlipNight {
                cavities,
                kept,
                states: states.into_iter().collect(),
            }),
        }
    }
    overnight.sort_by_key(|night| !night.kept);
}

/// What the worst is in each state that is harmed, states with the same together, the worst first.
fn effects(answer: &Starve) -> Vec<SlipEffect> {
    let mut effects: Vec<SlipEffect> = Vec::new();
    for state in &answer.states {
        let severity = Severity::in_state(state);
        if severity == Severity::Nothing {
            continue;
        }
        let known = effects.iter().position(|e| e.severity == severity);
        let at = known.unwrap_or_else(|| {
            effects.push(SlipEffect {
                severity,
                states: Vec::new(),
                outlets: Vec::new(),
            });
            effects.len() - 1
        });
        let effect = &mut effects[at];
        effect.states.extend(state.state.clone());
        let complaints = state.complaints.iter();
        let behind = complaints.filter(|c| Severity::from(c.what) == severity);
        let undecided = severity == Severity::Undecided;
        let open = state.outlets.iter();
        let open = open.filter(|o| undecided && o.verdict == Verdict::Undecided);
        for outlet in behind
            .flat_map(|c| &c.outlets)
            .chain(open.map(|o| &o.outlet))
        {
            if !effect.outlets.contains(outlet) {
                effect.outlets.push(outlet.clone());
            }
        }
    }
    effects.sort_by_key(|effect| effect.severity);
    effects
}
