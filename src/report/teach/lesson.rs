//! A lesson, in words.

use super::glossary::meaning;
use super::{in_state, strong};
use crate::answer::{Hop, MovedValve, Mover};
use crate::circuit::{Kind, Needs, Part, PartName};
use crate::report::page::{Block, Line, Page};
use crate::report::words::{self, Words};
use crate::teach::{Effect, Lesson, LessonStep, StepAt, StepQuestion};
use crate::units::Quantity;

/// One step of a lesson in words; [`LessonStep::cavities`] and [`LessonStep::parts`] are what a
/// drawing beside it shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToldStep {
    /// What the step is about.
    pub heading: Line,
    /// What the oil passes and what that does.
    pub tells: Line,
    /// What would happen without it; empty where that cannot be said.
    pub without: Line,
    /// What is asked.
    pub question: Line,
    /// The answer, for the key.
    pub answer: Line,
}

/// The report of a lesson: the steps with a question after each, the answers, the words.
#[must_use]
pub fn lesson(answer: &Lesson, words: &Words<'_>) -> Page {
    let state = match in_state(answer.state.as_deref()) {
        state if state.is_empty() => state,
        state => Line::from(" ") + state,
    };
    let lead = Line::from("How oil gets to ") + words.part(&answer.outlet) + state;
    let lead = lead + format!(", in {} steps.", answer.steps.len());
    let mut blocks = vec![Block::Lead(lead)];
    let told = lesson_steps(answer, words);
    for (i, step) in told.iter().enumerate() {
        blocks.push(Block::Heading(
            Line::from(format!("Step {}, ", i + 1)) + step.heading.clone(),
        ));
        blocks.push(Block::Text(step.tells.clone()));
        if !step.without.is_empty() {
            blocks.push(Block::Text(step.without.clone()));
        }
        let question = strong(&format!("Question {}.", i + 1));
        blocks.push(Block::Text(question + " " + step.question.clone()));
    }
    blocks.push(Block::Heading("Words to know".into()));
    blocks.push(Block::List(
        answer.terms.iter().map(|t| meaning(*t)).collect(),
    ));
    blocks.push(Block::Heading("Answers, to be looked at last".into()));
    blocks.push(Block::Steps(
        told.into_iter().map(|step| step.answer).collect(),
    ));
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

/// Every step of a lesson in words, to be set beside its drawing.
#[must_use]
pub fn lesson_steps(answer: &Lesson, words: &Words<'_>) -> Vec<ToldStep> {
    let told = Told { answer, words };
    answer.steps.iter().map(|step| told.step(step)).collect()
}

struct Told<'a> {
    answer: &'a Lesson,
    words: &'a Words<'a>,
}

impl Told<'_> {
    fn step(&self, step: &LessonStep) -> ToldStep {
        let (heading, tells) = match &step.at {
            StepAt::Source {
                source,
                suction,
                feeds,
            } => (self.words.part(source), self.source(source, suction, feeds)),
            StepAt::Held {
                regulator,
                cavity,
                spills,
            } => (
                self.words.part(regulator),
                self.held(regulator, cavity, spills),
            ),
            StepAt::Hop {
                hop,
                mover,
                back_by,
            } => {
                let tells =
                    self.words.hop(hop) + "." + self.words.purpose(hop) + self.words.back(back_by);
                let stands = mover.iter().map(|mover| self.stands(mover));
                (
                    self.words.part(&hop.part),
                    stands.fold(tells, |line, s| line + s),
                )
            }
            StepAt::Outlet { outlet, cavity } => {
                (self.words.part(outlet), self.outlet(outlet, cavity))
            }
        };
        let without = match &step.without {
            Some(effect) => {
                let fault = self.words.fault(&effect.fault);
                Line::from("If ") + fault + ": " + self.effect(effect)
            }
            None => Line::default(),
        };
        let (question, answer) = self.question(&step.question);
        ToldStep {
            heading,
            tells,
            without,
            question,
            answer,
        }
    }

    fn source(&self, source: &PartName, suction: &[Hop], feeds: &str) -> Line {
        let line = self.words.part(source).capital();
        let body = self.words.circuit.get(Kind::Source, &source.id);
        if matches!(body, Some(Part::Source(s)) if s.pressure.is_some()) {
            return line + " puts pressure on " + self.words.cavity(feeds) + ".";
        }
        let parts: Vec<PartName> = suction.iter().map(|hop| hop.part.clone()).collect();
        let through = match &parts[..] {
            [] => Line::default(),
            parts => Line::from(" through ") + self.words.parts(parts),
        };
        line + " draws oil from the sump"
            + through
            + " and feeds "
            + self.words.cavity(feeds)
            + ". All the oil of this way is made here."
    }

    fn held(&self, regulator: &PartName, cavity: &str, spills: &[String]) -> Line {
        let line = self.words.part(regulator).capital() + " holds " + self.words.cavity(cavity);
        let at = match self.words.circuit.get(Kind::Regulator, &regulator.id) {
            Some(Part::Regulator(body)) => body.at.map(|at| at.show(self.words.units)),
            _ => None,
        };
        let line = match at {
            Some(at) => line + format!(" at {at}."),
            None => line + ".",
        };
        match spills {
            [] => line + " It lets in just enough for that and no more.",
            [one] => line + " What is too much it lets go to " + self.words.cavity(one) + ".",
            several => {
                let several = several.iter().map(|to| self.words.cavity(to));
                line + " What is too much it lets go, in this order: to "
                    + Line::list(several, "and last to")
                    + "."
            }
        }
    }

    fn stands(&self, mover: &Mover) -> Line {
        Line::from(" ") + self.words.mover(mover) + "."
    }

    fn outlet(&self, outlet: &PartName, cavity: &str) -> Line {
        let line = match self.words.arrives(outlet) {
            Some(arrives) => arrives,
            None => Line::from("It reaches ") + self.words.part(outlet),
        };
        let line = line + ", at " + self.words.cavity(cavity) + ".";
        let needs = match self.words.circuit.get(outlet.kind, &outlet.id) {
            Some(Part::Outlet(body)) => body.needs.map(|needs| match needs {
                Needs::Pressure(p) => {
                    format!(" It needs {} to do its work.", p.show(self.words.units))
                }
                Needs::Flow(q) => format!(" It needs {}, always.", q.show(self.words.units)),
            }),
            _ => None,
        };
        line + needs.unwrap_or_default()
    }

    /// What a fault does, in a sentence or two.
    fn effect(&self, effect: &Effect) -> Line {
        let words = self.words;
        if let Some(source) = effect.cannot_draw.first() {
            return words.part(source) + " gives no oil, so nothing gets any.";
        }
        if let Some(source) = effect.will_not_build.first() {
            let feeds = match words.circuit.get(Kind::Source, &source.id) {
                Some(Part::Source(body)) => words.cavity(&body.feeds),
                _ => words.part(source),
            };
            return feeds + " runs off and will not build, so no outlet can be counted on.";
        }
        let state = match in_state(self.answer.state.as_deref()) {
            state if state.is_empty() => state,
            state => Line::from(" ") + state,
        };
        let harm = words.harm(&effect.suffering);
        let line = match harm.is_empty() {
            true => Line::from("nothing loses its oil") + state + ".",
            false => Line::list(harm, "and") + "; all else stays as it was.",
        };
        // That a valve which sticks stands there was said.
        let fault = words.circuit.fault(&effect.fault);
        let own = |valve: &MovedValve| fault.as_ref().is_ok_and(|f| f.part == valve.valve);
        let moved = effect.moved.iter().filter(|valve| !own(valve));
        let moved = moved.map(|valve| words.moved(valve));
        moved.fold(line, |line, moved| line + " " + moved + ".")
    }

    fn question(&self, asked: &StepQuestion) -> (Line, Line) {
        let words = self.words;
        match asked {
            StepQuestion::Fault { effect } => {
                let fault = words.fault(&effect.fault);
                let question = fault.capital() + ". Who loses oil now, and who keeps it?";
                let why = effect
                    .suffering
                    .iter()
                    .find(|o| o.outlet == self.answer.outlet);
                let why = why.or(effect.suffering.first());
                let broken = !effect.cannot_draw.is_empty() || !effect.will_not_build.is_empty();
                let why = match why.filter(|_| !broken).and_then(|o| o.reason.as_ref()) {
                    Some(reason) => Line::from(" ") + words.reason(reason).capital() + ".",
                    None => Line::default(),
                };
                (question, self.effect(effect).capital() + why)
            }
            StepQuestion::Elsewhere { fault, states } => {
                let fault = words.fault(fault).capital();
                let here = in_state(self.answer.state.as_deref());
                let question = fault + ". Nothing of it is felt " + here;
                let mut alike: Vec<(Line, Vec<Line>)> = Vec::new();
                for felt in states {
                    let harm = Line::list(words.harm(&felt.suffering), "and");
                    let state = Line::id(felt.state.as_deref().unwrap_or_default());
                    match alike.iter_mut().find(|(known, _)| *known == harm) {
                        Some((_, states)) => states.push(state),
                        None => alike.push((harm, vec![state])),
                    }
                }
                let told = alike.into_iter().map(|(harm, states)| {
                    Line::from("In ") + Line::list(states, "and") + ": " + harm + "."
                });
                let told = told.reduce(|line, more| line + " " + more);
                let question = question + ". In which state is it, and how?";
                (question, told.unwrap_or_default())
            }
            StepQuestion::WayRound { part, needed } => {
                let question = Line::from("Is there a way round ") + words.part(part) + "?";
                let answer = match needed {
                    true => {
                        Line::from("No. All the oil that gets to ")
                            + words.part(&self.answer.outlet)
                            + " comes through it."
                    }
                    false => {
                        Line::from("Yes. Oil can get to ")
                            + words.part(&self.answer.outlet)
                            + " without it."
                    }
                };
                (question, answer)
            }
            StepQuestion::Spills { regulator, to } => {
                let question = Line::from("The pump tires and oil is short. What does ");
                let question = question + words.part(regulator);
                let question = match to.len() {
                    1 => question + " shut?",
                    _ => question + " shut first, and what last?",
                };
                let mut last = to.iter().rev().map(|to| words.cavity(to));
                let first = last.next().unwrap_or_default();
                let answer = match to.len() {
                    1 => Line::from("The way to ") + first,
                    _ => Line::from("First ") + first,
                };
                let rest = last.fold(answer, |line, to| line + ", then " + to);
                (question, rest + ". What it holds is served first.")
            }
            StepQuestion::Narrowest { place } => {
                let question = "Where on this way does least oil get through?".into();
                let answer = match place {
                    Some(place) => words.narrow(place).capital() + ".",
                    None => "Nowhere: nothing on it meters the oil.".into(),
                };
                (question, answer)
            }
        }
    }
}
