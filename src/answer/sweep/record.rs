//! What one scenario of a sweep does.

use serde::Serialize;

use crate::answer::{Answer, Complaint, CourseWord, Reason, Severity, StarveState, Verdict};
use crate::circuit::{Access, Level, PartName};
use crate::settle::Span;

/// What some faults do in every state asked about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SweepRecord {
    /// Its number among the scenarios, from 0.
    pub number: usize,
    /// The faults, as a reader would type them.
    pub faults: Vec<String>,
    /// The worst they do in any state.
    pub severity: Severity,
    /// Of two faults: the worst that each does alone.
    pub alone: Vec<Severity>,
    /// States in which anything is other than in the sound circuit; empty where the faults do
    /// nothing that an outlet, a tap or a pressure switch can show.
    pub states: Vec<SweepState>,
}

impl Answer for SweepRecord {
    const NAME: &'static str = "sweep-record";
    const VERSION: u32 = 1;

    /// As for the whole sweep.
    fn wrong(&self) -> bool {
        false
    }
}

/// What some faults do in one state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SweepState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// The worst of it.
    pub severity: Severity,
    /// Sources whose cavity has got a wide open way to the sump: no pressure will build.
    pub will_not_build: Vec<PartName>,
    /// Sources that no longer give oil: they cannot draw, or what they feed is plugged.
    pub cannot_draw: Vec<PartName>,
    /// How settling went.
    pub course: CourseWord,
    /// Valves and shuttle balls on which the answer hangs; empty where settling was steady.
    pub unsettled: Vec<PartName>,
    /// What the driver or the gauge would say of it, the gravest first.
    pub complaints: Vec<Complaint>,
    /// Outlets that had oil and have none.
    pub starved: Vec<PartName>,
    /// Outlets that have less behind their oil.
    pub weakened: Vec<PartName>,
    /// Outlets that have oil they should not.
    pub on_when_off: Vec<PartName>,
    /// Outlets that let go late.
    pub late: Vec<PartName>,
    /// Outlets that take hold hard.
    pub harsh: Vec<PartName>,
    /// Outlets of which nothing can be proved, each with what it hangs on.
    pub undecided: Vec<SweepUndecided>,
    /// Why each of the others suffers; only of a sweep that explains.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub why: Vec<SweepReason>,
    /// Taps and pressure switches that read otherwise than in the sound circuit. Where a source
    /// will not build, one on its own cavity reads no more than fill; the others are given as if
    /// it did.
    pub seen: Vec<Reading>,
}

/// An outlet of which nothing can be proved.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SweepUndecided {
    /// The outlet.
    pub outlet: PartName,
    /// What it hangs on.
    pub why: Option<Reason>,
}

/// Why an outlet suffers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SweepReason {
    /// The outlet.
    pub outlet: PartName,
    /// What has become of its oil.
    pub reason: Reason,
}

/// What a tap or a pressure switch shows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Reading {
    /// The tap or the switch.
    pub at: PartName,
    /// How hard it is to reach.
    pub access: Access,
    /// Between which levels its cavity is in the sound circuit.
    pub sound: Span,
    /// Between which it is now.
    pub now: Span,
    /// Whether it stands higher than it should, for which there is no level.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub high: bool,
}

impl Reading {
    /// Whether it surely reads otherwise than in the sound circuit: no level fits both.
    #[must_use]
    pub fn is_sure(&self) -> bool {
        self.high || self.now.highest < self.sound.lowest || self.sound.highest < self.now.lowest
    }

    /// What a switch that closes at low pressure does: whether it is closed, if that is sure.
    #[must_use]
    pub fn closed(span: Span) -> Option<bool> {
        match (span.lowest >= Level::Low, span.highest >= Level::Low) {
            (true, _) => Some(true),
            (_, false) => Some(false),
            _ => None,
        }
    }
}

impl SweepRecord {
    /// Whether no outlet is any worse off.
    #[must_use]
    pub fn is_harmless(&self) -> bool {
        self.states.iter().all(SweepState::is_harmless)
    }

    /// Whether some state has not what it should have applied, or has more.
    #[must_use]
    pub fn costs_a_gear(&self) -> bool {
        self.severity <= Severity::Flare
    }

    /// Whether some tap or pressure switch surely reads otherwise in some state.
    #[must_use]
    pub fn is_seen(&self) -> bool {
        let mut states = self.states.iter();
        states.any(|s| s.seen.iter().any(Reading::is_sure))
    }

    /// Whether the faults together do worse than each alone.
    #[must_use]
    pub fn adds(&self) -> bool {
        self.alone.iter().all(|alone| self.severity < *alone)
    }
}

impl SweepState {
    /// What is worth recording of a state.
    pub(super) fn of(state: StarveState, seen: Vec<Reading>) -> Self {
        let mut told = SweepState {
            severity: Severity::in_state(&state),
            state: state.state,
            will_not_build: state.will_not_build,
            cannot_draw: state.cannot_draw,
            course: state.course,
            unsettled: state.unsettled,
            complaints: state.complaints,
            starved: Vec::new(),
            weakened: Vec::new(),
            on_when_off: Vec::new(),
            late: Vec::new(),
            harsh: Vec::new(),
            undecided: Vec::new(),
            why: Vec::new(),
            seen,
        };
        for found in state.outlets {
            let (outlet, why) = (found.outlet, found.reason);
            let with = match found.verdict {
                Verdict::Undecided => {
                    told.undecided.push(SweepUndecided { outlet, why });
                    continue;
                }
                Verdict::Kept | Verdict::Off => continue,
                Verdict::Starved => &mut told.starved,
                Verdict::Weakened => &mut told.weakened,
                Verdict::OnWhenOff => &mut told.on_when_off,
                Verdict::Late => &mut told.late,
                Verdict::Harsh => &mut told.harsh,
            };
            if let Some(reason) = why {
                let outlet = outlet.clone();
                told.why.push(SweepReason { outlet, reason });
            }
            with.push(outlet);
        }
        told
    }

    /// Whether no outlet is any worse off and nothing stands high. A filter counts, though nobody
    /// complains of one.
    #[must_use]
    pub fn is_harmless(&self) -> bool {
        let parts = [
            &self.starved,
            &self.weakened,
            &self.on_when_off,
            &self.late,
            &self.harsh,
            &self.will_not_build,
            &self.cannot_draw,
        ];
        let suffering = parts.iter().any(|list| !list.is_empty());
        !suffering && self.undecided.is_empty() && self.complaints.is_empty()
    }

    /// Whether anything is other than in the sound circuit, which settles as `sound` says.
    pub(super) fn differs(&self, sound: CourseWord) -> bool {
        !self.is_harmless() || !self.seen.is_empty() || self.course != sound
    }
}
