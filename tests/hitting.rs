//! Hitting sets against brute force, and against diagnoses and a fault tree.

#[path = "support/reference.rs"]
mod reference;

use std::collections::BTreeSet as Set;

use oilpath::reach::hitting_sets;
use proptest::prelude::*;
use reference::{lists, members, minimal, state_chance, subsets, table, words};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn hitting_sets_are_the_minimal_subsets_that_hit(
        sets in prop::collection::vec(prop::collection::vec(0usize..8, 1..5), 0..7),
        most in 0usize..6,
    ) {
        let hits = |set: &Set<usize>| sets.iter().all(|s| s.iter().any(|m| set.contains(m)));
        let all: Vec<usize> = (0..8).collect();
        let expected = minimal(subsets(8).map(|b| members(&all, b).collect()).filter(hits));
        let (small, large): (Vec<_>, Vec<_>) = expected.into_iter().partition(|s| s.len() <= most);
        prop_assert_eq!(hitting_sets(&sets, most), (small, !large.is_empty()));
    }

    #[test]
    fn hitting_sets_of_hitting_sets_are_the_minimal_sets(
        sets in prop::collection::vec(prop::collection::vec(0usize..12, 1..6), 1..9),
    ) {
        let (hitting, more) = hitting_sets(&sets, 12);
        prop_assert!(!more);
        let (back, more) = hitting_sets(&hitting, 12);
        prop_assert!(!more);
        prop_assert_eq!(back, minimal(sets.into_iter().map(Set::from_iter)));
    }
}

#[test]
fn the_ends_of_hitting() {
    let none: [Vec<u32>; 0] = [];
    assert_eq!(hitting_sets(&none, 0), (vec![vec![]], false));
    assert_eq!(hitting_sets(&[vec![1], vec![]], 3), (vec![], false));
    let apart: Vec<Vec<u32>> = (0..50).map(|i| vec![i, i + 100]).collect();
    assert_eq!(hitting_sets(&apart, 3), (vec![], true));
}

/// Sources: `03a_three_multiplier_two_adder.toml` (published: B. C. Williams, lecture slides,
/// after J. de Kleer and B. C. Williams 1987; full list from memory) and `03b_full_adder.toml`
/// (R. Reiter 1987, from memory); both confirmed there by enumeration.
#[test]
fn diagnoses_are_the_hitting_sets_of_conflicts() {
    for name in ["03a_three_multiplier_two_adder", "03b_full_adder"] {
        let file = table(name);
        let (diagnoses, more) = hitting_sets(&lists(&file["minimal_conflicts"]), 5);
        assert_eq!(diagnoses, lists(&file["minimal_diagnoses"]), "{name}");
        assert!(!more);
    }
}

/// The sets of basic events without which the top of a fault tree stays away (success paths).
fn success_paths(gates: &toml::Table, event: &str) -> Vec<Set<String>> {
    let Some(gate) = gates.get(event) else {
        return vec![Set::from([event.to_owned()])];
    };
    let inputs = words(&gate["inputs"]).into_iter();
    let inputs = inputs.map(|input| success_paths(gates, &input));
    match gate["kind"].as_str().unwrap() {
        "and" => inputs.flatten().collect(),
        "or" => inputs.fold(vec![Set::new()], |paths, input| {
            let joined = paths.iter().flat_map(|p| input.iter().map(move |q| p | q));
            joined.collect()
        }),
        other => panic!("{other}"),
    }
}

fn happens(gates: &toml::Table, event: &str, on: &Set<String>) -> bool {
    let Some(gate) = gates.get(event) else {
        return on.contains(event);
    };
    let mut inputs = words(&gate["inputs"])
        .into_iter()
        .map(|i| happens(gates, &i, on));
    match gate["kind"].as_str().unwrap() {
        "and" => inputs.all(|i| i),
        _ => inputs.any(|i| i),
    }
}

/// Source: `02a_fault_tree_pressure_tank.toml`, a reduced tree of NUREG-0492 from memory, its
/// probabilities from memory and unverified; confirmed there by enumeration of 64 states.
#[test]
fn cut_sets_of_the_pressure_tank() {
    let file = table("02a_fault_tree_pressure_tank");
    let gates = file["gates"].as_table().unwrap();
    let top = file["top"].as_str().unwrap();
    let paths = minimal(success_paths(gates, top));
    let (cuts, _) = hitting_sets(&paths, 6);
    assert_eq!(cuts, lists(&file["minimal_cut_sets"]));
    assert_eq!(hitting_sets(&cuts, 6), (paths, false));

    let chance = file["probability"].as_table().unwrap();
    let events: Vec<String> = chance.keys().cloned().collect();
    let probability: f64 = subsets(events.len())
        .map(|bits| members(&events, bits).collect::<Set<_>>())
        .filter(|on| {
            let top_happens = happens(gates, top, on);
            let cut = |c: &Vec<String>| c.iter().all(|e| on.contains(e));
            assert_eq!(cuts.iter().any(cut), top_happens);
            top_happens
        })
        .map(|on| state_chance(&events, &on, |e| chance[e].as_float().unwrap()))
        .sum();
    let exact = file["top_probability_exact"].as_float().unwrap();
    assert!((probability / exact - 1.0).abs() < 1e-12, "{probability}");
}
