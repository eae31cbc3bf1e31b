//! Pipes: a wall with the oil's colour in it, an arrow where oil goes one way.

use super::face::{TAG_LINE, TINY, is_tagged, tag_rows};
use super::text::{Ink, number};
use crate::draw::layout::Point;
use crate::draw::picture::{Passing, Picture, Pipe};
use crate::draw::role::Role;

/// Radius of a corner.
const BEND: f64 = 5.0;

/// Draws a pipe of a picture along its corners.
pub(super) fn pipe(ink: &mut Ink, picture: &Picture, pipe: &Pipe, corners: &[Point]) {
    let class = class(pipe);
    let [from, to] = [pipe.from, pipe.to].map(|i| &*picture.items[i].key);
    ink.open(&[("class", &class), ("data-from", from), ("data-to", to)]);
    let d = path(corners);
    ink.path("under", &d);
    let walled = pipe.passing != Passing::Shut
        && !matches!(pipe.role, Role::Drained | Role::Slack | Role::Undecided);
    if walled || pipe.traced {
        ink.path("wall", &d);
    }
    ink.path(&format!("core {}", pipe.role.word()), &d);
    for into in &pipe.arrows {
        if let Some(d) = head(corners, *into == pipe.to, pipe.traced) {
            ink.path(&format!("head {}", pipe.role.word()), &d);
        }
    }
    ink.close();
}

/// Draws what stands at the ends of pipes on an item's upper or lower border: over the item, or
/// that would hide it.
pub(super) fn tags(
    ink: &mut Ink,
    picture: &Picture,
    number: usize,
    above: bool,
    lines: &[Vec<Point>],
) {
    let rows = tag_rows(picture, number, above);
    if rows == 0 {
        return;
    }
    let pipes = picture.pipes.iter().zip(lines);
    let tagged = pipes.filter(|(pipe, _)| is_tagged(pipe, number, above));
    let ends = tagged.filter_map(|(pipe, line)| {
        let end = if above { line.last() } else { line.first() };
        Some((*end?, &*pipe.tag))
    });
    let mut ends: Vec<(Point, &str)> = ends.collect();
    ends.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    for (i, (end, tag)) in ends.into_iter().enumerate() {
        let off = (i % rows) as f64 * TAG_LINE;
        let line = if above {
            end.y + TINY + 0.5 + off
        } else {
            end.y - 3.0 - off
        };
        ink.text("tiny middle soft", end.x, line, tag);
    }
}

fn class(pipe: &Pipe) -> String {
    let mut class = format!("pipe {} {}", pipe.role.word(), pipe.passing.word());
    for (is, word) in [(pipe.pushes, " pushes"), (pipe.traced, " traced")] {
        if is {
            class += word;
        }
    }
    class
}

/// A line through corners, each rounded.
pub(super) fn path(corners: &[Point]) -> String {
    let mut d = String::new();
    for (i, at) in corners.iter().enumerate() {
        let before = i.checked_sub(1).map(|i| &corners[i]);
        match (before, corners.get(i + 1)) {
            (None, _) => d += &format!("M{} {}", number(at.x), number(at.y)),
            (Some(before), Some(next)) => {
                let (a, b) = (toward(at, before), toward(at, next));
                d += &format!(
                    " L{} {} Q{} {} {} {}",
                    number(a.x),
                    number(a.y),
                    number(at.x),
                    number(at.y),
                    number(b.x),
                    number(b.y)
                );
            }
            (Some(_), None) => d += &format!(" L{} {}", number(at.x), number(at.y)),
        }
    }
    d
}

/// The point a bend's radius away from a corner, or half way where the stretch is short.
fn toward(corner: &Point, other: &Point) -> Point {
    let length = (other.x - corner.x).hypot(other.y - corner.y);
    let share = if length > 0.0 {
        (BEND / length).min(0.5)
    } else {
        0.0
    };
    Point {
        x: corner.x + (other.x - corner.x) * share,
        y: corner.y + (other.y - corner.y) * share,
    }
}

/// A triangle whose point lies at the end of a line.
fn head(corners: &[Point], at_end: bool, large: bool) -> Option<String> {
    let (tip, before) = match (at_end, corners) {
        (true, [.., before, tip]) | (false, [tip, before, ..]) => (tip, before),
        _ => return None,
    };
    let length = (tip.x - before.x).hypot(tip.y - before.y);
    if length == 0.0 {
        return None;
    }
    let (dx, dy) = ((tip.x - before.x) / length, (tip.y - before.y) / length);
    let (long, wide) = if large { (11.0, 6.5) } else { (8.0, 4.5) };
    let (x, y) = (tip.x - dx * long, tip.y - dy * long);
    Some(format!(
        "M{} {} L{} {} L{} {} Z",
        number(tip.x),
        number(tip.y),
        number(x - dy * wide),
        number(y + dx * wide),
        number(x + dy * wide),
        number(y - dx * wide)
    ))
}
