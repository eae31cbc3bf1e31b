//! The legend: every colour, letter and sign that the drawing uses, and none that it does not.

use super::face::{LABEL, SIGN};
use super::sign;
use super::text::Ink;
use crate::draw::label::cut;
use crate::draw::picture::{Passing, Picture, Shape, Spool, Tank};
use crate::draw::role::Role;

/// Width of a column.
const COLUMN: f64 = 270.0;
/// From one entry to the next.
const ENTRY: f64 = 24.0;
/// Widest text of an entry.
const TEXT: f64 = COLUMN - 62.0;

/// An entry of the legend.
enum Entry {
    Role(Role),
    Shape(Shape, &'static str),
    Tank,
    Shut,
    Plate(String, String, bool),
    Step,
    Cut,
}

/// The entries a picture needs.
fn entries(picture: &Picture) -> Vec<Entry> {
    let mut entries = Vec::new();
    let items = || picture.items.iter();
    let roles = Role::ALL.into_iter();
    entries.extend(
        roles
            .filter(|role| items().any(|i| i.role == Some(*role)))
            .map(Entry::Role),
    );
    if picture.pipes.iter().any(|p| p.passing == Passing::Shut) {
        entries.push(Entry::Shut);
    }
    for (shape, words) in shapes() {
        let same = |other: &Shape| std::mem::discriminant(other) == std::mem::discriminant(&shape);
        let used = items().any(|i| match (&i.shape, &shape) {
            (Shape::Ball { sprung }, Shape::Ball { sprung: wanted }) => sprung == wanted,
            (other, _) => same(other),
        });
        if used {
            entries.push(Entry::Shape(shape, words));
        }
    }
    if items().any(|i| i.tank.is_some()) {
        entries.push(Entry::Tank);
    }
    if items().any(|i| !i.steps.is_empty()) {
        entries.push(Entry::Step);
    }
    if items().any(|i| i.cut) {
        entries.push(Entry::Cut);
    }
    let plates = picture.plates.iter();
    entries.extend(plates.map(|p| {
        let label = match &p.fault {
            Some(fault) => format!("{}: {fault}", p.label),
            None => p.label.clone(),
        };
        Entry::Plate(p.letter.clone(), label, p.fault.is_some())
    }));
    entries
}

fn shapes() -> Vec<(Shape, &'static str)> {
    let spool = Spool {
        ports: Vec::new(),
        joined: Vec::new(),
        spring: None,
    };
    vec![
        (Shape::Port, "port"),
        (Shape::Orifice, "metering hole"),
        (Shape::Clearance, "running clearance"),
        (Shape::Ball { sprung: false }, "one-way ball"),
        (Shape::Ball { sprung: true }, "sprung ball"),
        (Shape::Shuttle, "shuttle ball"),
        (Shape::Valve(spool), "spool valve, its ports in order"),
        (Shape::Regulator, "regulator"),
        (Shape::Relief, "relief valve"),
        (Shape::Solenoid, "solenoid"),
        (Shape::Source, "pump or pressure"),
        (Shape::Accumulator, "accumulator"),
        (Shape::Filter, "filter or screen"),
        (Shape::Converter, "converter"),
        (Shape::Cooler, "cooler"),
        (Shape::Pressed, "works by pressure"),
        (Shape::Oiled, "needs flow"),
        (Shape::Leak, "leak a fault opens"),
    ]
}

/// Height of the legend below a drawing of that width.
pub(super) fn height(picture: &Picture, wide: f64) -> f64 {
    let (_, rows) = grid(entries(picture).len(), wide);
    rows as f64 * ENTRY + 12.0
}

/// Columns and rows of so many entries.
fn grid(entries: usize, wide: f64) -> (usize, usize) {
    let columns = ((wide / COLUMN) as usize).max(1);
    (columns, entries.div_ceil(columns))
}

/// Draws the legend with its upper left corner there.
pub(super) fn legend(ink: &mut Ink, picture: &Picture, x: f64, y: f64, wide: f64) {
    let entries = entries(picture);
    let (_, rows) = grid(entries.len(), wide);
    ink.open(&[("class", "legend")]);
    for (i, entry) in entries.into_iter().enumerate() {
        let (column, row) = (i / rows.max(1), i % rows.max(1));
        let x = x + column as f64 * COLUMN;
        let y = y + 10.0 + row as f64 * ENTRY;
        draw(ink, entry, x, y);
    }
    ink.close();
}

fn draw(ink: &mut Ink, entry: Entry, x: f64, y: f64) {
    let words = match entry {
        Entry::Role(role) => {
            let word = role.word();
            ink.rect(&format!("swatch {word}"), [x, y + 2.0, 15.0, 15.0], 3.0);
            let class = format!("small middle on-{word}");
            ink.text(&class, x + 7.5, y + 13.2, &role.letter().to_string());
            let d = format!("M{} {mid} L{} {mid}", x + 19.0, x + 51.0, mid = y + 9.5);
            ink.open(&[("class", &format!("pipe {word} open"))]);
            if !matches!(role, Role::Drained | Role::Slack | Role::Undecided) {
                ink.path("wall", &d);
            }
            ink.path(&format!("core {word}"), &d);
            ink.close();
            role.meaning().to_owned()
        }
        Entry::Shape(shape, words) => {
            sign::sign(ink, &shape, x + 13.0, y);
            words.to_owned()
        }
        Entry::Tank => {
            sign::tank(ink, Tank::Drains, x + SIGN - 4.0, y + 1.0);
            "tank: the sump".to_owned()
        }
        Entry::Shut => {
            let d = format!("M{} {mid} L{} {mid}", x + 2.0, x + 51.0, mid = y + 9.5);
            ink.open(&[("class", "pipe shut")]);
            ink.path("core", &d);
            ink.close();
            "shut".to_owned()
        }
        Entry::Plate(letter, label, faulty) => {
            let (fill, text) = match faulty {
                true => ("fault", "tiny middle on-fault"),
                false => ("band", "tiny middle on-band"),
            };
            ink.rect(fill, [x + 10.0, y + 4.0, 30.0, 11.0], 0.0);
            ink.text(text, x + 25.0, y + 12.7, &letter);
            label
        }
        Entry::Step => {
            ink.rect("step", [x + 17.0, y + 2.0, 16.0, 16.0], 8.0);
            ink.text("small middle on-step", x + 25.0, y + 13.7, "1");
            "step of the oil's way".to_owned()
        }
        Entry::Cut => {
            for step in [-6.0, 0.0, 6.0] {
                ink.circle("more", x + 25.0 + step, y + 9.5, 1.3);
            }
            "more lies beyond".to_owned()
        }
    };
    ink.text("label", x + 57.0, y + 13.7, &cut(&words, TEXT / LABEL));
}
