//! Reach, single failures and balance on layered circuits of growing size, each beside its rival.
//!
//! `cargo bench --bench scale` (add `-- 100000` for one size). The table of ratios in DEVELOPERS.md is
//! made by `cargo bench --bench ratios`.

#[path = "../tests/support/layered.rs"]
mod layered;

use std::collections::HashMap;
use std::sync::{LazyLock, Mutex};

use divan::Bencher;
use layered::Ways;
use oilpath::circuit::{Circuit, Level, State};
use oilpath::net::{Held, LANES, Net, PackedFaults, PackedStage, Scene, Stage};
use oilpath::{reach, settle};
use petgraph::algo::dominators;
use petgraph::graph::DiGraph;
use petgraph::visit::Bfs;

fn main() {
    divan::main();
}

const SIZES: &[usize] = &[1_000, 10_000, 100_000];

/// Nets live as long as the process: building the largest takes seconds.
fn scene(size: usize, ways: Ways) -> &'static Scene<'static> {
    type Made = HashMap<(usize, bool), &'static Scene<'static>>;
    static MADE: LazyLock<Mutex<Made>> = LazyLock::new(Mutex::default);
    let mut made = MADE.lock().expect("no bench panics with the lock");
    made.entry((size, ways == Ways::Balls)).or_insert_with(|| {
        let circuit: &Circuit = Box::leak(Box::new(layered::circuit(size, ways, 7)));
        let net: &Net<'_> = Box::leak(Box::new(Net::new(circuit).expect("it is sound")));
        let stage = Stage::new(net, &State::default(), &[]);
        Box::leak(Box::new(stage.scene(&Held::unknown(net), Level::Low)))
    })
}

/// The same directed graph as petgraph would hold it.
fn rival(scene: &Scene<'_>) -> DiGraph<(), ()> {
    let cavities = scene.net().cavities();
    let edges = cavities.flat_map(|from| {
        let links = scene.onward(from);
        links.map(move |link| (number(from), number(link.to)))
    });
    DiGraph::from_edges(edges)
}

fn number(cavity: oilpath::net::Cavity) -> u32 {
    cavity.number() as u32
}

#[divan::bench(args = SIZES)]
fn reach_bfs(bencher: Bencher, size: usize) {
    let scene = scene(size, Ways::Balls);
    bencher.bench(|| reach::supplied(divan::black_box(scene)));
}

#[divan::bench(args = SIZES)]
fn reach_bfs_petgraph(bencher: Bencher, size: usize) {
    let graph = rival(scene(size, Ways::Balls));
    bencher.bench(|| {
        let mut search = Bfs::new(divan::black_box(&graph), 1.into());
        let mut count = 0;
        while search.next(&graph).is_some() {
            count += 1;
        }
        count
    });
}

#[divan::bench(args = SIZES)]
fn single_failures(bencher: Bencher, size: usize) {
    let scene = scene(size, Ways::Balls);
    let outlets: Vec<_> = scene
        .net()
        .outlets()
        .iter()
        .map(|o| o.user.feed())
        .collect();
    bencher.bench(|| {
        let tree = reach::Dominators::of_pressure(divan::black_box(scene));
        tree.lost_with(&outlets)
    });
}

#[divan::bench(args = SIZES)]
fn single_failures_petgraph(bencher: Bencher, size: usize) {
    let graph = rival(scene(size, Ways::Balls));
    bencher.bench(|| dominators::simple_fast(divan::black_box(&graph), 1.into()));
}

#[divan::bench(args = SIZES)]
fn balance_one_scene(bencher: Bencher, size: usize) {
    let scene = scene(size, Ways::Mixed);
    bencher.bench(|| settle::balance(divan::black_box(scene), None));
}

#[divan::bench(args = SIZES)]
fn reach_bfs_of_that_scene(bencher: Bencher, size: usize) {
    let scene = scene(size, Ways::Mixed);
    bencher.bench(|| reach::supplied(divan::black_box(scene)));
}

/// As many sets of faults as go into one pass: one plugged cavity each.
fn scenarios(net: &Net<'_>) -> Vec<Vec<oilpath::circuit::Fault>> {
    let circuit = net.circuit();
    let step = circuit.passages.len() / LANES;
    let ids = circuit.passages.keys().skip(1).step_by(step.max(1));
    let faults = ids.map(|id| circuit.fault(&format!("{id}:plugged")).expect("it can be"));
    faults.map(|fault| vec![fault]).take(LANES).collect()
}

#[divan::bench(args = SIZES)]
fn packed_reach_512(bencher: Bencher, size: usize) {
    let net = scene(size, Ways::Balls).net();
    let stage = Stage::new(net, &State::default(), &[]);
    let held = Held::unknown(net);
    let faults = scenarios(net);
    bencher.bench(|| {
        let packed = PackedFaults::new(net, divan::black_box(&faults));
        let packed = PackedStage::new(&stage, &packed);
        reach::supplied_packed(&packed.scene(&packed.fix(&held), Level::Low, packed.all()))
    });
}

#[divan::bench(args = SIZES)]
fn packed_balance_512(bencher: Bencher, size: usize) {
    let net = scene(size, Ways::Mixed).net();
    let stage = Stage::new(net, &State::default(), &[]);
    let held = Held::unknown(net);
    let faults = scenarios(net);
    bencher.bench(|| {
        let packed = PackedFaults::new(net, divan::black_box(&faults));
        let packed = PackedStage::new(&stage, &packed);
        let pack = packed.scene(&packed.fix(&held), Level::Low, packed.all());
        settle::balance_packed(&pack, None)
    });
}
