//! The words of every report, for all media: what a part, a state, a verdict, a reason and a
//! step of the oil are called.

mod fault;
mod figure;
mod hop;
mod named;
mod reason;
mod severity;

use super::page::{Line, Role};
use crate::answer::{ComplaintWord, CourseWord, Depth, MovedValve, Verdict};
use crate::circuit::Circuit;
use crate::units::{Length, Quantity, UnitSystem};

pub(super) use figure::{SEEN, generic_oil, running, share, spread};
pub(super) use reason::common;
pub(crate) use severity::severity;

/// Items of a check in a sentence at most; the rest is counted.
pub(super) const FEW: usize = 4;

/// What the words are about and the units they use.
#[derive(Clone, Copy, Debug)]
pub struct Words<'c> {
    /// The circuit the answers are about: its labels are used.
    pub circuit: &'c Circuit,
    /// The units of sizes.
    pub units: UnitSystem,
}

impl Words<'_> {
    /// What the circuit is called.
    pub(crate) fn title(&self) -> Line {
        self.circuit
            .title
            .as_deref()
            .unwrap_or("Oil circuit")
            .into()
    }

    /// A valve that stands elsewhere than when sound.
    pub(super) fn moved(&self, valve: &MovedValve) -> Line {
        let place = |place: &Option<String>| match place {
            Some(place) => Line::id(place),
            None => "an unknown place".into(),
        };
        let now = Line::list(valve.now.iter().map(place), "or");
        let line = self.part(&valve.valve).capital() + " stands in " + now;
        line + " instead of " + place(&valve.sound)
    }

    /// A diameter.
    pub(super) fn bore(&self, m: f64) -> String {
        Length::from_m(m).show(self.units)
    }
}

/// States in a sentence, briefly: ` in all 13 states`, ` in neutral`, ` in 6 of 13 states`.
///
/// `all` are those asked about; without any, nothing is said.
pub(super) fn in_states(these: &[&str], all: &[&str]) -> Line {
    if these.len() == all.len() || these.len() <= 2 || all.len() - these.len() <= 2 {
        return in_each(these, all);
    }
    format!(" in {} of {} states", these.len(), all.len()).into()
}

/// States in a sentence, named as by [`states`].
pub(super) fn in_each(these: &[&str], all: &[&str]) -> Line {
    match states(these, all) {
        states if states.is_empty() => states,
        states => Line::from(" in ") + states,
    }
}

/// States in a sentence that denies something: ` in any of the 13 states`, ` in neutral`.
pub(super) fn in_any(these: &[&str], all: &[&str]) -> Line {
    match all {
        [_, _, ..] if these.len() == all.len() => {
            format!(" in any of the {} states", all.len()).into()
        }
        _ => in_each(these, all),
    }
}

/// Every state named, unless that is all of them or nearly.
pub(super) fn states(these: &[&str], all: &[&str]) -> Line {
    let ids = |states: &[&str]| Line::list(states.iter().map(|s| Line::id(s)), "and");
    let others: Vec<&str> = (all.iter().copied())
        .filter(|s| !these.contains(s))
        .collect();
    match (these, &others[..]) {
        ([""], _) => Line::default(),
        ([_, _], []) => "both states".into(),
        ([_, _, ..], []) => format!("all {} states", all.len()).into(),
        ([_, _, _, _, ..], others) if others.len() <= 2 => {
            Line::from("all states but ") + ids(others)
        }
        (these, _) => ids(these),
    }
}

/// A verdict, its letter first.
pub(crate) fn verdict(verdict: Verdict) -> Line {
    let (role, words) = match verdict {
        Verdict::Starved => (Role::Drained, "S starved"),
        Verdict::OnWhenOff => (Role::Stray, "O on when off"),
        Verdict::Weakened => (Role::Contested, "W weakened"),
        Verdict::Late => (Role::Trapped, "L late"),
        Verdict::Harsh => (Role::Contested, "H harsh"),
        Verdict::Undecided => (Role::Unsure, "? undecided"),
        Verdict::Kept => (Role::Supplied, "+ kept"),
        Verdict::Off => (Role::Faint, "- off"),
    };
    Line::role(role, words)
}

/// A verdict without its letter, to stand before outlets.
pub(super) fn verdict_alone(of: Verdict) -> Line {
    let line = verdict(of);
    let spans = line.spans().iter();
    spans.fold(Line::default(), |line, span| {
        let word = span
            .text()
            .split_once(' ')
            .map_or(span.text(), |(_, word)| word);
        line + Line::role(span.role(), word)
    })
}

/// A complaint in a word or two.
pub(super) fn complaint(complaint: ComplaintWord) -> Line {
    let words = match complaint {
        ComplaintWord::None => "none",
        ComplaintWord::WrongState => "works as",
        ComplaintWord::Bind => "bind",
        ComplaintWord::Flare => "flare",
        ComplaintWord::Creeps => "creeps",
        ComplaintWord::Slips => "slips",
        ComplaintWord::StandsHigh => "pressure stands high",
        ComplaintWord::RunsDry => "runs dry",
        ComplaintWord::PassesNothing => "passes no oil",
        ComplaintWord::LetsGoLate => "lets go late",
        ComplaintWord::Harsh => "harsh",
        ComplaintWord::RunsShort => "runs short",
    };
    Line::role(Role::Strong, words)
}

/// What faults do to outlets, as a verb: before and behind the outlets.
pub(super) fn does(verdict: Verdict, one: bool, outlets: usize) -> (String, &'static str) {
    let s = if one { "s" } else { "" };
    let has = if outlets == 1 {
        " has oil"
    } else {
        " have oil"
    };
    match verdict {
        Verdict::Starved => (format!("starve{s} "), ""),
        Verdict::OnWhenOff => (format!("let{s} oil to "), ", where none should be,"),
        Verdict::Weakened => (format!("weaken{s} "), ""),
        Verdict::Late => (format!("make{s} "), " let go late"),
        Verdict::Harsh => (format!("make{s} "), " take hold hard"),
        Verdict::Undecided => (format!("leave{s} open whether "), has),
        Verdict::Kept | Verdict::Off => (format!("change{s} nothing at "), ""),
    }
}

/// How settling went where it was not steady; `parts` are those it hangs on.
pub(crate) fn course(course: CourseWord, parts: Line) -> Line {
    match course {
        CourseWord::Steady => Line::default(),
        CourseWord::Undecided => {
            Line::from("Where ") + parts + " goes cannot be decided; each place was tried"
        }
        CourseWord::Race => Line::from("A race: the end hangs on which moves first, ") + parts,
        CourseWord::Oscillation => Line::from("It never comes to rest: ") + parts + " hunts",
        CourseWord::TooMany => {
            Line::from("Too many places cannot be decided to try them all: ") + parts
        }
    }
}

/// How deep an answer looks: what it means and what it does not.
pub(crate) fn depth(depth: Depth) -> Line {
    depth_from(depth, "from rest")
}

/// The same for valves that start elsewhere than at rest.
pub(super) fn depth_from(depth: Depth, start: &str) -> Line {
    match depth {
        Depth::Reach => "How this was found: by connection alone, valves where the sound circuit \
             has them. It says where oil can go, not how much of it does."
            .into(),
        Depth::Settle => format!(
            "How this was found: open ways, metering holes and leaks weighed against each other, \
             and valves moved as the oil says, {start}. No pressures, flows or times were \
             computed, so kept does not mean enough."
        )
        .into(),
        Depth::Flow => format!(
            "How this was found: pressures and flows at rest, once everything has come to a \
             standstill, by one law for each part, valves standing where the oil puts them, {start}."
        )
        .into(),
    }
}

/// What whoever hooks up a gauge is told.
pub(crate) fn gauge_caution() -> Line {
    "Gauges: chock the wheels and hold the vehicle, keep clear of hot oil and of oil under \
     pressure, which can pierce skin. The maker's service manual, local rules and a qualified \
     technician decide, not this list."
        .into()
}

/// What whoever blows air into a block, or pulls on it, is told.
pub(super) fn air_caution() -> Line {
    "Air and vacuum: eye protection, clean dry air through a regulator set low, fingers and faces \
     clear of pistons, plates bolted down before air goes in. The maker's service manual, local \
     rules and a qualified technician decide, not this list."
        .into()
}

/// Room for a pencil.
pub(super) const ROOM: &str = "____";

/// The states that were asked about; one nameless state where a circuit declares none.
pub(super) fn asked(states: &[String]) -> Vec<&str> {
    match states {
        [] => vec![""],
        states => states.iter().map(String::as_str).collect(),
    }
}

/// `1 port`, `2 ports`, `no ports`.
pub(crate) fn plural(count: usize, noun: &str) -> String {
    match (count, noun) {
        (1, noun) => format!("1 {noun}"),
        (0, noun) => format!("no {noun}s"),
        (count, noun) if noun.ends_with("ch") => format!("{count} {noun}es"),
        (count, noun) => format!("{count} {noun}s"),
    }
}

/// A message, what stands in backticks as a word of the circuit file.
pub(super) fn quoted(message: &str) -> Line {
    let pieces = message.split('`').enumerate();
    pieces.fold(Line::default(), |line, (i, piece)| match i % 2 {
        0 => line + piece,
        _ => line + Line::role(Role::Word, piece),
    })
}

/// The id of a state of an answer; empty for a circuit that declares none.
pub(super) fn state(state: &crate::answer::StarveState) -> &str {
    state.state.as_deref().unwrap_or_default()
}
