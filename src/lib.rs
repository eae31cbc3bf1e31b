//! Oil paths in automatic gearboxes.

pub mod circuit;
pub mod units;
