//! Why settling and flow contradict each other.

use crate::circuit::words;

/// What a contradiction between settling and flow comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Differ {
    /// How far the fault has gone: gone four times as far, or a quarter, the two do not contradict
    /// each other. Settling takes what a fault opens for open, however little that is.
    Extent,
    /// The pump moves more than what is open lets out, though that is open: to settling nothing is
    /// more than an open way to the sump.
    PumpKeepsUp,
    /// What a regulator spills, or what is left at the end of a way, is less than settling, which
    /// knows no amounts, takes it to be; or as much presses from behind a filter, converter or
    /// cooler as from before it.
    Amounts,
    /// None of these.
    Unexplained,
}

words! { Differ:
    Extent "extent",
    PumpKeepsUp "pump-keeps-up",
    Amounts "amounts",
    Unexplained "unexplained",
}
