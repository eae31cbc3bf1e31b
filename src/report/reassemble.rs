//! The reassembly map, in words.

use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{Piece, PieceKind, Reassemble, Severity, Slip};
use crate::circuit::PartName;
use crate::units::{Pressure, Quantity, Torque};

/// Parts in a sentence at most.
const NAMED: usize = 3;

/// The map: how many of what, what goes wrong with which piece, and where each piece goes.
#[must_use]
pub fn reassemble(answer: &Reassemble, words: &Words<'_>) -> Page {
    let map = Drawn { answer, words };
    let mut blocks = vec![Block::Lead(map.lead())];
    map.slips(&mut blocks);
    map.places(&mut blocks);
    blocks.push(Block::Note(
        "Each slip was taken alone, in every state. Missing means what the fault named does: a \
         spring left out counts as broken, a seal left out as cut, a metering hole left out or \
         swapped for a wider one as oversize."
            .into(),
    ));
    blocks.push(Block::Note(words::depth(answer.depth)));
    blocks.push(Block::Note(
        "Torques, sizes and the order of tightening: the maker's service manual decides, not this \
         list. Torques here are as the circuit file has them."
            .into(),
    ));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Drawn<'a> {
    answer: &'a Reassemble,
    words: &'a Words<'a>,
}

/// What a kind of piece is called: one, and several.
fn called(kind: PieceKind) -> (&'static str, &'static str) {
    match kind {
        PieceKind::Separator => ("separator plate", "separator plates"),
        PieceKind::Gasket => ("gasket", "gaskets"),
        PieceKind::Cover => ("cover", "covers"),
        PieceKind::Bridge => ("bridge cover", "bridge covers"),
        PieceKind::Ball => ("ball", "balls"),
        PieceKind::Orifice => ("metering hole", "metering holes"),
        PieceKind::Seal => ("seal", "seals"),
        PieceKind::Spool => ("spool", "spools"),
        PieceKind::Spring => ("spring", "springs"),
        PieceKind::Plug => ("bore plug", "bore plugs"),
        PieceKind::Clip => ("clip", "clips"),
        PieceKind::Sleeve => ("sleeve", "sleeves"),
        PieceKind::Solenoid => ("solenoid", "solenoids"),
        PieceKind::Accumulator => ("accumulator", "accumulators"),
        PieceKind::TapPlug => ("tap plug", "tap plugs"),
    }
}

fn counted(count: usize, kind: PieceKind) -> String {
    let (one, several) = called(kind);
    format!("{count} {}", if count == 1 { one } else { several })
}

impl<'a> Drawn<'a> {
    fn lead(&self) -> Line {
        let counts = self.answer.counts.iter();
        let total: usize = counts.clone().map(|c| c.count).sum();
        if total == 0 {
            return "No pieces to put back: the file has none that come loose.".into();
        }
        let counts = counts.map(|c| counted(c.count, c.kind).into());
        let s = if total == 1 { "" } else { "s" };
        Line::from(format!("{total} piece{s} to put back: ")) + Line::list(counts, "and") + "."
    }

    /// What goes wrong, the worst first: slips that do the same in the same states together.
    fn slips(&self, blocks: &mut Vec<Block>) {
        let mut seen: Vec<&str> = Vec::new();
        let mut outcomes: Vec<(&Slip, Vec<&str>)> = Vec::new();
        for slip in self.answer.pieces.iter().flat_map(|piece| &piece.slips) {
            if slip.severity == Severity::Nothing || seen.contains(&slip.fault.as_str()) {
                continue;
            }
            seen.push(&slip.fault);
            let of = |slip: &Slip| (slip.severity, slip.states.clone(), slip.outlets.clone());
            match outcomes.iter_mut().find(|(known, _)| of(known) == of(slip)) {
                Some((_, faults)) => faults.push(&slip.fault),
                None => outcomes.push((slip, vec![&slip.fault])),
            }
        }
        outcomes.sort_by_key(|(slip, _)| slip.severity);
        for alike in outcomes.chunk_by(|a, b| a.0.severity == b.0.severity) {
            let severity = words::severity(alike[0].0.severity);
            blocks.push(Block::Heading(severity.capital() + ", if"));
            let items = alike.iter().map(|(slip, faults)| {
                let faults = Line::list(faults.iter().map(|f| Line::id(f)), "or");
                faults + self.outcome(slip) + "."
            });
            blocks.push(Block::List(items.collect()));
        }
        let mut harmless: Vec<&str> = Vec::new();
        for slip in self.answer.pieces.iter().flat_map(|piece| &piece.slips) {
            if slip.severity == Severity::Nothing && !harmless.contains(&slip.fault.as_str()) {
                harmless.push(&slip.fault);
            }
        }
        if !harmless.is_empty() {
            let faults = harmless.iter().map(|fault| Line::id(fault));
            blocks.push(Block::Text(
                Line::from("Alone these change nothing that is computed here: ")
                    + Line::list(faults, "and")
                    + ".",
            ));
        }
        let silent: Vec<&Piece> = (self.answer.pieces.iter())
            .filter(|p| p.slips.is_empty())
            .collect();
        if !silent.is_empty() {
            blocks.push(Block::Text(
                Line::from("No slip in the catalogue: ") + self.listed(&silent) + ".",
            ));
        }
    }

    fn listed(&self, pieces: &[&Piece]) -> Line {
        let items = pieces.iter().map(|piece| {
            let of = match piece.kind {
                PieceKind::Spool
                | PieceKind::Spring
                | PieceKind::Plug
                | PieceKind::Clip
                | PieceKind::Sleeve => " of ",
                _ => " ",
            };
            Line::from(called(piece.kind).0) + of + self.words.typed(&piece.part)
        });
        Line::list(items, "and")
    }

    /// Where it shows, and on what: `: pto-bearing in every state`.
    fn outcome(&self, slip: &Slip) -> Line {
        let all: Vec<&str> = self
            .words
            .circuit
            .states
            .keys()
            .map(String::as_str)
            .collect();
        let states: Vec<&str> = slip.states.iter().map(String::as_str).collect();
        let states = match states.is_empty() {
            true => Line::default(),
            false => words::in_states(&states, &all),
        };
        match slip.outlets.is_empty() {
            true if states.is_empty() => states,
            true => Line::from(":") + states,
            false => Line::from(": ") + self.parts(&slip.outlets) + states,
        }
    }

    fn parts(&self, parts: &[PartName]) -> Line {
        Line::few(parts.iter().map(|p| self.words.typed(p)), NAMED, "and")
    }

    /// Where each piece goes, kind by kind.
    fn places(&self, blocks: &mut Vec<Block>) {
        for count in &self.answer.counts {
            let mut pieces: Vec<&Piece> = (self.answer.pieces.iter())
                .filter(|piece| piece.kind == count.kind)
                .collect();
            // As in the file, so that the list can be ticked off along it.
            let place = |piece: &&Piece| {
                let mut ids = self.words.circuit.ids(piece.part.kind);
                ids.position(|id| id == piece.part.id)
            };
            pieces.sort_by_key(place);
            let heading = counted(count.count, count.kind);
            blocks.push(Block::Heading(heading.into()));
            let rows = pieces.iter().map(|piece| {
                vec![
                    self.words.typed(&piece.part),
                    self.place(piece),
                    self.size(piece),
                    match piece.alike.len() {
                        0 => Line::default(),
                        n => n.to_string().into(),
                    },
                ]
            });
            let head = &["part", "place", "size", "alike"];
            blocks.push(Block::table(head, rows.collect()));
        }
    }

    fn place(&self, piece: &Piece) -> Line {
        let ids = |ids: &[String]| Line::list(ids.iter().map(|id| Line::id(id)), "and");
        let mut place = ids(&piece.castings) + ": " + ids(&piece.cavities);
        if piece.castings.is_empty() {
            place = ids(&piece.cavities);
        }
        if !piece.through.is_empty() {
            place = place + "; through " + ids(&piece.through);
        }
        if let Some(under) = &piece.under {
            place = place + "; under " + Line::id(under);
        }
        place
    }

    fn size(&self, piece: &Piece) -> Line {
        let mut sizes: Vec<String> = Vec::new();
        sizes.extend(piece.bore_m.map(|m| self.words.bore(m)));
        sizes.extend(piece.lifts_at_pa.map(|pa| {
            let lifts = Pressure::from_pa(pa).show(self.words.units);
            format!("lifts at {lifts}")
        }));
        sizes.extend(piece.bolts.map(|n| words::plural(n as usize, "bolt")));
        sizes.extend(
            piece
                .torque_n_m
                .map(|t| Torque::from_n_m(t).show(self.words.units)),
        );
        sizes.join(", ").into()
    }
}
