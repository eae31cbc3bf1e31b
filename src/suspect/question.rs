//! What an inquiry is asked.

use super::effort::Efforts;
use crate::answer::{FlowsQuestion, Likelihoods};
use crate::circuit::Sighting;

/// What was seen, and how it is to be explained.
#[derive(Clone, Debug)]
pub struct SuspectsQuestion {
    /// What was seen.
    pub saw: Vec<Sighting>,
    /// How many faults together at most: 1 to 3.
    pub up_to: usize,
    /// How many sets of two, and of three, are settled at most.
    pub most: usize,
    /// How likely faults are.
    pub likelihoods: Likelihoods,
    /// What checks cost.
    pub efforts: Efforts,
    /// Whether pressures and flows have a say where the file gives the sizes.
    pub measure: bool,
    /// How the gearbox runs.
    pub flows: FlowsQuestion,
}

impl Default for SuspectsQuestion {
    fn default() -> Self {
        SuspectsQuestion {
            saw: Vec::new(),
            up_to: 2,
            most: 2000,
            likelihoods: Likelihoods::default(),
            efforts: Efforts::default(),
            measure: true,
            flows: FlowsQuestion::default(),
        }
    }
}
