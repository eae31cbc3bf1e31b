//! A plot of what outlets get while one quantity is varied.

use std::fmt::Write;

use super::svg::{escape, number};
use crate::answer::{Gets, Vary, VaryLimit};
use crate::circuit::Circuit;

/// Lines drawn at most: those whose outlets change most.
const LINES: usize = 6;

/// Colours by Okabe and Ito, dark enough on white, each with a dash of its own so that the plot
/// reads in grey.
const PENS: [(&str, &str); LINES] = [
    ("#0072b2", ""),
    ("#d55e00", "9 4"),
    ("#009e73", "2 3"),
    ("#a0568a", "12 3 2 3"),
    ("#8a6a00", "6 2"),
    ("#000000", "1 2"),
];

const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 420.0;
/// Left, right, top and bottom of what is plotted.
const FRAME: [f64; 4] = [60.0, 540.0, 56.0, 360.0];
/// Between two labels beside the plot.
const LABEL: f64 = 16.0;
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
    let [left, right, top, bottom] = FRAME;
    let x = |value: f64| left + (value - values[0]) / (values[1] - values[0]) * (right - left);
    let y = |share: f64| bottom - share.clamp(0.0, most) / most * (bottom - top);
    let mut text = String::new();
    let title = title(answer, circuit);
    let _ = write!(
        text,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" \
         width=\"{WIDTH}\" height=\"{HEIGHT}\" font-family=\"sans-serif\" font-size=\"12\" fill=\"#1a1a1a\">\n\
         <title>{0}</title>\n<rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#ffffff\"/>\n\
         <text x=\"{left}\" y=\"24\" font-size=\"15\">{0}</text>\n",
        escape(&title)
    );
    let _ = writeln!(
        text,
        "<text x=\"{left}\" y=\"44\">what it gets, in parts of what it needs</text>"
    );
    let mut line = |from: [f64; 2], to: [f64; 2], stroke: &str, dash: &str| {
        let _ = writeln!(
            text,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" stroke=\"{stroke}\" stroke-dasharray=\"{dash}\"/>",
            number(from[0]),
            number(from[1]),
            number(to[0]),
            number(to[1])
        );
    };
    line([left, top], [left, bottom], "#525252", "");
    line([left, bottom], [right, bottom], "#525252", "");
    line([left, y(1.0)], [right, y(1.0)], "#525252", "4 4");
    for share in [0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0] {
        if share <= most {
            write(
                &mut text,
                [left - 8.0, y(share) + 4.0],
                "end",
                "",
                &share.to_string(),
            );
        }
    }
    for i in 0..=4 {
        let value = values[0] + (values[1] - values[0]) * f64::from(i) / 4.0;
        write(
            &mut text,
            [x(value), bottom + 18.0],
            "middle",
            "",
            &show(value),
        );
    }
    write(
        &mut text,
        [(left + right) / 2.0, bottom + 40.0],
        "middle",
        "",
        &answer.varied,
    );
    // Labels stand at the ends of their curves, moved down where two would overlap.
    let mut ends: Vec<(f64, usize)> = curves
        .iter()
        .enumerate()
        .map(|(i, curve)| (y(curve.shares.last().copied().unwrap_or_default()), i))
        .collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = top;
    for (end, i) in ends {
        let (curve, (colour, dash)) = (&curves[i], PENS[i]);
        let points = answer.points.iter().zip(&curve.shares);
        let points = points
            .map(|(point, share)| format!("{},{}", number(x(point.value)), number(y(*share))));
        let points: Vec<String> = points.collect();
        let _ = writeln!(
            text,
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"2\" stroke-dasharray=\"{dash}\"/>",
            points.join(" ")
        );
        for change in &curve.limit.changes {
            let value = (change.least + change.most) / 2.0;
            let (cx, cy) = (number(x(value)), number(y(1.0)));
            let _ = writeln!(
                text,
                "<circle cx=\"{cx}\" cy=\"{cy}\" r=\"4\" fill=\"{colour}\"/>"
            );
        }
        let place = end.max(free);
        free = place + LABEL;
        write(
            &mut text,
            [right + 8.0, place + 4.0],
            "start",
            colour,
            &label(curve, circuit, show),
        );
    }
    text.push_str("</svg>\n");
    text
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

fn title(answer: &Vary, circuit: &Circuit) -> String {
    let mut title = circuit
        .title
        .clone()
        .unwrap_or_else(|| "Oil circuit".to_owned());
    for more in answer.state.iter().chain(&answer.faults) {
        let _ = write!(title, ", {more}");
    }
    title
}

/// The outlet, and the first value at which its curve crosses what it needs.
fn label(curve: &Curve<'_>, circuit: &Circuit, show: &dyn Fn(f64) -> String) -> String {
    let name = circuit.short(&curve.limit.outlet);
    match curve.limit.changes.first() {
        Some(change) => format!("{name}: {}", show((change.least + change.most) / 2.0)),
        None => name,
    }
}

fn write(text: &mut String, [x, y]: [f64; 2], anchor: &str, colour: &str, what: &str) {
    let fill = match colour {
        "" => String::new(),
        colour => format!(" fill=\"{colour}\""),
    };
    let _ = writeln!(
        text,
        "<text x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\"{fill}>{}</text>",
        number(x),
        number(y),
        escape(what)
    );
}
