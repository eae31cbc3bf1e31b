//! Generated networks: how many are solved, and what holds of their answers.

use std::collections::BTreeMap;

use oilpath::flow::law::Stand;
use oilpath::flow::{Flows, Node, Way};
use proptest::prelude::*;

use crate::recipe::{Dice, Piece, Recipe};

/// What must hold of every answer; every cavity here has a leak at least.
fn check(recipe: &Recipe, nodes: &[Node], ways: &[Way], flows: &Flows) {
    assert!(flows.trapped.is_empty());
    let pressure = |node: usize| flows.pressure(nodes[node]).expect("not trapped");
    let most = ways.iter().map(|way| flows.flow(*way).abs());
    let most = most.fold(0.0, f64::max);
    // What networks promise, and rounding of the largest flow.
    let close = 1e-12 + 1e-13 * most;
    let mut supplied = 0.0;
    for (node, fixed) in nodes.iter().zip(&recipe.nodes) {
        supplied += flows.supply(*node);
        assert!(fixed.is_some() || flows.supply(*node).abs() < close);
    }
    assert!(supplied.abs() < close * nodes.len() as f64);
    for ((from, to, piece), way) in recipe.ways.iter().zip(ways) {
        let drop = pressure(*from) - pressure(*to);
        let flow = flows.flow(*way);
        // Only pumps put work in.
        assert!(piece.is_pump() || flow * drop >= 0.0, "{flow} at {drop}");
        if let Piece::Ball(_) | Piece::Relief(_) = piece {
            let lifted = flows.stand(*way) == Some(Stand::Lifted);
            assert!(lifted || flow.abs() <= 1e-15 * drop.abs());
        }
    }
}

/// Every one whose balance is the gradient of a content, and 99 of a hundred of the others.
#[test]
fn a_thousand_generated_networks_are_solved() {
    for (regulators, least) in [(false, 500), (true, 495)] {
        let (mut solved, mut steps) = (0, Vec::new());
        for seed in 0..500 {
            let recipe = Recipe::new(&mut Dice::new(seed), regulators);
            let (network, nodes, ways) = recipe.build(None);
            let flows = network.solve();
            if flows.converged {
                check(&recipe, &nodes, &ways, &flows);
                solved += 1;
            } else {
                let out = flows.imbalance;
                println!("seed {seed}: {} nodes, {out:e} m³/s out", nodes.len());
            }
            steps.push(flows.steps);
        }
        steps.sort_unstable();
        println!(
            "regulators: {regulators}: {solved} of 500 solved, steps {} (median), {} (most)",
            steps[250], steps[499]
        );
        assert!(solved >= least);
    }
}

/// The most that any cavity differs by between two answers, in Pa.
fn apart(one: (&Flows, &[Node]), other: (&Flows, &[Node])) -> f64 {
    let pairs = one.1.iter().zip(other.1);
    let differences = pairs.map(|(a, b)| {
        let pressures = one.0.pressure(*a).zip(other.0.pressure(*b));
        pressures.map_or(f64::INFINITY, |(a, b)| (a - b).abs())
    });
    differences.fold(0.0, f64::max)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    /// In whatever order a network is drawn and from whatever pressures its solution begins, it has
    /// the same answer: to a hundredth of a pascal, since where a ball just touches its seat slope and
    /// flow vanish together and each step but halves what is left.
    #[test]
    fn order_and_start_do_not_matter(seed in any::<u64>(), regulators in any::<bool>()) {
        let mut dice = Dice::new(seed);
        let recipe = Recipe::new(&mut dice, regulators);
        let (network, nodes, _) = recipe.build(None);
        let flows = network.solve();
        let (shuffled, others, _) = recipe.build(Some(&mut dice));
        let again = shuffled.solve();
        let start: BTreeMap<Node, f64> =
            nodes.iter().map(|node| (*node, dice.between(-1e5, 25e5))).collect();
        let elsewhere = network.solve_from(|node| start[&node]);
        // A regulator may leave any of them unsolved, and says so.
        prop_assert!(regulators || flows.converged && again.converged && elsewhere.converged);
        if flows.converged && again.converged {
            prop_assert!(apart((&flows, &nodes), (&again, &others)) < 1e-2);
        }
        if flows.converged && elsewhere.converged {
            prop_assert!(apart((&flows, &nodes), (&elsewhere, &nodes)) < 1e-2);
        }
    }
}
