//! What an author may have left out, in words.

use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{Checklist, ChecklistItem, Unchecked};

/// The report of what to look at once more in a circuit file.
#[must_use]
pub fn checklist(answer: &Checklist, words: &Words<'_>) -> Page {
    let lead = match answer.items.len() {
        0 => "Nothing to look at: every part is used in some state, and all that lets go drains."
            .to_owned(),
        count => format!(
            "{} to look at once more. Each may be as it should; where it is not, something is \
             missing in the file.",
            words::plural(count, "thing")
        ),
    };
    let mut blocks = vec![Block::Lead(lead.into())];
    for alike in answer.items.chunk_by(|a, b| a.what == b.what) {
        let (heading, ask) = asks(alike[0].what);
        blocks.push(Block::Heading(heading.into()));
        blocks.push(Block::Text(ask.into()));
        blocks.push(Block::List(
            alike.iter().map(|item| told(item, words)).collect(),
        ));
    }
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

fn told(item: &ChecklistItem, words: &Words<'_>) -> Line {
    let part = words.part(&item.part).capital();
    let line = match (&item.of, item.what) {
        (Some(position), Unchecked::NeverStands) => part + ": " + Line::id(position),
        (Some(cavity), Unchecked::NoDrain) => part + ": oil is shut in at " + Line::id(cavity),
        (Some(cavity), Unchecked::NoWayBack) => part + ": at " + Line::id(cavity),
        _ => part,
    };
    match &item.states[..] {
        [] => line,
        states => line + ", in " + Line::list(states.iter().map(|s| Line::id(s)), "and"),
    }
}

/// What is listed, and what to ask of it.
fn asks(what: Unchecked) -> (&'static str, &'static str) {
    match what {
        Unchecked::NoDrain => (
            "Off, and shut in",
            "Nothing drains these where they should let go: they would drag. Look on the chart for \
             the exhaust of the valve that feeds each.",
        ),
        Unchecked::NoWayBack => (
            "No way back for the oil at the end of a spool",
            "The spool cannot stroke there. Look for the vent of its spring pocket, or the bleed \
             that empties its pilot.",
        ),
        Unchecked::NoLimit => (
            "Nothing limits the pressure",
            "No regulator and no relief holds what the pump feeds.",
        ),
        Unchecked::NeverStands => (
            "Positions that no state uses",
            "Add the state that uses each, or check its rule.",
        ),
        Unchecked::NeverFed => (
            "Cavities that no state fills",
            "Add the way their oil comes by, or the state.",
        ),
        Unchecked::NeverPassed => (
            "Ways that no oil goes through in any state",
            "Both ends are full in some state, but never with this way open. Check which way round a \
             ball is, and what closes the way.",
        ),
        Unchecked::NeverSwitched => (
            "Solenoids that are never switched",
            "Every state gives them current, or none does. Check what each state has under `on`.",
        ),
        Unchecked::NeverApplied => (
            "Never applied",
            "No state brings these their oil. Add the state, or follow the oil with `oilpath trace`.",
        ),
        Unchecked::NoNeed => (
            "What these need is not said",
            "Without `needs` nothing can be told of how much is enough.",
        ),
    }
}
