//! Which figures rest on which sizes that stand in for unknown ones.

use super::cases::{Bench, Book};
use super::state::{Sides, gets};
use super::{FlowsQuestion, FlowsState, Gets, Range, SizeRef};
use crate::circuit::{Fault, State};
use crate::flow::Running;
use crate::net::Net;

/// By how much a size is changed to see what rests on it, and what change of a figure counts.
const MORE: f64 = 1.2;
const COUNTS: f64 = 0.01;

/// Notes, for each outlet of a state, the stand-ins that its figures rest on: each is made a fifth
/// larger and the state measured again.
pub(super) fn find(
    net: &Net<'_>,
    state: &State,
    faults: &[Fault],
    running: &Running,
    question: &FlowsQuestion,
    book: &Book,
    told: &mut FlowsState,
) {
    for ((part, measure), stands_in) in &book.stand_ins {
        let of = (part.clone(), *measure);
        let sizes = question.sizes.with(of, MORE * stands_in);
        let bench = Bench {
            running,
            sizes: &sizes,
        };
        let sides = Sides::of(net, state, faults, &bench, &mut Book::default());
        let cases = sides.now.as_ref().unwrap_or(&sides.sound);
        for (outlet, figures) in net.outlets().iter().zip(&mut told.outlets) {
            let (was, is) = (figures.now.unwrap_or(figures.sound), gets(cases, outlet));
            if differ(was, is) {
                figures.rests_on.push(SizeRef {
                    part: part.clone(),
                    measure: measure.to_string(),
                });
            }
        }
    }
}

fn differ(was: Gets, is: Gets) -> bool {
    let differ = |was: Option<Range>, is: Option<Range>| match (was, is) {
        (Some(was), Some(is)) => {
            let off = |a: f64, b: f64| (a - b).abs() > COUNTS * a.abs().max(b.abs());
            off(was.least, is.least) || off(was.most, is.most)
        }
        (was, is) => was.is_some() != is.is_some(),
    };
    differ(was.pressure_pa, is.pressure_pa) || differ(was.flow_m3_per_s, is.flow_m3_per_s)
}
