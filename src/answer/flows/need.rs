//! What an outlet needs in a state, and whether it has that.

use super::Gets;
use crate::circuit::{Kind, Needs, State};
use crate::net::{Net, NetOutlet};

/// What an outlet needs in a state.
#[derive(Clone, Copy, Debug)]
pub(super) struct Need {
    by_pressure: bool,
    /// Whether the state should apply it.
    pub should_apply: bool,
    /// The pressure it needs, in Pa, where it works by pressure and that is known.
    pub pa: Option<f64>,
    /// The flow it needs, in m³/s, where it works by flow and that is known.
    pub m3_per_s: Option<f64>,
}

impl Need {
    pub fn of(net: &Net<'_>, outlet: &NetOutlet, state: &State) -> Need {
        let circuit = net.circuit();
        let mut applies = state.applies.iter();
        let should_apply = applies.any(|text| {
            let found = circuit.find(text, &[Kind::Outlet]);
            found.is_ok_and(|name| name == outlet.name)
        });
        let id = outlet.name.id.as_str();
        let through = match outlet.name.kind {
            Kind::Filter => circuit.filters.get(id),
            Kind::Converter => circuit.converters.get(id),
            Kind::Cooler => circuit.coolers.get(id),
            _ => None,
        };
        let own = circuit.outlets.get(id).filter(|_| through.is_none());
        let (pa, m3_per_s) = match own.and_then(|o| o.needs) {
            Some(Needs::Pressure(pressure)) => (Some(pressure.pa()), None),
            Some(Needs::Flow(flow)) => (None, Some(flow.m3_per_s())),
            None => (None, through.and_then(|t| t.needs).map(|f| f.m3_per_s())),
        };
        Need {
            by_pressure: outlet.by_pressure,
            should_apply,
            pa: pa.filter(|_| outlet.by_pressure),
            m3_per_s: m3_per_s.filter(|_| !outlet.by_pressure),
        }
    }

    /// Whether it is known and should be met in the state.
    pub fn counts(&self) -> bool {
        match self.by_pressure {
            true => self.should_apply && self.pa.is_some(),
            false => self.m3_per_s.is_some(),
        }
    }

    /// Whether an outlet that gets this has it; none where it does not count, where nothing sets
    /// the pressure, or where that depends on how valves stand.
    pub fn met(&self, gets: &Gets) -> Option<bool> {
        let (need, range) = match self.by_pressure {
            true => (self.pa.filter(|_| self.should_apply)?, gets.pressure_pa?),
            false => (self.m3_per_s?, gets.flow_m3_per_s?),
        };
        match (range.least >= need, range.most >= need) {
            (true, _) => Some(true),
            (_, false) => Some(false),
            _ => None,
        }
    }
}
