//! The parts of a circuit, in words.

use super::page::{Block, Line, Page};
use super::words::Words;
use crate::answer::{PartRow, Parts};

/// The report of what parts there are, kind by kind, and what each touches.
#[must_use]
pub fn parts(answer: &Parts, words: &Words<'_>) -> Page {
    listed(answer, words, vec!["part", "label", "touches"], |row| {
        let touches: Vec<&str> = row
            .casting
            .iter()
            .chain(&row.touches)
            .map(String::as_str)
            .collect();
        vec![
            words.typed(&row.part),
            words.label(&row.part),
            touches.join(", ").into(),
        ]
    })
}

/// The report of what can go wrong with each part, as a reader would type it.
#[must_use]
pub fn faults(answer: &Parts, words: &Words<'_>) -> Page {
    let with = answer.parts.iter().filter(|row| !row.faults.is_empty());
    let answer = Parts {
        parts: with.cloned().collect(),
    };
    listed(&answer, words, vec!["part", "can be"], |row| {
        let faults = row.faults.iter().map(|f| Line::id(f));
        vec![words.name(&row.part), Line::list(faults, "or")]
    })
}

fn listed(
    answer: &Parts,
    words: &Words<'_>,
    head: Vec<&'static str>,
    row: impl Fn(&PartRow) -> Vec<Line>,
) -> Page {
    let count = answer.parts.len();
    let s = if count == 1 { "" } else { "s" };
    let faults: usize = answer.parts.iter().map(|p| p.faults.len()).sum();
    let lead = format!("{count} part{s}, {faults} things that can go wrong with them.");
    let mut blocks = vec![Block::Lead(lead.into())];
    for kind in answer.parts.chunk_by(|a, b| a.part.kind == b.part.kind) {
        blocks.push(Block::Heading(
            Line::from(kind[0].part.kind.word()).capital(),
        ));
        blocks.push(Block::Table {
            head: head.clone(),
            rows: kind.iter().map(&row).collect(),
        });
    }
    Page {
        title: words.title(),
        blocks,
    }
}
