//! What reports from what was seen to the part share: what was seen, checks, sets of faults, notes.

use super::page::{Block, Line, Role};
use super::words::{self, Words};
use crate::answer::Depth;
use crate::circuit::Access;
use crate::suspect::{SeenTold, SuspectSet};

/// What was seen, as a table.
pub(super) fn seen(seen: &[SeenTold], words: &Words<'_>) -> Block {
    let rows = seen.iter();
    let rows = rows.map(|seen| vec![Line::id(&seen.said), counts(seen), should(seen, words)]);
    Block::table(&["seen", "that is", "should read"], rows.collect())
}

/// Whether something seen is as it should be.
pub(super) fn counts(seen: &SeenTold) -> Line {
    match (seen.weighed, seen.abnormal) {
        (false, _) => Line::role(Role::Faint, "not weighed"),
        (true, true) => Line::role(Role::Drained, "not as it should be"),
        (true, false) => Line::role(Role::Supplied, "as it should be"),
    }
}

/// What the gauge should read, where that is known.
pub(super) fn should(seen: &SeenTold, words: &Words<'_>) -> Line {
    match seen.should_pa {
        Some(range) => words.read_off(Some(range)),
        None => Line::default(),
    }
}

/// What to bear in mind, cautions included.
pub(super) fn notes(seen: &[SeenTold], depth: Depth) -> Vec<Block> {
    let mut notes: Vec<Line> = Vec::new();
    if seen.iter().any(|s| s.only.is_some() && s.weighed) {
        notes.push(
            "Hot only, cold only, at idle only and at speed only narrow nothing here: the \
             complaint alone is weighed."
                .into(),
        );
    }
    if seen.iter().any(|s| !s.weighed) {
        notes.push(
            "Air checks and what comes after standing are kept with the case and not weighed."
                .into(),
        );
    }
    notes.push(
        "Chance: how likely each is among those that nothing seen rules out. It rests on how \
         likely faults are before anything is seen, and on how often what is starved or weak is \
         felt so. What is not given with --likelihood is an assumption, a round number without a \
         source."
            .into(),
    );
    if depth == Depth::Flow {
        notes.push(
            "Weighing and pressures with flows count half each; what either expects is not ruled \
             out. How large a fault's leak is no file says: a usual size stands in."
                .into(),
        );
    }
    notes.push(words::gauge_caution());
    notes.push(words::depth(depth));
    notes.into_iter().map(Block::Note).collect()
}

/// A check as a clause: `gauge in line-tap, driven in low`.
pub(super) fn check(check: &crate::suspect::Check, words: &Words<'_>) -> Line {
    let state = check.state.as_deref().map(Line::id);
    match (&check.at, state) {
        (None, Some(state)) => Line::from("drive ") + state,
        (None, None) => "drive it".into(),
        (Some(at), state) => {
            let reach = match check.access {
                Access::Outside => "",
                Access::PanOff => ", with the pan off",
                Access::Bench => ", on the bench",
            };
            let line = Line::from("read ") + words.part(at) + reach;
            match state {
                Some(state) => line + " in " + state,
                None => line,
            }
        }
    }
}

/// Sets of faults in a sentence.
pub(super) fn sets(sets: &[SuspectSet], most: usize, words: &Words<'_>) -> Line {
    let said = sets.iter().take(most).map(|set| {
        let rows = set.faults.iter().map(|row| {
            let named = words.fault(&row[0]);
            match row.len() {
                1 => named,
                more => named + format!(" (or {} that change the same)", more - 1),
            }
        });
        Line::list(rows, "and")
    });
    let mut said: Vec<Line> = said.collect();
    if sets.len() > most {
        said.push(format!("{} more", sets.len() - most).into());
    }
    Line::list(said, "or")
}

/// Sets of faults as they are typed.
pub(super) fn typed(sets: &[SuspectSet], most: usize) -> Line {
    let said = sets.iter().take(most).map(|set| {
        let rows = set.faults.iter().map(|row| Line::id(&row[0]));
        Line::list(rows, "and")
    });
    let mut said: Vec<Line> = said.collect();
    if sets.len() > most {
        said.push(format!("{} more", sets.len() - most).into());
    }
    Line::list(said, "or")
}

/// A chance in words.
pub(super) fn percent(share: f64) -> String {
    match share * 100.0 {
        p if p >= 99.5 && share < 1.0 - 1e-9 => "over 99 %".to_owned(),
        p if p < 1.0 => "under 1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}
