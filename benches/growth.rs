//! How the work grows with the circuit: a made-up gearbox of 10³ to 10⁶ parts is read and asked.
//!
//! `cargo bench --bench growth` (add `-- 100000` to stop at a size). Prints milliseconds of processor
//! time on one thread, bytes a part, and for each row the exponent of a power of the number of parts,
//! fitted by least squares to the logarithms: 1 is work in step with the circuit, 2 is square. A
//! row ends where the next size would take longer than a few minutes.

#[path = "../tests/support/gearbox.rs"]
mod gearbox;
#[path = "../tests/support/layered.rs"]
mod layered;

use std::alloc::System;
use std::collections::BTreeMap;
use std::hint::black_box;
use std::time::Duration;

use cpu_time::ProcessTime;
use oilpath::answer::{Scenarios, Sweeper, starve};
use oilpath::circuit::{Level, State};
use oilpath::flow::{Block, Oil, Running, Sizes, Standing};
use oilpath::net::{Held, Net, Stage};
use oilpath::{reach, settle, sheet};
use stats_alloc::{INSTRUMENTED_SYSTEM, Region, StatsAlloc};

#[global_allocator]
static ALLOCATOR: &StatsAlloc<System> = &INSTRUMENTED_SYSTEM;

const SIZES: [usize; 4] = [1_000, 10_000, 100_000, 1_000_000];
/// Parts of a bank, measured.
const PARTS_A_BANK: usize = 94;
/// No row is asked again where it would take longer, going by the two sizes before.
const PATIENCE: Duration = Duration::from_secs(240);

fn main() {
    let asked = std::env::args().skip(1).find_map(|arg| arg.parse().ok());
    let most = asked.unwrap_or(usize::MAX);
    let mut table = Table::default();
    for size in SIZES.into_iter().filter(|size| *size <= most) {
        one_thread(|| ask(size, &mut table));
    }
    table.print();
}

fn ask(size: usize, table: &mut Table) {
    let text = gearbox::text((size / PARTS_A_BANK).max(1), 7);
    let memory = Region::new(ALLOCATOR);
    let sheet = table.time("reading", size, || sheet::read(&text));
    let circuit = sheet.expect("it is sound").circuit;
    table.bytes("the circuit", size, held(&memory));
    let memory = Region::new(ALLOCATOR);
    let net = table.time("net", size, || Net::new(&circuit));
    let net = net.expect("it is sound");
    table.bytes("its net", size, held(&memory));
    let (name, state) = circuit.states.iter().nth(1).expect("a gear");
    let stage = Stage::new(&net, state, &[]);
    let scene = stage.scene(&Held::unknown(&net), Level::Low);
    table.time("reach", size, || reach::supplied(&scene));
    table.time("balance", size, || settle::balance(&scene, None));
    let settled = table.time("settle", size, || settle::settle(&stage));
    let fault = circuit.fault("hop-cover-0:loose").expect("it has one");
    let loose = [fault];
    table.time("starve, one state", size, || {
        starve(&net, &loose, Some(name))
    });
    table.time("laws laid and solved, one state", size, || {
        let warm = "80 °C".parse().expect("a temperature");
        let running = Running::new(None, Oil::generic(), warm).expect("an oil");
        let standing = Standing {
            stage: &stage,
            faults: &[],
            held: settled.held(),
            doubtful_open: true,
        };
        let block = Block::lay(standing, &running, &Sizes::default());
        let measured = block.expect("all sizes are given").measure(None);
        assert!(measured.converged);
    });
    if table.bears("every single fault, one state", size) {
        let mut one = circuit.clone();
        one.states = BTreeMap::from([(name.clone(), State::clone(state))])
            .into_iter()
            .collect();
        let net = Net::new(&one).expect("it is sound");
        table.time("every single fault, one state", size, || {
            let sweeper = Sweeper::new(&net, Scenarios::alone(&one, |_| true), &[]);
            let count = sweeper.scenarios().count();
            for from in (0..count).step_by(Sweeper::AT_ONCE) {
                black_box(sweeper.records(from..count.min(from + Sweeper::AT_ONCE)));
            }
        });
    }
}

/// Bytes that are still held since.
fn held(since: &Region<'_, System>) -> usize {
    let change = since.change();
    change.bytes_allocated - change.bytes_deallocated
}

fn one_thread(run: impl FnOnce() + Send) {
    #[cfg(feature = "parallel")]
    {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build();
        pool.expect("one thread can be had").install(run);
    }
    #[cfg(not(feature = "parallel"))]
    run();
}

/// What was measured, by row and size, in the order in which it was first measured.
#[derive(Default)]
struct Table {
    times: Vec<(&'static str, Vec<(usize, f64)>)>,
    bytes: Vec<(&'static str, Vec<(usize, f64)>)>,
}

impl Table {
    /// Makes an answer, as often as is needed to time it, and notes the fastest.
    fn time<T>(&mut self, row: &'static str, size: usize, make: impl Fn() -> T) -> T {
        let mut fastest = f64::INFINITY;
        let begun = ProcessTime::now();
        loop {
            let start = ProcessTime::now();
            let made = black_box(make());
            fastest = fastest.min(start.elapsed().as_secs_f64());
            if begun.elapsed() > Duration::from_millis(500) {
                put(&mut self.times, row, size, 1e3 * fastest);
                return made;
            }
        }
    }

    fn bytes(&mut self, row: &'static str, size: usize, bytes: usize) {
        put(&mut self.bytes, row, size, bytes as f64 / size as f64);
    }

    /// Whether a row may be asked of a size, going by how it grew.
    fn bears(&self, row: &str, size: usize) -> bool {
        let Some((_, points)) = self.times.iter().find(|(named, _)| *named == row) else {
            return true;
        };
        let [.., before, last] = points[..] else {
            return true;
        };
        let expected = last.1 * (size as f64 / last.0 as f64).powf(exponent(&[before, last]));
        last.0 * 10 == size && expected < 1e3 * PATIENCE.as_secs_f64()
    }

    fn print(&self) {
        print!("| milliseconds |");
        SIZES.iter().for_each(|size| print!(" {size} |"));
        println!(" exponent |");
        println!("|---|{}---|", "---|".repeat(SIZES.len()));
        for (row, points) in &self.times {
            println!("| {row} |{} {:.2} |", cells(points), exponent(points));
        }
        for (row, points) in &self.bytes {
            println!("| {row}, bytes a part |{} |", cells(points));
        }
    }
}

fn put(
    rows: &mut Vec<(&'static str, Vec<(usize, f64)>)>,
    row: &'static str,
    size: usize,
    value: f64,
) {
    match rows.iter_mut().find(|(named, _)| *named == row) {
        Some((_, points)) => points.push((size, value)),
        None => rows.push((row, vec![(size, value)])),
    }
}

fn cells(points: &[(usize, f64)]) -> String {
    let cell = |size| match points.iter().find(|(of, _)| *of == size) {
        Some((_, value)) if *value < 10.0 => format!(" {value:.3} |"),
        Some((_, value)) => format!(" {value:.0} |"),
        None => " |".to_owned(),
    };
    SIZES.into_iter().map(cell).collect()
}

/// The slope of the straight line through the logarithms, by least squares.
fn exponent(points: &[(usize, f64)]) -> f64 {
    let logs = points
        .iter()
        .map(|(size, value)| ((*size as f64).ln(), value.ln()));
    let logs: Vec<(f64, f64)> = logs.collect();
    let mean = |of: fn(&(f64, f64)) -> f64| logs.iter().map(of).sum::<f64>() / logs.len() as f64;
    let (x, y) = (mean(|p| p.0), mean(|p| p.1));
    let along: f64 = logs.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    along / logs.iter().map(|p| (p.0 - x).powi(2)).sum::<f64>()
}
