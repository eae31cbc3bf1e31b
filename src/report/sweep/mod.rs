//! Every fault in every state, in words.

mod lines;
mod troubles;

use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{Severity, Sweep, SweepRecord};
use crate::circuit::{Access, PartName};

pub use lines::{sweep_csv, sweep_csv_head};

/// At most this many outlets or gauges are named in a row; the rest are counted.
const NAMED: usize = 4;

/// At most this many states are named in a row; more are counted.
const STATES: usize = 6;

/// What the worst fault of a part can do, in the order told, up to each severity.
const TIERS: [(Severity, &str); 5] = [
    (Severity::WillNotBuild, "cost all pressure"),
    (Severity::Flare, "cost a gear"),
    (Severity::Harsh, "do other harm"),
    (Severity::Undecided, "leave something undecided"),
    (Severity::Nothing, "show at a filter or a gauge alone"),
];

/// Faults of one part, or of one pair of parts, that do the same.
struct Group<'a> {
    parts: Vec<&'a str>,
    severity: Severity,
    records: Vec<&'a SweepRecord>,
    effects: Vec<Effect<'a>>,
    /// Gauges that surely read otherwise in some state, the easiest to reach first.
    seen: Vec<(&'a PartName, Access)>,
}

/// The same trouble in some states.
#[derive(PartialEq)]
struct Effect<'a> {
    severity: Severity,
    /// Each trouble with the outlets that have it in any of the states.
    troubles: Vec<(Line, Vec<&'a PartName>)>,
    states: Vec<&'a str>,
}

/// The report of a sweep: how many faults do what, then those that do the same as one, part by
/// part, the worst first. Of pairs it tells the records it is given, which may be a choice.
#[must_use]
pub fn sweep(answer: &Sweep, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    told.groups(&mut blocks);
    blocks.extend(told.harmless());
    blocks.push(Block::Note(
        Line::from(
            "A row names every outlet that suffers in any of its states and every gauge that \
             surely shows it in one of them; ",
        ) + Line::id("starve")
            + " tells the states apart, and why.",
    ));
    let records = answer.records.iter().flat_map(|record| &record.states);
    if records.flat_map(|state| &state.undecided).next().is_some() {
        blocks.push(Block::Note(
            "Undecided by where a part ends up: that is all it hangs on. Undecided with no more said: \
             whether its own passage has pressure cannot be told, for feed and drain are as strong, or \
             one of them may or may not be open."
                .into(),
        ));
    }
    blocks.push(Block::Note(words::gauge_caution()));
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Sweep,
    words: &'a Words<'a>,
}

impl<'a> Told<'a> {
    fn all(&self) -> Vec<&'a str> {
        self.answer.states.iter().map(String::as_str).collect()
    }

    fn lead(&self) -> Line {
        let summary = &self.answer.summary;
        let tried = match (summary.scenarios, self.answer.pairs) {
            (1, true) => "1 pair of faults".to_owned(),
            (n, true) => format!("{n} pairs of faults"),
            (n, false) => words::plural(n, "fault"),
        };
        let harm = summary.scenarios - summary.harmless;
        let line = Line::from(tried) + " tried" + words::in_each(&self.all(), &self.all());
        let quiet = match summary.harmless {
            0 => ": each changes something at an outlet and ".to_owned(),
            n => format!(": {n} {} nothing at any outlet and ", does(n, "change")),
        };
        let gear = match summary.costs_a_gear {
            0 => "none costs a gear.".to_owned(),
            n => format!("{n} {} a gear.", does(n, "cost")),
        };
        let line = line + quiet + gear;
        let gauges = !self.words.circuit.taps.is_empty() || !self.words.circuit.switches.is_empty();
        let line = match (harm, gauges, summary.unseen) {
            (0, _, _) => line,
            (_, false, _) => line + " There is no tap and no pressure switch to show them.",
            (_, true, 0) => line + " All that does harm shows at a tap or pressure switch.",
            (harm, true, n) => {
                line + format!(
                    " Of the {harm} that {} harm, {n} {} at no tap or pressure switch for certain.",
                    if harm == 1 { "does" } else { "do" },
                    does(n, "show"),
                )
            }
        };
        match (self.answer.pairs, summary.adds) {
            (false, _) => line,
            (true, 0) => line + " No pair does worse than each of its faults alone.",
            (true, 1) => line + " 1 does worse than each of its faults alone:",
            (true, n) => line + format!(" {n} do worse than each of their faults alone:"),
        }
    }

    /// One row for those that do the same, part by part, under what the worst of the part does.
    fn groups(&self, blocks: &mut Vec<Block>) {
        let parts = self.parts();
        let mut least = None;
        for (most, does) in TIERS {
            let here = parts.iter().filter(|part| {
                let worst = part[0].severity;
                worst <= most && least.is_none_or(|least| worst > least)
            });
            let rows: Vec<Line> = here.flatten().map(|group| self.row(group)).collect();
            if !rows.is_empty() {
                let who = match self.answer.pairs {
                    true => "Pairs that",
                    false => "Parts that can",
                };
                blocks.push(Block::Heading(format!("{who} {does}").into()));
                blocks.push(Block::List(rows));
            }
            least = Some(most);
        }
    }

    /// The groups of each part, the worst first, and the parts by their worst.
    fn parts(&self) -> Vec<Vec<Group<'a>>> {
        let mut parts: Vec<Vec<Group<'a>>> = Vec::new();
        for record in self.answer.records.iter().filter(|r| !is_quiet(r)) {
            let group = self.group(record);
            match parts.last_mut().filter(|part| part[0].parts == group.parts) {
                None => parts.push(vec![group]),
                Some(part) => {
                    let same =
                        |g: &&mut Group<'_>| g.effects == group.effects && g.seen == group.seen;
                    match part.iter_mut().find(same) {
                        Some(known) => known.records.push(record),
                        None => part.push(group),
                    }
                }
            }
        }
        for part in &mut parts {
            part.sort_by_key(|group| group.severity);
        }
        parts.sort_by_key(|part| part[0].severity);
        parts
    }

    fn group(&self, record: &'a SweepRecord) -> Group<'a> {
        let mut seen: Vec<(&PartName, Access)> = Vec::new();
        for reading in record.states.iter().flat_map(|state| &state.seen) {
            let gauge = (&reading.at, reading.access);
            if reading.is_sure() && !seen.contains(&gauge) {
                seen.push(gauge);
            }
        }
        seen.sort_by_key(|(_, access)| *access);
        let parts = record.faults.iter();
        Group {
            parts: parts
                .map(|fault| fault.split(':').next().unwrap_or_default())
                .collect(),
            severity: record.severity,
            records: vec![record],
            effects: self.effects(record),
            seen,
        }
    }

    fn effects(&self, record: &'a SweepRecord) -> Vec<Effect<'a>> {
        let mut effects: Vec<Effect<'a>> = Vec::new();
        for state in record.states.iter().filter(|s| !s.is_harmless()) {
            let troubles = self.troubles(state);
            let id = state.state.as_deref().unwrap_or_default();
            let heads = |troubles: &[(Line, Vec<&PartName>)]| -> Vec<Line> {
                troubles.iter().map(|(head, _)| head.clone()).collect()
            };
            let alike = |effect: &&mut Effect<'_>| heads(&effect.troubles) == heads(&troubles);
            match effects.iter_mut().find(alike) {
                None => effects.push(Effect {
                    severity: state.severity,
                    troubles,
                    states: vec![id],
                }),
                Some(effect) => {
                    effect.states.push(id);
                    for ((_, known), (_, outlets)) in effect.troubles.iter_mut().zip(troubles) {
                        let new = outlets.into_iter().filter(|o| !known.contains(o));
                        let new: Vec<&PartName> = new.collect();
                        known.extend(new);
                    }
                }
            }
        }
        effects.sort_by_key(|effect| effect.severity);
        effects
    }

    /// `hop-cover:loose: runs dry (pto-bearing) in all 13 states. Shows at lube-tap.`
    fn row(&self, group: &Group<'_>) -> Line {
        let all = self.all();
        let faults = Line::list(group.records.iter().map(|r| faults(r)), "or");
        let effects = group.effects.iter().map(|effect| {
            let troubles = effect.troubles.iter().map(|(head, outlets)| {
                let names = outlets.iter().map(|o| self.words.typed(o));
                match outlets[..] {
                    [] => head.clone(),
                    _ => head.clone() + " (" + Line::few(names, NAMED, "and") + ")",
                }
            });
            let many = effect.states.len() > STATES;
            let states = match many {
                true => words::in_states(&effect.states, &all),
                false => words::in_each(&effect.states, &all),
            };
            Line::list(troubles, "and") + states
        });
        let mut effects = effects;
        let line = match effects.next() {
            None => faults + ".",
            Some(first) => {
                effects.fold(faults + ": " + first, |line, next| line + "; " + next) + "."
            }
        };
        let gauges = group.seen.iter().map(|(gauge, access)| {
            let name = self.words.typed(gauge);
            match access {
                Access::Outside => name,
                Access::PanOff => name + " (pan off)",
                Access::Bench => name + " (bench)",
            }
        });
        match group.seen.is_empty() {
            true => line,
            false => line + " Shows at " + Line::few(gauges, NAMED, "and") + ".",
        }
    }

    /// The faults that nothing shows.
    fn harmless(&self) -> Vec<Block> {
        let quiet = self.answer.records.iter().filter(|record| is_quiet(record));
        let faults: Vec<Line> = quiet.map(faults).collect();
        if faults.is_empty() {
            return Vec::new();
        }
        let all = Line::list(faults, "and").capital() + ".";
        vec![
            Block::Heading("Faults that no outlet and no gauge shows".into()),
            Block::Text(all),
        ]
    }
}

/// Whether no outlet suffers and no gauge surely shows anything.
fn is_quiet(record: &SweepRecord) -> bool {
    record.is_harmless() && !record.is_seen()
}

fn faults(record: &SweepRecord) -> Line {
    Line::list(record.faults.iter().map(|f| Line::id(f)), "with")
}

fn does(count: usize, verb: &str) -> String {
    match count {
        1 => format!("{verb}s"),
        _ => verb.to_owned(),
    }
}
