//! What starves, in words.

use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{OutletVerdict, Reason, Starve, StarveState, Verdict};
use crate::circuit::{Kind, PartName};

/// Verdicts that say something is wrong, the worst first.
const BAD: [Verdict; 4] = [
    Verdict::Starved,
    Verdict::OnWhenOff,
    Verdict::Weakened,
    Verdict::Undecided,
];

/// At most this many outlets are named in the first sentence.
const NAMED: usize = 3;

/// Outlets that suffer the same in the same states for the same reason.
struct Group<'a> {
    verdict: Verdict,
    outlets: Vec<&'a PartName>,
    states: Vec<&'a str>,
    reason: Option<&'a Reason>,
}

/// The report of what some faults do: the answer in one sentence, the outlets that suffer, why,
/// and what was held that would move.
#[must_use]
pub fn starve(answer: &Starve, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    let groups = told.groups();
    if groups.len() > 1 {
        blocks.push(told.table(&groups));
    }
    told.why(&groups, &mut blocks);
    told.pumps(&mut blocks);
    told.movers(&mut blocks);
    told.kept(&mut blocks);
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Starve,
    words: &'a Words<'a>,
}

impl<'a> Told<'a> {
    fn all(&self) -> Vec<&'a str> {
        self.answer.states.iter().map(id).collect()
    }

    fn every(&self) -> impl Iterator<Item = (&'a str, &'a OutletVerdict)> {
        let states = self.answer.states.iter();
        states.flat_map(|s| s.outlets.iter().map(move |o| (id(s), o)))
    }

    /// Parts that some states list, each with those states.
    fn listed(
        &self,
        of: impl Fn(&'a StarveState) -> &'a [PartName],
    ) -> Vec<(&'a PartName, Vec<&'a str>)> {
        let mut found: Vec<(&PartName, Vec<&str>)> = Vec::new();
        for state in &self.answer.states {
            for part in of(state) {
                match found.iter_mut().find(|(known, _)| *known == part) {
                    Some((_, states)) => states.push(id(state)),
                    None => found.push((part, vec![id(state)])),
                }
            }
        }
        found
    }

    fn groups(&self) -> Vec<Group<'a>> {
        let mut single: Vec<Group<'_>> = Vec::new();
        for (state, outlet) in self.every().filter(|(_, o)| o.verdict.is_bad()) {
            let reason = outlet.reason.as_ref();
            let known = single.iter_mut().find(|g| {
                (g.verdict, g.outlets[0], g.reason) == (outlet.verdict, &outlet.outlet, reason)
            });
            match known {
                Some(known) => known.states.push(state),
                None => single.push(Group {
                    verdict: outlet.verdict,
                    outlets: vec![&outlet.outlet],
                    states: vec![state],
                    reason,
                }),
            }
        }
        let mut groups: Vec<Group<'_>> = Vec::new();
        for group in single {
            let same = |g: &&mut Group<'_>| {
                (g.verdict, g.reason, &g.states) == (group.verdict, group.reason, &group.states)
            };
            match groups.iter_mut().find(same) {
                Some(known) => known.outlets.extend(group.outlets),
                None => groups.push(group),
            }
        }
        groups.sort_by_key(|g| g.verdict);
        groups
    }

    fn lead(&self) -> Line {
        let faults = self.answer.faults.iter().map(|f| Line::id(f));
        let one = faults.len() == 1;
        let all = self.all();
        let everywhere = words::in_states(&all, &all);
        if faults.len() == 0 && !crate::answer::Answer::wrong(self.answer) {
            return Line::from("No fault: nothing starves") + everywhere + ".";
        }
        let subject = Line::list(faults, "and") + if one { " " } else { " together " };
        let mut clauses: Vec<Line> = Vec::new();
        let unbuilt = self.listed(|s| &s.will_not_build);
        for (source, states) in self.listed(|s| &s.cannot_draw) {
            let stops = if one { "keeps " } else { "keep " };
            let source = self.words.part(source);
            clauses.push(
                Line::from(stops) + source + " from drawing oil" + words::in_states(&states, &all),
            );
        }
        for (source, states) in &unbuilt {
            let stops = if one { "drains " } else { "drain " };
            let fed = self.fed_by(source);
            clauses.push(
                Line::from(stops)
                    + fed
                    + " so that no pressure builds"
                    + words::in_states(states, &all),
            );
        }
        clauses.extend(BAD.into_iter().filter_map(|v| self.clause(v, one)));
        let rest = if clauses.is_empty() {
            let s = if one { "s" } else { "" };
            clauses.push(Line::from(format!("starve{s} nothing")) + everywhere);
            "every outlet keeps its oil"
        } else if !unbuilt.is_empty() {
            "without that pressure no outlet can be counted on"
        } else if self.healthy().is_empty() {
            "nothing keeps its oil"
        } else {
            "everything else keeps its oil"
        };
        subject + Line::list(clauses, "and") + "; " + rest + "."
    }

    /// What the faults do to the outlets with one verdict, as a clause.
    fn clause(&self, verdict: Verdict, one: bool) -> Option<Line> {
        let mut outlets: Vec<&PartName> = Vec::new();
        let mut states: Vec<&str> = Vec::new();
        for (state, outlet) in self.every().filter(|(_, o)| o.verdict == verdict) {
            if !outlets.contains(&&outlet.outlet) {
                outlets.push(&outlet.outlet);
            }
            if !states.contains(&state) {
                states.push(state);
            }
        }
        let what = match &outlets[..] {
            [] => return None,
            few if few.len() <= NAMED => Line::list(few.iter().map(|o| self.words.part(o)), "and"),
            many => format!("{} outlets", many.len()).into(),
        };
        let (before, behind) = words::does(verdict, one);
        Some(Line::from(before) + what + behind + words::in_states(&states, &self.all()))
    }

    fn table(&self, groups: &[Group<'_>]) -> Block {
        let mut rows: Vec<(Verdict, &PartName, Vec<&str>)> = Vec::new();
        for group in groups {
            for outlet in &group.outlets {
                let known = rows
                    .iter_mut()
                    .find(|r| (r.0, r.1) == (group.verdict, *outlet));
                match known {
                    Some(known) => known.2.extend(&group.states),
                    None => rows.push((group.verdict, outlet, group.states.clone())),
                }
            }
        }
        let all = self.all();
        let rows = rows.into_iter().map(|(verdict, outlet, mut states)| {
            states.sort_by_key(|s| all.iter().position(|a| a == s));
            let states = words::listed_states(&states, &all);
            vec![words::verdict(verdict), self.words.name(outlet), states]
        });
        Block::Table {
            head: vec!["", "outlet", "where"],
            rows: rows.collect(),
        }
    }

    fn why(&self, groups: &[Group<'_>], blocks: &mut Vec<Block>) {
        let all = self.all();
        let items = groups.iter().filter_map(|group| {
            let outlets = group.outlets.iter().map(|o| self.words.part(o));
            let whole = Line::list(outlets, "and").capital();
            let states = words::listed_states(&group.states, &all);
            let comma = if states.is_empty() { "" } else { "," };
            Some(whole + comma + states + ": " + self.words.reason(group.reason?) + ".")
        });
        let items: Vec<Line> = items.collect();
        if !items.is_empty() {
            blocks.push(Block::Heading("Why".into()));
            blocks.push(Block::List(items));
        }
    }

    fn pumps(&self, blocks: &mut Vec<Block>) {
        let all = self.all();
        let mut items = Vec::new();
        for (source, states) in self.listed(|s| &s.will_not_build) {
            let line = self.fed_by(source).capital() + " will not build";
            let why = Line::from(": it has got a wide open way to the sump, and ")
                + self.words.part(source)
                + " cannot keep up. What is said of the outlets holds for whatever pressure is left.";
            items.push(line + words::listed_states(&states, &all) + why);
        }
        for (source, states) in self.listed(|s| &s.cannot_draw) {
            let line = self.words.part(source).capital() + " cannot draw";
            let why = ": no open way leads from the sump to where it draws.";
            items.push(line + words::listed_states(&states, &all) + why);
        }
        if !items.is_empty() {
            blocks.push(Block::Heading("Supply".into()));
            blocks.push(Block::List(items));
        }
    }

    fn movers(&self, blocks: &mut Vec<Block>) {
        let all = self.all();
        let movers = self.listed(|s| &s.would_move);
        if movers.is_empty() {
            return;
        }
        blocks.push(Block::Heading("Valves that would move".into()));
        let items = movers.into_iter();
        let items = items.map(|(valve, states)| {
            self.words.part(valve).capital() + "," + words::listed_states(&states, &all) + "."
        });
        blocks.push(Block::List(items.collect()));
        blocks.push(Block::Text(
            "These were held where the sound circuit has them. What changes once they move was \
             not followed."
                .into(),
        ));
    }

    fn kept(&self, blocks: &mut Vec<Block>) {
        let healthy = self.healthy();
        if healthy.is_empty() || self.answer.faults.is_empty() {
            return;
        }
        let names = healthy.into_iter().map(|o| self.words.typed(o));
        let line = words::verdict(Verdict::Kept) + ", wherever the sound circuit feeds them: ";
        blocks.push(Block::Text(line + Line::list(names, "and") + "."));
    }

    /// Outlets that keep their oil in some state and suffer in none.
    fn healthy(&self) -> Vec<&'a PartName> {
        let mut kept: Vec<&PartName> = Vec::new();
        for (_, outlet) in self.every().filter(|(_, o)| o.verdict == Verdict::Kept) {
            let suffers =
                |(_, o): (_, &OutletVerdict)| o.outlet == outlet.outlet && o.verdict.is_bad();
            if !kept.contains(&&outlet.outlet) && !self.every().any(suffers) {
                kept.push(&outlet.outlet);
            }
        }
        kept
    }

    /// The cavity a source feeds.
    fn fed_by(&self, source: &PartName) -> Line {
        match self.words.circuit.get(Kind::Source, &source.id) {
            Some(crate::circuit::Part::Source(body)) => self.words.cavity(&body.feeds),
            _ => self.words.part(source),
        }
    }
}

fn id(state: &StarveState) -> &str {
    state.state.as_deref().unwrap_or_default()
}
