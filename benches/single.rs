//! Every single fault of large layered circuits with valves, in one state: what the `sweep`
//! command does, verdicts and all, on one thread.
//!
//! `cargo bench --bench single` (some minutes; add `-- 10000` for one size).

#[path = "../tests/support/layered.rs"]
mod layered;

use std::collections::HashSet;
use std::hint::black_box;
use std::time::Instant;

use layered::Ways;
use oilpath::answer::{Scenarios, Sweeper};
use oilpath::circuit::Circuit;
use oilpath::net::Net;

/// Parts, and the seconds that are aimed at.
const GOALS: [(usize, f64); 2] = [(10_000, 2.0), (100_000, 90.0)];

/// Parts that something can be wrong with to each cavity of a layered circuit, passages included.
const PARTS_A_CAVITY: f64 = 2.49;

fn main() {
    let asked = std::env::args().skip(1).find_map(|arg| arg.parse().ok());
    for (parts, goal) in GOALS {
        if asked.is_none_or(|asked: usize| asked == parts) {
            sweep(parts, goal);
        }
    }
}

fn sweep(parts: usize, goal: f64) {
    let cavities = (parts as f64 / PARTS_A_CAVITY) as usize;
    let circuit = layered::with_valves(cavities, Ways::Tight, 7);
    let net = Net::new(&circuit).expect("it is sound");
    let start = Instant::now();
    let sweeper = Sweeper::new(&net, Scenarios::alone(&circuit, |_| true), &[]);
    let count = sweeper.scenarios().count();
    let (mut harmless, mut next) = (0, 0);
    one_thread(|| {
        // As the command does: some at once, told and forgotten.
        while next < count {
            let upto = count.min(next + Sweeper::AT_ONCE);
            let records = black_box(sweeper.records(next..upto));
            harmless += records.iter().filter(|r| r.is_harmless()).count();
            next = upto;
        }
    });
    let seconds = start.elapsed().as_secs_f64();
    println!(
        "{} parts, {count} faults ({harmless} harmless): {seconds:.1} s (goal {goal} s)",
        faulty_parts(&circuit)
    );
}

#[cfg(feature = "parallel")]
fn one_thread(run: impl FnOnce() + Send) {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build();
    pool.expect("one thread can be had").install(run);
}

#[cfg(not(feature = "parallel"))]
fn one_thread(run: impl FnOnce()) {
    run();
}

/// How many parts something can be wrong with.
fn faulty_parts(circuit: &Circuit) -> usize {
    let faults = circuit.faults();
    let parts: HashSet<_> = faults.iter().map(|fault| &fault.part).collect();
    parts.len()
}
