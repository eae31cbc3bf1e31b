//! What there is before any fault: outlets and gauges of the sound circuit.

use super::gauge::span;
use super::{Sweeper, judged};
use crate::answer::{Status, on};
use crate::circuit::{Access, Kind, PartName};
use crate::net::NetOutlet;
use crate::settle::Span;

/// What outlets and gauges have in one state of the sound circuit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SweepSound {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// What it should apply.
    pub applies: Vec<PartName>,
    /// Whether each outlet has its oil, in file order.
    pub outlets: Vec<(PartName, Status)>,
    /// Between which levels the cavity of each tap and pressure switch is, the easiest to reach
    /// first.
    pub gauges: Vec<(PartName, Access, Span)>,
}

impl Sweeper<'_> {
    /// What every outlet and every gauge has in the sound circuit, in each state asked about.
    #[must_use]
    pub fn sound(&self) -> Vec<SweepSound> {
        let circuit = self.net.circuit();
        let states = self.sound.states.iter();
        let states = states.map(|state| {
            let has = judged(state, &state.stage, &state.settled, |_| false).outlets;
            let has = |outlet: &NetOutlet| {
                let mut told = has.iter().filter(|o| o.outlet == outlet.name);
                told.next().map_or(Status::Unsure, |o| o.sound)
            };
            let driven = state.id.and_then(|id| circuit.states.get(id));
            let applies = driven.map(|state| &state.applies[..]).unwrap_or_default();
            let applies = applies.iter();
            SweepSound {
                state: state.id.map(str::to_owned),
                applies: applies
                    .filter_map(|text| circuit.find(text, &[Kind::Outlet]).ok())
                    .collect(),
                outlets: on::outlets(self.net)
                    .map(|outlet| (outlet.name.clone(), has(outlet)))
                    .collect(),
                gauges: self
                    .gauges
                    .iter()
                    .map(|gauge| {
                        (
                            gauge.name.clone(),
                            gauge.access,
                            span(&state.settled, gauge.at),
                        )
                    })
                    .collect(),
            }
        });
        states.collect()
    }
}
