//! What an outlet lives by, in words.

mod alone;
mod sets;
mod weighed;

use self::sets::{Alike, any_of, by_states, listed, merged, sets, singles, some, span};
use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{LivesBy, LivesByState};

/// Rows of one list at most; the rest is counted.
const ROWS: usize = 20;
/// The same of several lists about the same, and how many such lists there are.
const ROWS_OF_MANY: usize = 5;
const LISTS: usize = 8;
/// Faults or states in one sentence at most; the rest is counted.
const NAMED: usize = 9;

/// The report: the answer in one sentence, then the single faults by part, the pairs and threes, what
/// masks what, how much hangs on each part and what was tried. What states share is told once.
#[must_use]
pub fn lives_by(answer: &LivesBy, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    blocks.extend(told.elsewhere().map(Block::Text));
    told.alone(&mut blocks);
    for (size, head) in [(2, "Two faults together"), (3, "Three faults together")] {
        told.together(head, size, &mut blocks);
    }
    told.masked(&mut blocks);
    told.importance(&mut blocks);
    told.tried(&mut blocks);
    told.unbuilt(&mut blocks);
    told.notes(&mut blocks);
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a LivesBy,
    words: &'a Words<'a>,
}

impl<'a> Told<'a> {
    fn all(&self) -> Vec<&'a str> {
        let states = self.answer.states.iter();
        states
            .map(|s| s.state.as_deref().unwrap_or_default())
            .collect()
    }

    fn outlet(&self) -> Line {
        self.words.part(&self.answer.outlet)
    }

    /// The states in which it surely has no oil, and those in which that cannot be said; a circuit that
    /// declares none has a nameless one.
    fn without(&self) -> [Vec<&'a str>; 2] {
        let unsure = self.answer.unsure_of_oil.iter();
        let unsure: Vec<&str> = unsure.map(|s| s.as_deref().unwrap_or_default()).collect();
        let off = self.answer.without_oil.iter().map(String::as_str);
        [off.filter(|s| !unsure.contains(s)).collect(), unsure]
    }

    /// Where it has none, unless that has been said.
    fn elsewhere(&self) -> Option<Line> {
        let [off, unsure] = self.without();
        let clauses = [(off, " it has no oil"), (unsure, " it is not sure of any")];
        let clauses = clauses.into_iter().filter(|(states, _)| !states.is_empty());
        let clauses = clauses.map(|(states, has)| {
            let named = states.iter().map(|state| Line::id(state));
            Line::from("in ") + Line::few(named, NAMED, "and") + has
        });
        let clauses: Vec<Line> = clauses.collect();
        let said = self.answer.states.is_empty() && clauses.len() < 2;
        let told = !said && !clauses.is_empty();
        told.then(|| Line::list(clauses, "and").capital() + ": there it lives by nothing.")
    }

    /// A heading, with the states that it is about where those are not all.
    fn heading(&self, head: &str, states: &[&str]) -> Block {
        let all = self.all();
        Block::Heading(match states.len() == all.len() {
            true => head.into(),
            false => Line::from(head) + words::in_each(states, &all),
        })
    }

    fn lead(&self) -> Line {
        let all = self.all();
        if all.is_empty() {
            let without: Vec<&str> = self.answer.without_oil.iter().map(String::as_str).collect();
            let has = match self.without() {
                [_, unsure] if unsure.is_empty() => " has no oil",
                [off, _] if off.is_empty() => " is not sure of its oil",
                _ => " has no oil, or is not sure of it,",
            };
            let line = self.outlet().capital() + has + " in the sound circuit";
            return line + words::in_any(&without, &without) + ", so it lives by nothing.";
        }
        let states = || self.answer.states.iter();
        let line = self.outlet().capital() + " lives by ";
        let line = line + span(states().map(|s| singles(s).len()), "part");
        let mut line = line + " alone" + words::in_states(&all, &all);
        if self.answer.up_to > 1 {
            let pairs = span(states().map(|s| sets(s, 2).count()), "pair");
            line = line + "; " + pairs;
            if self.answer.up_to > 2 {
                let threes = span(states().map(|s| sets(s, 3).count()), "three");
                line = line + " and " + threes;
            }
            line = line + " of faults starve it where no fewer of them do";
        }
        if self.is_cut_short() {
            line = line + ", as far as was tried";
        }
        line + "."
    }

    /// Sets that differ in their last fault alone as one item.
    fn together(&self, head: &str, size: usize, blocks: &mut Vec<Block>) {
        let found = by_states(self.each(|state| sets(state, size).map(<[_]>::to_vec).collect()));
        let items = |sets: Vec<Vec<Alike>>| {
            let split = sets.into_iter().map(|mut set| {
                let last = set.pop().unwrap_or_default();
                (set, last)
            });
            let items = merged(split).into_iter().map(|(firsts, lasts)| {
                let firsts = firsts.iter().map(|set| {
                    let members = set.iter().map(any_of);
                    Line::list(members, "and")
                });
                Line::list(firsts, "or") + " with " + some(&lasts.concat()) + "."
            });
            items.collect()
        };
        lists(self, head, found, items, blocks);
    }

    fn masked(&self, blocks: &mut Vec<Block>) {
        let pairs = self.each(|state| {
            let pairs = state.masked.iter();
            pairs.map(|m| (m.fault.clone(), m.beside.clone())).collect()
        });
        let found = by_states(pairs);
        if found.is_empty() {
            return;
        }
        let items = |pairs: Vec<(Alike, Alike)>| {
            let pairs = pairs
                .into_iter()
                .map(|(fault, beside)| (vec![fault], beside));
            let items = merged(pairs).into_iter().map(|(faults, beside)| {
                let faults: Vec<String> = faults.concat().concat();
                some(&faults) + " beside " + some(&beside.concat()) + "."
            });
            items.collect()
        };
        let first = blocks.len();
        lists(self, "What hides it", found, items, blocks);
        let what = "The first starves it alone; with the second beside it, it has oil again.";
        blocks.insert(first + 1, Block::Text(what.into()));
    }

    /// Something of every state.
    fn each<T>(&self, of: impl Fn(&LivesByState) -> T) -> Vec<(&'a str, T)> {
        let states = self.answer.states.iter();
        states
            .map(|s| (s.state.as_deref().unwrap_or_default(), of(s)))
            .collect()
    }

    fn notes(&self, blocks: &mut Vec<Block>) {
        blocks.extend(self.figures());
        if self.is_cut_short() {
            blocks.push(Block::Note(
                "Not all sets were looked at: what hangs on each part is told of those that were \
                 found."
                    .into(),
            ));
        }
        if !self.answer.states.is_empty() {
            blocks.push(Block::Note(
                "Undecided is not counted as starved. With moving valves a further fault can give \
                 oil back, so what holds one of these sets need not starve; the chances are \
                 computed as if it did."
                    .into(),
            ));
        }
        blocks.push(Block::Note(words::depth(self.answer.depth)));
    }
}

/// What is found in the states, what they share together: lists of so many rows, and no more of them than
/// can be read.
fn lists<T>(
    told: &Told<'_>,
    head: &str,
    found: Vec<(Vec<&str>, Vec<T>)>,
    items: impl Fn(Vec<T>) -> Vec<Line>,
    blocks: &mut Vec<Block>,
) {
    let (rows, more) = match found.len() {
        0 | 1 => (ROWS, 0),
        lists => (ROWS_OF_MANY, lists.saturating_sub(LISTS)),
    };
    for (states, found) in found.into_iter().take(LISTS) {
        blocks.push(told.heading(head, &states));
        blocks.push(listed(items(found), rows));
    }
    if more > 0 {
        let lists = words::plural(more, "more list");
        let line = format!("{lists}, of what fewer states share: ask of one with ");
        blocks.push(Block::Text(
            Line::from(line) + Line::role(Role::Word, "--state") + ", or take the JSON.",
        ));
    }
}
