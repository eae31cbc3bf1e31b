//! Oil paths in automatic gearboxes.

pub mod circuit;
pub mod report;
pub mod sheet;
pub mod units;
