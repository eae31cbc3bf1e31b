//! The way of the oil, in words.

use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{Hop, Route, Trace};
use crate::circuit::{Kind, Part, PartName};
use crate::net::Strength;

/// The report of how oil gets to a part: each way told step by step, from the sump on.
#[must_use]
pub fn trace(answer: &Trace, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    for (i, route) in told.routes().into_iter().enumerate() {
        let states = match told.all()[..] {
            [_] => Line::default(),
            ref all => words::in_each(&ids(&route.states), all),
        };
        let heading = match answer.routes.len() {
            1 => Line::from("The way"),
            _ => {
                let leak = if is_leak(route) { ", a leak" } else { "" };
                let comma = if states.is_empty() { "" } else { "," };
                Line::from(format!("Way {}{leak}{comma}", i + 1)) + states
            }
        };
        blocks.push(Block::Heading(heading));
        blocks.push(Block::Steps(told.steps(route)));
        blocks.push(Block::List(told.facts(route)));
    }
    page(answer, blocks, words)
}

/// The blocks of a trace as a page, with what every trace ends on.
pub(super) fn page(answer: &Trace, mut blocks: Vec<Block>, words: &Words<'_>) -> Page {
    if answer.more {
        let text = "There are more ways in some states than were asked for.";
        blocks.push(Block::Text(text.into()));
    }
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Trace,
    words: &'a Words<'a>,
}

/// Whether no more than a leak comes by a way.
pub(super) fn is_leak(route: &Route) -> bool {
    (route.narrowest.as_ref()).is_some_and(|place| place.strength == Strength::Leak)
}

/// The states that take some of these ways, in the circuit's order.
fn states_of<'a>(routes: &[&Route], all: &[&'a str]) -> Vec<&'a str> {
    let takes = |id: &&str| routes.iter().any(|r| r.states.iter().any(|s| s == id));
    all.iter().copied().filter(takes).collect()
}

fn ids(states: &[String]) -> Vec<&str> {
    states.iter().map(String::as_str).collect()
}

impl<'a> Told<'a> {
    /// The states asked about, in the circuit's order.
    fn all(&self) -> Vec<&'a str> {
        let asked = |id: &&str| {
            let mut routes = self.answer.routes.iter().map(|r| &r.states);
            let with = |states: &Vec<String>| states.iter().any(|s| s == id);
            routes.any(with) || with(&self.answer.none_in)
        };
        self.words.circuit.ids(Kind::State).filter(asked).collect()
    }

    /// Ways that carry oil before those that only leak.
    fn routes(&self) -> Vec<&'a Route> {
        let mut routes: Vec<&Route> = self.answer.routes.iter().collect();
        routes.sort_by_key(|r| is_leak(r));
        routes
    }

    fn lead(&self) -> Line {
        let all = self.all();
        let faults = self.answer.faults.iter().map(|f| Line::id(f));
        let with = match &self.answer.faults[..] {
            [] => Line::default(),
            _ => Line::from("with ") + Line::list(faults, "and") + ", ",
        };
        let to = self.words.part(&self.answer.to);
        let (leaks, ways): (Vec<&Route>, Vec<&Route>) =
            self.answer.routes.iter().partition(|r| is_leak(r));
        let mut clauses = Vec::new();
        let fed = states_of(&ways, &all);
        let reaches = Line::from("oil reaches ") + to.clone();
        match ways[..] {
            [] => {}
            [route] => {
                let same = if fed.len() > 1 { " the same way" } else { "" };
                let line = reaches + same + words::in_states(&fed, &all);
                clauses.push(line + self.through(route));
            }
            _ => {
                let line = reaches + format!(" by {} ways", ways.len());
                clauses.push(line + words::in_states(&fed, &all));
            }
        }
        if !leaks.is_empty() {
            let it = if clauses.is_empty() {
                to.clone()
            } else {
                "it".into()
            };
            let states = states_of(&leaks, &all);
            clauses.push(
                Line::from("no more than a leak reaches ") + it + words::in_each(&states, &all),
            );
        }
        let dry = ids(&self.answer.none_in);
        if !dry.is_empty() || clauses.is_empty() {
            let it = if clauses.is_empty() { to } else { "it".into() };
            clauses.push(Line::from("no oil reaches ") + it + words::in_any(&dry, &all));
        }
        let first = clauses.remove(0);
        let line = clauses
            .into_iter()
            .fold(with + first, |line, clause| line + "; " + clause);
        line.capital() + "."
    }

    /// The narrowest place, for the first sentence.
    fn through(&self, route: &Route) -> Line {
        match &route.narrowest {
            Some(place) => Line::from(", through ") + self.words.narrow(place),
            None => ", through open ways alone".into(),
        }
    }

    fn steps(&self, route: &Route) -> Vec<Line> {
        let mut steps = vec![self.start(route)];
        steps.extend(route.hops.iter().map(|hop| self.words.hop(hop) + "."));
        let arrives = match is_leak(route) {
            true => {
                let to = self.words.part(&self.answer.to);
                Some(Line::from("That leak is all that reaches ") + to)
            }
            false => self.words.arrives(&self.answer.to),
        };
        steps.extend(arrives.map(|line| line + "."));
        steps
    }

    /// From the sump to the first cavity under pressure.
    fn start(&self, route: &Route) -> Line {
        let source = self.words.part(&route.source).capital();
        let body = self.words.circuit.get(Kind::Source, &route.source.id);
        let fixed = matches!(body, Some(Part::Source(s)) if s.pressure.is_some());
        let draws = match &route.suction[..] {
            _ if fixed => source + " puts pressure on ",
            [] => source + " draws from the sump and feeds ",
            hops => {
                let parts: Vec<PartName> = hops.iter().map(|hop: &Hop| hop.part.clone()).collect();
                source + " draws from the sump through " + self.words.parts(&parts) + " and feeds "
            }
        };
        let line = draws + self.words.cavity(&route.start);
        match route.castings.first() {
            Some(casting) => line + ", in " + self.words.casting(casting) + ".",
            None => line + ".",
        }
    }

    fn facts(&self, route: &Route) -> Vec<Line> {
        let mut facts = vec![match &route.narrowest {
            Some(place) => Line::from("Narrowest place: ") + self.words.narrow(place) + ".",
            None => "Nothing on this way meters the oil.".into(),
        }];
        if !route.castings.is_empty() {
            let castings = route.castings.iter().map(|c| self.words.casting(c));
            facts.push(Line::from("Castings, in order: ") + Line::list(castings, "and") + ".");
        }
        if !route.plates.is_empty() {
            let plates = route
                .plates
                .iter()
                .map(|p| self.words.part(&PartName::new(Kind::Plate, p)));
            facts.push(
                Line::from("Plates it crosses or lies under: ") + Line::list(plates, "and") + ".",
            );
        }
        if !route.needed.is_empty() {
            let needed = route.needed.iter().map(|p| self.words.typed(p));
            facts.push(Line::from("No way around: ") + Line::list(needed, "and") + ".");
        }
        facts
    }
}
