//! Oil paths in automatic gearboxes.

pub mod units;
