//! Which figures rest on which sizes that stand in for unknown ones.

use super::cases::{Bench, Book};
use super::ranges::{flows, gets, pressures, users};
use super::sides::Sides;
use super::{FlowsState, Range, SizeRef};
use crate::flow::Measured;
use crate::net::{Net, SUMP_CAVITY};

/// By how much a size is changed to see what rests on it, and what change of a figure counts.
const MORE: f64 = 1.2;
const COUNTS: f64 = 0.01;

/// Notes, for each figure of a state, the stand-ins that it rests on: each is made a fifth
/// larger and the state measured again, valves standing as they do.
pub(super) fn find(
    net: &Net<'_>,
    sides: &Sides<'_>,
    bench: &Bench<'_>,
    book: &Book,
    told: &mut FlowsState,
) {
    for ((part, measure), stands_in) in &book.stand_ins {
        let sizes = bench.sizes.with((part.clone(), *measure), MORE * stands_in);
        let larger = Bench {
            sizes: &sizes,
            ..*bench
        };
        let again = sides.present().iter().filter_map(|case| larger.again(case));
        let again: Vec<Measured> = again.collect();
        let size = SizeRef {
            part: part.clone(),
            measure: measure.to_string(),
        };
        for (outlet, figures) in users(net).zip(&mut told.outlets) {
            let (was, is) = (
                figures.now.unwrap_or(figures.sound),
                gets(again.iter(), outlet),
            );
            if differ(was.pressure_pa, is.pressure_pa)
                || differ(was.flow_m3_per_s, is.flow_m3_per_s)
            {
                figures.rests_on.push(size.clone());
            }
        }
        let cavities = net.cavities().filter(|cavity| *cavity != SUMP_CAVITY);
        for (cavity, figures) in cavities.zip(&mut told.cavities) {
            if differ(figures.now_pa, pressures(again.iter(), cavity)) {
                figures.rests_on.push(size.clone());
            }
        }
        let flows = flows(again.iter());
        for figures in &mut told.streams {
            let ends = [&figures.from, &figures.to].map(|id| net.cavity(id).unwrap_or(SUMP_CAVITY));
            let key = |ends| (figures.part.clone(), ends);
            // Told in the direction of its flow, kept by the number of its ends.
            let is = flows.get(&key(ends)).copied();
            let is = is.or_else(|| Some(flows.get(&key([ends[1], ends[0]]))?.turned()));
            if differ(figures.now_m3_per_s, is) {
                figures.rests_on.push(size.clone());
            }
        }
    }
}

fn differ(was: Option<Range>, is: Option<Range>) -> bool {
    match (was, is) {
        (Some(was), Some(is)) => {
            let off = |a: f64, b: f64| (a - b).abs() > COUNTS * a.abs().max(b.abs());
            off(was.least, is.least) || off(was.most, is.most)
        }
        (was, is) => was.is_some() != is.is_some(),
    }
}
