//! Every single fault of the six-speed in every state, settled and measured.
//!
//! `cargo bench --bench flows`. Prints what settling and measuring took on one thread, and how many
//! scenes did not balance. Goal: the whole under a second.

use std::path::Path;
use std::time::Instant;

use oilpath::circuit::Fault;
use oilpath::flow::{Block, Oil, Running, Sizes, Standing};
use oilpath::net::{Held, Net, Stage};
use oilpath::settle::settle;
use oilpath::sheet;

fn main() {
    for file in ["transfer-box", "tractor-powershift", "six-speed-bus"] {
        let path = format!("circuits/{file}.toml");
        let sheet = sheet::open(Path::new(&path));
        let Ok(sheet) = sheet else {
            println!("{file}: cannot be read");
            continue;
        };
        let net = Net::new(&sheet.circuit).expect("a demo circuit has no problems");
        measure(file, &net);
    }
}

fn measure(file: &str, net: &Net<'_>) {
    let circuit = net.circuit();
    let warm = "80 °C".parse().expect("a temperature");
    let running = Running::new(None, Oil::generic(), warm).expect("an oil");
    let sizes = Sizes::default();
    let faults = circuit.faults();
    let (mut scenes, mut ends, mut unsolved, mut steps) = (0, 0, 0, 0);
    let (mut settling, mut measuring) = (0.0, 0.0);
    for state in circuit.states.values() {
        let stage = Stage::new(net, state, &[]);
        let sound = settle(&stage);
        let lay = |stage: &Stage<'_>, faults: &[Fault], held: &Held| {
            lay(stage, faults, held, &running, &sizes)
        };
        let sound = lay(&stage, &[], sound.held()).measure(None);
        for fault in &faults {
            let fault = std::slice::from_ref(fault);
            let begun = Instant::now();
            let stage = stage.with(fault);
            let settled = settle(&stage);
            settling += begun.elapsed().as_secs_f64();
            let begun = Instant::now();
            for end in &settled.ends {
                let measured = lay(&stage, fault, &end.held).measure(Some(&sound));
                ends += 1;
                steps += measured.steps;
                unsolved += usize::from(!measured.converged);
            }
            measuring += begun.elapsed().as_secs_f64();
            scenes += 1;
        }
    }
    println!(
        "{file}: {scenes} scenes, {ends} ends: settling {settling:.2} s, measuring {measuring:.2} s \
         ({:.0} µs an end, {:.1} steps), {unsolved} not solved",
        1e6 * measuring / f64::from(ends),
        steps as f64 / f64::from(ends),
    );
}

fn lay(
    stage: &Stage<'_>,
    faults: &[Fault],
    held: &Held,
    running: &Running,
    sizes: &Sizes,
) -> Block {
    let standing = Standing {
        stage,
        faults,
        held,
        doubtful_open: true,
    };
    Block::lay(standing, running, sizes).expect("sizes of which laws can be made")
}
