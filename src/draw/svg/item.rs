//! An item: a rounded cell for a cavity, a card with a sign for a part.

use super::face::{
    Face, JOIN, LABEL, LETTER, LINE, PAD, PORT, Row, SIGN, SMALL, SMALL_LINE, entered, fault_text,
    letters, levels, mark_width, spool_width, steps_text, verdict_word,
};
use super::sign;
use super::text::{Ink, number};
use crate::answer::Verdict;
use crate::circuit::Kind;
use crate::draw::label::width;
use crate::draw::layout::Rect;
use crate::draw::picture::{Item, Over, Picture, Shape, Spool, Tank};

/// Draws an item of a picture where it was placed. Ids of elements start with `prefix`.
pub(super) fn item(ink: &mut Ink, picture: &Picture, at: usize, place: &Rect, prefix: &str) {
    let item = &picture.items[at];
    let face = Face::of(picture, at);
    let id = format!("{prefix}{}", item.key);
    let part = item.name.to_string();
    let class = class(item);
    let mut attributes = vec![("id", &*id), ("class", &*class)];
    match item.name.kind {
        Kind::Passage if item.shape == Shape::Cavity => {
            attributes.push(("data-cavity", &item.name.id));
        }
        _ => attributes.push(("data-part", &part)),
    }
    let role = item.role.map(|r| r.word());
    attributes.extend(role.map(|word| ("data-role", word)));
    let verdict = item.verdict.map(verdict_class);
    attributes.extend(verdict.map(|word| ("data-verdict", word)));
    ink.open(&attributes);
    ink.title(&item.title);
    frame(ink, item, place);
    let mut y = place.y + (place.height - face.height) / 2.0 + PAD / 2.0;
    let middle = place.x + place.width / 2.0;
    for (row, height) in &face.rows {
        match row {
            Row::Tank => {
                if let Some(tank) = item.tank {
                    // Beside the pipes that meet the same border, or it would seem a part of one.
                    let mut pipes = picture.pipes.iter();
                    let shared = match tank {
                        Tank::Draws => pipes.any(|p| p.to == at),
                        Tank::Drains => pipes.any(|p| p.from == at),
                    };
                    let x = if shared { place.x + 16.0 } else { middle };
                    sign::tank(ink, tank, x, y);
                }
            }
            Row::Casting => {
                let casting = entered(picture, at).unwrap_or_default();
                ink.text("tiny middle", middle, y + 9.0, &casting);
            }
            // Tags stand at the ends of the pipes, which know where.
            Row::Tags => {}
            Row::Band(over) => band(ink, picture, item, *over, place, y),
            Row::Name => name(ink, item, place, y),
            Row::Spool => {
                if let Shape::Valve(spool) = &item.shape {
                    draw_spool(ink, spool, middle, y);
                }
            }
            Row::Chips => chips(ink, item, place, y),
            Row::Fault => {
                let fault = item.fault.as_deref().unwrap_or_default();
                mark(ink, "fault", &fault_text(fault), middle, y);
            }
            Row::Verdict => {
                if let Some(verdict) = item.verdict {
                    outcome(ink, verdict, middle, y);
                }
            }
            Row::Cut => {
                for step in [-6.0, 0.0, 6.0] {
                    ink.circle("more", middle + step, y + 2.5, 1.3);
                }
            }
        }
        y += height;
    }
    ink.close();
}

fn class(item: &Item) -> String {
    let shape = match &item.shape {
        Shape::Cavity => "cavity",
        Shape::Pressed | Shape::Oiled => "outlet",
        Shape::Leak => "leak",
        _ => item.name.kind.word(),
    };
    let mut class = format!("item {shape} {}", item.passing.word());
    for (is, word) in [
        (item.fault.is_some(), " faulty"),
        (item.cut, " cut"),
        (!item.steps.is_empty(), " traced"),
    ] {
        if is {
            class += word;
        }
    }
    class
}

/// The word of a verdict as data: what an answer calls it.
fn verdict_class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::OnWhenOff => "on-when-off",
        Verdict::Kept => "kept",
        other => verdict_word(other),
    }
}

fn frame(ink: &mut Ink, item: &Item, place: &Rect) {
    let (class, round) = match (&item.shape, item.role) {
        (Shape::Cavity, Some(role)) => (format!("face cell {}", role.word()), 9.0),
        _ => ("face card".to_owned(), 2.0),
    };
    let Rect {
        x,
        y,
        width,
        height,
    } = *place;
    ink.rect(&class, [x, y, width, height], round);
}

fn name(ink: &mut Ink, item: &Item, place: &Rect, y: f64) {
    let labels = item.label.iter().map(|l| width(l) * LABEL);
    let detail = item.detail.iter().map(|d| width(d) * SMALL);
    let text = labels.chain(detail).fold(0.0, f64::max);
    let steps = steps_text(item);
    let before = match item.steps[..] {
        [] => 0.0,
        _ => mark_width(&steps, SMALL) + 4.0,
    };
    let sign_width = if item.shape == Shape::Cavity {
        LETTER
    } else {
        SIGN
    };
    let mut x = place.x + (place.width - before - sign_width - text) / 2.0;
    let lines = item.label.len() as f64 * LINE;
    let tall = lines + item.detail.as_ref().map_or(0.0, |_| SMALL_LINE);
    let middle = y + (tall.max(20.0) + PAD) / 2.0;
    if before > 0.0 {
        let wide = before - 4.0;
        ink.rect("step", [x, middle - 8.0, wide, 16.0], 8.0);
        ink.text("small middle on-step", x + wide / 2.0, middle + 3.7, &steps);
        x += before;
    }
    match item.role {
        Some(role) if item.shape == Shape::Cavity => {
            let word = role.word();
            ink.rect(
                &format!("swatch {word}"),
                [x, middle - 7.5, 15.0, 15.0],
                3.0,
            );
            let class = format!("small middle on-{word}");
            ink.text(&class, x + 7.5, middle + 3.7, &role.letter().to_string());
        }
        _ => sign::sign(ink, &item.shape, x, middle - 10.0),
    }
    x += sign_width;
    let mut line = middle - tall / 2.0;
    for label in &item.label {
        ink.text("label", x, line + 11.0, label);
        line += LINE;
    }
    if let Some(detail) = &item.detail {
        ink.text("small soft", x, line + 9.5, detail);
    }
}

/// The plates over an item or that it passes, a stretch of the band for each.
fn band(ink: &mut Ink, picture: &Picture, item: &Item, over: Over, place: &Rect, y: f64) {
    let letters = letters(picture, item, over);
    let wide = (place.width - 2.0 * PAD) / letters.len() as f64;
    for (i, (plate, letter)) in letters.into_iter().enumerate() {
        let plate = &picture.plates[plate];
        let x = place.x + PAD + i as f64 * wide;
        let part = format!("plate.{}", plate.id);
        let faulty = plate.fault.is_some();
        let class = if faulty { "plate faulty" } else { "plate" };
        ink.open(&[("class", class), ("data-part", &part)]);
        ink.title(&plate.label);
        let (fill, text) = match faulty {
            true => ("face fault", "tiny middle on-fault"),
            false => ("face band", "tiny middle on-band"),
        };
        ink.rect(fill, [x, y, wide, 11.0], 0.0);
        let letter = match faulty {
            true => format!("{letter} ×"),
            false => letter.to_owned(),
        };
        ink.text(text, x + wide / 2.0, y + 8.7, &letter);
        ink.close();
    }
}

fn draw_spool(ink: &mut Ink, spool: &Spool, middle: f64, y: f64) {
    let wide = spool_width(spool);
    let before = if spool.spring == Some(0) { 14.0 } else { 0.0 };
    let left = middle - wide / 2.0 + before;
    ink.open(&[("class", "sign spool")]);
    for (i, sump) in spool.ports.iter().enumerate() {
        let x = left + i as f64 * PORT;
        ink.rect("port", [x, y, PORT, 13.0], 0.0);
        if *sump {
            let d = format!(
                "M{} {} L{} {} L{} {} L{} {}",
                number(x + 4.0),
                number(y + 4.0),
                number(x + 4.0),
                number(y + 9.5),
                number(x + 12.0),
                number(y + 9.5),
                number(x + 12.0),
                number(y + 4.0),
            );
            ink.path("sump", &d);
        }
    }
    for ([from, to], level) in spool.joined.iter().zip(levels(spool)) {
        let [from, to] = [from, to].map(|i| left + (*i as f64 + 0.5) * PORT);
        let low = y + 13.0 + (level as f64 + 1.0) * JOIN;
        // Two that share a port do not share their upright.
        let d = format!(
            "M{} {} L{} {} L{} {} L{} {}",
            number(from + 2.0),
            number(y + 13.0),
            number(from + 2.0),
            number(low),
            number(to - 2.0),
            number(low),
            number(to - 2.0),
            number(y + 13.0),
        );
        ink.path("land", &d);
    }
    if let Some(spring) = spool.spring {
        let x = match spring {
            0 => left - 13.0,
            _ => left + spool.ports.len() as f64 * PORT + 1.0,
        };
        let d = format!(
            "M{} {y1} L{} {y2} L{} {y1} L{} {y2} L{} {y1}",
            number(x),
            number(x + 3.0),
            number(x + 6.0),
            number(x + 9.0),
            number(x + 12.0),
            y1 = number(y + 3.0),
            y2 = number(y + 10.0),
        );
        ink.path("line", &d);
    }
    ink.close();
    for (i, sump) in spool.ports.iter().enumerate() {
        if !sump {
            let x = left + (i as f64 + 0.5) * PORT;
            ink.text("tiny middle", x, y + 9.8, &(i + 1).to_string());
        }
    }
}

fn chips(ink: &mut Ink, item: &Item, place: &Rect, y: f64) {
    let widest = item.chips.iter().map(|c| {
        let fault = c
            .fault
            .as_ref()
            .map_or(0.0, |f| width(&fault_text(f)) + 1.0);
        14.0 + (width(&c.label) + fault) * SMALL
    });
    let left = place.x + (place.width - widest.fold(0.0, f64::max)) / 2.0;
    for (i, chip) in item.chips.iter().enumerate() {
        let line = y + i as f64 * SMALL_LINE;
        let part = chip.name.to_string();
        let class = match chip.fault {
            Some(_) => "chip faulty",
            None => "chip",
        };
        ink.open(&[("class", class), ("data-part", &part)]);
        ink.title(&chip.title);
        ink.open_at("sign", left, line + 1.0);
        let (class, d) = match chip.name.kind {
            // A plug seen from its end, a pair of contacts, the section of a ring.
            Kind::Tap => ("line", "M5 1 A4 4 0 1 1 4.99 1 Z M5 3 L5 7 M3 5 L7 5"),
            Kind::Switch => ("line", "M0 8 L3 8 L9 3 M7 8 L10 8"),
            _ => ("full", "M5 1.5 A3.5 3.5 0 1 1 4.99 1.5 Z"),
        };
        ink.path(class, d);
        ink.close();
        ink.text("small", left + 14.0, line + 9.5, &chip.label);
        if let Some(fault) = &chip.fault {
            let x = left + 14.0 + width(&chip.label) * SMALL + 4.0;
            ink.text("small", x, line + 9.5, &fault_text(fault));
        }
        ink.close();
    }
}

/// A word on a ground of its own.
fn mark(ink: &mut Ink, ground: &str, text: &str, middle: f64, y: f64) {
    let wide = mark_width(text, SMALL);
    ink.rect(ground, [middle - wide / 2.0, y, wide, 14.0], 3.0);
    ink.text(&format!("small middle on-{ground}"), middle, y + 10.5, text);
}

/// What became of an outlet.
fn outcome(ink: &mut Ink, verdict: Verdict, middle: f64, y: f64) {
    let word = verdict_word(verdict);
    let ground = match verdict {
        Verdict::Starved => "fault",
        Verdict::OnWhenOff | Verdict::Late => "trapped",
        Verdict::Weakened | Verdict::Harsh => "contested",
        Verdict::Undecided => "undecided",
        Verdict::Kept => "supply",
        Verdict::Off => {
            ink.text("small middle soft", middle, y + 10.5, word);
            return;
        }
    };
    match ground {
        "fault" => mark(ink, ground, word, middle, y),
        role => {
            let wide = mark_width(word, SMALL);
            let class = format!("swatch {role}");
            ink.rect(&class, [middle - wide / 2.0, y, wide, 14.0], 3.0);
            ink.text(&format!("small middle on-{role}"), middle, y + 10.5, word);
        }
    }
}
