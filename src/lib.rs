//! Oil paths in automatic gearboxes.

pub mod circuit;
pub mod net;
pub mod units;
