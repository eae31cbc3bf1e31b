//! Many scenes in one pass give what each gives alone.

mod support;

use std::path::Path;

use oilpath::circuit::{Circuit, Fault, Level, State};
use oilpath::net::{LANES, Net, Pack, Stage};
use oilpath::reach;
use oilpath::settle::{balance, balance_packed, settle};
use oilpath::sheet;
use proptest::prelude::*;
use support::{net, sketches};

/// Compares packed and single in one state; says how many lanes were compared.
fn compare(net: &Net<'_>, state: &State, level: Level, faults: &[Vec<Fault>]) -> usize {
    let stage = Stage::new(net, state, &[]);
    let held = settle(&stage).held().clone();
    let mut compared = 0;
    for faults in faults.chunks(LANES) {
        let pack = Pack::new(&stage, &held, level, faults);
        let (fed, oil) = (reach::supplied_packed(&pack), balance_packed(&pack));
        for (lane, faults) in faults.iter().enumerate() {
            let own = stage.with(faults);
            let scene = own.scene(&own.fix(held.clone()), level);
            let alone = reach::supplied(&scene);
            let single = balance(&scene, None);
            // Contested scenes are balanced alone too; those with a way in doubt always are.
            assert!(
                scene.is_certain() || oil.unsure().contains(lane),
                "{faults:?}"
            );
            for cavity in net.cavities() {
                let name = net.name(cavity);
                let packed = fed[cavity.number()].contains(lane);
                assert_eq!(packed, reach::has(&alone, cavity), "{name} {faults:?}");
                if let Some(value) = oil.value(lane, cavity) {
                    assert_eq!(value, single.value(cavity), "{name} {faults:?}");
                    compared += 1;
                }
            }
        }
    }
    compared
}

fn singles(circuit: &Circuit) -> Vec<Vec<Fault>> {
    circuit.faults().into_iter().map(|f| vec![f]).collect()
}

#[test]
fn every_single_fault_of_the_tractor_in_every_state() {
    let circuit = sheet::open(Path::new("circuits/tractor-powershift.toml"))
        .unwrap()
        .circuit;
    let net = net(&circuit);
    let faults = singles(&circuit);
    assert!(faults.len() > 250, "{}", faults.len());
    for state in circuit.states.values() {
        assert!(compare(&net, state, Level::Low, &faults) >= faults.len() * 36);
    }
}

#[test]
fn pairs_of_faults_of_the_tractor() {
    let circuit = sheet::open(Path::new("circuits/tractor-powershift.toml"))
        .unwrap()
        .circuit;
    let net = net(&circuit);
    let all = circuit.faults();
    let pairs: Vec<Vec<Fault>> = (0..1500)
        .map(|i| {
            vec![
                all[i * 7 % all.len()].clone(),
                all[i * 31 % all.len()].clone(),
            ]
        })
        .collect();
    assert!(
        compare(
            &net,
            &circuit.states["forward-high-pto"],
            Level::Full,
            &pairs
        ) > 40_000
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn single_and_double_faults_of_sketches(sketch in sketches(9, 2), at in any::<prop::sample::Index>()) {
        let circuit = sketch.circuit(None);
        let net = net(&circuit);
        let state = &circuit.states["s"];
        let mut faults = singles(&circuit);
        let second = faults[at.index(faults.len())][0].clone();
        let pairs: Vec<Vec<Fault>> = faults.iter().map(|f| vec![f[0].clone(), second.clone()]).collect();
        faults.push(Vec::new());
        faults.extend(pairs);
        compare(&net, state, Level::Low, &faults);
    }
}
