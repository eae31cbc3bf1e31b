//! A map of two quantities: on which side of which line an outlet has what it needs.

use super::graph::{BOTTOM, Graph, LABEL, LEFT, LINES, PENS, QUIET, TOP, WIDTH, title};
use super::label::cut;
use crate::answer::{Grid, GridOutlet, GridRegion};
use crate::circuit::Circuit;

const RIGHT: f64 = 680.0;
/// Letters in a row and in a column at most.
const ALONG: usize = 30;
const UP: usize = 16;
/// Width of what stands beside a letter, in parts of the size of its text.
const NAMES: f64 = 48.0;

/// A map as SVG: along it the one quantity, up it the other. Letters say what falls short at a
/// point, a line for each outlet where it begins to; the legend below says what stands for what.
///
/// `show` says a value for the eye, of what is varied along the map (0) or up it (1). The text is
/// the same every time.
#[must_use]
pub fn map(answer: &Grid, circuit: &Circuit, show: &dyn Fn(usize, f64) -> String) -> String {
    let (regions, at) = answer.regions();
    let outlets = answer.outlets.iter();
    let lines: Vec<&GridOutlet> = outlets.filter(|o| !o.boundary.is_empty()).collect();
    let entries = regions.len() + lines.len().min(LINES) + usize::from(lines.len() > LINES);
    let height = BOTTOM + 64.0 + LABEL * entries as f64;
    let [along, up] = [&answer.along, &answer.up];
    let ends = |values: &[f64]| [values[0], values[values.len() - 1]];
    let (across, rise) = (ends(&along.values), ends(&up.values));
    let part = |value: f64, [first, last]: [f64; 2]| (value - first) / (last - first);
    let x = |value: f64| LEFT + part(value, across) * (RIGHT - LEFT);
    let y = |value: f64| BOTTOM - part(value, rise) * (BOTTOM - TOP);

    let title = title(circuit, answer.state.as_deref(), &answer.faults);
    let mut graph = Graph::new(&title, &up.varied, RIGHT, height);
    graph.along(&along.varied, across, &|value| show(0, value));
    for quarter in 0..=4 {
        let value = rise[0] + (rise[1] - rise[0]) * f64::from(quarter) / 4.0;
        graph.tick(y(value), &show(1, value));
    }
    let thinned = |count: usize, most: usize| (0..count).step_by(count.div_ceil(most));
    for row in thinned(at.len(), UP) {
        for column in thinned(at[row].len(), ALONG) {
            let sign = regions[at[row][column]].sign.to_string();
            let place = [x(along.values[column]), y(up.values[row]) + 4.0];
            graph.write(place, "middle", QUIET, &sign);
        }
    }
    let mut below = BOTTOM + 64.0;
    for (pen, outlet) in lines.iter().take(LINES).enumerate() {
        for line in &outlet.boundary {
            graph.curve(line.iter().map(|point| [x(point.along), y(point.up)]), pen);
        }
        graph.curve(
            [[LEFT, below - 4.0], [LEFT + 40.0, below - 4.0]].into_iter(),
            pen,
        );
        let name = circuit.short(&outlet.outlet);
        let label = format!("{name}: has what it needs on one side alone");
        graph.write([LEFT + 52.0, below], "start", PENS[pen].0, &label);
        below += LABEL;
    }
    if let Some(more) = lines.len().checked_sub(LINES).filter(|more| *more > 0) {
        let label = format!("the lines of {more} more are not drawn");
        graph.write([LEFT + 52.0, below], "start", "", &label);
        below += LABEL;
    }
    for region in &regions {
        graph.write([LEFT + 20.0, below], "middle", "", &region.sign.to_string());
        let label = cut(&said(region, answer, circuit), NAMES);
        graph.write([LEFT + 52.0, below], "start", "", &label);
        below += LABEL;
    }
    debug_assert!(below <= height && RIGHT < WIDTH);
    graph.done()
}

fn said(region: &GridRegion, answer: &Grid, circuit: &Circuit) -> String {
    let names = |numbers: &[usize]| {
        let names = numbers
            .iter()
            .map(|n| circuit.short(&answer.outlets[*n].outlet));
        names.collect::<Vec<_>>().join(", ")
    };
    match (&region.short[..], &region.undecided[..]) {
        ([], []) => "nothing falls short".to_owned(),
        ([], open) => format!("cannot be said of {}", names(open)),
        (short, []) => format!("short: {}", names(short)),
        (short, open) => format!("short: {}; cannot be said of {}", names(short), names(open)),
    }
}
