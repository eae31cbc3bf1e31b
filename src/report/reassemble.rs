//! The reassembly map, in words.

use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{Piece, PieceKind, Reassemble, Severity, Slip};
use crate::circuit::PartName;
use crate::units::{Pressure, Quantity, Torque};

/// Slips of one piece told in full; more of the same kind are counted.
const TOLD: usize = 3;

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

    /// What goes wrong, the worst first.
    fn slips(&self, blocks: &mut Vec<Block>) {
        let mut told: Vec<(Severity, Vec<Vec<Line>>)> = Vec::new();
        let mut seen: Vec<&str> = Vec::new();
        for piece in &self.answer.pieces {
            for severity in piece.slips.chunk_by(|a, b| a.severity == b.severity) {
                let new = severity
                    .iter()
                    .filter(|s| !seen.contains(&s.fault.as_str()));
                let new: Vec<&Slip> = new.collect();
                seen.extend(new.iter().map(|s| s.fault.as_str()));
                let of = severity[0].severity;
                if new.is_empty() || of == Severity::Nothing {
                    continue;
                }
                let rows = self.rows(&new);
                match told.iter_mut().find(|(known, _)| *known == of) {
                    Some((_, all)) => all.extend(rows),
                    None => told.push((of, rows)),
                }
            }
        }
        told.sort_by_key(|(severity, _)| *severity);
        for (severity, rows) in told {
            let heading = Line::from("If so: ") + words::severity(severity);
            blocks.push(Block::Heading(heading));
            blocks.push(Block::table(&["if", "in", "what"], rows));
        }
        let harmless = self.answer.pieces.iter();
        let harmless: Vec<&Piece> = harmless
            .filter(|p| p.severity == Severity::Nothing && !p.slips.is_empty())
            .collect();
        if !harmless.is_empty() {
            blocks.push(Block::Text(
                Line::from("Wrong alone, these take oil from nothing and give it to nothing: ")
                    + self.listed(&harmless)
                    + ". What they do to timing (harsh, late) is not computed.",
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

    /// Slips that do the same in the same states, as rows.
    fn rows(&self, slips: &[&Slip]) -> Vec<Vec<Line>> {
        let mut groups: Vec<Vec<&Slip>> = Vec::new();
        for slip in slips {
            let same = |group: &&mut Vec<&Slip>| {
                (&group[0].states, &group[0].outlets) == (&slip.states, &slip.outlets)
            };
            match groups.iter_mut().find(same) {
                Some(group) => group.push(slip),
                None => groups.push(vec![slip]),
            }
        }
        let all = self.words.circuit.states.len();
        let row = |group: &Vec<&Slip>| {
            let named = group.iter().take(TOLD).map(|slip| Line::id(&slip.fault));
            let mut named: Vec<Line> = named.collect();
            if group.len() > TOLD {
                named.push(format!("{} more like it", group.len() - TOLD).into());
            }
            let states = &group[0].states;
            let states = match states.len() {
                n if n == all && n > 1 => "every state".into(),
                1 => Line::id(&states[0]),
                0 => Line::default(),
                n => format!("{n} of {all} states").into(),
            };
            vec![
                Line::list(named, "or"),
                states,
                self.parts(&group[0].outlets),
            ]
        };
        groups.iter().map(row).collect()
    }

    fn parts(&self, parts: &[PartName]) -> Line {
        match parts.len() {
            0..=3 => Line::list(parts.iter().map(|p| self.words.typed(p)), "and"),
            n => {
                let first = parts.iter().take(2).map(|p| self.words.typed(p));
                let more = std::iter::once(Line::from(format!("{} more", n - 2)));
                Line::list(first.chain(more), "and")
            }
        }
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
