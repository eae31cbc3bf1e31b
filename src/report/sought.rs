//! What reports from what was seen to the part share: what was seen, checks, sets of faults, notes.

use super::air::air_hole;
use super::page::{Block, Line, Role};
use super::words::{self, Words};
use crate::answer::Depth;
use crate::circuit::{Access, PartName};
use crate::suspect::{AirPlace, Check, CheckWord, SeenTold, SuspectSet, Unweighed};

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
pub(super) fn notes(seen: &[SeenTold], depth: Depth, on_bench: bool) -> Vec<Block> {
    let mut notes: Vec<Line> = Vec::new();
    let at_times = seen.iter().filter(|s| s.only.is_some() && s.weighed);
    let idle = at_times.clone().filter(|s| !s.narrows);
    let idle: Vec<Line> = idle.map(|s| Line::id(&s.said)).collect();
    if !idle.is_empty() {
        let why = match depth {
            Depth::Flow => {
                ": when it shows narrows nothing here, for of this alone no pattern is computed. \
                 What lacks oil narrows: `none`, `flare`, `slips`, `late`, `starved` or `weak`."
            }
            _ => {
                ": when it shows cannot narrow the suspects, for that takes pressures and flows, \
                 and the file lacks sizes (or they were left out). The complaint alone is weighed."
            }
        };
        notes.push(Line::list(idle, "and") + words::quoted(why));
    }
    if at_times.into_iter().any(|s| s.narrows) {
        notes.push(
            "When it shows is held against what falls short with cold oil and hot, idling and \
             fast, with each fault gone half, once and twice as far as is usual. It rules nothing \
             out by itself, since no file says how far a fault has gone."
                .into(),
        );
    }
    notes.extend(unweighed(seen));
    notes.push(
        "Chance: how likely each is among those that nothing seen rules out. It rests on how \
         likely faults are before anything is seen, and on how often what is starved or weak is \
         felt so. What is not given with --likelihood is an assumption, a round number without a \
         source."
            .into(),
    );
    if depth == Depth::Flow {
        notes.push(
            "Weighing, or pressures with flows: one of them is taken to be right of a suspect in \
             most of what was seen, either as likely; what either expects is not ruled out. How \
             large a fault's leak is no file says: a usual size stands in."
                .into(),
        );
    }
    notes.push(words::gauge_caution());
    if on_bench {
        notes.push(words::air_caution());
    }
    notes.push(words::depth(depth));
    notes.into_iter().map(Block::Note).collect()
}

/// Why things seen are not weighed, those alike together.
fn unweighed(seen: &[SeenTold]) -> Vec<Line> {
    let told = |why: Unweighed, because: &str| {
        let alike = seen.iter().filter(|s| s.unweighed == Some(why));
        let said: Vec<Line> = alike.map(|s| Line::id(&s.said)).collect();
        (!said.is_empty()).then(|| Line::list(said, "and") + words::quoted(because))
    };
    let all = [
        told(
            Unweighed::AfterStanding,
            ": what comes after standing is kept with the case and not weighed.",
        ),
        told(
            Unweighed::AirTellsNothing,
            ": not weighed, for it tells nothing: on a sound block, too, air goes off at once there \
             and strokes nothing. `bench` has the places where air tells something.",
        ),
        told(
            Unweighed::NoLand,
            ": not weighed, for no land of that bore can be tested by itself.",
        ),
        told(
            Unweighed::NotThere,
            ": not weighed, for the circuit has no such state or part.",
        ),
    ];
    all.into_iter().flatten().collect()
}

/// A check as a clause: `read the line pressure tap (line-tap) in low`.
pub(super) fn check(check: &Check, words: &Words<'_>) -> Line {
    let state = check.state.as_deref().map(Line::id);
    let at = check.at.as_ref();
    match (check.what, at, state) {
        (CheckWord::Air, Some(at), _) => {
            Line::from("with the block out, ") + blow(at, check.air.as_ref(), words)
        }
        (CheckWord::Vacuum, Some(at), _) => {
            Line::from("with the block out and apart, pull a vacuum on the bore of ")
                + words.part(at)
        }
        (_, None, Some(state)) => Line::from("drive ") + state,
        (_, None, None) => "drive it".into(),
        (_, Some(at), state) => {
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

/// A check in a few words, for a line of the plan that is not to wrap.
pub(super) fn brief(check: &Check, words: &Words<'_>) -> Line {
    match (check.what, &check.at, &check.air) {
        (CheckWord::Air, Some(at), Some(place)) => {
            let line = Line::from("block out: air into ") + Line::id(&at.id);
            line + format!(" (air check {})", place.number)
        }
        (CheckWord::Vacuum, Some(at), _) => {
            Line::from("block out and apart: vacuum on the bore of ") + words.typed(at)
        }
        _ => self::check(check, words),
    }
}

/// Where air goes in, as on the bench sheet.
fn blow(at: &PartName, place: Option<&AirPlace>, words: &Words<'_>) -> Line {
    let line = Line::from("blow air into ") + Line::id(&at.id);
    let Some(place) = place else { return line };
    let line = match &place.hole {
        Some(hole) => line + " by " + air_hole(hole, words),
        None => line,
    };
    let castings = place.castings.iter().map(|id| words.casting(id));
    let line = match place.castings.len() {
        0 => line + " of the whole block",
        _ => line + " of " + Line::list(castings, "and") + " alone",
    };
    let line = match &place.lever {
        Some(lever) => line + ", lever in " + Line::id(lever),
        None => line,
    };
    line + words::quoted(&format!(" (air check {} of `bench`)", place.number))
}

/// Sets of faults in a sentence.
pub(super) fn sets(sets: &[SuspectSet], most: usize, words: &Words<'_>) -> Line {
    let said = |row: &[String]| {
        let named = words.fault(&row[0]);
        match row.len() {
            1 => named,
            more => named + format!(" (or {} that change the same)", more - 1),
        }
    };
    any_of(sets, most, said)
}

/// Sets of faults as they are typed.
pub(super) fn typed(sets: &[SuspectSet], most: usize) -> Line {
    any_of(sets, most, |row| Line::id(&row[0]))
}

/// One of some sets: `a or b`, `a or both b and c`.
fn any_of(sets: &[SuspectSet], most: usize, said: impl Fn(&[String]) -> Line) -> Line {
    let whole = sets.iter().map(|set| {
        let rows = set.faults.iter().map(|row| said(row));
        let together = match (sets.len(), set.faults.len()) {
            (1, _) | (_, 1) => "",
            (_, 2) => "both ",
            _ => "all of ",
        };
        Line::from(together) + Line::list(rows, "and")
    });
    Line::few(whole, most, "or")
}

/// A chance in words.
pub(super) fn percent(share: f64) -> String {
    match share * 100.0 {
        p if p >= 99.5 && share < 1.0 - 1e-9 => "over 99 %".to_owned(),
        p if p < 1.0 => "under 1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}
