//! How far each item lies from where oil is made: what is drawn above what.

use std::collections::{BTreeMap, VecDeque};

use super::part::{Bench, Toward};
use crate::circuit::PartName;
use crate::net::Net;

/// An item next to another, as seen from that.
#[derive(Clone, Copy)]
struct Neighbour {
    to: usize,
    /// Whether oil can go there, and come from there.
    flows: bool,
    back: bool,
    pushes: bool,
}

impl Neighbour {
    /// Whether oil only comes from it.
    fn is_inlet(&self) -> bool {
        self.back && !self.flows && !self.pushes
    }
}

/// The rank of each item: 0 at the sources, one more at each step of the oil, below 0 on the
/// suction side. What no oil reaches ranks next to what it hangs on.
pub(super) fn ranks(bench: &Bench<'_>, cavities: &[Option<usize>]) -> Vec<i32> {
    let net = bench.net;
    let mut neighbours: Vec<Vec<Neighbour>> = vec![Vec::new(); bench.items.len()];
    for joint in &bench.joints {
        let Some(cavity) = cavities[joint.cavity.number()] else {
            continue;
        };
        let (from_cavity, from_part) = match joint.toward {
            Toward::Part => (true, false),
            Toward::Cavity => (false, true),
            Toward::Either => (true, true),
        };
        for (at, to, flows, back) in [
            (cavity, joint.part, from_cavity, from_part),
            (joint.part, cavity, from_part, from_cavity),
        ] {
            neighbours[at].push(Neighbour {
                to,
                flows,
                back,
                pushes: joint.pushes,
            });
        }
    }
    let mut ranks: Vec<Option<i32>> = vec![None; bench.items.len()];
    let source = |name: &PartName| bench.items.iter().position(|i| i.name == *name);
    let mut sources: VecDeque<usize> = net
        .sources()
        .iter()
        .filter_map(|s| source(&s.name))
        .collect();
    for at in &sources {
        ranks[*at] = Some(0);
    }
    suction(net, &neighbours, cavities, &sources, &mut ranks);
    // First as oil flows, then whatever is left, from either end.
    spread(&mut sources, &neighbours, &mut ranks, true);
    let mut reached: Vec<usize> = (0..ranks.len()).filter(|i| ranks[*i].is_some()).collect();
    reached.sort_by_key(|i| ranks[*i]);
    spread(&mut reached.into(), &neighbours, &mut ranks, false);
    // What hangs on nothing that is fed starts a circuit of its own.
    for at in 0..ranks.len() {
        if ranks[at].is_none() {
            ranks[at] = Some(0);
            spread(&mut [at].into(), &neighbours, &mut ranks, false);
        }
    }
    ranks.into_iter().map(Option::unwrap_or_default).collect()
}

/// Ranks what can be reached from what is in the queue.
fn spread(
    queue: &mut VecDeque<usize>,
    neighbours: &[Vec<Neighbour>],
    ranks: &mut [Option<i32>],
    as_oil_flows: bool,
) {
    // What has several inlets and waits for all of them, so as to lie below each: how many are
    // still to come.
    let mut waits: BTreeMap<usize, usize> = BTreeMap::new();
    loop {
        while let Some(at) = queue.pop_front() {
            let next = ranks[at].unwrap_or_default() + 1;
            for neighbour in &neighbours[at] {
                let to = neighbour.to;
                let goes = neighbour.flows && !neighbour.pushes || !as_oil_flows;
                if !goes || ranks[to].is_some() {
                    continue;
                }
                let inlets = neighbours[to].iter().filter(|n| n.is_inlet()).count();
                if as_oil_flows && inlets > 1 {
                    let left = waits.entry(to).or_insert(inlets);
                    *left -= 1;
                    if *left > 0 {
                        continue;
                    }
                }
                waits.remove(&to);
                ranks[to] = Some(next);
                queue.push_back(to);
            }
        }
        // Some inlet never comes, or only from beyond: no more waiting.
        let Some((to, _)) = waits.pop_first() else {
            return;
        };
        let inlets = neighbours[to].iter().filter(|n| n.is_inlet());
        let reached = inlets.filter_map(|n| ranks[n.to]).max();
        ranks[to] = Some(reached.unwrap_or_default() + 1);
        queue.push_back(to);
    }
}

/// Ranks what lies between the sump and the pumps, upwards from these.
fn suction(
    net: &Net<'_>,
    neighbours: &[Vec<Neighbour>],
    cavities: &[Option<usize>],
    sources: &VecDeque<usize>,
    ranks: &mut [Option<i32>],
) {
    let mut inlet = vec![false; ranks.len()];
    for cavity in net.cavities().filter(|c| net.draws_through(*c)) {
        if let Some(item) = cavities[cavity.number()] {
            inlet[item] = true;
        }
    }
    let mut queue = sources.clone();
    while let Some(at) = queue.pop_front() {
        let before = ranks[at].unwrap_or_default() - 1;
        for Neighbour { to, .. } in &neighbours[at] {
            // A part is on the suction side if a cavity of it is; only cavities say so.
            let here = inlet[*to] || inlet[at];
            if here && ranks[*to].is_none() {
                ranks[*to] = Some(before);
                queue.push_back(*to);
            }
        }
    }
}
