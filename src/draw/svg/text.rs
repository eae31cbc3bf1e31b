//! The text of a drawing, written piece by piece.

use std::fmt::{Display, Write};

/// The text of a drawing as it grows.
#[derive(Default)]
pub(super) struct Ink {
    text: String,
}

impl Ink {
    pub fn finish(self) -> String {
        self.text
    }

    /// Opens a group; its attributes are escaped.
    pub fn open(&mut self, attributes: &[(&str, &str)]) {
        self.tag("g", attributes, ">\n");
    }

    /// Opens a group whose corner lies there.
    pub fn open_at(&mut self, class: &str, x: f64, y: f64) {
        let place = format!("translate({} {})", number(x), number(y));
        self.open(&[("class", class), ("transform", &place)]);
    }

    pub fn close(&mut self) {
        self.text.push_str("</g>\n");
    }

    /// What a pointer that rests on a group is told.
    pub fn title(&mut self, text: &str) {
        let _ = writeln!(self.text, "<title>{}</title>", escape(text));
    }

    pub fn text(&mut self, class: &str, x: f64, y: f64, text: &str) {
        let _ = writeln!(
            self.text,
            "<text class=\"{class}\" x=\"{}\" y=\"{}\">{}</text>",
            number(x),
            number(y),
            escape(text)
        );
    }

    pub fn rect(&mut self, class: &str, [x, y, width, height]: [f64; 4], round: f64) {
        let round = match round {
            0.0 => String::new(),
            round => format!(" rx=\"{}\"", number(round)),
        };
        let _ = writeln!(
            self.text,
            "<rect class=\"{class}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{round}/>",
            number(x),
            number(y),
            number(width),
            number(height)
        );
    }

    pub fn circle(&mut self, class: &str, x: f64, y: f64, r: f64) {
        let _ = writeln!(
            self.text,
            "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
            number(x),
            number(y),
            number(r)
        );
    }

    /// A path; `d` holds numbers and letters alone.
    pub fn path(&mut self, class: &str, d: &str) {
        let _ = writeln!(self.text, "<path class=\"{class}\" d=\"{d}\"/>");
    }

    /// Text that is a part of the drawing's own language.
    pub fn raw(&mut self, text: &str) {
        self.text.push_str(text);
    }

    fn tag(&mut self, name: &str, attributes: &[(&str, &str)], end: &str) {
        let _ = write!(self.text, "<{name}");
        for (key, value) in attributes {
            let _ = write!(self.text, " {key}=\"{}\"", escape(value));
        }
        self.text.push_str(end);
    }
}

/// A number with one decimal, and none where it is whole.
pub(in crate::draw) fn number(value: f64) -> impl Display {
    let tenths = (value * 10.0).round() / 10.0;
    // Minus zero is zero.
    tenths + 0.0
}

/// Text that stays text.
pub(in crate::draw) fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            // No XML text may hold these.
            '\u{FFFE}' | '\u{FFFF}' => escaped.push('\u{FFFD}'),
            c => escaped.push(c),
        }
    }
    escaped
}
