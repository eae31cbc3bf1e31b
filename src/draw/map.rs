//! A map of two quantities: on which side of which line an outlet has what it needs.

use super::graph::{BOTTOM, Graph, LABEL, LEFT, LINES, PENS, QUIET, title};
use super::label::cut;
use crate::answer::{Grid, GridOutlet, GridRegion};
use crate::circuit::Circuit;

const RIGHT: f64 = 680.0;
/// How far inside its frame the map ends: half a letter and more.
const INSET: f64 = 12.0;
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
    let title = title(circuit, answer.state.as_deref(), &answer.faults);
    let mut graph = Graph::new(&title, &up.varied, [RIGHT, height], INSET);
    let place = |graph: &Graph, [along, up]: [f64; 2]| {
        [graph.x(part(along, across)), graph.y(part(up, rise))]
    };
    graph.along(&along.varied, across, &|value| show(0, value));
    for quarter in 0..=4 {
        let part = f64::from(quarter) / 4.0;
        graph.tick(
            graph.y(part),
            &show(1, rise[0] + (rise[1] - rise[0]) * part),
        );
    }
    let thinned = |count: usize, most: usize| (0..count).step_by(count.div_ceil(most));
    for row in thinned(at.len(), UP) {
        for column in thinned(at[row].len(), ALONG) {
            let [x, y] = place(&graph, [along.values[column], up.values[row]]);
            let sign = sign(&regions[at[row][column]]);
            graph.write([x, y + 4.0], "middle", QUIET, &sign);
        }
    }
    let mut below = BOTTOM + 64.0;
    for (pen, outlet) in lines.iter().take(LINES).enumerate() {
        for line in &outlet.boundary {
            let points = line
                .iter()
                .map(|point| place(&graph, [point.along, point.up]));
            graph.curve(points.collect(), pen);
        }
        let y = below - 4.0;
        graph.curve(vec![[LEFT, y], [LEFT + 40.0, y]], pen);
        let name = circuit.short(&outlet.outlet);
        let label = format!("where {name} begins to fall short");
        graph.write([LEFT + 52.0, below], "start", PENS[pen].0, &label);
        below += LABEL;
    }
    if let Some(more) = lines.len().checked_sub(LINES).filter(|more| *more > 0) {
        let label = format!("the lines of {more} more are not drawn");
        graph.write([LEFT + 52.0, below], "start", "", &label);
        below += LABEL;
    }
    for region in &regions {
        graph.write([LEFT + 20.0, below], "middle", "", &sign(region));
        let label = cut(&said(region, answer, circuit), NAMES);
        graph.write([LEFT + 52.0, below], "start", "", &label);
        below += LABEL;
    }
    graph.done()
}

/// A dot that can be seen, or the letter.
fn sign(region: &GridRegion) -> String {
    match region.sign {
        '·' => '•'.to_string(),
        sign => sign.to_string(),
    }
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
