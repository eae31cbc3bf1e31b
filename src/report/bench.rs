//! The bench sheet, in words.

use super::air::air_blocks;
use super::gauges::gauge_blocks;
use super::page::{Block, Line, Page};
use super::vacuum::vacuum_blocks;
use super::words::{self, Words};
use crate::answer::{Bench, Depth};

/// The sheet: cautions first, once, then each kind of check, and how it was found at the end.
#[must_use]
pub fn bench(answer: &Bench, words: &Words<'_>) -> Page {
    let mut blocks = vec![Block::Lead(lead(answer))];
    let mut depths = Vec::new();
    if answer.air.is_some() || answer.vacuum.is_some() {
        blocks.push(Block::Note(words::air_caution()));
    }
    if answer.gauges.is_some() {
        blocks.push(Block::Note(words::gauge_caution()));
    }
    if let Some(air) = &answer.air {
        section("Air", air_blocks(air, words), &mut blocks);
        depths.push(air.depth);
    }
    if let Some(vacuum) = &answer.vacuum {
        section(
            "Vacuum and wet air",
            vacuum_blocks(vacuum, words),
            &mut blocks,
        );
        depths.push(vacuum.depth);
    }
    if let Some(gauges) = &answer.gauges {
        section("Gauges", gauge_blocks(gauges, words, true), &mut blocks);
        depths.push(gauges.depth);
    }
    if !answer.missing.is_empty() {
        let sizes = answer.missing.iter();
        let sizes = sizes.map(|size| words.typed(&size.part) + "." + size.measure.as_str());
        let remedy = ". Give them in the file, or add `--assume`, which lets usual ones stand in.";
        blocks.push(Block::Heading("Gauges".into()));
        blocks.push(Block::Text(
            Line::from("What they should show cannot be said: the file lacks ")
                + Line::few(sizes, words::FEW, "and")
                + words::quoted(remedy),
        ));
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

/// What is on the sheet.
fn lead(answer: &Bench) -> Line {
    let mut items: Vec<Line> = Vec::new();
    if let Some(air) = &answer.air {
        let checks = words::plural(air.checks.len(), "check");
        items.push((checks + " by air").into());
    }
    if let Some(vacuum) = &answer.vacuum {
        let lands = vacuum.bores.iter().map(|bore| bore.lands.len()).sum();
        items.push((words::plural(lands, "land") + " to pull a vacuum on").into());
    }
    if let Some(gauges) = &answer.gauges {
        let readings = gauges.states.iter().map(|state| state.readings.len()).sum();
        items.push((words::plural(readings, "gauge reading")).into());
    }
    Line::from("The sheet for the bench: ") + Line::list(items, "and") + "."
}

/// One kind of check under its heading; the page has its own first sentence.
fn section(heading: &str, told: Vec<Block>, blocks: &mut Vec<Block>) {
    blocks.push(Block::Heading(heading.into()));
    blocks.extend(told.into_iter().map(|block| match block {
        Block::Lead(line) => Block::Text(line),
        block => block,
    }));
}
