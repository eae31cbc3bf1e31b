//! Files with slips and small circuits by the million: each read twice and asked about twice, with a
//! panic where two answers differ; and how long the slowest took, and how
//! much processor time the hardest.
//!
//! `cargo bench --bench fuzz` (a short run); `cargo bench --bench fuzz -- 1000000 100000` for so many
//! files and so many circuits, `-- 1000000 100000 7` from another seed.

#[path = "../tests/support/layered.rs"]
mod layered;
#[path = "../tests/support/mutate.rs"]
mod mutate;
#[path = "../tests/support/mod.rs"]
mod support;
#[path = "../tests/support/worked.rs"]
mod worked;

use std::time::Instant;

use layered::Dice;
use mutate::Tally;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngSeed, TestRunner};

fn main() {
    let mut asked = std::env::args().skip(1).filter_map(|arg| arg.parse().ok());
    let files: usize = asked.next().unwrap_or(20_000);
    let circuits: usize = asked.next().unwrap_or(500);
    let seed: u64 = asked.next().unwrap_or(1).try_into().unwrap_or(1);
    let start = Instant::now();
    let tally = read(files, seed);
    say("files with slips", &tally, start);
    let start = Instant::now();
    let tally = ask(circuits, seed);
    say("circuits asked about", &tally, start);
}

fn read(count: usize, seed: u64) -> Tally {
    let mut dice = Dice::new(seed);
    let mut tally = Tally::default();
    let paths = support::files::circuit_files("circuits");
    let texts = paths
        .iter()
        .map(|path| std::fs::read_to_string(path).expect("it is there"));
    let texts: Vec<String> = texts.collect();
    for _ in 0..count {
        // Short files have their slips in more telling places.
        let size = |text: &String| text.len();
        let a = &texts[dice.below(texts.len())];
        let b = &texts[dice.below(texts.len())];
        let text = if size(a) < size(b) { a } else { b };
        mutate::read(&mutate::slip(text, &mut dice), &mut tally);
    }
    tally
}

fn ask(count: usize, seed: u64) -> Tally {
    let mut dice = Dice::new(seed);
    let mut tally = Tally::default();
    let mut runner = TestRunner::new(Config {
        rng_seed: RngSeed::Fixed(seed),
        ..Config::default()
    });
    let strategy = support::moving::moving(9);
    while tally.inputs < count {
        let drawn = strategy.new_tree(&mut runner).expect("a circuit").current();
        if let Some(circuit) = mutate::read(&drawn.text(), &mut Tally::default()) {
            mutate::ask(&circuit, &mut dice, &mut tally);
        }
    }
    tally
}

fn say(what: &str, tally: &Tally, start: Instant) {
    println!(
        "{} {what}, {} of them sound; the slowest took {:.1?}, the hardest {:.1?} of processor time; all in {:.1?}",
        tally.inputs,
        tally.sound,
        tally.slowest,
        tally.hardest,
        start.elapsed()
    );
}
