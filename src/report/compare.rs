//! Two circuits held against each other, in words.

use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{
    ChangeKind, Compare, CompareFigure, CompareReason, CompareState, Depth, Fit, Gets, Interchange,
    PartChange, Status,
};
use crate::circuit::{Kind, Level, PartName};
use crate::settle::Span;

/// Faults whose role differs, listed at most.
const ROLES: usize = 12;

/// The report of a comparison. The words are those of the first circuit.
#[must_use]
pub fn compare(answer: &Compare, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    if answer.look_alike {
        let line = Line::role(Role::Contested, "They look alike")
            + ": the same pieces lie in the same places. Inside they differ.";
        blocks.push(Block::Text(line));
    }
    told.guessed(&mut blocks);
    told.parts(&mut blocks);
    told.states(&mut blocks);
    told.figures(&mut blocks);
    told.roles(&mut blocks);
    blocks.push(Block::Note(
        "Labels, notes and the order of the files do not count. What can be taken over is taken to \
         fit where its like came out: the maker's part numbers decide, not this list."
            .into(),
    ));
    blocks.push(Block::Note(
        Line::from("States and faults. ") + words::depth(answer.depth),
    ));
    if answer.figures.is_some() {
        blocks.push(Block::Note(
            Line::from("Figures. ") + words::depth(Depth::Flow),
        ));
    }
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Compare,
    words: &'a Words<'a>,
}

fn id(state: &CompareState) -> &str {
    state.state.as_deref().unwrap_or_default()
}

impl Told<'_> {
    fn lead(&self) -> Line {
        let answer = self.answer;
        let line = match answer.verdict {
            Interchange::Yes => {
                let shared = words::plural(answer.shared, "part");
                let line = Line::role(Role::Supplied, "They interchange");
                return line + format!(": {shared} in both, and nothing that matters differs.");
            }
            Interchange::WithChanges => {
                let loose = answer.parts.iter().filter(|p| p.fit == Fit::Loose).count();
                let pieces = words::plural(loose, "loose piece");
                let are = if loose == 1 { "is" } else { "are" };
                let line = Line::role(Role::Contested, "They interchange once ");
                line + format!("{pieces} {are} taken over")
            }
            Interchange::No => Line::role(Role::Drained, "They do not interchange"),
        };
        match &answer.reason {
            None => line + ".",
            Some(CompareReason::Part { part }) => {
                let change = answer.parts.iter().find(|p| p.part == *part);
                let what = change.map_or_else(Line::default, differs);
                line + ": " + self.part(part) + what
            }
            Some(CompareReason::Outlet { state, outlet }) => {
                let found = answer.states.iter().find(|s| s.state == *state);
                let mut outlets = found.into_iter().flat_map(|s| &s.outlets);
                let in_state = match state {
                    Some(state) => Line::from(" in ") + Line::id(state),
                    None => Line::default(),
                };
                let has = match outlets.find(|o| o.outlet == *outlet) {
                    Some(o) => {
                        Line::from(" has ")
                            + oil(o.here, o.level_here)
                            + " in the first and "
                            + oil(o.there, o.level_there)
                            + " in the second."
                    }
                    None => ".".into(),
                };
                line + ":" + in_state + " " + self.words.part(outlet) + has
            }
        }
    }

    /// A part that may be in the second alone.
    fn part(&self, part: &PartName) -> Line {
        match self.words.circuit.get(part.kind, &part.id) {
            Some(_) => self.words.part(part),
            None => Line::from(part.kind.word()) + " " + Line::id(&part.id),
        }
    }

    fn parts(&self, blocks: &mut Vec<Block>) {
        let heads = [
            (Fit::Fixed, "Differs, and stays with its block"),
            (Fit::Loose, "Differs, and can be taken over"),
            (Fit::Near, "Other sizes that no outlet feels"),
            (Fit::Around, "Differs around the block"),
        ];
        for (fit, head) in heads {
            let parts = self.answer.parts.iter().filter(|p| p.fit == fit);
            let rows: Vec<Vec<Line>> = parts.flat_map(|p| self.rows(p)).collect();
            if !rows.is_empty() {
                blocks.push(Block::Heading(head.into()));
                blocks.push(Block::table(&["part", "of it", "first", "second"], rows));
            }
        }
    }

    fn rows(&self, change: &PartChange) -> Vec<Vec<Line>> {
        let mut name = Line::from(change.part.kind.word()) + " " + Line::id(&change.part.id);
        if let Some(there) = &change.there {
            name = name + ", there " + Line::id(&there.id);
        }
        let said = |value: &Option<String>| match value {
            // Cavities stand everywhere: their kind goes without saying.
            Some(value) => Line::from(value.replace("passage.", "")),
            None => "none".into(),
        };
        let yes = || Line::from("has it");
        match change.change {
            ChangeKind::Added => vec![vec![name, Line::default(), said(&None), yes()]],
            ChangeKind::Gone => vec![vec![name, Line::default(), yes(), said(&None)]],
            ChangeKind::Changed => {
                let keys = change.keys.iter().enumerate();
                let row = keys.map(|(i, key)| {
                    let name = if i == 0 {
                        name.clone()
                    } else {
                        Line::default()
                    };
                    vec![name, Line::id(&key.key), said(&key.here), said(&key.there)]
                });
                row.collect()
            }
        }
    }

    fn guessed(&self, blocks: &mut Vec<Block>) {
        if self.answer.guessed.is_empty() {
            return;
        }
        let pairs = self.answer.guessed.iter().map(|[a, b]| {
            let one = |part: &PartName| match part.kind {
                Kind::Passage => part.id.clone(),
                _ => part.to_string(),
            };
            Line::id(&format!("--map {}={}", one(a), one(b)))
        });
        blocks.push(Block::Text(
            Line::from("A guess, by what they look like: renamed may be ")
                + Line::list(pairs, "and")
                + ". Ask again with those that are true.",
        ));
    }

    fn states(&self, blocks: &mut Vec<Block>) {
        let answer = self.answer;
        let mut rows = Vec::new();
        for state in &answer.states {
            for o in state.outlets.iter().filter(|o| o.differs()) {
                let (here, there) = (oil(o.here, o.level_here), oil(o.there, o.level_there));
                let outlet = self.words.typed(&o.outlet);
                rows.push(vec![Line::id(id(state)), outlet, here, there]);
            }
            for tap in &state.taps {
                let (here, there) = (level(tap.here), level(tap.there));
                rows.push(vec![
                    Line::id(id(state)),
                    self.words.typed(&tap.at),
                    here,
                    there,
                ]);
            }
        }
        let states = answer.states.len();
        if rows.is_empty() && states > 0 {
            let line = match states {
                1 => "In the one state that both have every outlet has the same.".to_owned(),
                2 => "In the two states of both every outlet has the same.".to_owned(),
                states => format!("In all {states} states of both every outlet has the same."),
            };
            blocks.push(Block::Text(line.into()));
        } else if !rows.is_empty() {
            blocks.push(Block::Heading("What they do otherwise as they are".into()));
            blocks.push(Block::table(&["in", "at", "first", "second"], rows));
        }
        if !answer.states_apart.is_empty() {
            let ids = answer.states_apart.iter().map(|id| Line::id(id));
            let line = "Not compared, since only one of them has it: ";
            blocks.push(Block::Text(Line::from(line) + Line::list(ids, "and") + "."));
        }
    }

    fn figures(&self, blocks: &mut Vec<Block>) {
        let Some(figures) = &self.answer.figures else {
            let line =
                "Figures were not compared: sizes are missing, or no state has an outlet of both.";
            blocks.push(Block::Text(line.into()));
            return;
        };
        let within = format!("{:.0} %", 100.0 * figures.tolerance);
        if figures.differ.is_empty() {
            let line = format!("In figures every outlet gets the same, within {within}.");
            blocks.push(Block::Text(line.into()));
            return;
        }
        let head = format!("In figures, where they differ by more than {within}");
        blocks.push(Block::Heading(head.into()));
        let gets = |figure: &CompareFigure, of: &Gets| {
            let outlet = self.words.circuit.outlets.get(&figure.outlet.id);
            match outlet.is_some_and(|o| o.kind.by_pressure()) {
                true => self.words.pressures(of.pressure_pa),
                false => self.words.flows(of.flow_m3_per_s),
            }
        };
        let rows = figures.differ.iter().map(|figure| {
            vec![
                Line::id(figure.state.as_deref().unwrap_or_default()),
                self.words.typed(&figure.outlet),
                gets(figure, &figure.here),
                gets(figure, &figure.there),
            ]
        });
        blocks.push(Block::table(
            &["in", "at", "first", "second"],
            rows.collect(),
        ));
    }

    fn roles(&self, blocks: &mut Vec<Block>) {
        let roles = &self.answer.roles;
        if roles.is_empty() {
            return;
        }
        let head = "Faults that do more harm in one than in the other, as they are";
        blocks.push(Block::Heading(head.into()));
        let rows = roles.iter().take(ROLES).map(|role| {
            let (here, there) = (words::severity(role.here), words::severity(role.there));
            vec![Line::id(&role.fault), here, there]
        });
        blocks.push(Block::table(&["fault", "first", "second"], rows.collect()));
        if let Some(more @ 1..) = roles.len().checked_sub(ROLES) {
            blocks.push(Block::Text(
                format!("And {more} more; JSON has them all.").into(),
            ));
        }
    }
}

/// How a part differs, after its name.
fn differs(change: &PartChange) -> Line {
    let key = change.keys.first();
    let short = |value: &Option<String>| match value.as_deref() {
        Some(value) if value.len() <= SHORT => Some(value.replace("passage.", "")),
        Some(_) => None,
        None => Some("nothing".to_owned()),
    };
    match (change.change, key) {
        (ChangeKind::Added, _) => " is in the second alone.".into(),
        (ChangeKind::Gone, _) => " is in the first alone.".into(),
        (ChangeKind::Changed, _) if change.moved => " lies elsewhere in the second.".into(),
        (ChangeKind::Changed, None) => " is another in the second.".into(),
        (ChangeKind::Changed, Some(key)) => {
            let line = Line::from(" differs in ") + Line::id(&key.key);
            match short(&key.here).zip(short(&key.there)) {
                Some((a, b)) => line + format!(": {a} in the first, {b} in the second."),
                None => line + ".",
            }
        }
    }
}

/// Characters of a value that is told in a sentence, at most.
const SHORT: usize = 24;

/// What an outlet has.
fn oil(status: Status, span: Span) -> Line {
    match status {
        Status::On if span.lowest == span.highest && span.lowest < Level::Full => {
            Line::from("oil, ") + level(span)
        }
        Status::On => "oil".into(),
        Status::Off => "none".into(),
        Status::Unsure => "oil, or not".into(),
    }
}

/// A level, or between which.
fn level(span: Span) -> Line {
    let (lowest, highest) = (span.lowest.to_string(), span.highest.to_string());
    match lowest == highest {
        true => lowest.into(),
        false => format!("{lowest} to {highest}").into(),
    }
}
