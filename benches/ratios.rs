//! The table of ratios in DEVELOPERS.md: each side timed in the same run, as a median.
//!
//! `cargo bench --bench ratios` takes a minute; the largest size alone needs about 4 GB.

#[path = "../tests/support/layered.rs"]
mod layered;

use std::hint::black_box;
use std::time::Instant;

use layered::Ways;
use oilpath::circuit::{Circuit, Fault, Level, State};
use oilpath::net::{Held, LANES, Net, PackedFaults, PackedStage, Scene, Stage};
use oilpath::{reach, settle, sheet};
use petgraph::algo::dominators;
use petgraph::graph::DiGraph;
use petgraph::visit::Bfs;

const SIZES: [usize; 4] = [1_000, 10_000, 100_000, 1_000_000];

fn main() {
    let mut rows: Vec<(String, Vec<f64>)> = Vec::new();
    let mut put = |name: &str, value: f64| match rows.iter_mut().find(|(n, _)| n == name) {
        Some((_, values)) => values.push(value),
        None => rows.push((name.to_owned(), vec![value])),
    };
    for size in SIZES {
        directed(size, &mut put);
        mixed(size, &mut put);
        settling(size, &mut put);
    }
    println!("| | 10³ | 10⁴ | 10⁵ | 10⁶ |\n|---|---|---|---|---|");
    for (name, values) in rows {
        let values: Vec<String> = values.iter().map(|v| short(*v)).collect();
        println!("| {name} | {} |", values.join(" | "));
    }
    println!();
    for parts in [300, 10_000] {
        // 1.47 ways and 0.05 outlets a cavity: so many cavities make so many parts.
        let circuit = layered::circuit(parts * 100 / 255, Ways::Mixed, 7);
        let text = sheet::write(&circuit);
        let read = median(|| sheet::read(black_box(&text)));
        let count = circuit.parts().count();
        println!(
            "Reading a sheet of {count} parts ({} kB): {} ms.",
            text.len() / 1000,
            short(read * 1e3)
        );
    }
}

/// Reach and single failures, on check balls alone.
fn directed(size: usize, put: &mut impl FnMut(&str, f64)) {
    let circuit = layered::circuit(size, Ways::Balls, 7);
    let net = Net::new(&circuit).expect("it is sound");
    let stage = Stage::new(&net, &State::default(), &[]);
    let held = Held::unknown(&net);
    let scene = stage.scene(&held, Level::Low);
    let bfs = median(|| reach::supplied(black_box(&scene)));
    put("own BFS, µs", bfs * 1e6);
    let rival = rival(&scene);
    let other = median(|| {
        let mut search = Bfs::new(black_box(&rival), 1.into());
        std::iter::from_fn(|| search.next(&rival)).count()
    });
    put(
        "1. own BFS ÷ petgraph `Bfs` (goal 0.9 at 10⁵, 0.6 at 10⁶)",
        bfs / other,
    );
    let outlets: Vec<_> = net.outlets().iter().map(|o| o.user.feed()).collect();
    let one_pass =
        median(|| reach::Dominators::of_pressure(black_box(&scene)).lost_with(black_box(&outlets)));
    put("2. all single failures ÷ own BFS (goal 7)", one_pass / bfs);
    let other = median(|| dominators::simple_fast(black_box(&rival), 1.into()));
    put(
        "2. all single failures ÷ petgraph `simple_fast` (goal 0.2)",
        one_pass / other,
    );
    let faults = scenarios(&net);
    let count = faults.len() as f64;
    let packed = median(|| {
        let packed = PackedFaults::new(&net, black_box(&faults));
        let packed = PackedStage::new(&stage, &packed);
        reach::supplied_packed(&packed.scene(&packed.fix(&held), Level::Low, packed.all()))
    }) / count;
    put(
        "3. own BFS ÷ packed reach, a scenario (goal 150 from 10⁴)",
        bfs / packed,
    );
}

/// Balance, on ways of every kind.
fn mixed(size: usize, put: &mut impl FnMut(&str, f64)) {
    let circuit = layered::circuit(size, Ways::Mixed, 7);
    let net = Net::new(&circuit).expect("it is sound");
    let stage = Stage::new(&net, &State::default(), &[]);
    let held = Held::unknown(&net);
    let scene = stage.scene(&held, Level::Low);
    let bfs = median(|| reach::supplied(black_box(&scene)));
    let one = median(|| settle::balance(black_box(&scene), None));
    let faults = scenarios(&net);
    let count = faults.len() as f64;
    let packed = median(|| {
        let packed = PackedFaults::new(&net, black_box(&faults));
        let packed = PackedStage::new(&stage, &packed);
        let pack = packed.scene(&packed.fix(&held), Level::Low, packed.all());
        settle::balance_packed(&pack, None)
    }) / count;
    put(
        "3. balance ÷ packed balance, a scenario (goal 60)",
        one / packed,
    );
    put(
        "5. balance ÷ own BFS (goal 20 below 10⁴, 12 from there)",
        one / bfs,
    );
}

/// Settling from cold, valves moving: what a round costs, orders tried included.
fn settling(size: usize, put: &mut impl FnMut(&str, f64)) {
    let circuit = layered::with_valves(size, layered::Ways::Mixed, 7);
    let net = Net::new(&circuit).expect("it is sound");
    let stage = Stage::new(&net, &State::default(), &[]);
    let settled = settle::settle(&stage);
    let scene = stage.scene(settled.held(), Level::Low);
    let bfs = median(|| reach::supplied(black_box(&scene)));
    let whole = median(|| settle::settle(black_box(&stage)));
    put("5. settling, rounds", settled.rounds as f64);
    put(
        "5. settling ÷ own BFS, a round (goal 20 below 10⁴, 12 from there)",
        whole / bfs / settled.rounds as f64,
    );
}

/// Seconds: the median of as many runs as fit into a third of a second, three at least.
fn median<T>(mut run: impl FnMut() -> T) -> f64 {
    black_box(run());
    let begin = Instant::now();
    let mut times = Vec::new();
    while times.len() < 3 || (begin.elapsed().as_secs_f64() < 0.35 && times.len() < 2_000) {
        let start = Instant::now();
        black_box(run());
        times.push(start.elapsed().as_secs_f64());
    }
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn short(value: f64) -> String {
    match value {
        v if v >= 100.0 => format!("{v:.0}"),
        v if v >= 10.0 => format!("{v:.1}"),
        v => format!("{v:.2}"),
    }
}

/// The directed graph of a scene as petgraph would hold it.
fn rival(scene: &Scene<'_>) -> DiGraph<(), ()> {
    let cavities = scene.net().cavities();
    let edges = cavities.flat_map(|from| {
        let links = scene.onward(from);
        links.map(move |link| (from.number() as u32, link.to.number() as u32))
    });
    DiGraph::from_edges(edges)
}

/// As many sets of faults as go into one pass: one plugged cavity each.
fn scenarios(net: &Net<'_>) -> Vec<Vec<Fault>> {
    let circuit: &Circuit = net.circuit();
    let step = (circuit.passages.len() / LANES).max(1);
    let ids = circuit.passages.keys().skip(1).step_by(step).take(LANES);
    let faults = ids.map(|id| circuit.fault(&format!("{id}:plugged")).expect("it can be"));
    faults.map(|fault| vec![fault]).collect()
}
