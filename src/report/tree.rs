//! The way of the oil as a tree: its steps down the trunk, what splits off as branches.

use super::page::{Block, Line, Page};
use super::trace::{is_leak, page};
use super::words::{self, Words};
use crate::answer::{Hop, Route, Split, Trace};
use crate::circuit::{Kind, Part, PartName, SUMP};
use crate::net::Strength;

/// Columns of a line, the indent of what is shown as typed left out.
const WIDTH: usize = 76;

/// Which characters a tree is drawn with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Strokes {
    /// Box-drawing characters.
    #[default]
    Boxes,
    /// What every terminal has.
    Ascii,
}

impl Strokes {
    fn trunk(self) -> &'static str {
        match self {
            Strokes::Boxes => "│",
            Strokes::Ascii => "|",
        }
    }

    fn branch(self) -> &'static str {
        match self {
            Strokes::Boxes => "├─",
            Strokes::Ascii => "+-",
        }
    }

    fn arrow(self) -> &'static str {
        match self {
            Strokes::Boxes => "→",
            Strokes::Ascii => "->",
        }
    }

    fn cut(self) -> &'static str {
        match self {
            Strokes::Boxes => "…",
            Strokes::Ascii => "...",
        }
    }
}

/// The report of how oil gets to a part, each way as a tree. Steps have the numbers that
/// [`trace`](super::trace) gives them. `splits` are those of each way, in the answer's order.
#[must_use]
pub fn tree(answer: &Trace, splits: &[Vec<Split>], words: &Words<'_>, strokes: Strokes) -> Page {
    let all: Vec<&str> = words.circuit.ids(Kind::State).collect();
    let mut blocks = Vec::new();
    // Ways that carry oil before those that only leak, as in the report that tells them.
    let mut ways: Vec<(&Route, &Vec<Split>)> = answer.routes.iter().zip(splits).collect();
    ways.sort_by_key(|(route, _)| is_leak(route));
    for (route, splits) in ways {
        let states: Vec<&str> = route.states.iter().map(String::as_str).collect();
        let to = words.part(&answer.to);
        let leak = if is_leak(route) { ", a leak," } else { "" };
        let heading = Line::from("The way to ") + to + leak + words::in_each(&states, &all);
        blocks.push(Block::Heading(heading));
        let tree = Tree { words, strokes };
        blocks.push(Block::Tree(tree.lines(route, splits, &answer.to)));
        if let [first, _, ..] = states[..]
            && !splits.is_empty()
        {
            let line = Line::from("What splits off is that of ") + Line::id(first) + ".";
            blocks.push(Block::Text(line));
        }
    }
    if !answer.none_in.is_empty() || answer.routes.is_empty() {
        let dry: Vec<&str> = answer.none_in.iter().map(String::as_str).collect();
        let line = Line::from("No oil reaches ") + words.part(&answer.to);
        blocks.push(Block::Text(line + words::in_any(&dry, &all) + "."));
    }
    page(answer, blocks, words)
}

struct Tree<'a> {
    words: &'a Words<'a>,
    strokes: Strokes,
}

impl Tree<'_> {
    fn lines(&self, route: &Route, splits: &[Split], to: &PartName) -> Vec<Line> {
        let ends = is_leak(route) || self.words.arrives(to).is_some();
        let digits = (route.hops.len() + 1 + usize::from(ends)).to_string().len();
        let step = |number: usize, text: String| self.cut(format!("{number:>digits$}. {text}"));
        let trunk = format!("{:>digits$} ", self.strokes.trunk());
        let mut lines = vec![step(1, self.start(route))];
        let casting = route.castings.first();
        let cavity = |id: &str, casting: Option<&String>, lines: &mut Vec<Line>| {
            let mut text = format!("{trunk} {}", self.cavity(id));
            if let Some(casting) = casting {
                text += &format!(
                    ", in {}",
                    self.label(&PartName::new(Kind::Casting, casting))
                );
            }
            lines.push(self.cut(text));
            for split in splits.iter().filter(|s| s.from == id) {
                let branch = self.strokes.branch();
                let indent = " ".repeat(digits - 1);
                lines.push(self.cut(format!("{indent}{branch} {}", self.split(split))));
            }
        };
        cavity(&route.start, casting, &mut lines);
        for (hop, number) in route.hops.iter().zip(2..) {
            lines.push(step(number, self.hop(hop)));
            let entered = hop.to_casting.as_ref();
            let entered = entered.filter(|_| hop.to_casting != hop.from_casting);
            cavity(&hop.to, entered, &mut lines);
        }
        if ends {
            lines.push(step(route.hops.len() + 2, self.name(to)));
        }
        lines
    }

    /// A line that fits, its end cut off where it does not.
    fn cut(&self, text: String) -> Line {
        if text.chars().count() <= WIDTH {
            return text.into();
        }
        let cut = self.strokes.cut();
        let kept = text.chars().take(WIDTH - cut.chars().count());
        let kept: String = kept.collect();
        format!("{}{cut}", kept.trim_end()).into()
    }

    fn label(&self, part: &PartName) -> String {
        self.words.circuit.label(part).to_owned()
    }

    /// A part as it is typed, and what it is called.
    fn name(&self, part: &PartName) -> String {
        let typed = self.words.circuit.short(part);
        match self.label(part) {
            label if label == part.id => typed,
            label => format!("{typed}, {label}"),
        }
    }

    fn cavity(&self, id: &str) -> String {
        match id {
            SUMP => "the sump".to_owned(),
            id => self.name(&PartName::new(Kind::Passage, id)),
        }
    }

    fn start(&self, route: &Route) -> String {
        let source = self.words.circuit.short(&route.source);
        let body = self.words.circuit.get(Kind::Source, &route.source.id);
        if matches!(body, Some(Part::Source(s)) if s.pressure.is_some()) {
            return source;
        }
        let parts = route
            .suction
            .iter()
            .map(|hop| self.words.circuit.short(&hop.part));
        let parts: Vec<String> = parts.collect();
        match &parts[..] {
            [] => format!("{source}, from the sump"),
            parts => format!("{source}, from the sump through {}", parts.join(", ")),
        }
    }

    fn hop(&self, hop: &Hop) -> String {
        let mut text = self.words.circuit.short(&hop.part);
        if let Some(position) = &hop.position {
            text += &format!(" in {position}");
        }
        text += &match (hop.strength, hop.bore_m) {
            (Strength::Leak, _) => ", a leak".to_owned(),
            (Strength::Metered, Some(bore)) => format!(", metered, {}", self.words.bore(bore)),
            (Strength::Metered, None) => ", metered".to_owned(),
            (Strength::Open, Some(bore)) => format!(", {}", self.words.bore(bore)),
            (Strength::Open, None) => String::new(),
        };
        if !hop.through.is_empty() {
            text += &format!(", through {}", hop.through.join(", "));
        }
        if let Some(cover) = &hop.under {
            text += &format!(", under {cover}");
        }
        if !hop.sure {
            text += ", if open";
        }
        text
    }

    fn split(&self, split: &Split) -> String {
        let mut text = self.words.circuit.short(&split.part);
        if let Some(position) = &split.position {
            text += &format!(" in {position}");
        }
        let to = match &*split.to {
            SUMP => "the sump",
            id => id,
        };
        text += &format!(" {} {to}", self.strokes.arrow());
        if split.rejoins {
            text += ", back on this way";
        }
        match &split.outlets[..] {
            [] => {}
            outlets => {
                let outlets: Vec<String> = outlets
                    .iter()
                    .map(|o| self.words.circuit.short(o))
                    .collect();
                text += &format!(": {}", outlets.join(", "));
            }
        }
        text
    }
}
