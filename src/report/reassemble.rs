//! The reassembly map, in words.

use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{Piece, PieceKind, Reassemble, Severity, Slip, SlipNight};
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
        Line::from("Each slip was taken alone, in every state; behind ")
            + Line::id("also")
            + " stands what it does where it does not do its worst. Missing means what the fault \
               named does: a spring left out counts as broken, that of a regulator or relief as \
               stuck where the oil pushes it, a seal left out as cut, a metering hole left out or \
               swapped for a wider one as oversize.",
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
        PieceKind::Regulator => ("regulator", "regulators"),
        PieceKind::Relief => ("relief", "reliefs"),
        PieceKind::Solenoid => ("solenoid", "solenoids"),
        PieceKind::Accumulator => ("accumulator", "accumulators"),
        PieceKind::Filter => ("filter or screen", "filters and screens"),
        PieceKind::TapPlug => ("tap plug", "tap plugs"),
        PieceKind::Switch => ("pressure switch", "pressure switches"),
    }
}

/// What a slip does, in words that stand beside a piece.
fn does(severity: Severity) -> Line {
    match severity {
        Severity::None => Line::role(Role::Drained, "nothing applied"),
        severity => words::severity(severity),
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
        let mut outcomes: Vec<(&Slip, Vec<&str>)> = Vec::new();
        for slip in self.answer.pieces.iter().flat_map(|piece| &piece.slips) {
            match outcomes
                .iter_mut()
                .find(|(known, _)| told(known) == told(slip))
            {
                // A swap stands with both of its pieces.
                Some((_, faults)) if faults.contains(&&*slip.fault) => {}
                Some((_, faults)) => faults.push(&slip.fault),
                None => outcomes.push((slip, vec![&slip.fault])),
            }
        }
        outcomes.sort_by_key(|(slip, _)| (slip.severity, slip.is_harmless()));
        let heading = |slip: &Slip| (slip.severity, slip.is_harmless());
        for alike in outcomes.chunk_by(|a, b| heading(a.0) == heading(b.0)) {
            let faults =
                |faults: &[&str], last| Line::list(faults.iter().map(|f| Line::id(f)), last);
            if alike[0].0.is_harmless() {
                let harmless: Vec<&str> = alike.iter().flat_map(|(_, f)| f).copied().collect();
                blocks.push(Block::Text(
                    Line::from("Alone these change nothing that is computed here: ")
                        + faults(&harmless, "and")
                        + ".",
                ));
                continue;
            }
            blocks.push(Block::Heading(match alike[0].0.severity {
                Severity::Nothing => "Runs off overnight, if".into(),
                severity => does(severity).capital() + ", if",
            }));
            let items = alike
                .iter()
                .map(|(slip, same)| faults(same, "or") + self.outcome(slip) + ".");
            blocks.push(Block::List(items.collect()));
        }
        let silent: Vec<&Piece> = (self.answer.pieces.iter())
            .filter(|p| p.slips.is_empty())
            .collect();
        if !silent.is_empty() {
            let kinds = silent.chunk_by(|a, b| a.kind == b.kind);
            let kinds = kinds.map(|pieces| self.listed(pieces));
            let kinds = kinds.reduce(|line, more| line + "; " + more);
            let kinds = kinds.unwrap_or_default();
            blocks.push(Block::Text(
                Line::from("No slip in the catalogue: ") + kinds + ".",
            ));
        }
    }

    /// Pieces of one kind: `springs of drain-back and range`.
    fn listed(&self, pieces: &[&Piece]) -> Line {
        let (one, several) = called(pieces[0].kind);
        let of = match pieces[0].kind {
            PieceKind::Spool
            | PieceKind::Spring
            | PieceKind::Plug
            | PieceKind::Clip
            | PieceKind::Sleeve => " of ",
            _ => " ",
        };
        let called = if pieces.len() == 1 { one } else { several };
        let parts = pieces.iter().map(|piece| self.words.typed(&piece.part));
        Line::from(called) + of + Line::list(parts, "and")
    }

    /// Where it shows, and on what, then what else it does where: `: pto-bearing in every state`,
    /// `: clutch-b in fifth; also bind in second`.
    fn outcome(&self, slip: &Slip) -> Line {
        let states = self.states(&slip.states);
        let mut line = match slip.outlets.is_empty() {
            true if states.is_empty() => states,
            true => Line::from(":") + states,
            false => Line::from(": ") + self.parts(&slip.outlets) + states,
        };
        let also = slip
            .also
            .iter()
            .map(|effect| does(effect.severity) + self.states(&effect.states));
        if !slip.also.is_empty() {
            line = line + "; also " + Line::list(also, "and");
        }
        for kept in [true, false] {
            let nights = told(slip).overnight.into_iter();
            let nights: Vec<SlipNight> = nights.filter(|night| night.kept == kept).collect();
            if !nights.is_empty() {
                let joint = if line.is_empty() {
                    ": "
                } else {
                    "; overnight "
                };
                line = line + joint + self.night(&nights);
            }
        }
        line
    }

    /// What runs off overnight: `converter-in and converter-out run off in all 22 states`.
    fn night(&self, nights: &[SlipNight]) -> Line {
        let (mut cavities, mut states): (Vec<&str>, Vec<String>) = Default::default();
        for night in nights {
            for cavity in &night.cavities {
                if !cavities.contains(&cavity.as_str()) {
                    cavities.push(cavity);
                }
            }
            states.extend(night.states.iter().cloned());
        }
        let one = if cavities.len() == 1 {
            " runs off"
        } else {
            " run off"
        };
        let sooner = if nights[0].kept { "" } else { " sooner" };
        let some = if nights.len() == 1 {
            ""
        } else {
            ", some or all,"
        };
        let cavities = Line::few(cavities.iter().map(|c| Line::id(c)), NAMED, "and");
        cavities + one + sooner + some + self.states(&states)
    }

    fn states(&self, states: &[String]) -> Line {
        let all = self.words.circuit.states.keys();
        let all: Vec<&str> = all.map(String::as_str).collect();
        let states: Vec<&str> = states.iter().map(String::as_str).collect();
        match states.is_empty() {
            true => Line::default(),
            false => words::in_states(&states, &all),
        }
    }

    fn parts(&self, parts: &[PartName]) -> Line {
        Line::few(parts.iter().map(|p| self.words.typed(p)), NAMED, "and")
    }

    /// Where each piece goes, kind by kind.
    fn places(&self, blocks: &mut Vec<Block>) {
        if !self.answer.pieces.is_empty() {
            blocks.push(Block::Text(
                "Where each goes, as in the file. Alike: how many others of its kind and size can \
                 be taken for it. Worst slip: the worst of what can go wrong with it, as above."
                    .into(),
            ));
        }
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
                    self.worst(piece),
                ]
            });
            let head = &["part", "place", "size", "alike", "worst slip"];
            blocks.push(Block::table(head, rows.collect()));
        }
    }

    /// The worst of its slips, in short: `left-out: flare`.
    fn worst(&self, piece: &Piece) -> Line {
        let Some(slip) = piece.slips.first() else {
            return "none in the catalogue".into();
        };
        if slip.is_harmless() {
            return "changes nothing".into();
        }
        // A swap may be written as one of the other piece.
        let own = self.words.circuit.short(&piece.part) + ":";
        let fault = slip.fault.strip_prefix(&own).unwrap_or(&slip.fault);
        let what = match slip.severity {
            Severity::Nothing => "runs off overnight".into(),
            severity => does(severity),
        };
        Line::id(fault) + ": " + what
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
        sizes.extend(piece.set_at_pa.map(|pa| {
            let at = Pressure::from_pa(pa).show(self.words.units);
            format!("set at {at}")
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

/// What is told of a slip, whichever it is. What leaks in the open empties sooner as well: that
/// goes without saying.
fn told(slip: &Slip) -> Slip {
    let mut told = slip.clone();
    told.fault.clear();
    let quiet = slip.severity == Severity::Nothing;
    told.overnight.retain(|night| quiet || night.kept);
    told
}
