//! Oil paths in automatic gearboxes.

pub mod answer;
pub mod circuit;
#[cfg(feature = "cli")]
pub mod cli;
pub mod lint;
pub mod net;
pub mod reach;
#[cfg(feature = "report")]
pub mod report;
pub mod settle;
pub mod sheet;
pub mod units;
