//! How far each item lies from where oil is made: what is drawn above what.

use std::collections::VecDeque;

use super::part::{Bench, Toward};
use crate::circuit::PartName;
use crate::net::Net;

/// The rank of each item: 0 at the sources, one more at each step of the oil, below 0 on the
/// suction side. What no oil reaches ranks next to what it hangs on.
pub(super) fn ranks(bench: &Bench<'_>, cavities: &[Option<usize>]) -> Vec<i32> {
    let net = bench.net;
    let mut neighbours: Vec<Vec<(usize, bool)>> = vec![Vec::new(); bench.items.len()];
    for joint in &bench.joints {
        let Some(cavity) = cavities[joint.cavity.number()] else {
            continue;
        };
        let (from_cavity, from_part) = match joint.toward {
            Toward::Part => (true, false),
            Toward::Cavity => (false, true),
            Toward::Either => (true, true),
        };
        neighbours[cavity].push((joint.part, from_cavity));
        neighbours[joint.part].push((cavity, from_part));
    }
    let mut ranks: Vec<Option<i32>> = vec![None; bench.items.len()];
    let source = |name: &PartName| bench.items.iter().position(|i| i.name == *name);
    let mut sources: VecDeque<usize> = net.sources().iter().filter_map(|s| source(&s.name)).collect();
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

fn spread(
    queue: &mut VecDeque<usize>,
    neighbours: &[Vec<(usize, bool)>],
    ranks: &mut [Option<i32>],
    as_oil_flows: bool,
) {
    while let Some(at) = queue.pop_front() {
        let next = ranks[at].unwrap_or_default() + 1;
        for (to, flows) in &neighbours[at] {
            if (*flows || !as_oil_flows) && ranks[*to].is_none() {
                ranks[*to] = Some(next);
                queue.push_back(*to);
            }
        }
    }
}

/// Ranks what lies between the sump and the pumps, upwards from these.
fn suction(
    net: &Net<'_>,
    neighbours: &[Vec<(usize, bool)>],
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
        for (to, _) in &neighbours[at] {
            // A part is on the suction side if a cavity of it is; only cavities say so.
            let here = inlet[*to] || inlet[at];
            if here && ranks[*to].is_none() {
                ranks[*to] = Some(before);
                queue.push_back(*to);
            }
        }
    }
}
