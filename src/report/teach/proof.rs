//! A question of a quiz, in words, with what proves each choice right or wrong.

use super::in_state;
use crate::answer::{OutletVerdict, Verdict};
use crate::circuit::{Access, Level, PartName};
use crate::report::complaint;
use crate::report::page::Line;
use crate::report::words::Words;
use crate::settle::Span;
use crate::teach::{GaugeChoice, QuizAsked, QuizQuestion, Shows, SuspectChoice};

/// A question in words.
pub(super) struct Told {
    pub question: Line,
    pub choices: Vec<Line>,
    /// Why the right choice is right.
    pub why: Line,
    /// For each choice why it is wrong; empty for the right one.
    pub against: Vec<Line>,
}

impl Words<'_> {
    pub(super) fn quiz_question(&self, asked: &QuizQuestion) -> Told {
        let state = asked.state.as_deref();
        let mut told = match &asked.asked {
            QuizAsked::Starves { fault, choices, .. } => {
                self.which_starves(state, fault, choices, asked.right)
            }
            QuizAsked::Culprit {
                starved,
                on_when_off,
                suffering,
                choices,
                ..
            } => {
                let symptoms = self.symptoms(state, starved, on_when_off);
                let question =
                    symptoms + ". All else is as it should be. One part is at fault. Which?";
                self.which_did_it(question, suffering, choices)
            }
            QuizAsked::Order { outlet, choices } => {
                self.which_order(state, outlet, choices, asked.right)
            }
            QuizAsked::Gauge {
                faults,
                starved,
                on_when_off,
                choices,
            } => {
                let symptoms = self.symptoms(state, starved, on_when_off);
                self.which_gauge(symptoms, faults, choices, asked.right)
            }
        };
        told.against[asked.right] = Line::default();
        told
    }

    fn which_starves(
        &self,
        state: Option<&str>,
        fault: &str,
        choices: &[Option<OutletVerdict>],
        right: usize,
    ) -> Told {
        let question = match in_state(state) {
            state if state.is_empty() => self.fault(fault),
            state => state + ", " + self.fault(fault),
        };
        let why = match &choices[right] {
            Some(outlet) => Line::from("it loses its oil: ") + self.because(outlet),
            None => {
                let suspects = choices
                    .iter()
                    .flatten()
                    .filter(|o| o.verdict == Verdict::Kept);
                let kept: Vec<PartName> = suspects.map(|o| o.outlet.clone()).collect();
                let every = Line::from("every outlet that had oil keeps it");
                match &kept[..] {
                    [] => every + ".",
                    kept => every + ", " + self.parts(kept) + " too.",
                }
            }
        };
        let against = choices.iter().map(|choice| match choice {
            None => match &choices[right] {
                Some(outlet) => self.part(&outlet.outlet) + " does.",
                None => Line::default(),
            },
            Some(outlet) if outlet.verdict == Verdict::Off => {
                self.part(&outlet.outlet) + " has no oil to lose here, sound or not."
            }
            Some(outlet) => self.part(&outlet.outlet) + " keeps its oil.",
        });
        let choice = |choice: &Option<OutletVerdict>| match choice {
            Some(outlet) => self.part(&outlet.outlet),
            None => "no outlet at all loses its oil".into(),
        };
        Told {
            question: question.capital() + ". Which of these loses its oil, if any does?",
            choices: choices.iter().map(choice).collect(),
            why: why.capital(),
            against: against.map(Line::capital).collect(),
        }
    }

    fn which_did_it(
        &self,
        question: Line,
        suffering: &[OutletVerdict],
        choices: &[SuspectChoice],
    ) -> Told {
        let why = suffering.first().map(|outlet| self.because(outlet));
        let against = choices.iter().map(|choice| match &choice.cleared_by {
            None => Line::default(),
            Some(outlet) => {
                let part = self.part(&outlet.outlet);
                let two_sided = self.two_sided(&outlet.outlet);
                part + match (outlet.verdict, two_sided) {
                    (Verdict::Starved, true) => " would have let go too, and has not.",
                    (Verdict::OnWhenOff, true) => " would have taken hold too, and has not.",
                    (Verdict::Kept, true) => " would not have let go.",
                    (_, true) => " would not have taken hold.",
                    (Verdict::Starved, false) => " would have lost its oil too, and has not.",
                    (Verdict::OnWhenOff, false) => " would have oil it should not, and has none.",
                    (Verdict::Kept, false) => " would have kept its oil.",
                    (_, false) => " would be without oil, and has some.",
                }
            }
        });
        Told {
            question,
            choices: choices.iter().map(|c| self.fault(&c.fault)).collect(),
            why: why.unwrap_or_default().capital(),
            against: against.map(Line::capital).collect(),
        }
    }

    fn which_order(
        &self,
        state: Option<&str>,
        outlet: &PartName,
        choices: &[Vec<PartName>],
        right: usize,
    ) -> Told {
        let state = match in_state(state) {
            state if state.is_empty() => state,
            state => state + ", ",
        };
        let way = state + "oil is on its way to " + self.part(outlet);
        let order = |parts: &Vec<PartName>| {
            let mut parts = parts.iter().map(|part| self.part(part));
            let first = parts.next().unwrap_or_default();
            parts.fold(first, |line, part| line + ", then " + part)
        };
        let right = &choices[right];
        let against = choices.iter().map(|choice| {
            let differs = right.iter().zip(choice).find(|(a, b)| a != b);
            differs.map_or(Line::default(), |(first, later)| {
                Line::from("it meets ") + self.part(first) + " before " + self.part(later) + "."
            })
        });
        Told {
            question: way.capital() + ". In which order does it meet these?",
            choices: choices.iter().map(order).collect(),
            why: "Whatever way the oil takes, it meets them in this order.".into(),
            against: against.map(Line::capital).collect(),
        }
    }

    fn which_gauge(
        &self,
        symptoms: Line,
        [a, b]: &[String; 2],
        choices: &[GaugeChoice],
        right: usize,
    ) -> Told {
        let question = symptoms
            + ". Either "
            + self.fault(a)
            + ", or "
            + self.fault(b)
            + ". Which of these shows which of the two it is?";
        let reads = |shows: Shows| match shows {
            Shows::Pressure(span) => Line::from("shows ") + pressure(span),
            Shows::Closed(Some(true)) => "is closed".into(),
            Shows::Closed(Some(false)) => "is open".into(),
            Shows::Closed(None) => "may be closed or open".into(),
        };
        let [with_a, with_b] = choices[right].shows;
        let why = Line::from("it ")
            + reads(with_a)
            + " if "
            + self.fault(a)
            + ", and "
            + reads(with_b)
            + " if "
            + self.fault(b)
            + ".";
        let against = choices.iter().map(|choice| {
            self.part(&choice.gauge) + " " + reads(choice.shows[0]) + " with either."
        });
        let choice = |choice: &GaugeChoice| {
            let part = self.part(&choice.gauge);
            match choice.access {
                Access::Outside => part,
                Access::PanOff => part + ", pan off",
                Access::Bench => part + ", on the bench",
            }
        };
        Told {
            question,
            choices: choices.iter().map(choice).collect(),
            why: why.capital(),
            against: against.map(Line::capital).collect(),
        }
    }

    /// What is wrong, as whoever brings it in would say.
    fn symptoms(&self, state: Option<&str>, starved: &[PartName], on: &[PartName]) -> Line {
        let have = |parts: &[PartName], said: [[&str; 2]; 2]| -> Vec<Line> {
            let (two_sided, plain): (Vec<PartName>, Vec<PartName>) =
                parts.iter().cloned().partition(|part| self.two_sided(part));
            let told = [plain, two_sided].into_iter().zip(said);
            let told = told.filter(|(parts, _)| !parts.is_empty());
            let told = told.map(|(parts, [one, several])| match parts.len() {
                1 => self.some(&parts) + one,
                _ => self.some(&parts) + several,
            });
            told.collect()
        };
        let mut clauses = have(
            starved,
            [
                [" has lost its oil", " have lost their oil"],
                [" has let go", " have let go"],
            ],
        );
        clauses.extend(have(
            on,
            [
                [
                    " has oil it should not have",
                    " have oil they should not have",
                ],
                [
                    " has taken hold and should not",
                    " have taken hold and should not",
                ],
            ],
        ));
        let line = Line::list(clauses, "and");
        match in_state(state) {
            state if state.is_empty() => line.capital(),
            state => (state + ", " + line).capital(),
        }
    }

    /// Why an outlet suffers, and what leads to it.
    fn because(&self, outlet: &OutletVerdict) -> Line {
        let reason = match &outlet.reason {
            Some(reason) => self.reason(reason) + ".",
            None => Line::default(),
        };
        reason + complaint::chain(&outlet.chain, self)
    }
}

fn pressure(span: Span) -> Line {
    let level = |level: Level| match level {
        Level::Off => "no pressure",
        Level::Fill => "fill pressure",
        Level::Low => "low pressure",
        Level::Full => "full pressure",
    };
    match span.lowest == span.highest {
        true => level(span.lowest).into(),
        false => format!("from {} to {}", level(span.lowest), level(span.highest)).into(),
    }
}
