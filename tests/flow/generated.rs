//! Generated networks: how many are solved, and what holds of their answers.

use oilpath::flow::{Flows, Node, Way};

use crate::recipe::{Dice, Recipe};

#[test]
fn probe() {
    for regulators in [false, true] {
        let (mut lost, mut steps, mut most) = (vec![], 0, 0);
        let t = std::time::Instant::now();
        for seed in 0..4000u64 {
            let recipe = Recipe::new(&mut Dice::new(seed), regulators);
            let (network, _, _) = recipe.build(None);
            let flows = network.solve();
            if !flows.converged {
                lost.push((seed, recipe.nodes.len(), flows.imbalance));
            }
            steps += flows.steps;
            most = most.max(flows.steps);
        }
        println!(
            "regulators {regulators}: lost {} mean {} most {most} {:?}",
            lost.len(),
            steps as f64 / 4000.0,
            t.elapsed()
        );
        println!("{:?}", lost);
    }
}
