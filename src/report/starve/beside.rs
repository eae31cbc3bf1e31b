//! What goes with it, in words: pumps that build or draw nothing, valves that stand elsewhere, and
//! outlets that nothing happens to.

use super::{Told, push_new};
use crate::answer::{CourseWord, MovedValve, OutletVerdict, Verdict};
use crate::circuit::{Kind, Part, PartName};
use crate::report::page::{Block, Line};
use crate::report::words;

impl<'a> Told<'a> {
    pub(super) fn pumps(&self, blocks: &mut Vec<Block>) {
        let all = self.all();
        let mut items = Vec::new();
        for (source, states) in self.listed(|s| &s.will_not_build) {
            let line = self.fed_by(source).capital() + " will not build";
            let why = Line::from(": it has a wide open way to the sump, and ")
                + self.words.part(source)
                + " cannot keep up";
            items.push(line + words::in_any(&states, &all) + why + ".");
        }
        for (source, states) in self.listed(|s| &s.cannot_draw) {
            let line = self.words.part(source).capital() + " gives no oil";
            let why = ": the way to where it draws, or what it feeds, is shut.";
            items.push(line + words::in_any(&states, &all) + why);
        }
        if !items.is_empty() {
            blocks.push(Block::Heading("Supply".into()));
            blocks.push(Block::List(items));
        }
    }

    /// Valves that stand elsewhere than when sound, and where settling did not come to one end.
    pub(super) fn movers(&self, blocks: &mut Vec<Block>) {
        let all = self.all();
        let mut moved: Vec<(&MovedValve, Vec<&str>)> = Vec::new();
        type Unsettled<'u> = (CourseWord, &'u [PartName]);
        let mut unsettled: Vec<(Unsettled<'_>, Vec<&str>)> = Vec::new();
        for state in &self.answer.states {
            for valve in &state.moved {
                match moved.iter_mut().find(|(known, _)| *known == valve) {
                    Some((_, states)) => states.push(words::state(state)),
                    None => moved.push((valve, vec![words::state(state)])),
                }
            }
            if state.course != CourseWord::Steady {
                let what = (state.course, &state.unsettled[..]);
                match unsettled.iter_mut().find(|(known, _)| *known == what) {
                    Some((_, states)) => states.push(words::state(state)),
                    None => unsettled.push((what, vec![words::state(state)])),
                }
            }
        }
        let moved = moved
            .into_iter()
            .map(|(valve, states)| self.words.moved(valve) + words::in_each(&states, &all) + ".");
        let unsettled = unsettled.into_iter().map(|((course, parts), states)| {
            let parts = match parts {
                [] => Line::from("what moves"),
                parts => self.words.parts(parts),
            };
            words::course(course, parts) + words::in_each(&states, &all) + "."
        });
        let items: Vec<Line> = moved.chain(unsettled).collect();
        if !items.is_empty() {
            blocks.push(Block::Heading("Valves".into()));
            blocks.push(Block::List(items));
        }
    }

    /// The outlets nothing happens to, in one line.
    pub(super) fn kept(&self, blocks: &mut Vec<Block>) {
        let healthy = self.healthy();
        if healthy.is_empty() || self.answer.faults.is_empty() {
            return;
        }
        let unbuilt = (self.answer.states.iter()).any(|s| !s.will_not_build.is_empty());
        let how = match unbuilt {
            true => ", of whatever pressure is left: ",
            false => " as in the sound circuit: ",
        };
        let names = healthy.into_iter().map(|o| self.words.typed(o));
        let line = words::verdict(Verdict::Kept) + how + Line::list(names, "and") + ".";
        blocks.push(Block::Text(line));
    }

    /// Outlets that keep their oil in some state and suffer in none.
    pub(super) fn healthy(&self) -> Vec<&'a PartName> {
        let mut kept: Vec<&PartName> = Vec::new();
        for (_, outlet) in self.every().filter(|(_, o)| o.verdict == Verdict::Kept) {
            let suffers =
                |(_, o): (_, &OutletVerdict)| o.outlet == outlet.outlet && o.verdict.is_bad();
            if !self.every().any(suffers) {
                push_new(&mut kept, &outlet.outlet);
            }
        }
        kept
    }

    /// The cavity a source feeds.
    pub(super) fn fed_by(&self, source: &PartName) -> Line {
        match self.words.circuit.get(Kind::Source, &source.id) {
            Some(Part::Source(body)) => self.words.cavity(&body.feeds),
            _ => self.words.part(source),
        }
    }
}
