//! A plot of what outlets get while one quantity is varied.

use super::graph::{Graph, LABEL, LEFT, LINES, PENS, QUIET, TOP, title};
use crate::answer::{Gets, Vary, VaryLimit};
use crate::circuit::Circuit;

/// The right end of the graph: beside it stand the labels.
const RIGHT: f64 = 540.0;
const HEIGHT: f64 = 420.0;
/// A change that can be seen, in parts of what is needed.
const SEEN: f64 = 0.02;
/// What lies above is cut off: three times what is needed.
const MOST: f64 = 3.0;

struct Curve<'a> {
    limit: &'a VaryLimit,
    /// What the outlet gets at each point, in parts of what it needs.
    shares: Vec<f64>,
}

/// A plot as SVG: along it the varied quantity, up what each outlet gets in parts of what it needs.
/// A line at 1 tells enough from too little; where a curve crosses it the value is marked.
///
/// `show` says a value for the eye. The text is the same every time.
#[must_use]
pub fn plot(answer: &Vary, circuit: &Circuit, show: &dyn Fn(f64) -> String) -> String {
    let mut curves: Vec<Curve<'_>> = answer
        .limits
        .iter()
        .map(|limit| curve(answer, limit))
        .collect();
    let change = |curve: &Curve<'_>| {
        let shares = curve.shares.iter().map(|share| share.clamp(0.0, MOST));
        let ends = shares.fold((MOST, 0.0_f64), |(a, b), share| {
            (a.min(share), b.max(share))
        });
        ends.1 - ends.0
    };
    // One that stays as it is says nothing.
    curves.retain(|curve| change(curve) > SEEN);
    curves.sort_by(|a, b| change(b).total_cmp(&change(a)));
    curves.truncate(LINES);
    let most = curves
        .iter()
        .flat_map(|c| &c.shares)
        .fold(1.2, |a: f64, b| a.max(*b))
        .min(MOST);
    let values = [answer.points.first(), answer.points.last()].map(|p| p.map_or(0.0, |p| p.value));
    let title = title(circuit, answer.state.as_deref(), &answer.faults);
    let up = "what it gets, in parts of what it needs";
    let mut graph = Graph::new(&title, up, [RIGHT, HEIGHT], 0.0);
    let x = |graph: &Graph, value| graph.x((value - values[0]) / (values[1] - values[0]));
    let y = |graph: &Graph, share: f64| graph.y(share.clamp(0.0, most) / most);
    let enough = y(&graph, 1.0);
    graph.line([[LEFT, enough], [RIGHT, enough]], QUIET, "4 4");
    for share in [0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0] {
        if share <= most {
            graph.tick(y(&graph, share), &share.to_string());
        }
    }
    graph.along(&answer.varied, values, show);
    // Labels stand at the ends of their curves, moved down where two would overlap.
    let mut ends: Vec<(f64, usize)> = curves
        .iter()
        .enumerate()
        .map(|(i, curve)| {
            (
                y(&graph, curve.shares.last().copied().unwrap_or_default()),
                i,
            )
        })
        .collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = TOP;
    for (end, i) in ends {
        let curve = &curves[i];
        let points = answer.points.iter().zip(&curve.shares);
        let points = points.map(|(point, share)| [x(&graph, point.value), y(&graph, *share)]);
        graph.curve(points.collect(), i);
        for change in &curve.limit.changes {
            graph.dot([x(&graph, (change.least + change.most) / 2.0), enough], i);
        }
        let place = end.max(free);
        free = place + LABEL;
        let label = label(curve, circuit, show);
        graph.write([RIGHT + 8.0, place + 4.0], "start", PENS[i].0, &label);
    }
    graph.done()
}

fn curve<'a>(answer: &Vary, limit: &'a VaryLimit) -> Curve<'a> {
    let share = |gets: &Gets| {
        let got = match limit.needs_pa {
            Some(need) => gets.pressure_pa.map(|range| range.least / need),
            None => gets
                .flow_m3_per_s
                .zip(limit.needs_m3_per_s)
                .map(|(range, need)| range.least / need),
        };
        got.unwrap_or_default()
    };
    let shares = answer.points.iter().map(|point| {
        let own = point.outlets.iter().find(|o| o.outlet == limit.outlet);
        own.map_or(0.0, |outlet| share(&outlet.gets))
    });
    Curve {
        limit,
        shares: shares.collect(),
    }
}

/// The outlet, and the first value at which its curve crosses what it needs.
fn label(curve: &Curve<'_>, circuit: &Circuit, show: &dyn Fn(f64) -> String) -> String {
    let name = circuit.short(&curve.limit.outlet);
    match curve.limit.changes.first() {
        Some(change) => format!("{name}: {}", show((change.least + change.most) / 2.0)),
        None => name,
    }
}
