//! Leak signatures, in words.

use std::collections::BTreeMap;

use super::page::{Block, Line, Page, Role};
use super::sizes::size_list;
use super::words::{self, Words};
use crate::answer::{Corner, FaultSignature, OutletSignature, Pattern, Signatures};
use crate::units::{Quantity, Speed, Temperature};

/// Sizes that are listed at most.
const LISTED: usize = 12;

/// The report of leak signatures: how many faults show when, and each fault with what it makes fall
/// short, and in what pattern.
#[must_use]
pub fn signatures(answer: &Signatures, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead()), Block::Text(told.corners())];
    told.table(&mut blocks);
    told.never(&mut blocks);
    told.sound(&mut blocks);
    if answer.oil.is_none() {
        blocks.push(Block::Text(words::generic_oil()));
    }
    blocks.extend(size_list("Set for this answer", &answer.set, words));
    told.assumed(&mut blocks);
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Signatures,
    words: &'a Words<'a>,
}

impl<'a> Told<'a> {
    fn showing(&self) -> impl Iterator<Item = &'a FaultSignature> {
        let faults = self.answer.faults.iter();
        faults.filter(|fault| !fault.states.is_empty())
    }

    fn lead(&self) -> Line {
        let states = words::asked(&self.answer.states);
        let looked = words::plural(self.answer.tried, "fault");
        let count = self.showing().count();
        let shows = if count == 1 { "makes" } else { "make" };
        let line = format!("{count} of {looked} {shows} an outlet fall short");
        let line = Line::from(line) + words::in_states(&states, &states);
        match self.answer.seen {
            Some(seen) => line + ", " + Line::role(Role::Strong, &said(seen.word())) + ".",
            None => line + ".",
        }
    }

    /// How the gearbox runs at the corners.
    fn corners(&self) -> Line {
        let units = self.words.units;
        let runs = |corner: Corner| {
            self.answer
                .corners
                .iter()
                .find(|runs| runs.corner == corner)
        };
        let oil = |corner| {
            let kelvin = runs(corner).map_or(0.0, |runs| runs.oil_temperature_k);
            Temperature::from_kelvin(kelvin).show(units)
        };
        let speed = |corner| {
            let speed = runs(corner).map_or(0.0, |runs| runs.speed_rad_per_s);
            Speed::from_rad_per_s(speed).show(units)
        };
        let mut line = format!(
            "Cold is oil at {}, hot at {}; idle is a pump at {}, fast at {}.",
            oil(Corner::ColdIdle),
            oil(Corner::HotIdle),
            speed(Corner::HotIdle),
            speed(Corner::HotFast),
        );
        if self.showing().any(|fault| fault.has_extent) && self.answer.extents.len() > 1 {
            let times = self.answer.extents.iter().map(f64::to_string);
            let times = Line::list(times.map(Line::from), "and");
            line.push_str(" Where a fault can have gone more or less far there is a pattern for ");
            return Line::from(line) + times + " times what the file says or is usual.";
        }
        line.into()
    }

    /// A row for each fault, outlet and pattern, with the states where it shows.
    fn table(&self, blocks: &mut Vec<Block>) {
        let all = words::asked(&self.answer.states);
        let mut rows: Vec<Vec<Line>> = Vec::new();
        for fault in self.showing() {
            let mut found: Vec<(&OutletSignature, Vec<&str>)> = Vec::new();
            for state in &fault.states {
                let id = state.state.as_deref().unwrap_or_default();
                for outlet in &state.outlets {
                    match found.iter_mut().find(|(known, _)| *known == outlet) {
                        Some((_, states)) => states.push(id),
                        None => found.push((outlet, vec![id])),
                    }
                }
            }
            for (i, (outlet, states)) in found.into_iter().enumerate() {
                let name = if i == 0 {
                    Line::id(&fault.fault)
                } else {
                    Line::default()
                };
                rows.push(vec![
                    name,
                    self.words.typed(&outlet.outlet),
                    pattern(outlet),
                    words::states(&states, &all),
                ]);
            }
        }
        if !rows.is_empty() {
            blocks.push(Block::table(
                &["fault", "outlet", "falls short", "in"],
                rows,
            ));
        }
    }

    /// Faults that make nothing fall short.
    fn never(&self, blocks: &mut Vec<Block>) {
        let faults = self.answer.faults.iter();
        let quiet = faults.filter(|fault| fault.states.is_empty());
        let quiet: Vec<Line> = quiet.map(|fault| Line::id(&fault.fault)).collect();
        if !quiet.is_empty() {
            let line = Line::from("Nothing falls short with ") + Line::list(quiet, "or") + ".";
            blocks.push(Block::Text(line));
        }
    }

    /// Outlets that fall short when sound: their patterns say no more than that they lose much.
    fn sound(&self, blocks: &mut Vec<Block>) {
        let all = words::asked(&self.answer.states);
        let mut short: BTreeMap<_, Vec<&str>> = BTreeMap::new();
        for sound in &self.answer.sound {
            let id = sound.state.as_deref().unwrap_or_default();
            let key = (&sound.outlet, sound.pattern);
            short.entry(key).or_default().push(id);
        }
        if short.is_empty() {
            return;
        }
        let keeps = format!("{:.0} %", 100.0 * self.answer.keeps);
        let line = format!(
            "Sound, these do not get what they need; there one falls short where it keeps less \
             than {keeps} of its oil:"
        );
        blocks.push(Block::Text(line.into()));
        let items = short.into_iter().map(|((outlet, pattern), states)| {
            let said = said(pattern.word());
            self.words.typed(outlet) + ", " + said.as_str() + words::in_each(&states, &all)
        });
        blocks.push(Block::List(items.collect()));
    }

    fn assumed(&self, blocks: &mut Vec<Block>) {
        let sizes = &self.answer.assumed;
        match sizes.len() {
            0 => {}
            1..=LISTED => blocks.extend(size_list(
                "Assumed: how far faults have gone no file can know",
                sizes,
                self.words,
            )),
            many => {
                let line = format!(
                    "{many} sizes are assumed, for how far faults have gone no file can know; the \
                     JSON of this answer lists them."
                );
                blocks.push(Block::Text(line.into()));
            }
        }
    }
}

/// The patterns of an outlet, the least extent of the fault first; one where all are the same.
fn pattern(outlet: &OutletSignature) -> Line {
    let mut patterns: Vec<Pattern> = outlet.patterns.iter().map(|p| p.pattern).collect();
    if patterns.iter().all(|pattern| *pattern == patterns[0]) {
        patterns.truncate(1);
    }
    let mut line = Line::default();
    for pattern in patterns {
        let role = match pattern {
            Pattern::Never => Role::Faint,
            Pattern::Always => Role::Drained,
            Pattern::Unsure => Role::Unsure,
            _ => Role::Contested,
        };
        let before = if line.is_empty() { "" } else { "; " };
        line = line + before + Line::role(role, &said(pattern.word()));
    }
    line
}

/// A word of the answer as it is said.
pub(super) fn said(word: &str) -> String {
    word.replace('-', " ")
}
