//! What pressures and flows cost: the whole of Newton's method, and one numeric factorisation beside
//! faer's LLᵀ on the same matrix. `newton.py` solves the same networks with scipy.
//!
//! `cargo run --release --manifest-path benches/newton/Cargo.toml`
//!
//! The networks are random recursive trees (each cavity hangs on any earlier one), a fifth of the
//! cavities with a second way to the youngest cavity below an ancestor one to three up, a tenth with a
//! bleed to the sump. All ways are orifices. Real circuits are local in this way, only smaller.

use std::hint::black_box;
use std::time::Instant;

use faer::Par;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMat, Triplet};
use oilpath::flow::law::{Law, TwoTerm};
use oilpath::flow::sparse::Factor;
use oilpath::flow::{Doubt, Network};

fn main() {
    println!(
        "| cavities | whole Newton, ms | steps | order and fill, ms | factor, ms | faer | ÷ | solve, ms |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    for size in [1_000, 10_000, 100_000] {
        let ways = ways(size);
        let mut network = Network::default();
        let mut nodes = vec![network.fixed(0.0), network.fixed(8e5)];
        nodes.extend((2..size + 2).map(|_| network.free(0.0)));
        for (from, to, law) in &ways {
            network.way(nodes[*from], nodes[*to], Hole(*law));
        }
        let flows = network.solve();
        assert!(flows.converged, "{}", flows.imbalance);
        let whole = cost(|| network.solve());

        // The matrix of its last step: unknowns are numbered without the two fixed nodes.
        let pressure = |node: usize| flows.pressure(nodes[node]).expect("none is trapped");
        let slope = |(from, to, law): &(usize, usize, TwoTerm)| {
            law.rate(pressure(*from) - pressure(*to)).slope
        };
        let inner: Vec<_> = ways
            .iter()
            .filter(|(from, to, _)| *from.min(to) > 1)
            .collect();
        let pairs: Vec<(u32, u32)> = (inner.iter())
            .map(|(from, to, _)| (*from as u32 - 2, *to as u32 - 2))
            .collect();
        let mut own = Factor::new(size, &pairs, true);
        for (value, way) in own.forth.iter_mut().zip(&inner) {
            *value = -slope(way);
        }
        for way in &ways {
            for end in [way.0, way.1].into_iter().filter(|end| *end > 1) {
                own.diagonal[end - 2] += slope(way);
            }
        }
        let order = cost(|| Factor::new(size, &pairs, true));
        let factor = cost(|| own.factor());
        let right = vec![1e-6; size];
        let solve = cost(|| own.solve(&right));
        let rival = rival(&own, &pairs, &right);
        let ms = |seconds: f64| format!("{:.3}", seconds * 1e3);
        println!(
            "| {size} | {} | {} | {} | {} | {} | {:.2} | {} |",
            ms(whole),
            flows.steps,
            ms(order),
            ms(factor),
            ms(rival),
            factor / rival,
            ms(solve),
        );
    }
}

/// Seconds of faer's numeric LLᵀ, of its two methods the faster; its answer must be ours.
fn rival(own: &Factor, pairs: &[(u32, u32)], right: &[f64]) -> f64 {
    let size = own.diagonal.len();
    let diagonal = own.diagonal.iter().enumerate();
    let diagonal = diagonal.map(|(i, value)| Triplet::new(i as u32, i as u32, *value));
    let beside = pairs.iter().zip(&own.forth);
    let beside = beside.map(|((a, b), value)| Triplet::new(*a.max(b), *a.min(b), *value));
    let lower: Vec<_> = diagonal.chain(beside).collect();
    let lower = SparseColMat::<u32, f64>::try_new_from_triplets(size, size, &lower)
        .expect("entries lie inside");
    let side = faer::Side::Lower;
    let thresholds = [
        SupernodalThreshold::FORCE_SIMPLICIAL,
        SupernodalThreshold::FORCE_SUPERNODAL,
    ];
    let times = thresholds.map(|supernodal_flop_ratio_threshold| {
        let params = CholeskySymbolicParams {
            supernodal_flop_ratio_threshold,
            ..Default::default()
        };
        let order = SymmetricOrdering::Amd;
        let symbolic = factorize_symbolic_cholesky(lower.symbolic(), side, order, params)
            .expect("it has memory");
        let mut values = vec![0.0; symbolic.len_val()];
        let scratch = symbolic.factorize_numeric_llt_scratch::<f64>(Par::Seq, Default::default());
        let mut memory = MemBuffer::new(scratch);
        let time = cost(|| {
            let stack = MemStack::new(&mut memory);
            let factored = symbolic.factorize_numeric_llt(
                &mut values,
                lower.as_ref(),
                side,
                Default::default(),
                Par::Seq,
                stack,
                Default::default(),
            );
            factored.map(|_| ()).expect("it is positive definite");
        });
        let factored = faer::sparse::linalg::cholesky::LltRef::new(&symbolic, &values);
        let mut x = right.to_vec();
        let scratch = symbolic.solve_in_place_scratch::<f64>(1, Par::Seq);
        factored.solve_in_place_with_conj(
            faer::Conj::No,
            faer::MatMut::from_column_major_slice_mut(&mut x, size, 1),
            Par::Seq,
            MemStack::new(&mut MemBuffer::new(scratch)),
        );
        for (one, other) in x.iter().zip(own.solve(right)) {
            assert!(
                (one - other).abs() <= 1e-6 * other.abs(),
                "{one} and {other}"
            );
        }
        time
    });
    times[0].min(times[1])
}

/// An orifice, by its two terms alone so that `newton.py` has the same.
#[derive(Debug, PartialEq)]
struct Hole(TwoTerm);

impl Law for Hole {
    fn rate(&self, drop: f64) -> oilpath::flow::law::Rate {
        self.0.rate(drop)
    }

    fn doubts(&self, _drop: f64) -> Vec<Doubt> {
        Vec::new()
    }
}

/// Node 0 is the sump, node 1 the line at 8 bar.
fn ways(size: usize) -> Vec<(usize, usize, TwoTerm)> {
    let mut dice = Dice(size as u64);
    let mut ways = Vec::new();
    let (mut above, mut youngest) = (vec![0, 1], vec![0, 1]);
    for node in 2..size + 2 {
        let parent = 1 + dice.below(node - 1);
        above.push(parent);
        ways.push((parent, node, dice.hole()));
        if dice.below(5) == 0 {
            let mut near = node;
            for _ in 0..1 + dice.below(3) {
                near = above[near];
            }
            let near = youngest[near];
            ways.push((near, node, dice.hole()));
        }
        if dice.below(10) == 0 {
            ways.push((node, 0, dice.hole()));
        }
        youngest.push(node);
        youngest[parent] = node;
    }
    ways
}

/// A linear congruential generator (Knuth's MMIX constants), since two languages must agree on it.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        let next = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = next.wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }

    fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    /// A hole of 0.5 to 4.5 mm in 1.5 mm of metal, oil at 90 °C or so.
    fn hole(&mut self) -> TwoTerm {
        let (mu, rho) = (0.006, 810.0);
        let radius = (0.5 + 4.0 * self.next() as f64 / 2f64.powi(31)) / 2e3;
        let area = std::f64::consts::PI * radius * radius;
        TwoTerm {
            viscous: mu
                * (3.0 / (radius * radius * radius) + 8.0 * 1.5e-3 / (area * radius * radius)),
            inertial: rho / (2.0 * (0.7 * area) * (0.7 * area)),
        }
    }
}

/// Seconds of processor time a run: the mean of as many as fill a second, three at least. Not time on
/// the clock, which on a shared machine says more of its other users.
fn cost<T>(mut run: impl FnMut() -> T) -> f64 {
    black_box(run());
    let (clock, begin, mut runs) = (Instant::now(), on_processor(), 0);
    while runs < 3 || clock.elapsed().as_secs_f64() < 1.0 {
        black_box(run());
        runs += 1;
    }
    let took = match (begin, on_processor()) {
        (Some(begin), Some(end)) => end - begin,
        _ => clock.elapsed().as_secs_f64(),
    };
    took / f64::from(runs)
}

/// What this thread has had of the processor, in seconds, where the system says (Linux).
fn on_processor() -> Option<f64> {
    let stat = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let nanoseconds: f64 = stat.split(' ').next()?.parse().ok()?;
    Some(nanoseconds / 1e9)
}
