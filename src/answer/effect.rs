//! What faults do in one state.

use serde::Serialize;

use super::complaint::Complaint;
use super::place::places;
use super::verdict::OutletVerdict;
use crate::circuit::PartName;
use crate::net::Net;
use crate::settle::{Course, Settled};

/// The effect of some faults in one state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct StarveState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// Sources whose cavity has got a wide open way to the sump: no pressure will build.
    pub will_not_build: Vec<PartName>,
    /// Sources that no longer give oil: they cannot draw, or what they feed is plugged.
    pub cannot_draw: Vec<PartName>,
    /// Valves that stand elsewhere than in the sound circuit.
    pub moved: Vec<MovedValve>,
    /// How settling went.
    pub course: CourseWord,
    /// Valves and shuttle balls on which the answer hangs; empty where settling was steady.
    pub unsettled: Vec<PartName>,
    /// What the driver or the gauge would say of it, the gravest first.
    pub complaints: Vec<Complaint>,
    /// Every outlet, the worst off first, then in file order.
    pub outlets: Vec<OutletVerdict>,
}

/// A valve that stands elsewhere than in the sound circuit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct MovedValve {
    /// The valve.
    pub valve: PartName,
    /// Where it stands when sound; none where that cannot be said.
    pub sound: Option<String>,
    /// Where it can stand now; none among them for an unknown position.
    pub now: Vec<Option<String>>,
}

/// How settling went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum CourseWord {
    /// To one end.
    Steady,
    /// Positions that cannot be decided were tried one by one.
    Undecided,
    /// The end depends on what moves first.
    Race,
    /// It never ends.
    Oscillation,
    /// More undecided positions than can be tried.
    TooMany,
}

/// Valves that stand elsewhere than in the sound circuit.
pub(super) fn moved(net: &Net<'_>, sound: &Settled, now: &Settled) -> Vec<MovedValve> {
    moved_between(net, |i| sound.positions(i), |i| now.positions(i))
}

/// The same, where each valve can stand given by its number.
pub(super) fn moved_between(
    net: &Net<'_>,
    sound: impl Fn(usize) -> Vec<Option<u32>>,
    now: impl Fn(usize) -> Vec<Option<u32>>,
) -> Vec<MovedValve> {
    let moved = net.valves().iter().enumerate().filter_map(|(i, valve)| {
        let (was, is) = (sound(i), now(i));
        (was != is).then(|| MovedValve {
            valve: valve.name.clone(),
            sound: places(net, &valve.name, &was).remove(0),
            now: places(net, &valve.name, &is),
        })
    });
    moved.collect()
}

/// The valves and shuttle balls on which the end of settling hangs.
pub(super) fn unsettled(course: &Course) -> Vec<PartName> {
    match course {
        Course::Steady => Vec::new(),
        Course::Undecided(parts)
        | Course::Race(parts)
        | Course::Oscillation { parts, .. }
        | Course::TooMany(parts) => parts.clone(),
    }
}

pub(super) fn course(course: &Course) -> CourseWord {
    match course {
        Course::Steady => CourseWord::Steady,
        Course::Undecided(_) => CourseWord::Undecided,
        Course::Race(_) => CourseWord::Race,
        Course::Oscillation { .. } => CourseWord::Oscillation,
        Course::TooMany(_) => CourseWord::TooMany,
    }
}
