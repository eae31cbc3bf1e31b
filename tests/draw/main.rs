//! Drawings: what is in them, where it lies, and that it can be read.

mod layout;
mod look;
mod overlay;
mod theme;
mod trace;

#[path = "../support/mod.rs"]
mod support;

use std::path::PathBuf;

use oilpath::circuit::Circuit;
use oilpath::draw::{Layered, Layout, Plain};
use oilpath::sheet;
use support::files::circuit_files;
use support::net;

const ENGINES: [&dyn Layout; 2] = [&Layered, &Plain];

/// Every circuit that comes with the project.
fn files() -> Vec<PathBuf> {
    let files = circuit_files("circuits");
    assert!(files.len() >= 10, "{files:?}");
    files
}

fn circuit(file: impl Into<PathBuf>) -> Circuit {
    let file = file.into();
    sheet::open(&file).unwrap().circuit
}
