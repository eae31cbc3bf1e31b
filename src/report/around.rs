//! What lies before or beyond a part, in words.

use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{Around, AroundState, Side};
use crate::circuit::PartName;

/// The report of what lies on one side of a part: the parts in the order oil meets them, and the
/// outlets among them.
#[must_use]
pub fn around(answer: &Around, words: &Words<'_>) -> Page {
    let all: Vec<&str> = answer.states.iter().flat_map(|s| ids(s)).collect();
    let mut blocks = vec![Block::Lead(lead(answer, words, &all))];
    for state in answer.states.iter().filter(|s| !s.parts.is_empty()) {
        if answer.states.len() > 1 {
            let states = words::states(&ids(state), &all);
            blocks.push(Block::Heading(Line::from("In ") + states));
        }
        let row = |part: &PartName| {
            let kind = Line::from(part.kind.word());
            vec![words.typed(part), kind, words.label(part)]
        };
        let rows = state.parts.iter().map(row).collect();
        blocks.push(Block::table(&["part", "kind", "label"], rows));
        if !state.outlets.is_empty() {
            let outlets = state.outlets.iter().map(|o| words.part(o));
            let hang = match answer.side {
                Side::Before => "Filters, converters and coolers among them: ",
                Side::Beyond => "What hangs on it: ",
            };
            blocks.push(Block::Text(
                Line::from(hang) + Line::list(outlets, "and") + ".",
            ));
        }
    }
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

fn ids(state: &AroundState) -> Vec<&str> {
    state.states.iter().map(String::as_str).collect()
}

fn lead(answer: &Around, words: &Words<'_>, all: &[&str]) -> Line {
    let part = words.part(&answer.part);
    let dry: Vec<&str> = answer
        .states
        .iter()
        .filter(|s| !s.supplied)
        .flat_map(ids)
        .collect();
    if answer.states.iter().all(|s| !s.supplied) {
        return Line::from("No supply reaches ") + part + words::in_any(all, all) + ".";
    }
    let count = |of: fn(&AroundState) -> usize, noun: &str| {
        let counts = answer.states.iter().filter(|s| s.supplied).map(of);
        let (least, most) = counts.fold((usize::MAX, 0), |(a, b), n| (a.min(n), b.max(n)));
        match least == most {
            true => words::plural(most, noun),
            false => format!("{least} to {}", words::plural(most, noun)),
        }
    };
    let parts = count(|s| s.parts.len(), "part");
    let line = match answer.side {
        Side::Before => {
            let line = Line::from("On its way to ") + part + ", oil can pass " + parts;
            line + ", listed from the source on"
        }
        Side::Beyond => {
            let outlets = count(|s| s.outlets.len(), "outlet");
            let line = Line::from("Beyond ") + part + ", oil can go on through " + parts;
            line + ", listed nearest first, to " + outlets
        }
    };
    match &dry[..] {
        [] => line + ".",
        dry => line + "; no supply reaches it" + words::in_states(dry, all) + ".",
    }
}
