//! Nothing that is typed breaks it: some inputs, always the same, of those that
//! `cargo bench --bench fuzz` makes by the million.

mod support;

#[path = "support/layered.rs"]
mod layered;
#[path = "support/mutate.rs"]
mod mutate;
#[path = "support/worked.rs"]
mod worked;

use layered::Dice;
use mutate::Tally;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;

#[test]
fn files_with_slips_are_read_or_refused_and_always_alike() {
    let mut dice = Dice::new(11);
    let mut tally = Tally::default();
    let texts: Vec<String> = files().collect();
    for round in 0..600 {
        let text = mutate::slip(&texts[round % texts.len()], &mut dice);
        if let Some(circuit) = mutate::read(&text, &mut tally)
            && round % 16 == 0
        {
            mutate::ask(&circuit, &mut dice, &mut Tally::default());
        }
    }
    // Slips are small enough that some files stay good, and large enough that most do not.
    assert!((20..400).contains(&tally.sound), "{tally:?}");
}

#[test]
fn circuits_that_move_are_answered_twice_alike() {
    let mut dice = Dice::new(12);
    let mut tally = Tally::default();
    let mut runner = TestRunner::deterministic();
    for _ in 0..60 {
        let drawn = support::moving::moving(9)
            .new_tree(&mut runner)
            .unwrap()
            .current();
        if let Some(circuit) = mutate::read(&drawn.text(), &mut Tally::default()) {
            mutate::ask(&circuit, &mut dice, &mut tally);
        }
    }
    assert!(tally.inputs > 30, "{tally:?}");
}

/// The texts of the small circuits.
fn files() -> impl Iterator<Item = String> {
    let folders = ["circuits/lessons", "circuits/published"];
    let files = folders.into_iter().flat_map(support::files::circuit_files);
    files.map(|path| std::fs::read_to_string(path).unwrap())
}
