//! Writing a circuit file.

use std::path::PathBuf;

use clap::Subcommand;

/// Writing a circuit file.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum Author {
    /// Begin a circuit file: a small drive to type over, or with --blank only comments
    #[command(after_help = "Examples:
  oilpath new my-box.toml
  oilpath new comments.toml --blank

A file that is there is never replaced.")]
    New {
        /// The file to write; - writes to standard output
        file: PathBuf,
        /// Nothing but comments: an example of each kind of part
        #[arg(long)]
        blank: bool,
    },
    /// Set the space in a circuit file right; comments, order and values stay
    #[command(after_help = "Examples:
  oilpath tidy circuits/transfer-box.toml
  oilpath tidy circuits/transfer-box.toml --check

Exit status: 1 with --check if the file is not tidy.")]
    Tidy {
        /// The circuit file; - reads standard input
        file: PathBuf,
        /// Write it back into the file instead of showing it
        #[arg(long, conflicts_with_all = ["check", "output"])]
        in_place: bool,
        /// Only say whether it is tidy
        #[arg(long)]
        check: bool,
    },
    /// Make a circuit file of a list of ways from a spreadsheet
    #[command(after_help = "Examples:
  oilpath import circuits/ways.csv
  oilpath import circuits/ways.csv --output ways.toml

The list is saved as comma, semicolon or tab separated values; its first line names the columns:
from, to and kind, and as far as known id, bore, plate, under, needs, label, from-casting and
to-casting. A kind is port, orifice, clearance, ball, filter, converter, cooler, relief, source, tap,
switch, or what an outlet is: clutch, brake, servo, lock-up, bearing, bushing, seal, gear, lube.
Outlets, taps and switches stand on `from`, and `to` is what they are called.")]
    Import {
        /// The list; - reads standard input
        list: PathBuf,
    },
}
