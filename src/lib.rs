//! Oil paths in automatic gearboxes.

pub mod answer;
pub mod circuit;
pub mod lint;
pub mod net;
pub mod reach;
pub mod report;
pub mod settle;
pub mod sheet;
pub mod units;
