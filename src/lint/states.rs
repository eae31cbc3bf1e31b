//! Suspicions about what the states of a circuit do.

use std::collections::HashSet;

use super::{Doubt, Warning};
use crate::circuit::{Kind, Level, PartName, Place, State};
use crate::net::{Net, Stage, User};
use crate::settle::{Status, Value, settle, shut_beyond};

pub(super) fn lint(net: &Net<'_>) -> Vec<Warning> {
    let circuit = net.circuit();
    let mut found = Vec::new();
    let mut fed = HashSet::new();
    let mut used = HashSet::new();
    let nameless = Default::default();
    let states = circuit.states.iter().map(|(id, s)| (Some(id), s));
    let default = circuit.states.is_empty().then_some((None, &nameless));
    for (id, state) in states.chain(default) {
        let stage = Stage::new(net, state, &[]);
        let settled = settle(&stage);
        let oil = &settled.ends[0].pressures;
        let scene = stage.scene(settled.held(), Level::Low);
        for (i, valve) in circuit.valves.keys().enumerate() {
            let positions = settled.positions(i);
            used.extend(positions.iter().flatten().map(|p| (valve, *p as usize)));
            let only = match positions[..] {
                [position] => position,
                _ => None,
            };
            match (only, id) {
                (Some(_), _) => {}
                (None, Some(id)) => {
                    let at = Place::of(PartName::new(Kind::State, id));
                    let (valve, state) = (valve.clone(), id.clone());
                    found.push(Warning {
                        at,
                        what: Doubt::UndecidedValve { valve, state },
                    });
                }
                (None, None) => {}
            }
        }
        for (i, (regulator, at)) in boosts(net, state).into_iter().enumerate() {
            if let (Some(id), false) = (id, settled.held().boosted[at]) {
                found.push(Warning {
                    at: Place::of(PartName::new(Kind::State, id))
                        .then("boosts")
                        .then(i),
                    what: Doubt::NotBoosted {
                        state: id.clone(),
                        regulator,
                    },
                });
            }
        }
        for outlet in net.outlets() {
            let on = oil.status(outlet.user, outlet.by_pressure) == Status::On;
            // Oil that passes through on its way to the sump leaves little pressure.
            let passed = match outlet.user {
                User::Through { inlet, way } => shut_beyond(&scene, way, oil)
                    .is_some_and(|(_, weighed)| weighed.value(inlet) == Value::Fed),
                _ => false,
            };
            if on || passed {
                fed.insert(&outlet.name);
            }
            let Some(id) = id else { continue };
            // A state that lists nothing says nothing of what should be applied.
            if !outlet.by_pressure || state.applies.is_empty() {
                continue;
            }
            let listed = state.applies.iter().position(|text| {
                let named = circuit.find(text, &[Kind::Outlet]);
                named.is_ok_and(|named| named == outlet.name)
            });
            let at = Place::of(PartName::new(Kind::State, id));
            let (state, outlet) = (id.clone(), outlet.name.id.clone());
            match (listed, on) {
                (Some(i), false) => found.push(Warning {
                    at: at.then("applies").then(i),
                    what: Doubt::NotApplied { state, outlet },
                }),
                (None, true) => found.push(Warning {
                    at,
                    what: Doubt::AppliedUnasked { state, outlet },
                }),
                _ => {}
            }
        }
    }
    for outlet in net.outlets() {
        let suction =
            matches!(outlet.user, User::Through { inlet, .. } if net.draws_through(inlet));
        if !fed.contains(&outlet.name) && !suction {
            found.push(Warning {
                at: Place::of(outlet.name.clone()),
                what: Doubt::UnfedOutlet {
                    kind: outlet.name.kind.word(),
                    outlet: outlet.name.id.clone(),
                },
            });
        }
    }
    for (id, body) in &circuit.valves {
        for (position, name) in body.positions.keys().enumerate() {
            if !circuit.states.is_empty() && !used.contains(&(id, position)) {
                found.push(Warning {
                    at: Place::of(PartName::new(Kind::Valve, id)).then(name.as_str()),
                    what: Doubt::UnusedPosition {
                        valve: id.clone(),
                        position: name.clone(),
                    },
                });
            }
        }
    }
    found
}

/// The regulators a state says it boosts, each with its number.
fn boosts(net: &Net<'_>, state: &State) -> Vec<(String, usize)> {
    let circuit = net.circuit();
    let listed = state.boosts.iter();
    listed
        .filter_map(|text| {
            let id = circuit.find(text, &[Kind::Regulator]).ok()?.id;
            let at = circuit.regulators.get_index_of(&id)?;
            Some((id, at))
        })
        .collect()
}
