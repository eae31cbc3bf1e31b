//! What an outlet lives by, in words.

mod sets;

use self::sets::{any_of, listed, merged, number, sets, singles, some, span, thousands};
use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{LivesBy, LivesByState, Method, Tried};
use crate::circuit::PartName;

/// Parts weighed in the table at most; the rest is counted.
const WEIGHED: usize = 12;

/// The report: the answer in one sentence, then for states that agree the single faults by part,
/// the pairs and threes, what masks what, how much hangs on each part and what was tried.
#[must_use]
pub fn lives_by(answer: &LivesBy, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    for (head, section) in told.sections() {
        told.by_state(head, &section, &mut blocks);
    }
    told.unbuilt(&mut blocks);
    if answer.states.iter().any(|s| !s.importance.is_empty()) {
        blocks.push(Block::Note(
            "Likelihood: how likely the part is to be in one of its conditions above, on the bench \
             before you look. What is not given with --likelihood is an assumption, a round number \
             without a source. Birnbaum: the chance of starving with the part bad less the chance \
             with it sound. Fussell-Vesely: the share of that chance that passes the part."
                .into(),
        ));
    }
    if !answer.states.is_empty() {
        blocks.push(Block::Note(
            "Undecided is not counted as starved. With moving valves a further fault can give oil \
             back, so what holds one of these sets need not starve; the chances are computed as \
             if it did."
                .into(),
        ));
    }
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a LivesBy,
    words: &'a Words<'a>,
}

/// What is said of one state under one heading.
type Section<'t> = Box<dyn Fn(&LivesByState) -> Vec<Block> + 't>;

impl<'a> Told<'a> {
    fn sections(&self) -> Vec<(&'static str, Section<'_>)> {
        let mut sections: Vec<(&str, Section<'_>)> =
            vec![("One fault alone", Box::new(|s| self.alone(s)))];
        for (size, head) in [(2, "Two faults together"), (3, "Three faults together")] {
            sections.push((head, Box::new(move |s| self.together(s, size))));
        }
        sections.push(("What hides it", Box::new(|s| self.masked(s))));
        let importance: Section<'_> = Box::new(|s| self.importance(s));
        sections.push(("How much hangs on each part", importance));
        sections.push(("What was tried", Box::new(|s| self.tried(s))));
        sections
    }

    /// A section for every state, those of which it says the same together.
    fn by_state(&self, head: &str, section: &Section<'_>, blocks: &mut Vec<Block>) {
        let mut groups: Vec<(Vec<Block>, Vec<&str>)> = Vec::new();
        for state in &self.answer.states {
            let said = section(state);
            let id = state.state.as_deref().unwrap_or_default();
            match groups.iter_mut().find(|(known, _)| *known == said) {
                Some((_, states)) => states.push(id),
                None => groups.push((said, vec![id])),
            }
        }
        let several = groups.len() > 1;
        for (said, states) in groups.into_iter().filter(|(said, _)| !said.is_empty()) {
            let head = Line::from(head);
            blocks.push(Block::Heading(match several {
                true => head + words::in_each(&states, &self.all()),
                false => head,
            }));
            blocks.extend(said);
        }
    }

    fn all(&self) -> Vec<&'a str> {
        let states = self.answer.states.iter();
        states
            .map(|s| s.state.as_deref().unwrap_or_default())
            .collect()
    }

    fn outlet(&self) -> Line {
        self.words.part(&self.answer.outlet)
    }

    fn lead(&self) -> Line {
        let all = self.all();
        let without: Vec<&str> = self.answer.without_oil.iter().map(String::as_str).collect();
        if all.is_empty() {
            let line = self.outlet().capital() + " is not sure of its oil in the sound circuit";
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
        if states().any(|s| s.tried.iter().any(|t| t.stopped_at.is_some())) {
            line = line + ", as far as was tried";
        }
        line + "."
    }

    fn alone(&self, state: &LivesByState) -> Vec<Block> {
        let singles = singles(state);
        let mut blocks = Vec::new();
        if singles.is_empty() {
            blocks.push(Block::Text("No fault starves it alone.".into()));
        } else {
            let rows = singles.into_iter().map(|(part, conditions)| {
                let part = self.found(&part);
                let said = |of: fn(&Words<'_>, &PartName) -> Line| {
                    part.as_ref().map(|part| of(self.words, part))
                };
                vec![
                    said(|words, part| words.typed(part)).unwrap_or_default(),
                    said(|words, part| words.label(part)).unwrap_or_default(),
                    Line::list(conditions.iter().map(|c| Line::id(c)), "or"),
                ]
            });
            let head = &["part", "label", "starves it when"];
            blocks.push(Block::table(head, rows.collect()));
        }
        if !state.undecided.is_empty() {
            let line = Line::role(Role::Unsure, "Undecided") + " alone: " + some(&state.undecided);
            blocks.push(Block::Text(line + "."));
        }
        blocks
    }

    fn found(&self, typed: &str) -> Option<PartName> {
        let circuit = self.words.circuit;
        circuit.find(typed, crate::circuit::Kind::ALL).ok()
    }

    /// What keeps pressure from building, in whatever state.
    fn unbuilt(&self, blocks: &mut Vec<Block>) {
        let mut unbuilt: Vec<String> = Vec::new();
        for fault in self.answer.states.iter().flat_map(|s| &s.unbuilt) {
            if !unbuilt.contains(fault) {
                unbuilt.push(fault.clone());
            }
        }
        if !unbuilt.is_empty() {
            let line = Line::role(Role::Drained, "Pressure will not build");
            let state = match self.answer.states.len() {
                1 => " with ",
                _ => " in one state or another with ",
            };
            let line = line + state + some(&unbuilt);
            let line = line + ". These are not counted above, yet nothing can be relied on then.";
            blocks.push(Block::Text(line));
        }
    }

    /// Sets that differ in their last fault alone as one item.
    fn together(&self, state: &LivesByState, size: usize) -> Vec<Block> {
        let split = sets(state, size).map(|set| {
            let (last, first) = set.split_last().unwrap_or((&set[0], &[]));
            (first.to_vec(), last.clone())
        });
        let items = merged(split).into_iter().map(|(firsts, lasts)| {
            let firsts = firsts.iter().map(|set| {
                let members = set.iter().map(any_of);
                Line::list(members, "and")
            });
            Line::list(firsts, "or") + " with " + some(&lasts.concat()) + "."
        });
        listed(items.collect())
    }

    fn masked(&self, state: &LivesByState) -> Vec<Block> {
        let pairs = state.masked.iter();
        let pairs = pairs.map(|pair| (vec![pair.fault.clone()], pair.beside.clone()));
        let items = merged(pairs).into_iter().map(|(faults, beside)| {
            let faults: Vec<String> = faults.concat().concat();
            some(&faults) + " beside " + some(&beside.concat()) + "."
        });
        let mut blocks = listed(items.collect());
        if !blocks.is_empty() {
            let what = "The first starves it alone; with the second beside it, it has oil again.";
            blocks.insert(0, Block::Text(what.into()));
        }
        blocks
    }

    fn importance(&self, state: &LivesByState) -> Vec<Block> {
        if state.importance.is_empty() {
            return Vec::new();
        }
        let rows = state.importance.iter().take(WEIGHED).map(|row| {
            vec![
                self.words.typed(&row.part),
                number(row.likelihood)
                    + match row.assumption {
                        true => " (assumption)",
                        false => "",
                    },
                number(row.birnbaum),
                number(row.fussell_vesely),
            ]
        });
        let head = &["part", "likelihood", "Birnbaum", "Fussell-Vesely"];
        let table = Block::table(head, rows.collect());
        let more = state.importance.len().saturating_sub(WEIGHED);
        let more = match more {
            0 => String::new(),
            1 => "1 more part weighs less. ".to_owned(),
            more => format!("{more} more parts weigh less. "),
        };
        let how = match state.method {
            Method::Exact => "worked out case by case, exactly",
            Method::RareEvent => {
                "the sum over the sets (rare-event): a little too much where several occur at once"
            }
        };
        let chance = Line::from("Chance that it starves so: ") + number(state.chance);
        let text = Line::from(more) + chance + ", " + how + ".";
        vec![table, Block::Text(text)]
    }

    fn tried(&self, state: &LivesByState) -> Vec<Block> {
        let items = state.tried.iter().map(|tried| self.one_size(tried, state));
        vec![Block::List(items.collect())]
    }

    fn one_size(&self, tried: &Tried, state: &LivesByState) -> Line {
        let of = thousands(tried.sets);
        let line = match tried.faults {
            1 => {
                let faults = thousands(self.answer.faults as u64);
                let idle = match state.idle {
                    0 => String::new(),
                    idle => format!("{} move no oil; ", thousands(idle as u64)),
                };
                return Line::from(format!(
                    "all {faults} faults alone ({idle}counting once those that do the same: {of})."
                ));
            }
            2 => Line::from(format!("{of} pairs of these")),
            _ => Line::from(format!("{of} threes of these")),
        };
        let settled = thousands(tried.settled as u64);
        match &tried.stopped_at {
            None if tried.settled as u64 == tried.sets => Line::from("all ") + line + ".",
            None => {
                let line = Line::from("all ") + line;
                line + format!(": {settled} settled, the others cannot matter or are of one part.")
            }
            Some(set) => {
                let looked = thousands(tried.looked_at);
                let set = Line::list(set.iter().map(|fault| Line::id(fault)), "with");
                let stopped = Line::role(Role::Unsure, "not all: ") + looked + " of the " + line;
                let most = thousands(self.answer.most as u64);
                let limit = format!("; raise the limit of {most} with ");
                stopped
                    + format!(", {settled} settled. Stopped before ")
                    + set
                    + limit
                    + Line::role(Role::Word, "--most")
                    + ", or ask for less with "
                    + Line::role(Role::Word, "--of")
                    + " and "
                    + Line::role(Role::Word, "--kind")
                    + "."
            }
        }
    }
}
