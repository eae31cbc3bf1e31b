//! How an answer is shown, and where it goes.

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, ColorChoice, ValueEnum};

use crate::units::UnitSystem;

/// How the answer is shown.
#[derive(Debug, Args)]
pub(in crate::cli) struct Shown {
    /// What to write the answer as
    #[arg(
        long,
        global = true,
        value_name = "FORMAT",
        value_enum,
        default_value_t
    )]
    pub format: Format,
    /// Units of sizes in text, Markdown, HTML and drawings; JSON has SI numbers
    #[arg(long, global = true, value_name = "SYSTEM", default_value_t, value_parser = units())]
    pub units: UnitSystem,
    /// Write to this file instead of standard output
    #[arg(long, short, global = true, value_name = "PATH")]
    pub output: Option<PathBuf>,
    /// Let --output replace a file that is there
    #[arg(long, global = true)]
    pub force: bool,
    /// Give up, with status 2, where the answer takes longer; a sweep keeps what it has
    #[arg(long, global = true, value_name = "SECONDS", value_parser = clap::value_parser!(u32).range(1..))]
    pub within: Option<u32>,
    /// When to colour text
    #[arg(long, global = true, value_name = "WHEN", value_enum, default_value_t)]
    pub color: ColorChoice,
}

/// What an answer is written as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum Format {
    /// For reading here
    #[default]
    Text,
    /// For a document
    Markdown,
    /// For a browser: one file
    Html,
    /// For a program
    Json,
    /// For a spreadsheet: one row a scenario and state, of `sweep` alone
    Csv,
    /// For a program that reads a line at a time: one line a scenario, of `sweep` alone
    JsonLines,
}

fn units() -> impl TypedValueParser<Value = UnitSystem> {
    PossibleValuesParser::new(["metric", "us"]).try_map(|word| word.parse::<UnitSystem>())
}
