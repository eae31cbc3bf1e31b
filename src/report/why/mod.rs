//! Why a cavity is fed, drained or undecided, in words.

mod mover;
mod sentence;

use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{Because, CourseWord, Gap, Shut, Why, WhyEnd, WhyState, WhyWay};
use crate::circuit::{Kind, Level, PartName};
use crate::net::Strength;
use crate::settle::{Span, Value};

const NOTE: &str = "How this was found: open ways, metering holes and leaks weighed against each \
     other, and valves moved as the oil says, from rest. No pressures, flows or times were \
     computed, so fed does not mean enough.";

/// The report of why a cavity is as it is: the answer in one sentence, the way in and the way out,
/// what is shut, and what moves with why it stands so. Where states differ, a sentence for each.
#[must_use]
pub fn why(answer: &Why, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = Vec::new();
    match &answer.states[..] {
        [state] => told.state(state, &mut blocks),
        states => told.states(states, &mut blocks),
    }
    blocks.push(Block::Note(NOTE.into()));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Why,
    words: &'a Words<'a>,
}

impl<'a> Told<'a> {
    /// Every state asked about.
    fn all(&self) -> Vec<&'a str> {
        let asked = self.answer.states.iter().flat_map(|s| ids(s));
        let asked: Vec<&str> = asked.collect();
        let declared = self.words.circuit.ids(Kind::State);
        let all: Vec<&'a str> = declared.filter(|id| asked.contains(id)).collect();
        // A circuit that declares no states has one without a name.
        if all.is_empty() { vec![""] } else { all }
    }

    /// What the sentences are about.
    fn subject(&self) -> Line {
        let part = self.words.part(&self.answer.part);
        match self.answer.part.kind {
            Kind::Passage => part,
            _ => part + ", at " + Line::id(&self.answer.cavity) + ",",
        }
    }

    fn with(&self) -> Line {
        match &self.answer.faults[..] {
            [] => Line::default(),
            faults => {
                Line::from("with ") + Line::list(faults.iter().map(|f| Line::id(f)), "and") + ", "
            }
        }
    }

    /// All there is to say where all states agree.
    fn state(&self, state: &WhyState, blocks: &mut Vec<Block>) {
        let states = words::in_states(&ids(state), &self.all());
        let subject = self.with() + self.subject() + " is " + value(state.value) + states;
        let lead = match &state.ends[..] {
            [end] => subject + ": " + self.because(end),
            _ => {
                let on = self.words.parts(&state.unsettled);
                subject + ": it hangs on where " + on + " " + ends_up(state.unsettled.len())
            }
        };
        blocks.push(Block::Lead(lead.capital() + "."));
        blocks.extend(self.level(state).map(Block::Text));
        match &state.ends[..] {
            [end] => {
                if !state.unsettled.is_empty() {
                    let course = words::course(state.course, self.words.parts(&state.unsettled));
                    blocks.push(Block::Text(course + ". It makes no difference here."));
                }
                self.end(end, blocks);
            }
            ends => {
                if state.course != CourseWord::Undecided {
                    let course = words::course(state.course, self.words.parts(&state.unsettled));
                    blocks.push(Block::Text(course + "."));
                }
                for end in ends {
                    blocks.push(Block::Heading(self.standing(end)));
                    let line = Line::from("it is ") + value(end.value) + ": " + self.because(end);
                    blocks.push(Block::Text(line.capital() + "."));
                    self.end(end, blocks);
                }
            }
        }
        self.sound(state, blocks);
    }

    /// Where what the end hangs on stands, as a heading.
    fn standing(&self, end: &WhyEnd) -> Line {
        if end.standing.is_empty() {
            return "At one more end".into();
        }
        let places = end.standing.iter().map(|standing| {
            let part = self.words.part(&standing.part);
            match &standing.place {
                Some(place) if standing.part.kind == Kind::Ball => {
                    part + " open to " + Line::id(place)
                }
                Some(place) => part + " in " + Line::id(place),
                None => part + " in an unknown place",
            }
        });
        Line::from("With ") + Line::list(places, "and")
    }

    fn end(&self, end: &WhyEnd, blocks: &mut Vec<Block>) {
        let sides = [(&end.way_in, "The way in"), (&end.way_out, "The way out")];
        for (way, heading) in sides {
            let Some(way) = way.as_ref().filter(|way| !way.hops.is_empty()) else {
                continue;
            };
            let lost = way.beaten_at.as_deref();
            let lost = lost.map(|at| Line::from(", outweighed at ") + Line::id(at));
            blocks.push(Block::Heading(
                Line::from(heading) + lost.unwrap_or_default(),
            ));
            blocks.push(self.way(way));
        }
        let gaps = [
            (&end.sealed_by, "What shuts it in"),
            (&end.shut, "Shut between it and a source"),
        ];
        for (gaps, heading) in gaps {
            if !gaps.is_empty() {
                blocks.push(Block::Heading(heading.into()));
                blocks.push(self.gaps(gaps));
            }
        }
        if !end.movers.is_empty() {
            let movers = end.movers.iter().map(|mover| self.words.mover(mover) + ".");
            blocks.push(Block::Heading("What moves".into()));
            blocks.push(Block::List(movers.collect()));
        }
    }

    fn way(&self, way: &WhyWay) -> Block {
        let rows = way.hops.iter().map(|hop| {
            let lets = match (hop.strength, hop.bore_m) {
                (Strength::Leak, _) => "a leak".to_owned(),
                (Strength::Metered, Some(bore)) => format!("metered, {}", self.words.bore(bore)),
                (Strength::Metered, None) => "metered".to_owned(),
                // Drilled out or gaping, its bore is not what it was.
                (Strength::Open, _) if hop.part.kind == Kind::Orifice => "open".to_owned(),
                (Strength::Open, Some(bore)) => format!("open, {}", self.words.bore(bore)),
                (Strength::Open, None) => "open".to_owned(),
            };
            let stands = hop
                .position
                .as_deref()
                .map(|p| Line::from("in ") + Line::id(p));
            let lets = match hop.sure {
                true => Line::from(lets),
                false => Line::from(lets) + Line::role(Role::Unsure, ", or shut"),
            };
            vec![
                Line::id(&hop.from),
                self.words.name(&hop.part),
                stands.unwrap_or_default(),
                lets,
                Line::id(&hop.to),
            ]
        });
        Block::table(
            &["from", "through", "stands", "lets", "into"],
            rows.collect(),
        )
    }

    fn gaps(&self, gaps: &[Gap]) -> Block {
        let rows = gaps.iter().map(|gap| {
            let shut = match &gap.shut {
                Shut::Fault { fault } => Line::id(fault),
                Shut::Position { opens } => {
                    Line::from("opens in ") + Line::list(opens.iter().map(|p| Line::id(p)), "or")
                }
                Shut::Solenoid => "the solenoid is shut".into(),
                Shut::Shuttle => "the ball lies on this inlet".into(),
                Shut::Seated => "the ball is on its seat: no oil passes this way".into(),
                Shut::Sprung => "its spring holds it shut".into(),
            };
            let from = Line::id(&gap.from);
            vec![from, self.words.name(&gap.part), Line::id(&gap.to), shut]
        });
        Block::table(&["from", "through", "into", "shut"], rows.collect())
    }

    /// The level, where there is more to it than fed or drained.
    fn level(&self, state: &WhyState) -> Option<Line> {
        let capped = match &state.ends[..] {
            [end] => end.capped_by.as_ref(),
            _ => None,
        };
        let keeps = capped.map(|part| Line::from(": ") + self.words.part(part) + " keeps it there");
        Some(Line::from("Level: ") + level(state.span)? + keeps.unwrap_or_default() + ".")
    }

    /// How it is in the sound circuit.
    fn sound(&self, state: &WhyState, blocks: &mut Vec<Block>) {
        let Some(sound) = &state.sound else {
            if !self.answer.faults.is_empty() {
                let fault = if self.answer.faults.len() == 1 {
                    "the fault"
                } else {
                    "the faults"
                };
                let line = Line::from(format!("Without {fault} it is ")) + value(state.value);
                blocks.push(Block::Text(line + " too, and every valve stands as now."));
            }
            return;
        };
        let level = level(sound.span).map(|l| Line::from(", ") + l);
        let line = Line::from("There it is ") + value(sound.value);
        blocks.push(Block::Heading("Against the sound circuit".into()));
        let mut items = vec![line + level.unwrap_or_default() + "."];
        items.extend(
            sound
                .moved
                .iter()
                .map(|valve| self.words.moved(valve) + "."),
        );
        blocks.push(Block::List(items));
    }

    /// States that differ: how many of each, and a sentence for each that agree.
    fn states(&self, states: &[WhyState], blocks: &mut Vec<Block>) {
        let all = self.all();
        let counts = [Value::Fed, Value::Drained, Value::Undecided].into_iter();
        let counts = counts.filter_map(|wanted| {
            let with = states.iter().filter(|s| s.value == wanted);
            let with: Vec<&str> = with.flat_map(ids).collect();
            let line = value(wanted) + words::in_states(&with, &all);
            (!with.is_empty()).then_some(line)
        });
        let lead = self.with() + self.subject() + " is " + Line::list(counts, "and");
        blocks.push(Block::Lead(lead.capital() + "."));
        let mut told: Vec<(Line, Vec<&str>)> = Vec::new();
        for state in states {
            let said = match &state.ends[..] {
                [end] => self.because(end),
                _ => {
                    let on = self.words.parts(&state.unsettled);
                    Line::from("it hangs on where ") + on + " " + ends_up(state.unsettled.len())
                }
            };
            let level = self.level(state).map(|l| Line::from(". ") + l);
            let line = value(state.value) + "; " + said + level.unwrap_or_else(|| ".".into());
            match told.iter_mut().find(|(known, _)| *known == line) {
                Some((_, states)) => states.extend(ids(state)),
                None => told.push((line, ids(state))),
            }
        }
        let items = told
            .into_iter()
            .map(|(line, states)| words::states(&states, &all) + ": " + line);
        blocks.push(Block::List(items.collect()));
        let one = "The ways and what moves are shown for one state: add ";
        blocks.push(Block::Text(
            Line::from(one) + Line::id("--state STATE") + ".",
        ));
    }
}

fn ids(state: &WhyState) -> Vec<&str> {
    state.states.iter().map(String::as_str).collect()
}

fn ends_up(count: usize) -> &'static str {
    if count == 1 { "ends up" } else { "end up" }
}

fn value(value: Value) -> Line {
    match value {
        Value::Fed => Line::role(Role::Supplied, "fed"),
        Value::Drained => Line::role(Role::Drained, "drained"),
        Value::Undecided => Line::role(Role::Unsure, "undecided"),
    }
}

/// The level of a cavity; none where it has all there is, nothing, or may have either.
fn level(span: Span) -> Option<Line> {
    let word = |level: Level| match level {
        Level::Off => "none",
        Level::Fill => "enough to fill, not to work",
        Level::Low => "low",
        Level::Full => "full",
    };
    match (span.lowest, span.highest) {
        (Level::Off, Level::Off) | (Level::Full, Level::Full) | (Level::Off, Level::Full) => None,
        (low, high) if low == high => Some(word(low).into()),
        (low, high) => Some(format!("at least {}, at most {}", word(low), word(high)).into()),
    }
}
