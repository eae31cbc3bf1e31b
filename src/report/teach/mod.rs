//! Lessons and quizzes, in words.

mod glossary;
mod lesson;
mod proof;
mod quiz;

pub use lesson::{ToldStep, lesson, lesson_steps};
pub use quiz::{QuizSheet, SheetQuestion, quiz, quiz_key};

use super::page::{Line, Role};
use super::words::Words;
use crate::answer::{OutletVerdict, Verdict};
use crate::circuit::PartName;

/// At most this many parts are named with their labels in a sentence.
const NAMED: usize = 3;

impl Words<'_> {
    /// Parts in a sentence; many of them by their ids alone.
    fn some(&self, parts: &[PartName]) -> Line {
        match parts.len() {
            0..=NAMED => self.parts(parts),
            _ => Line::list(parts.iter().map(|part| self.typed(part)), "and"),
        }
    }

    /// What becomes of some outlets, verdict by verdict, as clauses.
    fn harm(&self, suffering: &[OutletVerdict]) -> Vec<Line> {
        let mut clauses = Vec::new();
        for alike in suffering.chunk_by(|a, b| a.verdict == b.verdict) {
            let outlets: Vec<PartName> = alike.iter().map(|o| o.outlet.clone()).collect();
            let s = if outlets.len() == 1 { "s" } else { "" };
            let (its, has, it) = match outlets.len() {
                1 => ("its", "has", "it"),
                _ => ("their", "have", "they"),
            };
            let what = match alike[0].verdict {
                Verdict::Starved => format!(" lose{s} {its} oil"),
                Verdict::OnWhenOff => format!(" get{s} oil that {it} should not have"),
                Verdict::Weakened => format!(" {has} less behind {its} oil"),
                Verdict::Late => format!(" let{s} go late"),
                Verdict::Harsh => format!(" take{s} hold hard"),
                Verdict::Undecided => " may or may not have oil: it cannot be said".to_owned(),
                Verdict::Kept => format!(" keep{s} {its} oil"),
                Verdict::Off => format!(" stay{s} without oil"),
            };
            clauses.push(self.some(&outlets) + what);
        }
        clauses
    }
}

fn strong(text: &str) -> Line {
    Line::role(Role::Strong, text)
}

/// What begins a sentence that holds in one state.
fn in_state(state: Option<&str>) -> Line {
    match state {
        Some(state) => Line::from("in ") + Line::id(state),
        None => Line::default(),
    }
}
