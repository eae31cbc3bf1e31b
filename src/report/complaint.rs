//! Complaints and causes, in words.

use super::page::{Block, Line, Role};
use super::words::{self, Words};
use crate::answer::{Complaint, ComplaintWord, Event, Severity, Starve};

/// What the driver or the gauge would say, states that agree together.
pub(super) fn complaints(answer: &Starve, words: &Words<'_>) -> Option<Block> {
    let all: Vec<&str> = answer.states.iter().map(words::state).collect();
    let mut found: Vec<(&Complaint, Vec<&str>)> = Vec::new();
    for state in &answer.states {
        for complaint in &state.complaints {
            match found.iter_mut().find(|(known, _)| *known == complaint) {
                Some((_, states)) => states.push(words::state(state)),
                None => found.push((complaint, vec![words::state(state)])),
            }
        }
    }
    found.sort_by_key(|(complaint, _)| Severity::from(complaint.what));
    let items = found.iter().map(|(complaint, states)| {
        let states = words::states(states, &all);
        let line = match states.is_empty() {
            true => Line::default(),
            false => states + ": ",
        };
        line + told(complaint, words) + "."
    });
    let items: Vec<Line> = items.collect();
    (!items.is_empty()).then_some(Block::List(items))
}

pub(crate) fn told(complaint: &Complaint, words: &Words<'_>) -> Line {
    let outlets = || match complaint.outlets.len() {
        0..=3 => words.parts(&complaint.outlets),
        _ => Line::list(complaint.outlets.iter().map(|o| words.typed(o)), "and"),
    };
    let (is, has, takes, it) = match complaint.outlets.len() {
        1 => ("is", "has", "takes", "it"),
        _ => ("are", "have", "take", "them"),
    };
    match complaint.what {
        ComplaintWord::None => strong("none") + "; " + outlets() + format!(" {is} missing"),
        ComplaintWord::WrongState => match complaint.like.as_deref() {
            Some(like) => strong("works as ") + Line::id(like) + " instead",
            None => strong("works like no state") + "; " + outlets() + format!(" {is} on instead"),
        },
        ComplaintWord::Flare => {
            strong("flare, or it does not take up") + "; " + outlets() + format!(" {is} missing")
        }
        ComplaintWord::Bind => {
            strong("bind") + "; " + outlets() + format!(" {is} on beside what should be")
        }
        ComplaintWord::Creeps => strong("creeps or drags") + "; " + outlets() + format!(" {is} on"),
        ComplaintWord::Slips => {
            strong("slips or takes up late") + "; " + outlets() + format!(" {has} less behind {it}")
        }
        ComplaintWord::StandsHigh => {
            let keeps = if complaint.outlets.len() == 1 {
                "keeps"
            } else {
                "keep"
            };
            strong("pressure stands high")
                + "; "
                + outlets()
                + format!(" no longer {keeps} it down")
        }
        ComplaintWord::LetsGoLate => strong("lets go late") + ", if it was on: " + outlets(),
        ComplaintWord::Harsh => strong("harsh") + "; " + outlets() + format!(" {takes} hold hard"),
        ComplaintWord::RunsDry => strong("runs dry") + ": " + outlets(),
        ComplaintWord::PassesNothing => strong("passes no oil") + ": " + outlets(),
        ComplaintWord::RunsShort => strong("runs short of oil") + ": " + outlets(),
    }
}

/// What leads from the fault to an outlet, as a sentence; empty for an empty chain.
pub(super) fn chain(events: &[Event], words: &Words<'_>) -> Line {
    let link = |event: &Event| match event {
        Event::Lost { cavity } => words.cavity(cavity) + " loses its pressure",
        Event::Gained { cavity } => words.cavity(cavity) + " gets pressure",
        Event::Stands { valve, now, sound } => {
            let valve = words.part(valve) + " stands in " + Line::id(now);
            valve + " instead of " + Line::id(sound)
        }
    };
    let mut links = events.iter().map(link);
    let Some(first) = links.next() else {
        return Line::default();
    };
    links.fold(Line::from(" It starts where ") + first, |line, next| {
        line + ", so " + next
    }) + "."
}

fn strong(text: &str) -> Line {
    Line::role(Role::Strong, text)
}
