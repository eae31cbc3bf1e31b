//! What two circuits give their outlets in figures, where both have sizes.

use serde::Serialize;

use super::Names;
use crate::answer::{FlowsQuestion, FlowsState, Gets, Range, flows};
use crate::circuit::{Kind, PartName};
use crate::net::Net;

/// How much two figures may differ, as a share of the greater: what a gauge and a drill leave in
/// doubt. Assumption; no source.
pub(super) const TOLERANCE: f64 = 0.05;

/// Pressures that differ by less than this are not told apart, Pa.
const NO_PRESSURE: f64 = 1e4;
/// Flows that differ by less than this are not told apart: 10 cm³/min, in m³/s.
const NO_FLOW: f64 = 10e-6 / 60.0;

/// The figures of two circuits.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CompareFigures {
    /// How much two figures may differ, as a share of the greater.
    pub tolerance: f64,
    /// How many were compared: the outlets of both, in each state of both.
    pub compared: usize,
    /// Outlets whose figures differ by more.
    pub differ: Vec<CompareFigure>,
}

/// An outlet whose figures differ.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CompareFigure {
    /// The state, by its name in the first; none for circuits that declare none.
    pub state: Option<String>,
    /// The outlet, by its name in the first.
    pub outlet: PartName,
    /// What it gets in the first.
    pub here: Gets,
    /// What it gets in the second.
    pub there: Gets,
}

/// The figures of the sound circuits in the states of both; none where sizes are missing in
/// either, or nothing is in both.
pub(super) fn figures(names: &Names<'_>) -> Option<CompareFigures> {
    let measured = |net: &Net<'_>| {
        let answer = flows(net, &[], None, &FlowsQuestion::default()).ok()?;
        let solved = answer.states.iter().all(|s| s.sound.converged);
        solved.then_some(answer.states)
    };
    let (here, there) = (measured(names.ours)?, measured(names.theirs)?);
    let called = |state: &FlowsState| {
        let state = state.state.as_deref()?;
        Some(names.there(&PartName::new(Kind::State, state)).id)
    };
    let (mut differ, mut compared) = (Vec::new(), 0);
    for state in &here {
        let other = there.iter().find(|s| s.state == called(state));
        for outlet in &state.outlets {
            let name = names.there(&outlet.outlet);
            let mut outlets = other.into_iter().flat_map(|s| &s.outlets);
            let Some(other) = outlets.find(|o| o.outlet == name) else {
                continue;
            };
            compared += 1;
            let (a, b) = (outlet.sound, other.sound);
            if off(a.pressure_pa, b.pressure_pa, NO_PRESSURE)
                || off(a.flow_m3_per_s, b.flow_m3_per_s, NO_FLOW)
            {
                differ.push(CompareFigure {
                    state: state.state.clone(),
                    outlet: outlet.outlet.clone(),
                    here: a,
                    there: b,
                });
            }
        }
    }
    (compared > 0).then_some(CompareFigures {
        tolerance: TOLERANCE,
        compared,
        differ,
    })
}

/// Whether two figures differ by more than may be.
fn off(a: Option<Range>, b: Option<Range>, least: f64) -> bool {
    let (Some(a), Some(b)) = (a, b) else {
        return a.is_some() != b.is_some();
    };
    let far = |a: f64, b: f64| (a - b).abs() > (TOLERANCE * a.abs().max(b.abs())).max(least);
    far(a.least, b.least) || far(a.most, b.most)
}
