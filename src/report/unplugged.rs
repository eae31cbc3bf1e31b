//! The plug-pulled table, in words.

use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{DrivesAs, Remains, Unplugged, UnpluggedState};
use crate::circuit::PartName;

/// The report of what each state becomes without current.
#[must_use]
pub fn unplugged(answer: &Unplugged, words: &Words<'_>) -> Page {
    let mut blocks = vec![Block::Lead(lead(answer, words))];
    if !words.circuit.solenoids.is_empty() {
        let rows = answer.states.iter().map(|state| {
            let mut cells = vec![name(state)];
            match state.lost_current[..] {
                [] => cells.extend(["no current to lose".into(), Line::default()]),
                _ => cells.extend([drives(&state.cold, words), drives(&state.running, words)]),
            }
            cells
        });
        blocks.push(Block::Heading("With no current, it works".into()));
        let head = &["state", "started so", "plug pulled while it drives"];
        blocks.push(Block::table(head, rows.collect()));
        changes(answer, words, &mut blocks);
        blocks.push(Block::Note(
            "Lever, inputs and what is held by hand stay as the state has them; solenoids alone \
             lose their current."
                .into(),
        ));
        blocks.push(Block::Note(
            "Never pull the plug of a vehicle that moves to try this: it can lock up or lose its \
             drive. On a stand with wheels clear, by a qualified person, as the maker's service \
             manual and local rules say."
                .into(),
        ));
    }
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

fn name(state: &UnpluggedState) -> Line {
    state.state.as_deref().map(Line::id).unwrap_or_default()
}

fn lead(answer: &Unplugged, words: &Words<'_>) -> Line {
    if words.circuit.solenoids.is_empty() {
        return "There are no solenoids: a pulled plug changes nothing.".into();
    }
    let with: Vec<&UnpluggedState> = (answer.states.iter())
        .filter(|state| !state.lost_current.is_empty())
        .collect();
    if with.is_empty() {
        return "No state has current: a pulled plug changes nothing.".into();
    }
    let count = |of: fn(&UnpluggedState) -> &Remains, drives: DrivesAs| {
        with.iter().filter(|s| of(s).drives == drives).count()
    };
    let works = |count: usize| match (count, with.len()) {
        (1, 1) => "works as it should".to_owned(),
        (0, 1) => "does not work as it should".to_owned(),
        (0, _) => "none works as it should".to_owned(),
        (1, _) => "1 works as it should".to_owned(),
        (n, all) if n == all => format!("all {n} work as they should"),
        (n, _) => format!("{n} work as they should"),
    };
    let (cold, running) = (
        count(|s| &s.cold, DrivesAs::Same),
        count(|s| &s.running, DrivesAs::Same),
    );
    let mut line = match with.len() {
        1 => "The one state with current to lose ".to_owned(),
        n => format!("Of the {n} states with current to lose, "),
    };
    line += &works(cold);
    line += " when started without it";
    if running != cold {
        line += &format!("; with the plug pulled on the way, {}", works(running));
    }
    let none = count(|s| &s.cold, DrivesAs::None);
    if none > 0 {
        let among = match with.len() {
            1 => String::new(),
            _ => format!("in {none} "),
        };
        line += &format!("; {among}nothing is applied that should be");
    }
    let without = answer.states.len() - with.len();
    if without > 0 {
        line += &format!(
            ". {} none to lose",
            match without {
                1 => "1 state has".to_owned(),
                n => format!("{n} states have"),
            }
        );
    }
    Line::from(line) + "."
}

/// How something drives without current.
fn drives(remains: &Remains, words: &Words<'_>) -> Line {
    let like = remains.like.as_deref().map(Line::id).unwrap_or_default();
    let line = match remains.drives {
        DrivesAs::Same => Line::role(Role::Supplied, "as with current"),
        DrivesAs::Like => Line::from("like ") + like,
        DrivesAs::None => Line::role(Role::Drained, "none"),
        DrivesAs::Flare => {
            Line::role(Role::Drained, "flare: ") + list(&remains.applied, words) + " alone"
        }
        DrivesAs::Bind => Line::role(Role::Stray, "bind: ") + list(&remains.applied, words),
        DrivesAs::Creeps => Line::role(Role::Stray, "creeps: ") + list(&remains.applied, words),
        DrivesAs::Unlike => Line::from("like no state: ") + list(&remains.applied, words),
        DrivesAs::Unsure => {
            Line::role(Role::Unsure, "cannot be said: ") + list(&remains.unsure, words)
        }
    };
    match &remains.shut_in[..] {
        [] => line,
        parts => line + ", as long as " + list(parts, words) + " does not leak off",
    }
}

fn list(parts: &[PartName], words: &Words<'_>) -> Line {
    Line::list(parts.iter().map(|part| words.typed(part)), "and")
}

/// What each state loses and gains, states that agree together.
fn changes(answer: &Unplugged, words: &Words<'_>, blocks: &mut Vec<Block>) {
    let all: Vec<&str> = answer.states.iter().map(id).collect();
    let mut found: Vec<(&Remains, &str, Vec<&str>)> = Vec::new();
    for state in &answer.states {
        let same = changed(&state.cold) == changed(&state.running);
        let whens: &[(&Remains, &str)] = match same {
            true => &[(&state.cold, "either way")],
            false => &[
                (&state.cold, "started so"),
                (&state.running, "plug pulled while it drives"),
            ],
        };
        for (remains, when) in whens {
            if remains.lost.is_empty() && remains.gained.is_empty() {
                continue;
            }
            let known = found
                .iter_mut()
                .find(|(r, w, _)| w == when && changed(r) == changed(remains));
            match known {
                Some((_, _, states)) => states.push(id(state)),
                None => found.push((remains, when, vec![id(state)])),
            }
        }
    }
    if found.is_empty() {
        return;
    }
    blocks.push(Block::Heading(
        "What that changes against the state's own".into(),
    ));
    let items = found.iter().map(|(remains, when, states)| {
        let mut clauses = Vec::new();
        for (parts, verb) in [(&remains.lost, "loses "), (&remains.gained, "gains ")] {
            if !parts.is_empty() {
                clauses.push(Line::from(verb) + list(parts, words));
            }
        }
        words::states(states, &all) + ", " + *when + ": " + Line::list(clauses, "and") + "."
    });
    blocks.push(Block::List(items.collect()));
}

fn changed(remains: &Remains) -> (&[PartName], &[PartName]) {
    (&remains.lost, &remains.gained)
}

fn id(state: &UnpluggedState) -> &str {
    state.state.as_deref().unwrap_or_default()
}
