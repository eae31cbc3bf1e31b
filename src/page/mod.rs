//! Pages for a browser, each one file that opens without a network: a circuit to click through,
//! a quiz that marks itself, and any report.
//!
//! Everything that comes from a circuit file is text here, never markup, and each page forbids
//! itself ([`POLICY`]) to fetch anything.

mod circuit;
mod data;
mod frame;
mod overlay;
mod quiz;
mod report;

pub use circuit::{PageError, circuit};
pub use frame::POLICY;
pub use quiz::quiz;
pub use report::{Drawings, report};
