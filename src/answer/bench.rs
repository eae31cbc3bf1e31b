//! The bench sheet: checks by air, by vacuum and by gauge, to be filled in with a pencil.

use serde::Serialize;

use super::{
    Air, Answer, FlowsError, FlowsQuestion, Gauges, SizeUsed, Vacuum, air, gauges, vacuum,
};
use crate::net::Net;

/// What a block is checked by before it goes in, and when it is in.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Bench {
    /// Checks by air; none where they were not asked for.
    pub air: Option<Air>,
    /// Checks by vacuum and wet air; none where they were not asked for.
    pub vacuum: Option<Vacuum>,
    /// What gauges should show; none where they were not asked for or sizes are missing.
    pub gauges: Option<Gauges>,
    /// Sizes without which it cannot be said what gauges should show, each with what could stand
    /// in for it.
    pub missing: Vec<SizeUsed>,
}

impl Answer for Bench {
    const NAME: &'static str = "bench";
    const VERSION: u32 = 1;

    /// A sheet that has not been filled in finds nothing wrong.
    fn wrong(&self) -> bool {
        false
    }
}

/// Which checks a bench sheet is to have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BenchCheck {
    /// Air at a few psi into holes and taps.
    Air,
    /// Vacuum, or wet air, bore by bore.
    Vacuum,
    /// Gauges and pressure switches, state by state.
    Gauges,
}

/// Makes the sheet with these checks, all of them where none is named; what gauges show in one
/// state or in all.
///
/// # Errors
///
/// As [`gauges`]; but where other checks are asked for too, sizes that are not known leave the
/// gauges out.
pub fn bench(
    net: &Net<'_>,
    only: &[BenchCheck],
    state: Option<&str>,
    question: &FlowsQuestion,
) -> Result<Bench, FlowsError> {
    let wanted = |check| only.is_empty() || only.contains(&check);
    let (gauges, missing) = match wanted(BenchCheck::Gauges) {
        true => match gauges(net, &[], state, question) {
            Err(FlowsError::Missing(sizes)) if only != [BenchCheck::Gauges] => (None, sizes),
            gauges => (Some(gauges?), Vec::new()),
        },
        false => (None, Vec::new()),
    };
    Ok(Bench {
        air: wanted(BenchCheck::Air).then(|| air(net)),
        vacuum: wanted(BenchCheck::Vacuum).then(|| vacuum(net)),
        gauges,
        missing,
    })
}
