//! The compact tractor: where the time of one question goes, from the file to the process.
//!
//! `cargo bench --bench tractor`

use std::path::Path;
use std::process::{Command, Stdio};

use divan::Bencher;
use oilpath::answer;
use oilpath::circuit::{Circuit, Level};
use oilpath::net::{Net, Stage};
use oilpath::{reach, settle, sheet};

const FILE: &str = "circuits/tractor-powershift.toml";

fn main() {
    divan::main();
}

fn circuit() -> Circuit {
    sheet::open(Path::new(FILE))
        .expect("the tractor reads")
        .circuit
}

#[divan::bench]
fn read_the_file(bencher: Bencher) {
    let text = std::fs::read_to_string(FILE).expect("the tractor is there");
    bencher.bench(|| sheet::read(divan::black_box(&text)));
}

#[divan::bench]
fn build_the_net(bencher: Bencher) {
    let circuit = circuit();
    bencher.bench(|| Net::new(divan::black_box(&circuit)));
}

fn stage<'n>(net: &'n Net<'n>, faults: &[&str]) -> Stage<'n> {
    let circuit = net.circuit();
    let faults: Vec<_> = faults
        .iter()
        .map(|f| circuit.fault(f).expect("it can be"))
        .collect();
    Stage::new(net, &circuit.states["forward-high-pto"], &faults)
}

#[divan::bench]
fn settle_one_state(bencher: Bencher) {
    let circuit = circuit();
    let net = Net::new(&circuit).expect("it is sound");
    let stage = stage(&net, &[]);
    bencher.bench(|| settle::settle(divan::black_box(&stage)));
}

#[divan::bench]
fn lay_a_scene(bencher: Bencher) {
    let circuit = circuit();
    let net = Net::new(&circuit).expect("it is sound");
    let stage = stage(&net, &["hop-cover:loose"]);
    let settled = settle::settle(&stage);
    bencher.bench(|| stage.scene(divan::black_box(settled.held()), Level::Low));
}

#[divan::bench]
fn reach_from_the_pump(bencher: Bencher) {
    let circuit = circuit();
    let net = Net::new(&circuit).expect("it is sound");
    let stage = stage(&net, &[]);
    let scene = stage.scene(settle::settle(&stage).held(), Level::Low);
    bencher.bench(|| reach::supplied(divan::black_box(&scene)));
}

#[divan::bench]
fn balance_one_scene(bencher: Bencher) {
    let circuit = circuit();
    let net = Net::new(&circuit).expect("it is sound");
    let stage = stage(&net, &[]);
    let scene = stage.scene(settle::settle(&stage).held(), Level::Low);
    bencher.bench(|| settle::balance(divan::black_box(&scene), None));
}

#[divan::bench]
fn starve_in_all_thirteen_states(bencher: Bencher) {
    let circuit = circuit();
    let net = Net::new(&circuit).expect("it is sound");
    let faults = [circuit.fault("hop-cover:loose").expect("it can be loose")];
    bencher.bench(|| answer::starve(&net, divan::black_box(&faults), None));
}

/// The whole command: start, read, answer, write.
#[divan::bench]
fn starve_as_a_process(bencher: Bencher) {
    bencher.bench(|| {
        Command::new(env!("CARGO_BIN_EXE_oilpath"))
            .args(["starve", FILE, "hop-cover:loose"])
            .stdout(Stdio::null())
            .status()
    });
}
