//! What a page carries for its script: every single fault in every state, each text and each
//! effect once.

use indexmap::IndexSet;
use serde::Serialize;

use super::overlay::{Overlay, Repaint};
use crate::answer::{
    self, Reading, Severity, Starve, Status, SweepRecord, SweepState, Sweeper, Verdict,
};
use crate::circuit::{Access, Circuit, Condition, Fault, Kind, PartName, Shows};
use crate::draw::Layer;
use crate::report::page::Line;
use crate::report::{Words, complaint, words};
use crate::settle::Span;

/// What the script of a page reads.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Embedded {
    /// The states by id, each with what people call it; one nameless for a circuit without any.
    pub states: Vec<(String, String)>,
    /// Parts, in the order of the circuit file.
    pub parts: Vec<EmbeddedPart>,
    /// Every single fault, numbered as the sweep numbers them.
    pub faults: Vec<EmbeddedFault>,
    /// What faults do, each different effect once.
    pub effects: IndexSet<Effect>,
    /// What faults make of the drawing, each different change once.
    pub repaints: IndexSet<Repaint>,
    /// Every text once.
    pub texts: IndexSet<String>,
    /// For each state the outlets, by part number, that have oil when sound.
    pub on: Vec<Vec<usize>>,
    /// For each state what it makes of the drawing.
    pub overlays: Vec<Overlay>,
}

/// A part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EmbeddedPart {
    /// `kind.id`.
    pub name: String,
    /// As a reader types it.
    pub typed: String,
    /// What people call it.
    pub label: String,
    /// Whether it needs oil.
    pub outlet: bool,
    /// Its faults, by number; a swap of two parts is a fault of both.
    pub faults: Vec<usize>,
}

/// One fault, alone.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EmbeddedFault {
    /// As a reader types it.
    pub typed: String,
    /// What is wrong, in words.
    pub label: String,
    /// What it does: the numbers of the state, of the effect and of what it makes of the drawing.
    /// A state that is missing is as when sound.
    pub effects: Effects,
}

/// Numbers of a state, an effect and a change of the drawing.
pub type Effects = Vec<(usize, usize, usize)>;

/// What a fault does in one state. Texts are numbers.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct Effect(
    /// How bad it is, in words.
    pub usize,
    /// Complaints, those of the supply first.
    pub Vec<usize>,
    /// Outlets: the number of the verdict, of the part, and of the reason, if one is told.
    pub Vec<(usize, usize, Option<usize>)>,
    /// What taps and switches show.
    pub Vec<usize>,
    /// What is not decided, and why.
    pub Vec<usize>,
);

impl Embedded {
    /// Numbers everything; `sound` is the sound circuit in the same states.
    pub(super) fn of(
        words: &Words<'_>,
        sweeper: &Sweeper<'_>,
        sound: &Starve,
        layer: &Layer<'_>,
    ) -> Self {
        let circuit = words.circuit;
        let names: Vec<PartName> = circuit.parts().map(|(name, _)| name).collect();
        let names: IndexSet<PartName> = names.into_iter().filter(|n| is_listed(n.kind)).collect();
        let faults = sweeper.scenarios().faults();
        let outlets: Vec<&PartName> = match sound.states.first() {
            Some(state) => state.outlets.iter().map(|o| &o.outlet).collect(),
            None => Vec::new(),
        };
        let parts = names.iter().map(|name| EmbeddedPart {
            name: name.to_string(),
            typed: circuit.short(name),
            label: text(&circuit.label(name).into()),
            outlet: outlets.contains(&name),
            faults: (0..faults.len())
                .filter(|i| concerns(&faults[*i], name))
                .collect(),
        });
        let number = |outlet: &PartName| names.get_index_of(outlet);
        let on = sound.states.iter().map(|state| {
            let on = state.outlets.iter().filter(|o| o.sound == Status::On);
            on.filter_map(|o| number(&o.outlet)).collect()
        });
        let states = sound.states.iter().map(|s| s.state.as_deref());
        let mut embedded = Embedded {
            states: named(circuit),
            parts: parts.collect(),
            faults: Vec::with_capacity(faults.len()),
            effects: IndexSet::new(),
            repaints: IndexSet::new(),
            texts: IndexSet::new(),
            on: on.collect(),
            overlays: states.map(|state| layer.lay(state, &[]).into()).collect(),
        };
        let count = sweeper.scenarios().count();
        for start in (0..count).step_by(Sweeper::AT_ONCE) {
            let upto = count.min(start + Sweeper::AT_ONCE);
            let records = sweeper.records(start..upto);
            let laid = answer::each(&records, |record| {
                let fault = &faults[record.number..=record.number];
                let states = record.states.iter().map(|s| s.state.as_deref());
                let laid = states.map(|state| layer.lay(state, fault).into());
                laid.collect::<Vec<Overlay>>()
            });
            for (record, laid) in records.iter().zip(laid) {
                let effects = embedded.effects(record, laid, words, &names);
                embedded.faults.push(EmbeddedFault {
                    typed: record.faults.join(" "),
                    label: condition(&faults[record.number].condition),
                    effects,
                });
            }
        }
        embedded
    }

    fn effects(
        &mut self,
        record: &SweepRecord,
        laid: Vec<Overlay>,
        words: &Words<'_>,
        names: &IndexSet<PartName>,
    ) -> Effects {
        let told = record.states.iter().zip(laid).filter_map(|(state, laid)| {
            let id = state.state.as_deref().unwrap_or_default();
            let at = self.states.iter().position(|(known, _)| known == id)?;
            let effect = self.effect(state, words, names);
            let repaint = self.overlays[at].repaint(&laid);
            let effect = self.effects.insert_full(effect).0;
            Some((at, effect, self.repaints.insert_full(repaint).0))
        });
        told.collect()
    }

    fn effect(
        &mut self,
        state: &SweepState,
        words: &Words<'_>,
        names: &IndexSet<PartName>,
    ) -> Effect {
        let lists = [
            &state.starved,
            &state.on_when_off,
            &state.weakened,
            &state.late,
            &state.harsh,
        ];
        let mut outlets = Vec::new();
        for (verdict, list) in lists.into_iter().enumerate() {
            for outlet in list {
                let why = state.why.iter().find(|w| w.outlet == *outlet);
                outlets.push((verdict, outlet, why.map(|w| &w.reason)));
            }
        }
        for open in &state.undecided {
            outlets.push((Verdict::BAD.len() - 1, &open.outlet, open.why.as_ref()));
        }
        let outlets = outlets.into_iter().filter_map(|(verdict, outlet, why)| {
            let why = why.map(|why| self.text(&sentence(words.reason(why))));
            Some((verdict, names.get_index_of(outlet)?, why))
        });
        let outlets = outlets.collect();
        let mut complaints = Vec::new();
        for source in &state.will_not_build {
            let line = words.part(source)
                + " cannot keep up: no pressure builds, and no outlet \
                 can be counted on";
            complaints.push(sentence(line));
        }
        for source in &state.cannot_draw {
            complaints.push(sentence(words.part(source) + " gives no oil"));
        }
        complaints.extend((state.complaints.iter()).map(|c| sentence(complaint::told(c, words))));
        let shows = |r: &Reading| words.name(&r.at).capital() + ": " + reading(r);
        let seen = state.seen.iter().map(shows).collect::<Vec<Line>>();
        let course = words::course(state.course, words.parts(&state.unsettled));
        let open = (!course.is_empty()).then(|| sentence(course));
        Effect(
            self.text(&severity(state.severity)),
            complaints.iter().map(|line| self.text(line)).collect(),
            outlets,
            seen.iter().map(|line| self.text(line)).collect(),
            open.iter().map(|line| self.text(line)).collect(),
        )
    }

    fn text(&mut self, line: &Line) -> usize {
        self.texts.insert_full(text(line)).0
    }
}

/// Whether something can be wrong with parts of a kind, or oil gets to them.
fn is_listed(kind: Kind) -> bool {
    !matches!(kind, Kind::Casting | Kind::Oil | Kind::Input | Kind::State)
}

fn concerns(fault: &Fault, name: &PartName) -> bool {
    let swapped = match &fault.condition {
        Condition::Swapped(other) | Condition::SpringSwapped(other) => Some(other),
        _ => None,
    };
    fault.part == *name || (fault.part.kind == name.kind && swapped == Some(&name.id))
}

fn named(circuit: &Circuit) -> Vec<(String, String)> {
    if circuit.states.is_empty() {
        return vec![(String::new(), String::new())];
    }
    let label = |id: &str| text(&circuit.label(&PartName::new(Kind::State, id)).into());
    let ids = circuit.states.keys();
    ids.map(|id| (id.clone(), label(id))).collect()
}

/// A condition in words: `stuck: high`, `left out`.
fn condition(condition: &Condition) -> String {
    let typed = condition.to_string();
    match typed.split_once('=') {
        Some((word, of)) => format!("{}: {}", word.replace('-', " "), of.replace(',', ", ")),
        None => typed.replace('-', " "),
    }
}

fn severity(of: Severity) -> Line {
    match of {
        // Only a gauge or a filter tells.
        Severity::Nothing => "no outlet suffers".into(),
        of => words::severity(of),
    }
}

/// What a gauge shows now, and what it should.
fn reading(reading: &Reading) -> String {
    let span = |span: Span| match span.lowest == span.highest {
        true => span.lowest.to_string(),
        false => format!("{} to {}", span.lowest, span.highest),
    };
    let surely = if reading.is_sure() { "" } else { ", perhaps" };
    let (mut now, sound) = (span(reading.now), span(reading.sound));
    if reading.high {
        now = Shows::High.to_string();
    }
    let reached = match reading.access {
        Access::Outside => "",
        Access::PanOff => " (pan off)",
        Access::Bench => " (on the bench)",
    };
    format!("{now} instead of {sound}{surely}{reached}")
}

fn sentence(line: Line) -> Line {
    line.capital() + "."
}

/// The text of a line, free of control characters.
pub(super) fn text(line: &Line) -> String {
    line.spans().iter().map(|span| span.text()).collect()
}
