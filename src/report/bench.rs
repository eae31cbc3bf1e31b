//! The bench sheet, in words.

use super::air::air_blocks;
use super::gauges::gauge_blocks;
use super::page::{Block, Line, Page};
use super::vacuum::vacuum_blocks;
use super::words::{self, Words};
use crate::answer::{Bench, Depth};

/// The sheet: each kind of check after the other, cautions and how it was found once at the end.
#[must_use]
pub fn bench(answer: &Bench, words: &Words<'_>) -> Page {
    let mut blocks = Vec::new();
    let mut depths = Vec::new();
    if let Some(air) = &answer.air {
        blocks.extend(air_blocks(air, words));
        depths.push(air.depth);
    }
    if let Some(vacuum) = &answer.vacuum {
        blocks.extend(vacuum_blocks(vacuum, words));
        depths.push(vacuum.depth);
    }
    if !answer.missing.is_empty() {
        let sizes = answer.missing.iter();
        let sizes = sizes.map(|size| words.typed(&size.part) + "." + size.measure.as_str());
        blocks.push(Block::Lead(
            "What gauges should show cannot be said: the file lacks sizes.".into(),
        ));
        let remedy = ". Give them in the file, or add `--assume`, which lets usual ones stand in.";
        let named = few(sizes.collect(), "and");
        blocks.push(Block::Text(
            Line::from("It lacks ") + named + words::quoted(remedy),
        ));
    }
    if answer.air.is_some() || answer.vacuum.is_some() {
        blocks.push(Block::Note(words::air_caution()));
    }
    if let Some(gauges) = &answer.gauges {
        let before = blocks.len() - usize::from(!depths.is_empty());
        let told = gauge_blocks(gauges, words, true);
        blocks.splice(before..before, told);
        blocks.push(Block::Note(words::gauge_caution()));
        depths.push(gauges.depth);
    }
    depths.dedup();
    let several = depths.len() > 1;
    blocks.extend(depths.into_iter().map(|depth| {
        let of = match depth {
            Depth::Flow if several => "Gauges. ",
            _ if several => "Air and vacuum. ",
            _ => "",
        };
        Block::Note(Line::from(of) + words::depth(depth))
    }));
    Page {
        title: words.title(),
        blocks,
    }
}

/// Items named at most; of more, one fewer and how many are left.
const FEW: usize = 4;

/// Some things in a sentence, of many the first few.
pub(super) fn few(mut items: Vec<Line>, last: &str) -> Line {
    if items.len() > FEW {
        let more = items.len() + 1 - FEW;
        items.truncate(FEW - 1);
        items.push(format!("{more} more").into());
    }
    Line::list(items, last)
}
