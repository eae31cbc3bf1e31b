//! What the figures rest on, and what is less sure of them.

use std::collections::{BTreeMap, BTreeSet};

use super::Told;
use crate::circuit::PartName;
use crate::flow::Doubt;
use crate::report::page::{Block, Line};
use crate::report::sizes::{assumed, banded, size_list};
use crate::report::words;

/// Parts of which one thing is doubted, named at most.
const DOUBTED: usize = 8;

impl Told<'_> {
    pub(super) fn sizes(&self, blocks: &mut Vec<Block>) {
        if self.answer.oil.is_none() {
            blocks.push(Block::Text(words::generic_oil()));
        }
        blocks.extend(size_list(
            "Set for this answer",
            &self.answer.set,
            self.words,
        ));
        blocks.extend(assumed(&self.answer.assumed, self.words));
        self.bands(blocks);
        let [state] = &self.answer.states[..] else {
            return;
        };
        let resting = state.outlets.iter().filter(|o| !o.rests_on.is_empty());
        let resting = resting.filter(|o| o.should_apply || !o.by_pressure);
        let lines = resting.map(|outlet| {
            let sizes = outlet.rests_on.iter();
            let sizes = sizes.map(|s| self.words.typed(&s.part) + "." + s.measure.as_str());
            self.words.typed(&outlet.outlet) + ": " + Line::list(sizes, "and")
        });
        let lines: Vec<Line> = lines.collect();
        if !lines.is_empty() {
            blocks.push(Block::Heading("Worth measuring first".into()));
            blocks.push(Block::List(lines));
        }
    }

    fn bands(&self, blocks: &mut Vec<Block>) {
        let figures = self.answer.states.iter().flat_map(|state| {
            let outlets = state.outlets.iter().flat_map(|o| [o.band, o.share_band]);
            let cavities = state.cavities.iter().map(|c| c.band);
            outlets
                .chain(cavities)
                .chain(state.streams.iter().map(|s| s.band))
        });
        let by = figures.flatten().collect();
        blocks.extend(banded(self.answer.bands.as_ref(), by, self.words));
    }

    /// What is unsure of the oil and of laws, each once over all states.
    pub(super) fn doubts(&self, blocks: &mut Vec<Block>) {
        let states = || self.answer.states.iter();
        let mut oil: Vec<Doubt> = states()
            .flat_map(|s| s.oil_doubts.iter().copied())
            .collect();
        oil.sort_unstable();
        oil.dedup();
        let mut parts: BTreeMap<Doubt, BTreeSet<&PartName>> = BTreeMap::new();
        for doubt in states().flat_map(|s| &s.doubts) {
            parts.entry(doubt.doubt).or_default().extend(&doubt.parts);
        }
        let oil = oil
            .into_iter()
            .map(|doubt| Line::from(doubt.to_string()).capital() + ".");
        let parts = parts.into_iter().map(|(doubt, parts)| {
            let named = match parts.len() {
                1..=DOUBTED => Line::list(parts.into_iter().map(|p| self.words.typed(p)), "and"),
                many => format!("{many} parts").into(),
            };
            Line::from(doubt.to_string()).capital() + ": " + named + "."
        });
        let lines: Vec<Line> = oil.chain(parts).collect();
        if !lines.is_empty() {
            blocks.push(Block::Heading("Less sure than the digits look".into()));
            blocks.push(Block::List(lines));
        }
    }
}
