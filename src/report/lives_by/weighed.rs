//! How much hangs on each part, how likely it is that an outlet starves, and what was tried to know.

use super::Told;
use super::sets::{number, range, thousands};
use crate::answer::{LivesByState, Method, Tried};
use crate::report::page::{Block, Line, Role};
use crate::report::words;

const HEAD: &str = "How much hangs on each part";
/// Tables of parts told in full at most.
const FULL: usize = 3;
/// Parts weighed in the table at most, and in a row of many; the rest is counted.
const WEIGHED: usize = 12;
const WEIGHED_OF_MANY: usize = 4;

/// The states of which the same is said.
type Group<'g> = (&'g LivesByState, Vec<&'g str>);

impl Told<'_> {
    /// Whether the limit on settling was reached before all was looked at.
    pub(super) fn is_cut_short(&self) -> bool {
        let tried = self.answer.states.iter().flat_map(|s| &s.tried);
        tried.clone().any(|t| t.stopped_at.is_some())
    }

    /// In full where few states differ, otherwise a row for each that does.
    pub(super) fn importance(&self, blocks: &mut Vec<Block>) {
        let groups = self.groups();
        if groups.len() > FULL {
            blocks.push(Block::Heading(HEAD.into()));
            return self.chances(&groups, blocks);
        }
        for (state, states) in groups {
            blocks.push(self.heading(HEAD, &states));
            self.weights(state, blocks);
        }
    }

    /// What the figures mean, where there are any.
    pub(super) fn figures(&self) -> Option<Block> {
        let assumed = "What is not given with --likelihood is an assumption, a round number without a \
                       source.";
        let share = "Fussell-Vesely: the share of that chance that passes the part.";
        let note = match self.groups().len() {
            0 => return None,
            1..=FULL => format!(
                "Likelihood: how likely the part is to be in one of its conditions above, on the \
                 bench before you look. {assumed} Birnbaum: the chance of starving with the part \
                 bad less the chance with it sound. {share}"
            ),
            _ => format!(
                "The chance rests on how likely each condition is, on the bench before you look. \
                 {assumed} {share}"
            ),
        };
        Some(Block::Note(note.into()))
    }

    /// States of which the same is said together.
    fn groups(&self) -> Vec<Group<'_>> {
        let mut groups: Vec<Group<'_>> = Vec::new();
        for state in &self.answer.states {
            let id = state.state.as_deref().unwrap_or_default();
            let same = |known: &LivesByState| {
                (known.chance, known.method, &known.importance)
                    == (state.chance, state.method, &state.importance)
            };
            match groups.iter_mut().find(|(known, _)| same(known)) {
                Some((_, states)) => states.push(id),
                None => groups.push((state, vec![id])),
            }
        }
        groups.retain(|(state, _)| !state.importance.is_empty());
        groups
    }

    fn weights(&self, state: &LivesByState, blocks: &mut Vec<Block>) {
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
        blocks.push(Block::table(head, rows.collect()));
        let more = state.importance.len().saturating_sub(WEIGHED);
        let more = match more {
            0 => String::new(),
            1 => "1 more part weighs less. ".to_owned(),
            more => format!("{more} more parts weigh less. "),
        };
        let chance = Line::from("Chance that it starves so: ") + number(state.chance);
        let line = Line::from(more) + chance + ", " + how(state.method) + ".";
        blocks.push(Block::Text(line));
    }

    fn chances(&self, groups: &[Group<'_>], blocks: &mut Vec<Block>) {
        let all = self.all();
        let rows = groups.iter().map(|(state, states)| {
            let parts = state.importance.iter();
            let parts =
                parts.map(|row| self.words.typed(&row.part) + " " + number(row.fussell_vesely));
            vec![
                words::states(states, &all),
                number(state.chance),
                Line::few(parts, WEIGHED_OF_MANY, "and"),
            ]
        });
        let head = &["in", "chance", "weightiest parts, with Fussell-Vesely"];
        blocks.push(Block::table(head, rows.collect()));
        let mut methods: Vec<(Method, Vec<&str>)> = Vec::new();
        for (state, states) in groups {
            match methods.iter_mut().find(|(known, _)| *known == state.method) {
                Some((_, known)) => known.extend(states),
                None => methods.push((state.method, states.clone())),
            }
        }
        let several = methods.len() > 1;
        let methods = methods.iter().map(|(method, states)| {
            Line::from(how(*method))
                + match several {
                    true => words::in_states(states, &all),
                    false => Line::default(),
                }
        });
        let line = Line::from("Chance that it starves so: ") + Line::list(methods, "and");
        let line = line + ". All parts of one state: ask with " + Line::role(Role::Word, "--state");
        blocks.push(Block::Text(line + "."));
    }

    /// How much was tried, in all states.
    pub(super) fn tried(&self, blocks: &mut Vec<Block>) {
        let sizes = self.answer.states.iter().map(|s| s.tried.len()).max();
        let items: Vec<Line> = (0..sizes.unwrap_or(0))
            .map(|at| self.one_size(at))
            .collect();
        if !items.is_empty() {
            blocks.push(Block::Heading("What was tried".into()));
            blocks.push(Block::List(items));
        }
    }

    /// The sets of one size: those of all states are as many.
    fn one_size(&self, at: usize) -> Line {
        let states = &self.answer.states;
        let tried: Vec<&Tried> = states.iter().filter_map(|s| s.tried.get(at)).collect();
        let sets = tried.iter().map(|t| t.sets).max().unwrap_or(0);
        let of = thousands(sets);
        let line = match at {
            0 => {
                let faults = thousands(self.answer.faults as u64);
                let idle = match states.first().map_or(0, |s| s.idle) {
                    0 => String::new(),
                    idle => format!("{} move no oil; ", thousands(idle as u64)),
                };
                return Line::from(format!(
                    "all {faults} faults alone ({idle}counting once those that do the same: {of})."
                ));
            }
            1 => Line::from(format!("{of} pairs of these")),
            _ => Line::from(format!("{of} threes of these")),
        };
        let each = if states.len() > 1 {
            " in each state"
        } else {
            ""
        };
        let settled = range(tried.iter().map(|t| t.settled as u64));
        let stopped: Vec<_> = tried.iter().filter_map(|t| t.stopped_at.as_ref()).collect();
        if stopped.is_empty() {
            let line = Line::from("all ") + line;
            return match tried.iter().all(|t| t.settled as u64 == t.sets) {
                true => line + ".",
                false => {
                    line + format!(
                        ": {settled} settled{each}, the others cannot matter or are of one part."
                    )
                }
            };
        }
        let looked = range(tried.iter().map(|t| t.looked_at));
        let line = Line::role(Role::Unsure, "not all: ") + looked + " of the " + line + each;
        let line = line + format!(", {settled} settled.");
        let line = match (&stopped[..], states.len()) {
            ([set], 1) => {
                let set = Line::list(set.iter().map(|fault| Line::id(fault)), "with");
                line + " Stopped before " + set + "; raise"
            }
            _ => line + " Raise",
        };
        let most = thousands(self.answer.most as u64);
        line + format!(" the limit of {most} with ")
            + Line::role(Role::Word, "--most")
            + ", or ask for less with "
            + Line::role(Role::Word, "--of")
            + " and "
            + Line::role(Role::Word, "--kind")
            + "."
    }
}

fn how(method: Method) -> &'static str {
    match method {
        Method::Exact => "worked out case by case, nothing counted twice",
        Method::AtLeast => {
            "a lower bound, worked out over the sets that were found: those not looked at only add \
             to it"
        }
        Method::RareEvent => {
            "the sum over the sets (rare-event): a little too much where several occur at once"
        }
        Method::RareEventOfSome => {
            "the sum over the sets that were found (rare-event), neither a least nor a most: those \
             not looked at would add to it, and where several occur at once a little is too much"
        }
    }
}
