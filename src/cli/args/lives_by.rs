//! What an outlet lives by.

use clap::Args;
use clap::builder::RangedU64ValueParser;

use super::named::{File, InState, kinds};
use crate::answer::LivesByQuestion;
use crate::circuit::Kind;

/// Which outlet, and what is tried on it.
#[derive(Debug, Args)]
pub(in crate::cli) struct LivesBy {
    #[command(flatten)]
    pub file: File,
    /// An outlet, or a filter, converter or cooler that oil is pressed through; none on the suction side
    pub outlet: String,
    #[command(flatten)]
    pub state: InState,
    /// How many faults together at most
    #[arg(
        long,
        value_name = "1|2|3",
        default_value_t = 2,
        value_parser = RangedU64ValueParser::<usize>::new().range(1..=3)
    )]
    pub up_to: usize,
    /// Only faults of this part; may be given several times, and beside --kind
    #[arg(long, value_name = "PART")]
    pub of: Vec<String>,
    /// Only faults of parts of this kind; may be given several times
    #[arg(long = "kind", value_name = "KIND", value_parser = kinds())]
    pub kinds: Vec<Kind>,
    /// How many sets of faults to settle at most, over all states; where the answer says that it
    /// stopped before the last, give more or ask of one state
    #[arg(
        long,
        value_name = "N",
        default_value_t = LivesByQuestion::default().most,
        value_parser = RangedU64ValueParser::<usize>::new().range(1..=1_000_000_000)
    )]
    pub most: usize,
    /// How likely a fault is, such as hop:plugged=0.01 or, for every part of a kind,
    /// orifice:plugged=0.01; may be given several times
    #[arg(long = "likelihood", value_name = "FAULT=P")]
    pub likelihoods: Vec<String>,
}
