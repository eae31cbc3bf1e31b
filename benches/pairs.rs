//! The double points of one outlet with a long path, beside one pass of all single failures.
//!
//! Trying every place of a path takes a pass for each, so the goal is 1.2 passes a place; after
//! the figures the ratio is printed. `cargo bench --bench pairs`.

#[path = "../tests/support/layered.rs"]
mod layered;

use std::hint::black_box;
use std::time::{Duration, Instant};

use divan::Bencher;
use layered::Ways;
use oilpath::circuit::{Circuit, Level, State};
use oilpath::net::{Cavity, Held, Net, Scene, Stage};
use oilpath::reach;

const SIZES: &[usize] = &[1_000, 10_000, 100_000];

fn main() {
    divan::main();
    // Divan lists and tests benches too.
    if std::env::args().any(|arg| arg == "--bench") {
        for size in SIZES {
            print_ratio(*size);
        }
    }
}

fn with_scene<R>(size: usize, ask: impl FnOnce(&Scene<'_>, Cavity) -> R) -> R {
    let circuit: Circuit = layered::circuit(size, Ways::Balls, 7);
    let net = Net::new(&circuit).expect("it is sound");
    let stage = Stage::new(&net, &State::default(), &[]);
    let scene = stage.scene(&Held::unknown(&net), Level::Low);
    let outlet = long_path(&scene);
    ask(&scene, outlet)
}

/// Of the outlets that supply reaches, the last: layers are numbered downwards. One with double
/// points at all, so that there is something to find.
fn long_path(scene: &Scene<'_>) -> Cavity {
    let outlets = scene.net().outlets().iter().rev().map(|o| o.user.feed());
    let mut with_pairs = outlets.filter(|c| !reach::double_points(scene, *c).is_empty());
    with_pairs.next().expect("some outlet has double points")
}

#[divan::bench(args = SIZES)]
fn double_points(bencher: Bencher, size: usize) {
    with_scene(size, |scene, outlet| {
        bencher.bench_local(|| reach::double_points(black_box(scene), outlet));
    });
}

#[divan::bench(args = SIZES)]
fn one_pass(bencher: Bencher, size: usize) {
    with_scene(size, |scene, _| {
        bencher.bench_local(|| reach::Dominators::of_pressure(black_box(scene)));
    });
}

fn print_ratio(size: usize) {
    with_scene(size, |scene, outlet| {
        // Turn about, so that both sides meet the same disturbances.
        let (mut pairs, mut passes): (Vec<Duration>, Vec<Duration>) = (0..25)
            .map(|_| {
                let pairs = timed(|| reach::double_points(black_box(scene), outlet));
                let pass = timed(|| reach::Dominators::of_pressure(black_box(scene)));
                (pairs, pass)
            })
            .unzip();
        let ratio = median(&mut pairs) / median(&mut passes);
        let path = reach::shortest(scene, outlet).map_or(0, |p| p.steps.len() + 1);
        let found = reach::double_points(scene, outlet).len();
        println!(
            "{size} cavities: {found} double points, {path} cavities on the path; took {ratio:.2} \
             passes, {:.4} for each cavity of the path (goal: 1.2 at most)",
            ratio / path as f64
        );
    });
}

fn timed<R>(run: impl FnOnce() -> R) -> Duration {
    let start = Instant::now();
    black_box(run());
    start.elapsed()
}

fn median(times: &mut [Duration]) -> f64 {
    times.sort_unstable();
    times[times.len() / 2].as_secs_f64()
}
