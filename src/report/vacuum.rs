//! Vacuum and wet air, in words.

use super::page::{Block, Line};
use super::words::{self, Words};
use crate::answer::{Severity, Vacuum, VacuumLand};

/// The checks by vacuum, without cautions.
pub(super) fn vacuum_blocks(answer: &Vacuum, words: &Words<'_>) -> Vec<Block> {
    let bores = answer.bores.len();
    if bores == 0 {
        return vec![Block::Lead(
            "There is no valve bore to pull a vacuum on.".into(),
        )];
    }
    let lands: usize = answer.bores.iter().map(|bore| bore.lands.len()).sum();
    let lead = format!(
        "Vacuum, or wet air, on {} and {}: those whose wear costs most first.",
        words::plural(bores, "valve bore"),
        words::plural(lands, "land"),
    );
    let mut blocks = vec![
        Block::Lead(lead.into()),
        Block::Text(
            "Castings bare, spool in its bore, one land at a time: pull on one port, leave its \
             neighbour open, close the rest. For wet air, wet the bore with clean oil and blow \
             gently instead: bubbles at the open port are the leak. What reading is good enough \
             no file says: the maker's limit decides. Held against its like, the odd one out is \
             the worn one."
                .into(),
        ),
        Block::Text(words::quoted(
            "Where wear costs some oil, the land parts pressure from none and no outlet goes \
             hungry as leaks are weighed here; how much it costs, `flows` says with the fault, \
             where the file has sizes.",
        )),
    ];
    for bore in &answer.bores {
        let heading = words.name(&bore.valve).capital();
        let casting = bore.casting.as_deref().map(|id| words.casting(id));
        let casting = casting.map(|casting| Line::from(", in ") + casting);
        blocks.push(Block::Heading(heading + casting.unwrap_or_default()));
        let rows = bore
            .lands
            .iter()
            .map(|land| vec![ports(land, words), costs(land, words), words::ROOM.into()]);
        let head = &["land", "worn, it costs", "read"];
        blocks.push(Block::table(head, rows.collect()));
    }
    blocks
}

fn ports(land: &VacuumLand, words: &Words<'_>) -> Line {
    let mut line = Line::from("pull on ") + Line::id(&land.pull) + ", open " + Line::id(&land.open);
    if !land.close.is_empty() {
        let ports = land.close.iter().map(|port| Line::id(port));
        line = line + ", close " + Line::list(ports, "and");
    }
    if !land.leaves_by.is_empty() {
        let others = land.leaves_by.iter().map(|part| words.typed(part));
        line = line + ", shut off at " + Line::few(others, words::FEW, "and");
    }
    match &land.spool_in {
        Some(place) => line + "; spool in " + Line::id(place),
        None => line,
    }
}

fn costs(land: &VacuumLand, words: &Words<'_>) -> Line {
    // Uncoloured: a sheet for a pencil is mostly seen on paper.
    let severity = words::severity(land.severity);
    let line: String = severity.spans().iter().map(|span| span.text()).collect();
    let line = Line::from(line);
    let circuit = words.circuit;
    let all: Vec<&str> = circuit.states.keys().map(String::as_str).collect();
    if land.severity == Severity::Nothing {
        let loaded: Vec<&str> = land.loaded.iter().map(String::as_str).collect();
        return match loaded.is_empty() {
            true => "nothing".into(),
            false => Line::from("some oil") + words::in_states(&loaded, &all),
        };
    }
    let harms = land.harms.iter().map(|harm| {
        let states: Vec<&str> = harm.states.iter().map(String::as_str).collect();
        words.typed(&harm.outlet) + words::in_states(&states, &all)
    });
    match land.harms.is_empty() {
        true => line,
        false => line + ": " + Line::few(harms, words::FEW, "and"),
    }
}
