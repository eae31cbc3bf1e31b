//! What the driver or the gauge would say of it.

use serde::Serialize;

use super::{Severity, Status, Verdict};
use crate::circuit::{Kind, PartName};

/// One complaint in a state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Complaint {
    /// What it is.
    pub what: ComplaintWord,
    /// The outlets behind it; of what stands high the regulators that should keep it down.
    pub outlets: Vec<PartName>,
    /// The state it behaves like instead; none where it behaves like no other.
    pub like: Option<String>,
}

/// What a complaint is; [`Severity`] says which is worse.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum ComplaintWord {
    /// Nothing that should be applied is.
    None,
    /// It drives as in another state, or as in none.
    WrongState,
    /// Something that should be applied is not: it flares or does not take up.
    Flare,
    /// Something is applied beside what should be: two fight.
    Bind,
    /// Something is applied where nothing should be.
    Creeps,
    /// What is applied has less behind it: it slips or takes up late.
    Slips,
    /// It stands under more pressure than it should.
    StandsHigh,
    /// It lets go late.
    LetsGoLate,
    /// It takes hold hard.
    Harsh,
    /// It runs without its oil.
    RunsDry,
    /// No oil goes through it, whether or not some stands in it.
    PassesNothing,
    /// It runs with less oil.
    RunsShort,
}

impl ComplaintWord {
    /// Whether whoever drives feels it; what runs dry is found once it is apart.
    #[must_use]
    pub fn is_felt(self) -> bool {
        !matches!(
            self,
            ComplaintWord::RunsDry | ComplaintWord::PassesNothing | ComplaintWord::RunsShort
        )
    }
}

/// How an outlet fares, as far as anyone complains of it.
#[derive(Clone, Copy)]
pub(super) struct Fares<'o> {
    pub outlet: &'o PartName,
    pub by_pressure: bool,
    pub sound: Status,
    pub now: Status,
    pub verdict: Verdict,
}

/// The complaints that the outlets of one state add up to, the gravest first, and those of regulators
/// that let the pressure stand `high`. `others` are the other states with what each applies when sound.
pub(super) fn complaints(
    outlets: &[Fares<'_>],
    others: &[(&str, Vec<&PartName>)],
    high: Vec<PartName>,
) -> Vec<Complaint> {
    let outlets = || outlets.iter();
    if high.is_empty() && !outlets().any(|o| o.verdict.is_bad()) {
        return Vec::new();
    }
    let named = |by_pressure: bool, verdict: Verdict| -> Vec<PartName> {
        let some = outlets().filter(|o| o.by_pressure == by_pressure && o.verdict == verdict);
        some.map(|o| o.outlet.clone()).collect()
    };
    let applied = outlets().filter(|o| o.by_pressure && o.now == Status::On);
    let mut now: Vec<&PartName> = applied.map(|o| o.outlet).collect();
    let neutral = !outlets().any(|o| o.by_pressure && o.sound == Status::On);
    let lost = named(true, Verdict::Starved);
    let extra = named(true, Verdict::OnWhenOff);
    let mut found = Vec::new();
    let mut say = |what, outlets: Vec<PartName>, like| {
        if !outlets.is_empty() {
            found.push(Complaint {
                what,
                outlets,
                like,
            });
        }
    };
    if !others.is_empty() {
        now.sort();
    }
    let like = others.iter().find(|(_, applies)| *applies == now);
    match like {
        Some((state, _)) if !extra.is_empty() || (!lost.is_empty() && !now.is_empty()) => {
            let both = lost.iter().chain(&extra).cloned().collect();
            say(ComplaintWord::WrongState, both, Some((*state).to_owned()));
        }
        // One alone has nothing to fight.
        _ if !lost.is_empty() && extra.len() == 1 && now.len() == 1 => {
            say(ComplaintWord::WrongState, extra, None);
        }
        _ => {
            let none = !lost.is_empty() && now.is_empty();
            let what = if none {
                ComplaintWord::None
            } else {
                ComplaintWord::Flare
            };
            say(what, lost, None);
            let what = if neutral {
                ComplaintWord::Creeps
            } else {
                ComplaintWord::Bind
            };
            say(what, extra, None);
        }
    }
    say(ComplaintWord::Slips, named(true, Verdict::Weakened), None);
    say(ComplaintWord::StandsHigh, high, None);
    say(ComplaintWord::LetsGoLate, named(true, Verdict::Late), None);
    say(ComplaintWord::Harsh, named(true, Verdict::Harsh), None);
    // Filters pass on what the others complain of.
    let using = |verdict| {
        let parts = named(false, verdict).into_iter();
        parts.filter(|part| part.kind != Kind::Filter)
    };
    let through = |part: &PartName| matches!(part.kind, Kind::Converter | Kind::Cooler);
    let (through, dry) = using(Verdict::Starved).partition(through);
    say(ComplaintWord::RunsDry, dry, None);
    say(ComplaintWord::PassesNothing, through, None);
    let short = using(Verdict::Weakened).collect();
    say(ComplaintWord::RunsShort, short, None);
    found.sort_by_key(|c| Severity::from(c.what));
    found
}
