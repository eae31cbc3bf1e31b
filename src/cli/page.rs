//! Pages for a browser.

use std::io;

use clap::CommandFactory;

use super::args::{Cli, Format, Shown};
use super::failure::Failure;
use crate::answer::Starve;
use crate::circuit::{Circuit, Fault};
use crate::draw::{self, Layered, Style, View};
use crate::net::Net;
use crate::page::{self, PageError};
use crate::units::UnitSystem;

/// Makes the page of a circuit.
pub(super) fn page(circuit: &Circuit, shown: &Shown) -> Result<String, Failure> {
    if !matches!(shown.format, Format::Text | Format::Html) {
        let what = "the page of a circuit is HTML always".to_owned();
        return Err(Failure::one(what, "leave out `--format`"));
    }
    let net = Net::new(circuit).map_err(|e| Failure::one(e.to_string(), "check the file"))?;
    page::circuit(&net, shown.units).map_err(unmade)
}

/// What a command answers, as its help says it.
pub(super) fn asked(name: &str) -> Option<String> {
    let program = Cli::command();
    let about = program.find_subcommand(name)?.get_about()?;
    Some(about.to_string())
}

/// The circuit with its faults, in the first state in which they do anything.
pub(super) fn drawing(
    net: &Net<'_>,
    answer: &Starve,
    faults: &[Fault],
    units: UnitSystem,
) -> Result<String, Failure> {
    let mut states = answer.states.iter();
    let suffers = states.find(|s| s.outlets.iter().any(|o| o.verdict.is_bad()));
    let shown = suffers.or_else(|| answer.states.first());
    let view = View {
        state: shown.and_then(|s| s.state.as_deref()),
        faults,
        units,
        ..View::default()
    };
    let picture = draw::picture(net, &view).map_err(|e| unmade(e.into()))?;
    draw::svg(&picture, &Layered, &Style::default()).map_err(|e| unmade(e.into()))
}

fn unmade(error: PageError) -> Failure {
    match error {
        PageError::Json(error) => Failure::Unwritten(None, io::Error::other(error)),
        error => Failure::one(error.to_string(), "check the file"),
    }
}
