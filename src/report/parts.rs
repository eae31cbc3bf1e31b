//! The parts of a circuit, in words.

use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{PartRow, Parts};

/// The report of what parts there are, kind by kind, and what each touches.
#[must_use]
pub fn parts(answer: &Parts, words: &Words<'_>) -> Page {
    listed(answer, words, &["part", "label", "touches"], |row| {
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
    listed(&answer, words, &["part", "can be"], |row| {
        let faults = row.faults.iter().map(|f| Line::id(f));
        vec![words.name(&row.part), Line::list(faults, "or")]
    })
}

fn listed(
    answer: &Parts,
    words: &Words<'_>,
    head: &[&'static str],
    row: impl Fn(&PartRow) -> Vec<Line>,
) -> Page {
    let faults: usize = answer.parts.iter().map(|p| p.faults.len()).sum();
    let count = words::plural(answer.parts.len(), "part");
    let lead = match faults {
        0 => format!("{count}."),
        n => format!(
            "{count}, and {} in the catalogue for them.",
            words::plural(n, "fault")
        ),
    };
    let mut blocks = vec![Block::Lead(Line::from(lead).capital())];
    for kind in answer.parts.chunk_by(|a, b| a.part.kind == b.part.kind) {
        blocks.push(Block::Heading(
            Line::from(kind[0].part.kind.word()).capital(),
        ));
        blocks.push(Block::table(head, kind.iter().map(&row).collect()));
    }
    Page {
        title: words.title(),
        blocks,
    }
}
