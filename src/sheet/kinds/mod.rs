//! The keys of each kind of part: one short definition a kind, and the format is no more
//! than these. The schema of the circuit file is made from them too.

mod body;
mod control;
mod join;
mod outlet;
mod way;

use super::fields::Fields;
use super::shape::Name;
use crate::circuit::{Circuit, Kind};

const CASTING: Name = Name("casting");
const PLATE: Name = Name("plate");
const SWITCHED: Name = Name("solenoid or input");

/// Reads one part into its table.
pub(super) fn part(kind: Kind, id: &str, f: &mut Fields<'_, '_>, circuit: &mut Circuit) {
    let id = id.to_owned();
    match kind {
        Kind::Casting => drop(circuit.castings.insert(id, body::casting(f))),
        Kind::Passage => {
            let listed = circuit.passages.entry(id).or_default();
            let casting = std::mem::take(&mut listed.casting);
            *listed = body::passage(f, casting);
        }
        Kind::Oil => drop(circuit.oils.insert(id, body::oil(f))),
        Kind::Source => drop(circuit.sources.insert(id, control::source(f))),
        Kind::Regulator => drop(circuit.regulators.insert(id, control::regulator(f))),
        Kind::Relief => drop(circuit.reliefs.insert(id, control::relief(f))),
        Kind::Plate => drop(circuit.plates.insert(id, body::plate(f))),
        Kind::Port => drop(circuit.ports.insert(id, way::port(f))),
        Kind::Orifice => drop(circuit.orifices.insert(id, way::orifice(f))),
        Kind::Clearance => drop(circuit.clearances.insert(id, way::clearance(f))),
        Kind::Ball => drop(circuit.balls.insert(id, way::ball(f))),
        Kind::Seal => drop(circuit.seals.insert(id, body::seal(f))),
        Kind::Valve => drop(circuit.valves.insert(id, control::valve(f))),
        Kind::Solenoid => drop(circuit.solenoids.insert(id, control::solenoid(f))),
        Kind::Accumulator => drop(circuit.accumulators.insert(id, control::accumulator(f))),
        Kind::Filter => drop(circuit.filters.insert(
            id,
            way::through(f, "A filter or screen: oil passes through"),
        )),
        Kind::Converter => drop(circuit.converters.insert(
            id,
            way::through(f, "A torque converter or coupling: oil passes through"),
        )),
        Kind::Cooler => drop(
            circuit
                .coolers
                .insert(id, way::through(f, "A cooler: oil passes through")),
        ),
        Kind::Outlet => drop(circuit.outlets.insert(id, outlet::outlet(f))),
        Kind::Tap => drop(circuit.taps.insert(id, outlet::tap(f))),
        Kind::Switch => drop(circuit.switches.insert(id, outlet::switch(f))),
        Kind::Input => drop(circuit.inputs.insert(id, outlet::input(f))),
        Kind::State => drop(circuit.states.insert(id, outlet::state(f))),
    }
}
