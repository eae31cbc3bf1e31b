//! Questions and their answers: plain, sorted, serialisable data.
//!
//! Each question is one function from a [`Net`](crate::net::Net) to one struct. An answer holds
//! ids as the circuit file has them, SI numbers in fields named after their unit, and nothing of
//! how it will be shown.

mod air;
mod around;
mod batch;
mod behind;
mod bench;
mod beside;
mod cause;
mod chart;
mod checklist;
mod compare;
mod complaint;
mod dice;
mod drives;
mod effect;
mod feed;
mod flows;
mod high;
mod judged;
mod lives_by;
mod oil;
mod on;
mod overnight;
mod parts;
mod picture;
mod piece;
mod place;
mod reason;
mod reassemble;
mod route;
mod runoff;
mod severity;
mod shared;
mod sound;
mod split;
mod stance;
mod starve;
mod sweep;
mod trace;
mod unplugged;
mod vacuum;
mod verdict;
mod walk;
mod why;

use serde::Serialize;

pub use crate::reach::Side;
pub use crate::settle::Status;
pub use air::{
    Air, AirBench, AirCheck, AirEscape, AirFound, AirHole, AirMeaning, AirReady, AirSetup, AirSign,
    LEAST_AIR, MOST_AIR, air,
};
pub(crate) use batch::each;

pub use around::{Around, AroundState, around};
pub use bench::{Bench, BenchCheck, bench};
pub use cause::Event;
pub use chart::{Chart, ChartPart, ChartState, chart};
pub use checklist::{Checklist, ChecklistItem, Unchecked, checklist};
pub use compare::{
    ChangeKind, Compare, CompareFigure, CompareFigures, CompareOutlet, CompareReason, CompareRole,
    CompareState, CompareTap, Fit, Interchange, KeyChange, PartChange, compare,
};
pub use complaint::{Complaint, ComplaintWord};
pub use dice::Dice;
pub use drives::DrivesAs;
pub use effect::{CourseWord, MovedValve, StarveState};
pub use feed::Use;
pub use flows::{
    Agreement, BandBy, CauseCount, CavityPressure, ConditionTally, Contradiction, Corner,
    CornerRuns, Differ, Draws, ExtentPattern, FaultSignature, Flows, FlowsBands, FlowsError,
    FlowsQuestion, FlowsState, GaugeReading, Gauges, GaugesState, Gets, Glance, GlanceOutlet,
    Glances, Grid, GridAxis, GridOutlet, GridPoint, GridQuestion, GridRegion, HoldTimes, HoldWord,
    OutletFlow, OutletHolds, OutletSignature, PartDoubt, PartStands, PartStream, Pattern,
    PilotPressure, Range, Shares, SignatureQuestion, Signatures, SizeBand, SizeRef, SizeUsed,
    Solved, SoundShort, StateSignature, TakesHold, TakesHoldState, Tally, ValveOverruled, Varied,
    Vary, VaryLimit, VaryOutlet, VaryPoint, VaryQuestion, VarySpan, WARM, When, agreement, flows,
    gauges, grid, signatures, takes_hold, vary,
};
pub use lives_by::{
    CutSet, Importance, LikelihoodError, Likelihoods, LivesBy, LivesByError, LivesByQuestion,
    LivesByState, Masked, Method, Tried, lives_by,
};
pub use overnight::{Overnight, OvernightState, StandingCavity, StandingOutlet, overnight};
pub use parts::{PartRow, Parts, parts};
pub use piece::{Piece, PieceKind};
pub use reassemble::{PieceCount, Reassemble, Slip, SlipEffect, SlipNight, reassemble};
pub use runoff::RunOff;
pub use severity::Severity;
pub use shared::{Shared, SharedPart, UsedBy};
pub use split::{Split, splits};
pub use starve::{Starve, starve};
pub use sweep::{
    Reading, Scenarios, Sweep, SweepReason, SweepRecord, SweepSound, SweepState, SweepSummary,
    SweepUndecided, Sweeper,
};
pub use trace::{Hop, Narrowest, Route, RouteKind, Trace, TraceError, trace};
pub use unplugged::{Remains, Unplugged, UnpluggedState, unplugged};
pub(crate) use vacuum::LandTest;
pub use vacuum::{Vacuum, VacuumBore, VacuumHarm, VacuumLand, vacuum};
pub use verdict::{OutletVerdict, Reason, Verdict};
pub use walk::{ByHand, Difference, StandsElsewhere, StepCourse, Walk, WalkMove, WalkStep, walk};
pub use why::{
    Because, Gap, Mover, NameRead, RuleRead, Shut, Standing, Stands, Why, WhyEnd, WhySound,
    WhyState, WhyWay, why,
};

/// What an answer is called and which version of its shape it has: a version only adds fields.
pub trait Answer: Serialize {
    /// Its name, the same as the command's.
    const NAME: &'static str;
    /// Its version.
    const VERSION: u32;
    /// Whether it says that something is wrong.
    fn wrong(&self) -> bool;
}

/// How deep an answer looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Depth {
    /// Connection only.
    Reach,
    /// Strengths of supply and drain weighed, and valves moved as the pressures say.
    Settle,
    /// Pressures and flows computed, valves standing as settling and the pressures put them.
    Flow,
}

/// The states a question is asked in: the one named, or all; one nameless state for a circuit
/// that declares none.
pub(crate) fn states<'c>(
    circuit: &'c crate::circuit::Circuit,
    only: Option<&str>,
) -> Vec<(Option<&'c str>, &'c crate::circuit::State)> {
    static NAMELESS: std::sync::LazyLock<crate::circuit::State> =
        std::sync::LazyLock::new(Default::default);
    if circuit.states.is_empty() {
        return vec![(None, &NAMELESS)];
    }
    circuit
        .states
        .iter()
        .filter(|(id, _)| only.is_none_or(|only| only == id.as_str()))
        .map(|(id, state)| (Some(id.as_str()), state))
        .collect()
}
