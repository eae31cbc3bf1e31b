//! What stands on an item, row by row, and how much room that takes.

use crate::answer::Verdict;
use crate::draw::label::{cut, width};
use crate::draw::picture::{Item, Over, Picture, Pipe, Shape, Spool, Tank};

/// Size of a label.
pub(super) const LABEL: f64 = 12.0;
/// Size of what stands beside or below it.
pub(super) const SMALL: f64 = 10.0;
/// Size of letters and numbers that refer to something.
pub(super) const TINY: f64 = 9.0;
/// From one label line to the next.
pub(super) const LINE: f64 = 14.0;
/// From one small line to the next.
pub(super) const SMALL_LINE: f64 = 13.0;
/// Room between what stands on an item and its border.
pub(super) const PAD: f64 = 6.0;
/// Width of a sign or a role's letter, with the gap behind it.
pub(super) const SIGN: f64 = 29.0;
pub(super) const LETTER: f64 = 20.0;
/// Width of one port of a spool.
pub(super) const PORT: f64 = 16.0;
/// From one line that joins ports to the next.
pub(super) const JOIN: f64 = 4.0;
/// From one row of tags to the next.
pub(super) const TAG_LINE: f64 = 10.0;
/// Width that a pipe's end takes on a border.
const PIPE_END: f64 = 20.0;

/// One row of what stands on an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Row {
    /// A tank that oil comes from, or runs off to.
    Tank,
    /// The casting that oil enters here.
    Casting,
    /// Numbers at the ends of pipes, above or below.
    Tags,
    /// Plates over it, or that it passes.
    Band(Over),
    /// Sign, steps, label and detail.
    Name,
    Spool,
    Chips,
    Fault,
    Verdict,
    /// More lies beyond.
    Cut,
}

/// The rows of an item with their heights, and its size.
pub(super) struct Face {
    pub rows: Vec<(Row, f64)>,
    pub width: f64,
    pub height: f64,
}

/// What becomes of an outlet, in a word; none where it has what it should.
pub(super) fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Starved => "starved",
        Verdict::OnWhenOff => "on when off",
        Verdict::Weakened => "weakened",
        Verdict::Late => "late",
        Verdict::Harsh => "harsh",
        Verdict::Undecided => "undecided",
        Verdict::Kept => "on",
        Verdict::Off => "off",
    }
}

/// What is wrong with an item, as it stands on it.
pub(super) fn fault_text(fault: &str) -> String {
    cut(&format!("× {fault}"), 12.0)
}

/// The numbers of an item in a trace, as they stand on it.
pub(super) fn steps_text(item: &Item) -> String {
    let steps: Vec<String> = item.steps.iter().map(usize::to_string).collect();
    steps.join(", ")
}

/// Width of the mark that holds a text of that size.
pub(super) fn mark_width(text: &str, size: f64) -> f64 {
    (width(text) * size + 8.0).max(15.0)
}

/// What the casting is called that oil enters at an item: none of those above it lies there too.
pub(super) fn entered(picture: &Picture, number: usize) -> Option<String> {
    let casting = picture.items[number].casting?;
    let mut above = picture.pipes.iter().filter(|p| p.to == number);
    let same = above.any(|p| picture.items[p.from].casting == Some(casting));
    (!same).then(|| cut(&format!("in {}", picture.castings[casting].label), 16.0))
}

/// The letters of the plates that lie so over an item.
pub(super) fn letters<'p>(picture: &'p Picture, item: &Item, over: Over) -> Vec<(usize, &'p str)> {
    let plates = item.plates.iter().filter(|(_, how)| *how == over);
    plates
        .map(|(plate, _)| (*plate, picture.plates[*plate].letter.as_str()))
        .collect()
}

impl Face {
    /// Measures an item of a picture, by number.
    pub fn of(picture: &Picture, number: usize) -> Self {
        let item = &picture.items[number];
        let mut rows = Vec::new();
        let mut widest: f64 = 0.0;
        let ends = |above: bool| {
            let pipes = picture.pipes.iter();
            let end = |p: &&Pipe| number == if above { p.to } else { p.from };
            pipes.filter(end).count()
        };
        let mut row = |row, height, width: f64| {
            rows.push((row, height));
            widest = widest.max(width);
        };
        let band = |over| letters(picture, item, over).len() as f64 * 15.0;
        if item.tank == Some(Tank::Draws) {
            row(Row::Tank, 20.0, 0.0);
        }
        let tags = |above| tag_rows(picture, number, above) as f64 * TAG_LINE;
        if tags(true) > 0.0 {
            row(Row::Tags, tags(true), 0.0);
        }
        if let Some(casting) = entered(picture, number) {
            row(Row::Casting, 12.0, width(&casting) * TINY);
        }
        if band(Over::Roof) > 0.0 {
            row(Row::Band(Over::Roof), 13.0, band(Over::Roof));
        }
        let labels = item.label.iter().map(|l| width(l) * LABEL);
        let detail = item.detail.iter().map(|d| width(d) * SMALL);
        let text = labels.chain(detail).fold(0.0, f64::max);
        let lines = item.label.len() as f64 * LINE;
        let lines = lines + item.detail.as_ref().map_or(0.0, |_| SMALL_LINE);
        let sign = match item.shape {
            Shape::Cavity => LETTER,
            _ => SIGN,
        };
        let steps = match &item.steps[..] {
            [] => 0.0,
            _ => mark_width(&steps_text(item), SMALL) + 4.0,
        };
        row(Row::Name, lines.max(20.0) + PAD, steps + sign + text);
        if let Shape::Valve(spool) = &item.shape {
            let joins = levels(spool).iter().max().map_or(0, |level| level + 1);
            let height = 16.0 + joins as f64 * JOIN + 3.0;
            row(Row::Spool, height, spool_width(spool));
        }
        if !item.chips.is_empty() {
            let chips = item.chips.iter();
            let widest = chips.map(|c| {
                let fault = c
                    .fault
                    .as_ref()
                    .map_or(0.0, |f| width(&fault_text(f)) + 1.0);
                14.0 + (width(&c.label) + fault) * SMALL
            });
            let height = item.chips.len() as f64 * SMALL_LINE + 2.0;
            row(Row::Chips, height, widest.fold(0.0, f64::max));
        }
        if let Some(fault) = &item.fault {
            row(Row::Fault, 17.0, mark_width(&fault_text(fault), SMALL));
        }
        if let Some(verdict) = item.verdict {
            row(Row::Verdict, 17.0, mark_width(verdict_word(verdict), SMALL));
        }
        if band(Over::Through) > 0.0 {
            row(Row::Band(Over::Through), 13.0, band(Over::Through));
        }
        if item.cut {
            row(Row::Cut, 7.0, 0.0);
        }
        if tags(false) > 0.0 {
            row(Row::Tags, tags(false), 0.0);
        }
        if item.tank == Some(Tank::Drains) {
            row(Row::Tank, 20.0, 0.0);
        }
        let pipes = ends(true).max(ends(false)) as f64 * PIPE_END;
        let height: f64 = rows.iter().map(|(_, height)| height).sum();
        Face {
            width: widest.max(pipes).ceil() + 2.0 * PAD,
            height: height + PAD,
            rows,
        }
    }
}

/// Whether a pipe has a tag at an item's upper or lower border.
pub(super) fn is_tagged(pipe: &Pipe, number: usize, above: bool) -> bool {
    let end = if above { pipe.to } else { pipe.from };
    end == number && pipe.cavity != number && !pipe.tag.is_empty()
}

/// Rows that the tags at a border need: two, taken in turn, where one is wider than the pipes stand
/// apart.
pub(super) fn tag_rows(picture: &Picture, number: usize, above: bool) -> usize {
    let tagged = picture.pipes.iter().filter(|p| is_tagged(p, number, above));
    let wide = |pipe: &Pipe| width(&pipe.tag) * TINY > PIPE_END - 4.0;
    tagged
        .map(|pipe| 1 + usize::from(wide(pipe)))
        .max()
        .unwrap_or_default()
}

/// Width of a spool's ports, with its spring.
pub(super) fn spool_width(spool: &Spool) -> f64 {
    let spring = if spool.spring.is_some() { 14.0 } else { 0.0 };
    spool.ports.len() as f64 * PORT + spring
}

/// How far below the ports the line of each pair is drawn, from 0: lines that share more than a
/// port stand one below the other.
pub(super) fn levels(spool: &Spool) -> Vec<usize> {
    let mut levels: Vec<usize> = Vec::new();
    for (i, [from, to]) in spool.joined.iter().enumerate() {
        let meets = |level: &usize| {
            let before = spool.joined.iter().zip(&levels).take(i);
            before
                .filter(|(_, at)| *at == level)
                .any(|([f, t], _)| f < to && from < t)
        };
        levels.push((0..).find(|level| !meets(level)).unwrap_or_default());
    }
    levels
}
