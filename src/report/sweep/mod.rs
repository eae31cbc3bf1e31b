//! Every fault in every state, in words.

mod lines;

use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{
    Complaint, ComplaintWord, Reading, Severity, Sweep, SweepRecord, SweepState, Verdict,
};
use crate::circuit::{Access, PartName};

pub use lines::{sweep_csv, sweep_csv_head};

/// At most this many outlets are named in a cell; of more, all but this many less one are counted.
const NAMED: usize = 4;

/// Faults of one part, or of one pair of parts, that do the same.
struct Group<'a> {
    parts: Vec<&'a str>,
    severity: Severity,
    records: Vec<&'a SweepRecord>,
    effects: Vec<Effect<'a>>,
}

/// One thing that faults do, in the states where they do it.
#[derive(PartialEq)]
struct Effect<'a> {
    severity: Severity,
    what: Line,
    seen: Line,
    states: Vec<&'a str>,
}

/// The report of a sweep: how many faults do what, then those that do the same as one, part by
/// part, the worst first. Of pairs it tells the records it is given, which may be a choice.
#[must_use]
pub fn sweep(answer: &Sweep, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    blocks.extend(told.table());
    blocks.extend(told.harmless());
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
        let noun = match self.answer.pairs {
            true => "pair of faults",
            false => "fault",
        };
        let tried = match (summary.scenarios, self.answer.pairs) {
            (1, _) => format!("1 {noun}"),
            (n, true) => format!("{n} pairs of faults"),
            (n, false) => format!("{n} faults"),
        };
        let harm = summary.scenarios - summary.harmless;
        let line = Line::from(tried) + " tried" + words::in_any(&self.all(), &self.all());
        let line = line
            + format!(
                ": {} {} nothing at any outlet, {} {} a gear.",
                number(summary.harmless),
                does(summary.harmless, "change"),
                number(summary.costs_a_gear),
                does(summary.costs_a_gear, "cost"),
            );
        let gauges = !self.words.circuit.taps.is_empty() || !self.words.circuit.switches.is_empty();
        let line = match (harm, gauges) {
            (0, _) => line,
            (_, false) => line + " There is no tap and no pressure switch to show them.",
            (harm, true) => {
                line + format!(
                    " Of the {harm} that do harm, {} {} at no tap or pressure switch for certain.",
                    number(summary.unseen),
                    does(summary.unseen, "show"),
                )
            }
        };
        match (self.answer.pairs, summary.adds) {
            (false, _) => line,
            (true, 0) => line + " No pair does worse than each of its faults alone.",
            (true, adds) => {
                line + format!(
                    " {} {} worse than each of {} faults alone:",
                    number(adds),
                    if adds == 1 { "does" } else { "do" },
                    if adds == 1 { "its" } else { "their" },
                )
            }
        }
    }

    fn table(&self) -> Option<Block> {
        let all = self.all();
        let mut rows = Vec::new();
        for group in self.groups() {
            let mut faults = group.faults();
            for effect in group.effects {
                rows.push(vec![
                    std::mem::take(&mut faults),
                    words::states(&effect.states, &all),
                    effect.what,
                    effect.seen,
                ]);
            }
        }
        let head = &["fault", "where", "what", "shows at"];
        (!rows.is_empty()).then(|| Block::table(head, rows))
    }

    /// Faults that do the same together, part by part, the worst first.
    fn groups(&self) -> Vec<Group<'a>> {
        let mut groups: Vec<Group<'a>> = Vec::new();
        let mut first_of_part = 0;
        for record in &self.answer.records {
            let parts = parts(record);
            if groups.last().is_some_and(|group| group.parts != parts) {
                first_of_part = groups.len();
            }
            let effects = self.effects(record);
            if effects.is_empty() {
                continue;
            }
            let of_part = &mut groups[first_of_part..];
            match of_part.iter_mut().find(|group| group.effects == effects) {
                Some(group) => group.records.push(record),
                None => groups.push(Group {
                    parts,
                    severity: record.severity,
                    records: vec![record],
                    effects,
                }),
            }
        }
        let mut of_parts: Vec<Vec<Group<'a>>> = Vec::new();
        for group in groups {
            match of_parts.last_mut() {
                Some(last) if last[0].parts == group.parts => last.push(group),
                _ => of_parts.push(vec![group]),
            }
        }
        for of_part in &mut of_parts {
            of_part.sort_by_key(|group| group.severity);
        }
        of_parts.sort_by_key(|of_part| of_part[0].severity);
        of_parts.into_iter().flatten().collect()
    }

    fn effects(&self, record: &'a SweepRecord) -> Vec<Effect<'a>> {
        let mut effects: Vec<Effect<'a>> = Vec::new();
        for state in &record.states {
            let (what, seen) = (self.what(state), self.seen(state));
            if what.is_empty() && seen.is_empty() {
                continue;
            }
            let id = state.state.as_deref().unwrap_or_default();
            let known = |effect: &&mut Effect<'_>| effect.what == what && effect.seen == seen;
            match effects.iter_mut().find(known) {
                Some(effect) => effect.states.push(id),
                None => effects.push(Effect {
                    severity: state.severity,
                    what,
                    seen,
                    states: vec![id],
                }),
            }
        }
        effects.sort_by_key(|effect| effect.severity);
        for effect in &mut effects {
            if effect.what.is_empty() {
                effect.what = Line::role(Role::Faint, "nothing at an outlet");
            }
        }
        effects
    }

    /// What happens in one state, briefly; empty where no outlet suffers.
    fn what(&self, state: &SweepState) -> Line {
        let mut said: Vec<Line> = Vec::new();
        for source in &state.will_not_build {
            said.push(self.words.typed(source) + " will not build");
        }
        for source in &state.cannot_draw {
            said.push(self.words.typed(source) + " cannot draw");
        }
        said.extend(state.complaints.iter().map(|c| self.complaint(c)));
        // What no one complains of, such as a filter.
        let told = |part: &&PartName| state.complaints.iter().any(|c| c.outlets.contains(part));
        let rest = [
            (Verdict::Starved, &state.starved),
            (Verdict::OnWhenOff, &state.on_when_off),
            (Verdict::Weakened, &state.weakened),
            (Verdict::Late, &state.late),
        ];
        for (verdict, parts) in rest {
            let parts: Vec<&PartName> = parts.iter().filter(|part| !told(part)).collect();
            said.extend(self.listed(words::verdict_alone(verdict), &parts));
        }
        let undecided: Vec<&PartName> = state.undecided.iter().map(|u| &u.outlet).collect();
        said.extend(self.listed(words::verdict_alone(Verdict::Undecided), &undecided));
        let mut said = said.into_iter();
        let first = said.next().unwrap_or_default();
        said.fold(first, |line, next| line + "; " + next)
    }

    fn complaint(&self, complaint: &Complaint) -> Line {
        let head = words::complaint(complaint.what);
        match (&complaint.like, complaint.what) {
            (Some(like), ComplaintWord::WrongState) => head + " " + Line::id(like),
            _ => {
                let outlets: Vec<&PartName> = complaint.outlets.iter().collect();
                self.listed(head, &outlets).unwrap_or_default()
            }
        }
    }

    /// What happens to some outlets; none where there are none.
    fn listed(&self, head: Line, outlets: &[&PartName]) -> Option<Line> {
        let names = outlets.iter().map(|o| self.words.typed(o));
        match outlets.len() {
            0 => None,
            n if n <= NAMED => Some(head + ": " + Line::list(names, "and")),
            n => {
                let more: Line = format!("{} more", n + 1 - NAMED).into();
                let names = names.take(NAMED - 1).chain([more]);
                Some(head + ": " + Line::list(names, "and"))
            }
        }
    }

    /// The gauges that surely read otherwise, the easiest to reach first.
    fn seen(&self, state: &SweepState) -> Line {
        let sure = state.seen.iter().filter(|reading| reading.is_sure());
        let names = sure.map(|reading: &Reading| {
            let name = self.words.typed(&reading.at);
            match reading.access {
                Access::Outside => name,
                Access::PanOff => name + " (pan off)",
                Access::Bench => name + " (bench)",
            }
        });
        Line::list(names, "and")
    }

    /// The faults that nothing shows.
    fn harmless(&self) -> Vec<Block> {
        let records = self.answer.records.iter();
        let quiet = records.filter(|record| self.effects(record).is_empty());
        let faults: Vec<Line> = quiet.map(faults).collect();
        if faults.is_empty() {
            return Vec::new();
        }
        let all = Line::list(faults, "and").capital() + ".";
        vec![
            Block::Heading("No outlet and no gauge shows anything of".into()),
            Block::Text(all),
        ]
    }
}

impl Group<'_> {
    /// Its faults, those of a pair joined.
    fn faults(&self) -> Line {
        Line::list(self.records.iter().map(|record| faults(record)), "or")
    }
}

fn faults(record: &SweepRecord) -> Line {
    Line::list(record.faults.iter().map(|f| Line::id(f)), "with")
}

/// The parts that the faults are of.
fn parts(record: &SweepRecord) -> Vec<&str> {
    let parts = record.faults.iter();
    parts
        .map(|fault| fault.split(':').next().unwrap_or_default())
        .collect()
}

fn number(count: usize) -> String {
    match count {
        0 => "none".to_owned(),
        count => count.to_string(),
    }
}

fn does(count: usize, verb: &str) -> String {
    match count {
        0 | 1 => format!("{verb}s"),
        _ => verb.to_owned(),
    }
}
