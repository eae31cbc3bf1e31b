//! What is asked of the program, not of a circuit.

use clap::Subcommand;
use clap::builder::PossibleValuesParser;
use clap_complete::Shell;

use crate::report::SCHEMAS;

/// What editors and shells ask of the program itself.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum Itself {
    /// Print the JSON Schema of the circuit file, or of an answer in JSON
    #[command(
        hide = true,
        after_help = "Examples:
  oilpath schema
  oilpath schema starve

An editor with the schema of the circuit file completes keys and marks what cannot be read.
An answer says its kind first: {\"answer\": \"starve\", ...}; before and beyond are `around`."
    )]
    Schema {
        /// The kind of answer; none for the circuit file
        #[arg(value_parser = PossibleValuesParser::new(SCHEMAS.iter().map(|s| s.answer)))]
        answer: Option<String>,
    },
    /// Print what a shell needs to complete commands
    #[command(
        hide = true,
        after_help = "Example:
  oilpath completions bash

Bash reads it from ~/.local/share/bash-completion/completions/oilpath, fish from
~/.config/fish/completions/oilpath.fish, zsh from a file _oilpath in a folder of its $fpath."
    )]
    Completions {
        /// The shell
        shell: Shell,
    },
    /// Print the page of the manual about the program or one command
    #[command(
        hide = true,
        after_help = "Examples:
  oilpath man
  oilpath man starve

`oilpath man starve | man -l -` shows it."
    )]
    Man {
        /// The command; none for the program
        command: Option<String>,
    },
}
