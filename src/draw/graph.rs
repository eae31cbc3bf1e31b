//! A graph of quantities as SVG: its frame, its ticks, its pens.

use std::fmt::Write;

use super::svg::{escape, number};
use crate::circuit::Circuit;

/// Lines drawn at most.
pub(super) const LINES: usize = 6;

/// A colour by Okabe and Ito, dark enough on white, with a dash of its own, so that the graph reads
/// in grey.
pub(super) const PENS: [(&str, &str); LINES] = [
    ("#0072b2", ""),
    ("#d55e00", "9 4"),
    ("#009e73", "2 3"),
    ("#a0568a", "12 3 2 3"),
    ("#8a6a00", "6 2"),
    ("#000000", "1 2"),
];

/// What is quiet: axes, ticks.
pub(super) const QUIET: &str = "#525252";

pub(super) const WIDTH: f64 = 720.0;
pub(super) const LEFT: f64 = 76.0;
pub(super) const TOP: f64 = 56.0;
pub(super) const BOTTOM: f64 = 360.0;
/// Between two labels.
pub(super) const LABEL: f64 = 16.0;

/// A graph being drawn: text that grows.
pub(super) struct Graph {
    text: String,
    right: f64,
    /// How far inside the frame the ends of both ranges stand.
    inset: f64,
}

impl Graph {
    /// An empty frame with a title, and under it what goes up the graph.
    pub fn new(title: &str, up: &str, [right, height]: [f64; 2], inset: f64) -> Graph {
        let title = escape(title);
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" viewBox=\"0 0 {WIDTH} {height}\" \
             width=\"{WIDTH}\" height=\"{height}\" font-family=\"sans-serif\" font-size=\"12\" fill=\"#1a1a1a\">\n\
             <title>{title}</title>\n<rect width=\"{WIDTH}\" height=\"{height}\" fill=\"#ffffff\"/>\n\
             <text x=\"16\" y=\"24\" font-size=\"15\">{title}</text>\n"
        );
        let mut graph = Graph { text, right, inset };
        graph.write([16.0, 44.0], "start", "", up);
        graph.line([[LEFT, TOP], [LEFT, BOTTOM]], QUIET, "");
        graph.line([[LEFT, BOTTOM], [right, BOTTOM]], QUIET, "");
        graph
    }

    /// Where a part of the range along the graph stands.
    pub fn x(&self, part: f64) -> f64 {
        LEFT + self.inset + part * (self.right - LEFT - 2.0 * self.inset)
    }

    /// Where a part of the range up the graph stands.
    pub fn y(&self, part: f64) -> f64 {
        BOTTOM - self.inset - part * (BOTTOM - TOP - 2.0 * self.inset)
    }

    /// What goes along the graph, and a value at each quarter of its range.
    pub fn along(&mut self, what: &str, range: [f64; 2], show: &dyn Fn(f64) -> String) {
        for quarter in 0..=4 {
            let part = f64::from(quarter) / 4.0;
            let at = [self.x(part), BOTTOM + 18.0];
            let value = range[0] + (range[1] - range[0]) * part;
            self.write(at, "middle", "", &show(value));
        }
        let middle = [(LEFT + self.right) / 2.0, BOTTOM + 40.0];
        self.write(middle, "middle", "", what);
    }

    /// A value beside the left of the graph.
    pub fn tick(&mut self, y: f64, value: &str) {
        self.write([LEFT - 8.0, y + 4.0], "end", "", value);
    }

    pub fn line(&mut self, [from, to]: [[f64; 2]; 2], stroke: &str, dash: &str) {
        let [x1, y1, x2, y2] = [from[0], from[1], to[0], to[1]].map(number);
        let _ = writeln!(
            self.text,
            "<line x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\" stroke=\"{stroke}\" \
             stroke-dasharray=\"{dash}\"/>"
        );
    }

    /// A curve in one of the pens.
    pub fn curve(&mut self, points: Vec<[f64; 2]>, pen: usize) {
        let (colour, dash) = PENS[pen];
        let points: Vec<String> = points
            .into_iter()
            .map(|[x, y]| format!("{},{}", number(x), number(y)))
            .collect();
        let _ = writeln!(
            self.text,
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"2\" \
             stroke-dasharray=\"{dash}\"/>",
            points.join(" ")
        );
    }

    pub fn dot(&mut self, [x, y]: [f64; 2], pen: usize) {
        let [x, y] = [x, y].map(number);
        let colour = PENS[pen].0;
        let _ = writeln!(
            self.text,
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"4\" fill=\"{colour}\"/>"
        );
    }

    pub fn write(&mut self, [x, y]: [f64; 2], anchor: &str, colour: &str, what: &str) {
        let fill = match colour {
            "" => String::new(),
            colour => format!(" fill=\"{colour}\""),
        };
        let _ = writeln!(
            self.text,
            "<text x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\"{fill}>{}</text>",
            number(x),
            number(y),
            escape(what)
        );
    }

    pub fn done(self) -> String {
        self.text + "</svg>\n"
    }
}

/// The circuit, the state and the faults.
pub(super) fn title(circuit: &Circuit, state: Option<&str>, faults: &[String]) -> String {
    let usual = || "Oil circuit".to_owned();
    let mut title = circuit.title.clone().unwrap_or_else(usual);
    for more in state.into_iter().chain(faults.iter().map(String::as_str)) {
        let _ = write!(title, ", {more}");
    }
    title
}
