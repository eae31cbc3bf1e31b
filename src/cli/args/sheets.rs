//! Sheets for the bench, and two circuits held against each other.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::flows::Given;
use super::named::{File, InState};

/// Which checks a bench sheet is to have.
#[derive(Debug, Args)]
pub(in crate::cli) struct Bench {
    #[command(flatten)]
    pub file: File,
    /// Only these checks; may be given several times
    #[arg(long, value_name = "CHECK", value_enum)]
    pub only: Vec<Check>,
    #[command(flatten)]
    pub state: InState,
    #[command(flatten)]
    pub given: Given,
}

/// A kind of check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum Check {
    /// Where to blow, what to close, what must stroke, what a leak means
    Air,
    /// What to pull on at each valve bore, what a poor reading costs
    Vacuum,
    /// What gauges and switches should show, state by state
    Gauges,
}

/// Two circuits, and which ids of one are which of the other.
#[derive(Debug, Args)]
pub(in crate::cli) struct Compare {
    #[command(flatten)]
    pub file: File,
    /// The other circuit file
    #[arg(value_name = "OTHER")]
    pub other: PathBuf,
    /// A part of FILE by another name in OTHER, such as hop=jump; may be given several times
    #[arg(long = "map", value_name = "OLD=NEW")]
    pub map: Vec<String>,
}
