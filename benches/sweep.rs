//! Settling every single fault of a circuit in every state, side by side and one by one.
//!
//! `cargo bench --bench sweep`; `RAYON_NUM_THREADS=1` for one thread. Side by side counts the laying of the faults and of the states;
//! scenes that have to go alone are settled alone in both.

use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

use oilpath::answer::{Scenarios, Sweeper};
use oilpath::circuit::Fault;
use oilpath::net::{LANES, Net, PackedFaults, PackedStage, Stage};
use oilpath::settle::{settle, settle_packed};
use oilpath::sheet;

const CIRCUITS: [&str; 3] = ["transfer-box", "tractor-powershift", "six-speed-bus"];

/// One scene in so many is settled alone; all would take minutes.
const STRIDE: usize = 7;

fn main() {
    for name in CIRCUITS {
        let path = format!("circuits/{name}.toml");
        let circuit = sheet::open(Path::new(&path)).expect("it reads").circuit;
        let net = Net::new(&circuit).expect("it is sound");
        let faults: Vec<Vec<Fault>> = circuit.faults().into_iter().map(|f| vec![f]).collect();
        let mut best = Times::of(&net, &faults);
        // The least disturbed of a few runs.
        for _ in 0..8 {
            best = best.least(Times::of(&net, &faults));
        }
        let (mut singly, mut settled) = (Duration::ZERO, 0);
        for state in circuit.states.values() {
            let stage = Stage::new(&net, state, &[]);
            for faults in faults.iter().step_by(STRIDE) {
                singly += timed(|| settle(&stage.with(faults)));
                settled += 1;
            }
        }
        let scenes = faults.len() * circuit.states.len();
        let each = |time: Duration, scenes: usize| time.as_secs_f64() * 1e6 / scenes as f64;
        println!(
            "{name}: {} faults in {} states",
            faults.len(),
            circuit.states.len()
        );
        println!(
            "  side by side {:.1} ms ({:.1} laying, {:.1} settling, {:.1} telling the quiet), {} of \
             {scenes} scenes left to go alone, {} quiet",
            best.total().as_secs_f64() * 1e3,
            best.laying.as_secs_f64() * 1e3,
            best.settling.as_secs_f64() * 1e3,
            best.quiet.as_secs_f64() * 1e3,
            best.alone,
            best.quiet_scenes,
        );
        let (packed, single) = (each(best.total(), scenes), each(singly, settled));
        println!(
            "  a scene: side by side {packed:.2} µs, alone {single:.1} µs: {:.0} times",
            single / packed
        );
        let alone = Scenarios::alone(&circuit, |_| true);
        let sweeper = Sweeper::new(&net, alone, &[]);
        let count = sweeper.scenarios().count();
        let whole = timed(|| sweeper.records(0..count));
        let pairs = Scenarios::alone(&circuit, |_| true).pairs();
        let all = pairs.count();
        let sweeper = Sweeper::new(&net, pairs, &[]);
        let some = timed(|| sweeper.records(0..Sweeper::AT_ONCE));
        println!(
            "  sweep with verdicts and readings, all threads: {count} faults {:.1} ms; the first {} \
             of {all} pairs {:.1} ms",
            whole.as_secs_f64() * 1e3,
            Sweeper::AT_ONCE,
            some.as_secs_f64() * 1e3,
        );
    }
}

/// What one sweep took, and what came of it.
struct Times {
    laying: Duration,
    settling: Duration,
    quiet: Duration,
    alone: usize,
    quiet_scenes: usize,
}

impl Times {
    fn of(net: &Net<'_>, faults: &[Vec<Fault>]) -> Self {
        let mut times = Times {
            laying: Duration::ZERO,
            settling: Duration::ZERO,
            quiet: Duration::ZERO,
            alone: 0,
            quiet_scenes: 0,
        };
        // Even shares, each with the sound circuit first.
        let shares = faults.len().div_ceil(LANES - 1);
        for share in faults.chunks(faults.len().div_ceil(shares)) {
            let sets = [&[Vec::new()], share].concat();
            let start = Instant::now();
            let packed = PackedFaults::new(net, black_box(&sets));
            times.laying += start.elapsed();
            for state in net.circuit().states.values() {
                let start = Instant::now();
                let stage = PackedStage::new(&Stage::new(net, state, &[]), &packed);
                times.laying += start.elapsed();
                let start = Instant::now();
                let settled = settle_packed(black_box(&stage));
                times.settling += start.elapsed();
                let start = Instant::now();
                times.quiet_scenes += black_box(settled.quiet()).count();
                times.quiet += start.elapsed();
                times.alone += settled.alone().count();
            }
        }
        times
    }

    fn total(&self) -> Duration {
        self.laying + self.settling + self.quiet
    }

    fn least(self, other: Self) -> Self {
        if other.total() < self.total() {
            other
        } else {
            self
        }
    }
}

fn timed<R>(run: impl FnOnce() -> R) -> Duration {
    let start = Instant::now();
    black_box(run());
    start.elapsed()
}
