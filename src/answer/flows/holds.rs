//! How long what a state applies takes to take hold, as it is told.

use serde::Serialize;

use super::{Range, SizeUsed};
use crate::answer::{Answer, Depth};
use crate::circuit::{PartName, words};

/// How long what states apply takes to take hold.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct TakesHold {
    /// The faults, as a reader would type them. None is the sound circuit.
    pub faults: Vec<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// The oil, by its id in the file; none where a generic one stands in.
    pub oil: Option<String>,
    /// Sizes that were set instead of those of the file.
    pub set: Vec<SizeUsed>,
    /// Sizes that are not known, and what stands in for each.
    pub assumed: Vec<SizeUsed>,
    /// Late is from so many times the sound time on, early up to one part in as many.
    pub late_from: f64,
    /// Harsh is where plates are pressed together in less than this part of the sound time.
    pub harsh_below: f64,
    /// Each state asked about that applies anything.
    pub states: Vec<TakesHoldState>,
}

/// How long what one state applies takes to take hold.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct TakesHoldState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// Speed the pumps were told to turn at, in rad/s; null where each turns as its own part says.
    pub speed_rad_per_s: Option<f64>,
    /// Temperature of the oil, in K.
    pub oil_temperature_k: f64,
    /// Whether all was solved; where not, no time is an answer.
    pub converged: bool,
    /// What the state applies, in file order.
    pub outlets: Vec<OutletHolds>,
}

/// How long one outlet takes to take hold.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct OutletHolds {
    /// The outlet.
    pub outlet: PartName,
    /// The pressure from which it holds, in Pa: its need; where that is not known, four fifths of
    /// what it gets when sound.
    pub holds_from_pa: f64,
    /// When sound.
    pub sound: HoldTimes,
    /// With the faults; null without any.
    pub now: Option<HoldTimes>,
    /// What is wrong with that; empty where nothing is.
    pub wrong: Vec<HoldWord>,
}

/// When an outlet touches and when it holds, from the moment its valve has opened.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct HoldTimes {
    /// When its piston is at the end of its stroke, in s; null where it never is.
    pub touches_s: Option<Range>,
    /// When it has the pressure from which it holds, in s; null where it never has.
    pub holds_s: Option<Range>,
    /// How long it is pressed from the one to the other, in s: what cushions it.
    pub presses_s: Option<Range>,
}

/// What is wrong with how an outlet takes hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HoldWord {
    /// It never does.
    Never,
    /// Later than when sound.
    Late,
    /// Sooner than when sound.
    Early,
    /// Harder: pressed together in less time.
    Harsh,
}

words! { HoldWord:
    Never "never",
    Late "late",
    Early "early",
    Harsh "harsh",
}

impl Answer for TakesHold {
    const NAME: &'static str = "takes-hold";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        let mut outlets = self.states.iter().flat_map(|s| &s.outlets);
        outlets.any(|o| !o.wrong.is_empty() || (o.now.is_none() && o.sound.holds_s.is_none()))
    }
}
