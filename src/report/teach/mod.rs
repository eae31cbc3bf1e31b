//! Lessons and quizzes, in words.

mod glossary;
mod lesson;
mod proof;
mod purpose;
mod quiz;

pub use lesson::{ToldStep, lesson, lesson_steps};
pub use quiz::{QuizSheet, SheetQuestion, quiz, quiz_key};

use super::page::{Line, Role};
use super::words::Words;
use crate::answer::{OutletVerdict, Verdict};
use crate::circuit::{Part, PartName, Seat};

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

    /// Whether oil on one side applies an outlet and oil on the other lets it go.
    fn two_sided(&self, outlet: &PartName) -> bool {
        let part = self.circuit.get(outlet.kind, &outlet.id);
        let seat = |part| match part {
            Part::Outlet(body) => Some(&body.seat),
            _ => None,
        };
        matches!(part.and_then(seat), Some(Seat::TwoSided { .. }))
    }

    /// What becomes of some outlets, verdict by verdict, as clauses.
    fn harm(&self, suffering: &[OutletVerdict]) -> Vec<Line> {
        let mut clauses = Vec::new();
        let of = |o: &OutletVerdict| {
            let applied = matches!(o.verdict, Verdict::Starved | Verdict::OnWhenOff);
            (o.verdict, applied && self.two_sided(&o.outlet))
        };
        for alike in suffering.chunk_by(|a, b| of(a) == of(b)) {
            let outlets: Vec<PartName> = alike.iter().map(|o| o.outlet.clone()).collect();
            let s = if outlets.len() == 1 { "s" } else { "" };
            let (its, has, it) = match outlets.len() {
                1 => ("its", "has", "it"),
                _ => ("their", "have", "they"),
            };
            let what = match of(&alike[0]) {
                // Its oil may still be there: it is held off.
                (Verdict::Starved, true) => format!(" let{s} go"),
                (Verdict::OnWhenOff, true) => format!(" take{s} hold and should not"),
                (Verdict::Starved, false) => format!(" lose{s} {its} oil"),
                (Verdict::OnWhenOff, false) => format!(" get{s} oil that {it} should not have"),
                (Verdict::Weakened, _) => format!(" {has} less behind {its} oil"),
                (Verdict::Late, _) => format!(" let{s} go late"),
                (Verdict::Harsh, _) => format!(" take{s} hold hard"),
                (Verdict::Undecided, _) => " may or may not have oil".to_owned(),
                (Verdict::Kept | Verdict::Off, _) => format!(" stay{s} as {it} should be"),
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
