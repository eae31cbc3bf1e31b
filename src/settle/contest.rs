//! Cavities that supply and drain reach equally hard: decided by bores where both are known, and
//! what hangs on those that stay undecided.

use std::collections::BinaryHeap;

use super::balance::{Balance, Cause, DRAIN, Push, SUPPLY, Value};
use crate::net::{Cavity, Link, Scene, Strength};

/// Shares of the pressure between which a contested cavity stays undecided.
const UNDECIDED: std::ops::RangeInclusive<f64> = 0.2..=0.8;

/// The share of the pressure, 0 to 1, that is left between a hole that feeds and a hole that
/// drains, whose bores are given in the same unit.
///
/// Between two metering holes pressures divide as the fourth power of the bores (flow grows with
/// the square of the bore and the root of the drop; sharp-edged orifice law, H. E. Merritt,
/// *Hydraulic Control Systems*, 1967).
///
/// ```
/// use oilpath::settle::share_of_pressure;
/// assert_eq!(share_of_pressure(1.0, 1.0), 0.5);
/// assert!((share_of_pressure(1.0, 2.0) - 1.0 / 17.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn share_of_pressure(supply_bore: f64, drain_bore: f64) -> f64 {
    1.0 / (1.0 + (drain_bore / supply_bore).powi(4))
}

/// Whether a contested cavity is fed, between a bottleneck that feeds and one that drains; none where
/// its [share of the pressure](share_of_pressure) says neither.
pub(super) fn decided_by(supply_bore: f64, drain_bore: f64) -> Option<bool> {
    let share = share_of_pressure(supply_bore, drain_bore);
    (!UNDECIDED.contains(&share)).then_some(share > 0.5)
}

/// Refines a balance whose scene has contested cavities.
///
/// A cavity whose [share of the pressure](share_of_pressure) is under a fifth or over four fifths
/// is decided by that.
pub(super) fn refine(scene: &Scene<'_>, balance: &mut Balance) {
    let torn = |c: &Cavity| {
        let both = balance.supply(*c).min(balance.drain(*c));
        balance.value(*c) == Value::Undecided && both > Push::None
    };
    if !scene.net().cavities().any(|c| torn(&c)) {
        return;
    }
    let metered = |c: &Cavity| balance.cause(*c) == Cause::Contested(Push::Metered);
    let contested: Vec<Cavity> = scene.net().cavities().filter(metered).collect();
    if scene.is_certain() && !contested.is_empty() && scene.net().meters_by_bore() {
        let [drain, supply] = [DRAIN, SUPPLY].map(|kind| Bores::of(scene, balance, kind));
        for cavity in contested {
            let bores = (supply.known(cavity), drain.known(cavity));
            if let (Some(supply), Some(drain)) = bores
                && let Some(fed) = decided_by(supply, drain)
            {
                balance.decide(cavity, fed);
            }
        }
    }
    doubt_what_hangs_on_the_contested(scene, balance);
}

/// For each cavity the widest bottleneck, m, over all metered routes of one kind of arrival.
struct Bores {
    /// With holes of unknown bore taken as wide as can be.
    most: Vec<f64>,
    /// Without the routes that pass a hole of unknown bore; none where no route does.
    least: Option<Vec<f64>>,
}

impl Bores {
    fn of(scene: &Scene<'_>, balance: &Balance, kind: usize) -> Self {
        let mut unknown = false;
        let most = widest(scene, balance, kind, || {
            unknown = true;
            Some(f64::INFINITY)
        });
        let least = unknown.then(|| widest(scene, balance, kind, || None));
        Bores { most, least }
    }

    /// The bottleneck's bore, if the unknown ones cannot matter.
    fn known(&self, cavity: Cavity) -> Option<f64> {
        let at = cavity.number();
        let most = self.most[at];
        let least = self.least.as_ref().map_or(most, |least| least[at]);
        (most == least && least > 0.0 && least.is_finite()).then_some(least)
    }
}

/// The widest bottleneck to every cavity (a widest-path search, largest first).
fn widest(
    scene: &Scene<'_>,
    balance: &Balance,
    kind: usize,
    mut unknown: impl FnMut() -> Option<f64>,
) -> Vec<f64> {
    let mut best = vec![0.0; scene.net().cavity_count()];
    // Cavities that no hole is before need no order.
    let openly = |c: &Cavity| balance.arrives(kind, *c) > Push::Metered;
    let mut open: Vec<Cavity> = scene.net().cavities().filter(openly).collect();
    open.iter().for_each(|c| best[c.number()] = f64::INFINITY);
    let mut heap: BinaryHeap<(Bore, Cavity)> = BinaryHeap::new();
    loop {
        let first = open.pop().map(|at| (Bore(f64::INFINITY), at));
        let Some((Bore(bore), at)) = first.or_else(|| heap.pop()) else {
            return best;
        };
        if bore < best[at.number()] {
            continue;
        }
        let mut step = |link: Link| {
            let to = link.to.number();
            let reaches = balance.arrives(kind, link.to) == Push::Metered;
            if !reaches || (kind != SUPPLY && !link.drains()) {
                return;
            }
            let through = match (link.strength, scene.way(link.way).bore) {
                (Strength::Open, _) => Some(f64::INFINITY),
                (Strength::Metered, Some(bore)) => Some(bore.m()),
                (Strength::Metered, None) => unknown(),
                (Strength::Leak, _) => None,
            };
            let bore = through.map_or(0.0, |through| bore.min(through));
            if bore > best[to] {
                best[to] = bore;
                match bore.is_finite() {
                    true => heap.push((Bore(bore), link.to)),
                    false => open.push(link.to),
                }
            }
        };
        match kind {
            SUPPLY => scene.onward(at).for_each(&mut step),
            _ => scene.inward(at).for_each(&mut step),
        }
    }
}

/// A bore in an order that a heap can use; none is ever not a number.
#[derive(Clone, Copy, PartialEq)]
struct Bore(f64);

impl Eq for Bore {}

impl PartialOrd for Bore {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Bore {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

/// A one-way ball behind a contested cavity passes on no more than that has: what only such a
/// cavity feeds is not surely fed, and what only such a one drains not surely drained. Keeps the
/// values of cavities that a route of surely open ways and cavities of the same value reaches
/// harder than anything of the other kind can.
fn doubt_what_hangs_on_the_contested(scene: &Scene<'_>, balance: &mut Balance) {
    for (kind, value, roots) in [
        (SUPPLY, Value::Fed, scene.rails()),
        (DRAIN, Value::Drained, scene.vents()),
    ] {
        let mut sure = vec![false; scene.net().cavity_count()];
        // Cavities that wait for a push to have its turn.
        let count = sure.len();
        let mut waiting: [Vec<Cavity>; 4] = [0, count, count, count].map(Vec::with_capacity);
        let go_on = |from: Cavity, push: Push, waiting: &mut [Vec<Cavity>; 4]| {
            let step = |link: Link| {
                let holds = balance.value(link.to) == value;
                if holds && link.sure && (kind == SUPPLY || link.drains()) {
                    waiting[push.min(link.strength.into()) as usize].push(link.to);
                }
            };
            match kind {
                SUPPLY => scene.onward(from).for_each(step),
                _ => scene.inward(from).for_each(step),
            }
        };
        for root in roots {
            sure[root.number()] = true;
            go_on(*root, Push::Rail, &mut waiting);
        }
        for push in [Push::Open, Push::Metered, Push::Leak] {
            while let Some(cavity) = waiting[push as usize].pop() {
                let wins = push > balance.possible(1 - kind, cavity);
                if wins && !sure[cavity.number()] {
                    sure[cavity.number()] = true;
                    go_on(cavity, push, &mut waiting);
                }
            }
        }
        for cavity in scene.net().cavities() {
            let driven = balance.arrives(kind, cavity) > Push::None;
            if driven && balance.value(cavity) == value && !sure[cavity.number()] {
                balance.doubt(cavity);
            }
        }
    }
}
