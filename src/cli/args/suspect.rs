//! Questions from what was seen to the part.

use std::path::PathBuf;

use clap::builder::RangedU64ValueParser;
use clap::{Args, Subcommand};

use super::flows::Given;
use super::named::File;
use crate::suspect::SuspectsQuestion;

/// Questions from what was seen to the part.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum Seeking {
    /// Say which faults can be behind what was seen, the likeliest first
    #[command(after_help = "Examples:
  oilpath suspects circuits/transfer-box.toml --saw 'low: none' --saw 'two-wheel: fine'
  oilpath suspects circuits/transfer-box.toml --saw 'four-wheel: front-tap low, likely'
  oilpath suspects circuits/tractor-powershift.toml --saw 'all: pto-bearing starved' --up-to 1
  oilpath suspects circuits/transfer-box.toml --saw 'low: slips, hot only'
  oilpath suspects circuits/transfer-box.toml --saw 'air: servo-apply leaks'
  oilpath suspects circuits/transfer-box.toml --case circuits/cases/transfer-box.toml

What was seen starts with the state: `reverse: none`, `third and fourth: flare`, `all: fine`.
  how it drives: fine, none, flare, bind, creeps, slips, late, harsh, works as STATE
  an outlet:     PART starved, weak, on, late, harsh or fine
  a gauge:       TAP none, low, normal, high or a pressure (`line-tap 9 bar`)
  a switch:      SWITCH open or closed
  on the bench, with no state: `air: PART holds`, leaks or dead; `vacuum: VALVE holds` or leaks
After commas: hot only, cold only, idle only, speed only, after standing; sure, likely, hint or a
number above 0.5. A case file holds the same in saw = [...], with title, vehicle, note, likelihood
and effort.
Exit status: 0 answered, whatever was found; 2 could not answer.")]
    Suspects(Sought),
    /// Say which check tells most for its effort next, and plan those after it
    #[command(after_help = "Examples:
  oilpath next circuits/transfer-box.toml --saw 'low: none'
  oilpath next circuits/transfer-box.toml --saw 'low: none' --effort bench=100 --effort look=10
  oilpath next circuits/transfer-box.toml --case circuits/cases/transfer-box.toml

What was seen is typed as for `suspects`. Efforts are numbers against each other: drive (a state),
outside (a gauge there), pan-off, bench (each once), look (at one part), air (a place), vacuum (a bore).
Exit status: 0 answered; 2 could not answer.")]
    Next(Sought),
    /// Write the record of a case: complaint, suspects, checks, what was found and done
    #[command(after_help = "Examples:
  oilpath case circuits/transfer-box.toml circuits/cases/transfer-box.toml
  oilpath case circuits/transfer-box.toml circuits/cases/transfer-box.toml --format markdown

With --format html --output record.html it is one file to print, with the drawing of what was found
in the state complained of. The case file may say title, vehicle, odometer, date, complaint, note,
saw, [[check]] with what and came-to, found = [\"part:condition\"], done and renewed.
Exit status: 0 written; 1 something seen speaks against what was found; 2 not written.")]
    Case(Recorded),
}

/// A case and how the gearbox runs.
#[derive(Debug, Args)]
pub(in crate::cli) struct Recorded {
    #[command(flatten)]
    pub file: File,
    /// The case file: the story of one gearbox
    pub case: PathBuf,
    #[command(flatten)]
    pub given: Given,
}

/// What was seen, and how it is to be explained.
#[derive(Debug, Args)]
pub(in crate::cli) struct Sought {
    #[command(flatten)]
    pub file: File,
    /// A case file: what was seen of one gearbox
    #[arg(long, value_name = "PATH")]
    pub case: Option<PathBuf>,
    /// What was seen, such as 'reverse: none' or 'low: line-tap 9 bar, likely'; may be given
    /// several times, and beside --case
    #[arg(long = "saw", value_name = "SEEN")]
    pub saw: Vec<String>,
    /// How many faults together at most
    #[arg(
        long,
        value_name = "1|2|3",
        default_value_t = SuspectsQuestion::default().up_to,
        value_parser = RangedU64ValueParser::<usize>::new().range(1..=3)
    )]
    pub up_to: usize,
    /// How many sets of two faults, and of three, to settle at most
    #[arg(
        long,
        value_name = "N",
        default_value_t = SuspectsQuestion::default().most,
        value_parser = RangedU64ValueParser::<usize>::new().range(1..=10_000_000)
    )]
    pub most: usize,
    /// How likely a fault is, such as hop:plugged=0.01 or, for every part of a kind,
    /// orifice:plugged=0.01; may be given several times
    #[arg(long = "likelihood", value_name = "FAULT=P")]
    pub likelihoods: Vec<String>,
    /// What a check costs, such as pan-off=3; may be given several times
    #[arg(long = "effort", value_name = "WORD=N")]
    pub efforts: Vec<String>,
    /// Weigh only: leave pressures and flows out, though the file has sizes
    #[arg(long)]
    pub weigh_only: bool,
    #[command(flatten)]
    pub given: Given,
}
