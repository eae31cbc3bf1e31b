//! The sizes behind figures: those set by hand, those that stand in for unknown ones, those that may
//! be off.

use std::collections::BTreeSet;

use super::page::{Block, Line};
use super::words::{self, Words};
use crate::answer::{BandBy, Depth, FlowsBands, SizeRef, SizeUsed};
use crate::flow::Measure;

/// What stands behind a figure that rests on an assumed size.
pub(super) fn mark(rests_on: &[SizeRef]) -> &'static str {
    if rests_on.is_empty() { "" } else { " *" }
}

/// The same, and what stands behind one whose band is from draws.
pub(super) fn marks(rests_on: &[SizeRef], band: Option<BandBy>) -> Line {
    Line::from(mark(rests_on)) + drawn(band)
}

pub(super) fn drawn(band: Option<BandBy>) -> &'static str {
    if band == Some(BandBy::Draws) {
        " ~"
    } else {
        ""
    }
}

/// Sizes that stand in for unknown ones, and what the mark behind a figure means.
pub(super) fn assumed(sizes: &[SizeUsed], words: &Words<'_>) -> Vec<Block> {
    let mut blocks = size_list("Assumed, since the file does not say", sizes, words);
    if !sizes.is_empty() {
        let line = "* rests on a size that was assumed: a fifth more of it changes the figure by a \
                    hundredth or more.";
        blocks.push(Block::Text(line.into()));
    }
    blocks
}

/// What the figures of a quantity varied rest on, and how deep they were asked.
pub(super) fn rests_on(
    sizes: &[SizeUsed],
    bands: Option<&FlowsBands>,
    by: Option<BandBy>,
    depth: Depth,
    words: &Words<'_>,
) -> Vec<Block> {
    let mut blocks = assumed(sizes, words);
    blocks.extend(banded(bands, by.into_iter().collect(), words));
    blocks.push(Block::Note(words::depth(depth)));
    blocks
}

/// The tolerances that figures span, and how that is known of those that move.
pub(super) fn banded(
    bands: Option<&FlowsBands>,
    by: BTreeSet<BandBy>,
    words: &Words<'_>,
) -> Vec<Block> {
    let Some(bands) = bands else {
        return Vec::new();
    };
    if bands.sizes.is_empty() {
        let line = "No size that these figures rest on has a tolerance in the file.";
        return vec![Block::Text(line.into())];
    }
    let sizes = bands.sizes.iter().map(|size| {
        let show = |si: f64| match size.measure.parse::<Measure>() {
            Ok(measure) => measure.show(si, words.units),
            Err(_) => format!("{si} {}", size.unit),
        };
        let of = words.typed(&size.part) + "." + size.measure.as_str();
        of + format!(" {} ±{}", show(size.size), show(size.off)).as_str()
    });
    let lines = by.iter().map(|by| match by {
        BandBy::Corners => "Each of these alone moves a figure one way (tried at five values, the \
            others as written or at either end), so its range ends where every size is at an end."
            .into(),
        BandBy::Draws => Line::from(format!(
            "~ is not shown to move one way: its range is from {} draws of all sizes within their \
             tolerances (seed {}), and may go a little further.",
            bands.draws.count, bands.draws.seed
        )),
    });
    let lines: Vec<Line> = lines.collect();
    vec![
        Block::Heading("Over the tolerances of the file".into()),
        Block::Text(Line::list(sizes, "and") + "."),
        match lines.is_empty() {
            true => Block::Text("No figure moves with them.".into()),
            false => Block::List(lines),
        },
    ]
}

/// Sizes in a list under a few words; nothing without any.
pub(super) fn size_list(head: &str, sizes: &[SizeUsed], words: &Words<'_>) -> Vec<Block> {
    if sizes.is_empty() {
        return Vec::new();
    }
    let items = sizes.iter().map(|size| {
        words.typed(&size.part) + "." + size.measure.as_str() + " " + size.size.as_str()
    });
    vec![
        Block::Heading(head.into()),
        Block::Text(Line::list(items, "and") + "."),
    ]
}
