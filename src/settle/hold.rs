//! Where the valves of a sound circuit stand in a state.

use super::{Balance, Value, balance};
use crate::circuit::{Fault, Kind, PartName, State, Truth, Valve};
use crate::net::{Held, Net, Scene};

/// Valve positions of the sound circuit in a state, started cold: all cavities drained, valves
/// at rest, then every valve moves at once as its rule and the pressures say, round by round,
/// until nothing changes.
///
/// What the state holds by hand stays there. A valve whose rule cannot be decided, or that is
/// still moving after every valve has had its turns, has no known position.
#[must_use]
pub fn hold(net: &Net<'_>, state: &State) -> Held {
    let circuit = net.circuit();
    let mut held = Held::driven(net, state);
    let mut values = vec![Value::Drained; net.cavity_count()];
    held.valves = positions(net, state, &held.solenoids, &values);
    let rounds = 2 * circuit.valves.len() + 2;
    for _ in 0..rounds {
        values = balance(&Scene::new(net, &held, &[]), Some(&values))
            .values()
            .to_vec();
        let next = positions(net, state, &held.solenoids, &values);
        if next == held.valves {
            return held;
        }
        held.valves = next;
    }
    let values = balance(&Scene::new(net, &held, &[]), Some(&values));
    let last = positions(net, state, &held.solenoids, values.values());
    for (valve, last) in held.valves.iter_mut().zip(last) {
        if *valve != last {
            *valve = None;
        }
    }
    held
}

/// Valves that stand elsewhere than these pressures would put them, or that may; valves stuck by
/// a fault move for nothing.
#[must_use]
pub fn moved(
    net: &Net<'_>,
    state: &State,
    held: &Held,
    pressures: &Balance,
    faults: &[Fault],
) -> Vec<PartName> {
    let goes = positions(net, state, &held.solenoids, pressures.values());
    let valves = net
        .circuit()
        .valves
        .keys()
        .zip(held.valves.iter().zip(goes));
    valves
        .filter(|(_, (stands, goes))| *stands != goes)
        .map(|(id, _)| PartName::new(Kind::Valve, id))
        .filter(|valve| {
            !faults
                .iter()
                .any(|f| f.part == *valve && f.condition.sticks())
        })
        .collect()
}

/// Where each valve goes, given the pressures.
fn positions(
    net: &Net<'_>,
    state: &State,
    solenoids: &[Truth],
    values: &[Value],
) -> Vec<Option<u32>> {
    let circuit = net.circuit();
    let mut known = |name: &str| {
        if let Some(detent) = name.strip_prefix("lever.") {
            return match &state.lever {
                Some(lever) => (lever == detent).into(),
                None => Truth::Unknown,
            };
        }
        let kinds = &[Kind::Passage, Kind::Solenoid, Kind::Input];
        match circuit.find(name, kinds) {
            Ok(part) if part.kind == Kind::Solenoid => circuit
                .solenoids
                .get_index_of(&part.id)
                .map_or(Truth::Unknown, |s| solenoids[s]),
            Ok(part) if part.kind == Kind::Input => {
                let holds = |on: &String| {
                    let named = circuit.find(on, &[Kind::Solenoid, Kind::Input]);
                    named.is_ok_and(|n| n == part)
                };
                state.on.iter().any(holds).into()
            }
            _ => match net.cavity(name).map(|c| values[c.at()]) {
                Some(Value::Fed) => Truth::True,
                Some(Value::Drained) => Truth::False,
                _ => Truth::Unknown,
            },
        }
    };
    let by_hand = |id: &str| {
        state.valves.iter().find_map(|(valve, position)| {
            let name = circuit.find(valve, &[Kind::Valve]).ok()?;
            (name.id == id).then_some(position)
        })
    };
    circuit
        .valves
        .iter()
        .map(|(id, valve)| {
            let position = match by_hand(id) {
                Some(position) => valve.positions.get_index_of(position),
                None => stands(valve, &mut known),
            };
            position.map(|p| p as u32)
        })
        .collect()
}

/// The position whose rule surely holds; the resting one if surely none does.
fn stands(valve: &Valve, known: &mut dyn FnMut(&str) -> Truth) -> Option<usize> {
    let truths: Vec<Truth> = valve
        .positions
        .values()
        .map(|p| p.when.as_ref().map_or(Truth::False, |r| r.truth(known)))
        .collect();
    match truths.iter().position(|t| *t == Truth::True) {
        Some(position) => Some(position),
        None if truths.contains(&Truth::Unknown) => None,
        None => valve.positions.values().position(|p| p.otherwise),
    }
}
