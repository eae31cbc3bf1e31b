//! The single faults that starve an outlet, part by part.

use super::sets::{alone, by_part, by_states, some};
use super::{LISTS, Told};
use crate::circuit::Kind;
use crate::report::page::{Block, Line, Role};
use crate::report::words;

const HEAD: &str = "One fault alone";
/// Parts from which on they have a table of their own.
const MUCH: usize = 4;

impl Told<'_> {
    /// What starves it in all states first. What some states share is told under a head of its own where
    /// it is much, otherwise in one table with where.
    pub(super) fn alone(&self, blocks: &mut Vec<Block>) {
        let all = self.all();
        if all.is_empty() {
            return;
        }
        let found = by_states(self.each(alone));
        if found.is_empty() {
            blocks.push(Block::Heading(HEAD.into()));
            blocks.push(Block::Text("No fault starves it alone.".into()));
        }
        let one = found.len() == 1;
        let (much, little): (Vec<_>, Vec<_>) = found.into_iter().partition(|(states, faults)| {
            states.len() == all.len() || by_part(faults).len() >= MUCH
        });
        for (states, faults) in much {
            let everywhere = one && states.len() == all.len();
            let line = Line::from(HEAD);
            blocks.push(Block::Heading(match everywhere {
                true => line,
                false => line + words::in_each(&states, &all),
            }));
            let rows = by_part(&faults).into_iter();
            let rows = rows.map(|(part, conditions)| self.row(&part, &conditions));
            let head = &["part", "label", "starves it when"];
            blocks.push(Block::table(head, rows.collect()));
        }
        if !little.is_empty() {
            blocks.push(Block::Heading(Line::from(HEAD) + " in some states"));
            blocks.push(self.somewhere(&little));
        }
        self.undecided(blocks);
    }

    /// What starves it in some states: a row for each part and where, the rows of a part together.
    fn somewhere(&self, found: &[(Vec<&str>, Vec<String>)]) -> Block {
        let all = self.all();
        let mut parts: Vec<(String, Vec<Vec<Line>>)> = Vec::new();
        for (states, faults) in found {
            for (part, conditions) in by_part(faults) {
                let mut row = self.row(&part, &conditions);
                row.push(words::states(states, &all));
                match parts.iter_mut().find(|(known, _)| *known == part) {
                    Some((_, rows)) => rows.push(row),
                    None => parts.push((part, vec![row])),
                }
            }
        }
        let head = &["part", "label", "starves it when", "in"];
        let rows = parts.into_iter().flat_map(|(_, rows)| rows);
        Block::table(head, rows.collect())
    }

    fn row(&self, part: &str, conditions: &[String]) -> Vec<Line> {
        let found = self.words.circuit.find(part, Kind::ALL).ok();
        let label = found.map(|part| self.words.label(&part));
        vec![
            Line::id(part),
            label.unwrap_or_default(),
            Line::list(conditions.iter().map(|c| Line::id(c)), "or"),
        ]
    }

    /// Those with which it cannot be said.
    fn undecided(&self, blocks: &mut Vec<Block>) {
        let found = by_states(self.each(|state| state.undecided.clone()));
        let all = self.all();
        let said = |(states, faults): &(Vec<&str>, Vec<String>)| {
            let line = Line::role(Role::Unsure, "Undecided") + " alone";
            let line = match states.len() == all.len() {
                true => line,
                false => line + words::in_each(states, &all),
            };
            line + ": " + some(faults) + "."
        };
        match &found[..] {
            [] => {}
            [one] => blocks.push(Block::Text(said(one))),
            many => {
                let more = many.len().saturating_sub(LISTS);
                let mut items: Vec<Line> = many.iter().take(LISTS).map(said).collect();
                if more > 0 {
                    items.push(
                        format!(
                            "{} in other states, in the JSON.",
                            words::plural(more, "more row")
                        )
                        .into(),
                    );
                }
                blocks.push(Block::List(items));
            }
        }
    }

    /// What keeps pressure from building, in whatever state.
    pub(super) fn unbuilt(&self, blocks: &mut Vec<Block>) {
        let mut unbuilt: Vec<String> = Vec::new();
        for fault in self.answer.states.iter().flat_map(|s| &s.unbuilt) {
            if !unbuilt.contains(fault) {
                unbuilt.push(fault.clone());
            }
        }
        if !unbuilt.is_empty() {
            let line = Line::role(Role::Drained, "Pressure will not build");
            let state = match self.answer.states.len() {
                1 => " with ",
                _ => " in one state or another with ",
            };
            let line = line + state + some(&unbuilt);
            let line = line + ". These are not counted above, yet nothing can be relied on then.";
            blocks.push(Block::Text(line));
        }
    }
}
