//! The record of a case, in words.

use super::page::{Block, Line, Page, Role};
use super::sought::{counts, notes, should};
use super::suspects::{DETAILED, Told};
use super::words::Words;
use crate::suspect::{CaseFound, CaseRecord, HeldAgainst, SeenTold};

/// The record of a case: where it stands in one sentence, then its story in the order it went.
#[must_use]
pub fn case_record(answer: &CaseRecord, words: &Words<'_>) -> Page {
    let suspects = &answer.suspects;
    let told = Told {
        answer: suspects,
        words,
    };
    let found = answer.found.as_ref();
    let mut blocks = vec![Block::Lead(match found {
        Some(found) => verdict(found, words),
        None => Line::from("Nothing is found yet. ") + told.lead(),
    })];
    let facts = facts(answer);
    if !facts.is_empty() {
        blocks.push(Block::List(facts));
    }
    blocks.push(Block::Heading("What was seen".into()));
    blocks.push(seen(&suspects.seen, found, words));
    told.clashes(&mut blocks);
    told.table(&mut blocks);
    for (number, suspect) in suspects.suspects.iter().enumerate().take(DETAILED) {
        let (head, items) = told.reasons(number, suspect);
        if !items.is_empty() {
            blocks.extend([head, Block::List(items)]);
        }
    }
    if !answer.story.checks.is_empty() {
        blocks.push(Block::Heading("What was checked".into()));
        let rows = answer.story.checks.iter().map(|check| {
            let came_to = check.came_to.as_deref();
            let came_to = came_to.map_or(Line::role(Role::Faint, "not yet made"), Line::from);
            vec![Line::from(&*check.what), came_to]
        });
        blocks.push(Block::table(&["check", "came to"], rows.collect()));
    }
    if let Some(found) = found {
        blocks.push(Block::Heading("What was found".into()));
        let faults = found.faults.iter();
        let faults = faults.map(|f| words.fault(f).capital() + " (" + Line::id(f) + ").");
        let mut items: Vec<Line> = faults.collect();
        items.extend(told.why(&found.causes));
        items.extend(held(answer, found));
        blocks.push(Block::List(items));
    }
    if answer.story.done.is_some() || !answer.story.renewed.is_empty() {
        blocks.push(Block::Heading("What was done".into()));
        blocks.extend(
            answer
                .story
                .done
                .as_deref()
                .map(|done| Block::Text(done.into())),
        );
    }
    if !answer.story.renewed.is_empty() {
        blocks.push(Block::Text("Renewed:".into()));
        let renewed = answer.story.renewed.iter().map(|part| Line::from(&**part));
        blocks.push(Block::List(renewed.collect()));
    }
    blocks.extend(notes(&suspects.seen, suspects.depth, false));
    Page {
        title: words.title(),
        blocks,
    }
}

/// What was found and how it stands to what was seen.
fn verdict(found: &CaseFound, words: &Words<'_>) -> Line {
    let faults = found.faults.iter().map(|fault| words.fault(fault));
    let line = Line::from("Found: ") + Line::list(faults, "and") + ". ";
    let them = match found.faults.len() {
        1 => "It",
        _ => "Together they",
    };
    let s = if found.faults.len() == 1 { "s" } else { "" };
    let foretold = found.count(HeldAgainst::Foretold);
    let open = found.count(HeldAgainst::LeftOpen);
    let unlikely = found.count(HeldAgainst::Unlikely);
    let against = found.count(HeldAgainst::Contradicted);
    let weighed = foretold + open + unlikely + against;
    match (foretold, open, unlikely + against) {
        (0, 0, 0) => line + "Nothing that was seen can be weighed against it.",
        (_, 0, 0) => line + format!("{them} explain{s} everything that was seen."),
        (_, _, 0) => {
            line + format!("{them} explain{s} {foretold} of {weighed} things seen and leave{s} ")
                + format!("{open} open.")
        }
        (_, _, doubtful) => {
            let speak = if doubtful == 1 { "speaks" } else { "speak" };
            line + format!("{doubtful} of {weighed} things seen {speak} against it: look again.")
        }
    }
}

/// What is known of the vehicle and its complaint.
fn facts(answer: &CaseRecord) -> Vec<Line> {
    let facts = [
        ("Case", &answer.story.title),
        ("Vehicle", &answer.story.vehicle),
        ("Odometer", &answer.story.odometer),
        ("Came in", &answer.story.date),
        ("The customer says", &answer.story.complaint),
        ("Note", &answer.story.note),
    ];
    let facts = facts.iter().filter_map(|(name, told)| {
        let told = told.as_deref()?;
        Some(Line::from(*name) + ": " + told)
    });
    facts.collect()
}

/// What was seen, how sure each is, and what was found held against it.
fn seen(seen: &[SeenTold], found: Option<&CaseFound>, words: &Words<'_>) -> Block {
    let rows = seen.iter().enumerate().map(|(i, seen)| {
        // What is less than sure says so behind the last comma.
        let (said, sure) = match seen.said.rsplit_once(", ") {
            Some(apart) if seen.sure < 1.0 => apart,
            _ => (&*seen.said, "sure"),
        };
        let held = found.and_then(|found| found.held.get(i));
        let held = held.map_or(Line::default(), |held| match held {
            HeldAgainst::Foretold => Line::role(Role::Supplied, "explained"),
            HeldAgainst::LeftOpen => Line::role(Role::Unsure, "left open"),
            HeldAgainst::Unlikely => Line::role(Role::Contested, "unlikely"),
            HeldAgainst::Contradicted => Line::role(Role::Drained, "contradicted"),
            HeldAgainst::NotWeighed => Line::default(),
        });
        vec![
            Line::id(said),
            sure.into(),
            counts(seen),
            should(seen, words),
            held,
        ]
    });
    let head = &["seen", "how sure", "that is", "should read", "found"];
    Block::table(head, rows.collect())
}

/// Where what was found stands against what was seen, thing by thing.
fn held(answer: &CaseRecord, found: &CaseFound) -> Vec<Line> {
    let all = |held: HeldAgainst| {
        let seen = answer.suspects.seen.iter().zip(&found.held);
        let seen = seen.filter(move |(_, h)| **h == held);
        Line::list(seen.map(|(seen, _)| Line::id(&seen.said)), "and")
    };
    let mut items = Vec::new();
    let against = all(HeldAgainst::Contradicted);
    if !against.is_empty() {
        items.push(Line::from("This contradicts ") + against + ".");
    }
    let unlikely = all(HeldAgainst::Unlikely);
    if !unlikely.is_empty() {
        items.push(Line::from("With this it is unlikely to see ") + unlikely + ".");
    }
    if found.is_doubtful() {
        let doubt = "Either something else was seen, or something else is wrong, or more is.";
        items.push(doubt.into());
    }
    let open = all(HeldAgainst::LeftOpen);
    if !open.is_empty() {
        items.push(Line::from("This leaves open ") + open + ".");
    }
    let suspects = &answer.suspects;
    let sets: usize = suspects.suspects.iter().map(|s| s.sets.len()).sum();
    let alone = sets + suspects.more == 1;
    items.push(match found.place {
        Some(_) if alone => "There was no other suspect.".into(),
        Some(place) if place < 1.25 => "This stood first among the suspects.".into(),
        Some(place) => format!("This stood in place {place} among the suspects.").into(),
        None if found.count(HeldAgainst::Contradicted) > 0 => {
            "This was no suspect: what was seen rules it out.".into()
        }
        None => "This was not among the suspects that were kept.".into(),
    });
    items
}
