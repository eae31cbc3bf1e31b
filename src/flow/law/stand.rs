//! Where a part that moves stands.

use serde::Serialize;

/// Where a ball, a relief or a regulator stands at the pressures around it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Stand {
    /// A ball on its seat, a relief or a regulator shut: what passes is leakage.
    Shut,
    /// A ball or a relief off its seat.
    Lifted,
    /// A regulator within its band: it holds.
    Working,
    /// A regulator at the end of its stroke: it no longer holds.
    WideOpen,
}

impl Stand {
    pub(super) fn of_lift(lifted: bool) -> Stand {
        if lifted { Stand::Lifted } else { Stand::Shut }
    }

    /// From how far a regulator is open: 0 shut, 1 wide open.
    pub(super) fn of_opening(open: f64) -> Stand {
        if open <= 0.0 {
            Stand::Shut
        } else if open < 1.0 {
            Stand::Working
        } else {
            Stand::WideOpen
        }
    }
}

impl std::fmt::Display for Stand {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Stand::Shut => "shut",
            Stand::Lifted => "lifted",
            Stand::Working => "working",
            Stand::WideOpen => "wide open",
        })
    }
}
