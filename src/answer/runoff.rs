//! How oil runs off from each cavity when nothing presses, and what keeps it in.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use serde::Serialize;

use crate::circuit::{BallKind, Circuit, Kind, PartName};
use crate::net::{Cavity, Link, Net, Passes, SUMP_CAVITY, Scene, Strength, User, WayId};

/// How the oil of a cavity runs off.
///
/// Of all ways out it is the one whose narrowest kind of way is widest, and of those the one whose
/// smallest bore is largest. A metering hole of unknown bore counts as the widest that is known, and
/// as narrower than all that is open where none is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct RunOff {
    /// The narrowest kind of way it passes.
    pub how: Strength,
    /// The part that holds it up: the first leak, or the smallest bore; none where all of it is
    /// open.
    pub narrowest: Option<PartName>,
    /// The parts it runs off through, from the cavity on; the last is where it is gone: a way to
    /// the sump, something that consumes it, or the standing pump. Empty where it ran off while
    /// the valves went over.
    pub through: Vec<PartName>,
}

/// The next step of a cavity's oil on its widest way out.
#[derive(Clone)]
struct Step {
    part: PartName,
    /// Its bore, m; nothing for a leak, without end for what is open and of unknown bore.
    bore: f64,
    to: Cavity,
}

/// A cavity that a way out has been found from, by the smallest bore on it and how many ways it is.
#[derive(Clone, Copy, PartialEq)]
struct Found {
    bore: f64,
    ways: u32,
    at: Cavity,
}

impl Eq for Found {}

impl Ord for Found {
    fn cmp(&self, other: &Self) -> Ordering {
        let bores = self.bore.total_cmp(&other.bore);
        let ways = other.ways.cmp(&self.ways);
        bores.then(ways).then(other.at.cmp(&self.at))
    }
}

impl PartialOrd for Found {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// The kinds of ways, the widest first.
const KINDS: [Strength; 3] = [Strength::Open, Strength::Metered, Strength::Leak];

/// How oil runs off from every cavity of a scene.
pub(super) struct RunOffs<'n> {
    scene: Scene<'n>,
    /// For each kind, the next step of every cavity that has a way out no narrower than that kind.
    steps: [Vec<Option<Step>>; 3],
}

impl<'n> RunOffs<'n> {
    /// Floods back from where oil is gone, for each kind by ways no narrower, the widest bores
    /// first.
    pub fn of(scene: Scene<'n>) -> Self {
        let ends = gone_at(scene.net());
        let holes = (0..scene.way_count() as u32).map(|i| scene.way(WayId(i)));
        let holes = holes.filter(|way| way.strength == Strength::Metered);
        let widest = holes.filter_map(|way| way.bore).map(|bore| bore.m());
        let hole = widest.fold(f64::MIN_POSITIVE, f64::max);
        let steps = KINDS.map(|least| flood(&scene, &ends, least, hole));
        RunOffs { scene, steps }
    }

    /// How a cavity's oil runs off; none where it has no way out.
    pub fn get(&self, cavity: Cavity) -> Option<RunOff> {
        let (how, steps) = KINDS
            .into_iter()
            .zip(&self.steps)
            .find_map(|(how, steps)| {
                let route = route(steps, cavity);
                (!route.is_empty()).then_some((how, route))
            })?;
        Some(RunOff {
            how,
            narrowest: narrowest(&steps, how).cloned(),
            through: steps.iter().map(|step| step.part.clone()).collect(),
        })
    }

    /// The passages and other parts that a cavity's oil runs off by, its own passage first, by ways
    /// wider than a leak; none where there is no such way.
    pub fn passed(&self, cavity: Cavity) -> Vec<PartName> {
        let net = self.scene.net();
        let passage = |c: Cavity| PartName::new(Kind::Passage, net.name(c));
        let routes = self.steps[..2].iter().map(|steps| route(steps, cavity));
        let route = routes.into_iter().find(|route| !route.is_empty());
        let mut passed = Vec::new();
        for step in route.iter().flatten() {
            passed.push(step.part.clone());
            passed.extend((step.to != SUMP_CAVITY).then(|| passage(step.to)));
        }
        let own = (!passed.is_empty()).then(|| passage(cavity));
        own.into_iter().chain(passed).collect()
    }

    /// The balls that shut in the oil of a cavity without a way out, and of what stands openly
    /// beside it: one-way balls it lies behind, sprung ones it does not lift. Sorted.
    pub fn held_by(&self, cavity: Cavity) -> Vec<PartName> {
        let net = self.scene.net();
        let mut beside = vec![cavity];
        let mut next = 0;
        while let Some(at) = beside.get(next).copied() {
            next += 1;
            for link in self.scene.onward(at) {
                if link.passes == Passes::Both && !beside.contains(&link.to) {
                    beside.push(link.to);
                }
            }
        }
        let inside = |id: &str| net.cavity(id).is_some_and(|c| beside.contains(&c));
        let holds = net
            .circuit()
            .balls
            .iter()
            .filter(|(_, ball)| match &ball.kind {
                BallKind::OneWay { from, to, lifts_at } => {
                    let holds_back = inside(to) && !inside(from);
                    holds_back || (lifts_at.is_some() && inside(from) && !inside(to))
                }
                BallKind::Shuttle { .. } => false,
            });
        let names = holds.map(|(id, _)| PartName::new(Kind::Ball, id));
        names.collect()
    }
}

/// Where oil is gone besides the sump: in what consumes it, and back through a standing pump,
/// whose clearances leak (common practice, no source).
pub(super) fn gone_at(net: &Net<'_>) -> Vec<(Cavity, PartName, Strength)> {
    let consumers = net.outlets().iter().filter(|o| !o.by_pressure);
    let consumers = consumers.filter_map(|o| match o.user {
        User::Leaf(at) => Some((at, o.name.clone(), Strength::Metered)),
        _ => None,
    });
    let sources = &net.circuit().sources;
    let pumps = net
        .sources()
        .iter()
        .filter(|s| sources[&s.name.id].pressure.is_none());
    let pumps = pumps.map(|s| (s.feeds, s.name.clone(), Strength::Leak));
    consumers.chain(pumps).collect()
}

/// The next step of every cavity that runs off by ways of some kind or wider, a hole of unknown bore
/// being as wide as `hole`.
fn flood(
    scene: &Scene<'_>,
    ends: &[(Cavity, PartName, Strength)],
    least: Strength,
    hole: f64,
) -> Vec<Option<Step>> {
    let net = scene.net();
    let mut steps: Vec<Option<Step>> = vec![None; net.cavity_count()];
    let mut best: Vec<Option<Found>> = vec![None; net.cavity_count()];
    let mut heap = BinaryHeap::new();
    let mut reach = |heap: &mut BinaryHeap<Found>, from: Cavity, step: &dyn Fn() -> Step, found| {
        if from == SUMP_CAVITY {
            return;
        }
        let (known, next) = (&mut best[from.number()], &mut steps[from.number()]);
        let step = step();
        if known.is_none_or(|known| known < found) {
            *known = Some(found);
            *next = Some(step);
            heap.push(found);
        } else if *known == Some(found) && next.as_ref().is_some_and(|n| n.bore < step.bore) {
            // What is as good by the whole way goes round a hole rather than through it.
            *next = Some(step);
        }
    };
    for (at, part, strength) in ends.iter().filter(|(_, _, strength)| *strength >= least) {
        let bore = bore_of_end(net.circuit(), part, *strength, hole);
        let found = Found {
            bore,
            ways: 1,
            at: *at,
        };
        let step = || Step {
            part: part.clone(),
            bore,
            to: SUMP_CAVITY,
        };
        reach(&mut heap, *at, &step, found);
    }
    let mut next = Some(Found {
        bore: f64::INFINITY,
        ways: 0,
        at: SUMP_CAVITY,
    });
    while let Some(Found { bore, ways, at: to }) = next {
        for link in scene.inward(to) {
            if !link.drains() || link.strength < least {
                continue;
            }
            let own = bore_of(scene, &link, hole);
            let found = Found {
                bore: bore.min(own),
                ways: ways + 1,
                at: link.to,
            };
            let part = || net.part(scene.way(link.way)).clone();
            let step = || Step {
                part: part(),
                bore: own,
                to,
            };
            reach(&mut heap, link.to, &step, found);
        }
        next = heap.pop();
    }
    steps
}

/// The steps of a cavity's oil, to where it is gone; none where it has no way out.
fn route(steps: &[Option<Step>], cavity: Cavity) -> Vec<&Step> {
    let next = |at: Cavity| steps[at.number()].as_ref();
    std::iter::successors(next(cavity), |step| next(step.to)).collect()
}

/// What holds the oil up on its way out.
fn narrowest<'s>(steps: &[&'s Step], how: Strength) -> Option<&'s PartName> {
    let narrowest = steps.iter().min_by(|a, b| a.bore.total_cmp(&b.bore));
    let narrowest = narrowest.filter(|_| how < Strength::Open);
    narrowest.map(|step| &step.part)
}

/// The bore of a link, as far as it is known and no fault has changed it.
fn bore_of(scene: &Scene<'_>, link: &Link, hole: f64) -> f64 {
    let way = scene.way(link.way);
    match (link.strength, way.bore) {
        (Strength::Leak, _) => 0.0,
        (strength, Some(bore)) if strength == way.strength => bore.m(),
        (Strength::Metered, _) => hole,
        (Strength::Open, _) => f64::INFINITY,
    }
}

/// The same of what consumes oil, or lets it back.
fn bore_of_end(circuit: &Circuit, part: &PartName, strength: Strength, hole: f64) -> f64 {
    let outlet = circuit.outlets.get(&part.id);
    let outlet = outlet.filter(|_| part.kind == Kind::Outlet);
    match strength {
        Strength::Leak => 0.0,
        _ => outlet.and_then(|o| o.bore).map_or(hole, |bore| bore.m()),
    }
}
