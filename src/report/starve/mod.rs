//! What starves, in words.

mod beside;

use super::complaint;
use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{Event, OutletVerdict, Reason, Starve, StarveState, Verdict};
use crate::circuit::PartName;

/// At most this many outlets are named with their labels in a sentence.
const NAMED: usize = 3;

/// Why outlets suffer, told in one sentence.
struct Why<'a> {
    verdict: Verdict,
    /// Not one of them the same.
    reasons: Vec<&'a Reason>,
    outlets: Vec<&'a PartName>,
    states: Vec<&'a str>,
    /// What leads to it, where that is the same for all.
    chain: &'a [Event],
}

/// The states in which an outlet suffers one thing.
struct Row<'a> {
    verdict: Verdict,
    outlet: &'a PartName,
    states: Vec<&'a str>,
}

/// The report of what some faults do: the answer in one sentence, the outlets that suffer, why,
/// and what was held that would move.
#[must_use]
pub fn starve(answer: &Starve, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    if let Some(complaints) = complaint::complaints(answer, words) {
        blocks.push(Block::Heading("The complaint".into()));
        blocks.push(complaints);
    }
    let rows = told.rows();
    if !told.lead_tells(&rows) {
        blocks.push(told.table(&rows));
    }
    told.pumps(&mut blocks);
    told.why(&rows, &mut blocks);
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
        self.answer.states.iter().map(words::state).collect()
    }

    fn every(&self) -> impl Iterator<Item = (&'a str, &'a OutletVerdict)> {
        let states = self.answer.states.iter();
        states.flat_map(|s| s.outlets.iter().map(move |o| (words::state(s), o)))
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
                    Some((_, states)) => states.push(words::state(state)),
                    None => found.push((part, vec![words::state(state)])),
                }
            }
        }
        found
    }

    /// What each outlet suffers, the worst first.
    fn rows(&self) -> Vec<Row<'a>> {
        let mut rows: Vec<Row<'_>> = Vec::new();
        for (state, outlet) in self.every().filter(|(_, o)| o.verdict.is_bad()) {
            let known =
                |row: &&mut Row<'_>| (row.verdict, row.outlet) == (outlet.verdict, &outlet.outlet);
            match rows.iter_mut().find(known) {
                Some(row) => row.states.push(state),
                None => rows.push(Row {
                    verdict: outlet.verdict,
                    outlet: &outlet.outlet,
                    states: vec![state],
                }),
            }
        }
        rows.sort_by_key(|row| row.verdict);
        rows
    }

    fn lead(&self) -> Line {
        let faults = self.answer.faults.iter().map(|f| Line::id(f));
        let one = faults.len() == 1;
        let all = self.all();
        if self.answer.faults.is_empty() {
            return Line::from("No fault, so nothing starves") + words::in_any(&all, &all) + ".";
        }
        let subject = Line::list(faults, "and") + if one { " " } else { " together " };
        let keeps = if one { "keeps " } else { "keep " };
        let mut clauses: Vec<Line> = Vec::new();
        for (source, states) in self.listed(|s| &s.cannot_draw) {
            let line = Line::from(keeps) + self.words.part(source) + " from giving oil";
            clauses.push(line + words::in_states(&states, &all));
        }
        let unbuilt = self.listed(|s| &s.will_not_build);
        for (source, states) in &unbuilt {
            let line = Line::from(keeps) + self.fed_by(source) + " from building";
            clauses.push(line + words::in_states(states, &all));
        }
        clauses.extend(Verdict::BAD.into_iter().filter_map(|v| self.clause(v, one)));
        if clauses.is_empty() {
            let s = if one { "s" } else { "" };
            clauses.push(format!("starve{s} nothing").into());
        }
        subject + Line::list(clauses, "and") + self.rest(&unbuilt) + "."
    }

    /// What of all that the first sentence has not named.
    fn rest(&self, unbuilt: &[(&PartName, Vec<&str>)]) -> Line {
        let suffering = self.rows();
        if !unbuilt.is_empty() {
            "; where it does not build, no outlet can be counted on".into()
        } else if suffering.is_empty() {
            "; every outlet keeps its oil".into()
        } else if !self.healthy().is_empty() {
            "; everything else keeps its oil".into()
        } else if suffering.iter().all(|row| row.verdict == Verdict::Starved) {
            "; nothing keeps its oil".into()
        } else {
            Line::default()
        }
    }

    /// What the faults do to the outlets with one verdict, as a clause.
    fn clause(&self, verdict: Verdict, one: bool) -> Option<Line> {
        let mut outlets: Vec<&PartName> = Vec::new();
        let mut states: Vec<&str> = Vec::new();
        for (state, outlet) in self.every().filter(|(_, o)| o.verdict == verdict) {
            push_new(&mut outlets, &outlet.outlet);
            push_new(&mut states, state);
        }
        let what = match &outlets[..] {
            [] => return None,
            few if few.len() <= NAMED => Line::list(few.iter().map(|o| self.words.part(o)), "and"),
            many => format!("{} outlets", many.len()).into(),
        };
        let (before, behind) = words::does(verdict, one, outlets.len());
        Some(Line::from(before) + what + behind + words::in_states(&states, &self.all()))
    }

    /// Whether the first sentence leaves nothing of the table to be told.
    fn lead_tells(&self, rows: &[Row<'_>]) -> bool {
        let all = self.all();
        match rows {
            [] => true,
            [row] => words::in_states(&row.states, &all) == words::in_each(&row.states, &all),
            _ => false,
        }
    }

    fn table(&self, rows: &[Row<'_>]) -> Block {
        let all = self.all();
        let cells = |row: &Row<'_>| {
            let states = words::states(&row.states, &all);
            vec![
                words::verdict(row.verdict),
                self.words.name(row.outlet),
                states,
            ]
        };
        Block::table(&["", "outlet", "where"], rows.iter().map(cells).collect())
    }

    fn why(&self, rows: &[Row<'_>], blocks: &mut Vec<Block>) {
        let whys = self.whys();
        if whys.is_empty() {
            return;
        }
        let all = self.all();
        // Said already, unless the outlets suffer otherwise or for other reasons elsewhere.
        let said = |why: &Why<'_>| {
            why.outlets.iter().all(|outlet| {
                let mut whole = rows.iter().filter(|r| r.outlet == *outlet);
                whole.all(|r| r.states.iter().all(|s| why.states.contains(s)))
            })
        };
        let items = whys.iter().map(|why| {
            // With more, the table has the labels.
            let short = why.outlets.len() > NAMED;
            let outlets = why.outlets.iter().map(|o| match short {
                true => self.words.typed(o),
                false => self.words.part(o),
            });
            let line = Line::list(outlets, "and").capital();
            let line = match said(why) {
                true => line,
                false => line + "," + words::in_each(&why.states, &all),
            };
            let reason = match why.reasons[..] {
                [reason] => self.words.reason(reason),
                _ => self.words.reasons(why.reasons[0], why.outlets.len()),
            };
            line + ": " + reason + "." + complaint::chain(why.chain, self.words)
        });
        blocks.push(Block::Heading("Why".into()));
        blocks.push(Block::List(items.collect()));
    }

    fn whys(&self) -> Vec<Why<'a>> {
        let mut whys: Vec<Why<'_>> = Vec::new();
        for (state, outlet) in self.every() {
            let Some(reason) = &outlet.reason else {
                continue;
            };
            let known = |why: &&mut Why<'_>| {
                why.verdict == outlet.verdict && words::common(why.reasons[0], reason)
            };
            match whys.iter_mut().find(known) {
                Some(why) => {
                    push_new(&mut why.outlets, &outlet.outlet);
                    push_new(&mut why.reasons, reason);
                    push_new(&mut why.states, state);
                    if why.chain != outlet.chain {
                        why.chain = &[];
                    }
                }
                None => whys.push(Why {
                    verdict: outlet.verdict,
                    reasons: vec![reason],
                    outlets: vec![&outlet.outlet],
                    states: vec![state],
                    chain: &outlet.chain,
                }),
            }
        }
        whys.sort_by_key(|why| why.verdict);
        whys
    }
}

fn push_new<T: PartialEq>(list: &mut Vec<T>, item: T) {
    if !list.contains(&item) {
        list.push(item);
    }
}
