//! The circuit file that a list becomes, and where each piece of it came from.

use std::ops::Range;

use indexmap::IndexMap;

use super::at;
use super::row::{Row, What, id, is_sump};
use super::table::{Cell, Column};
use crate::circuit::{Kind, SUMP};
use crate::sheet::toml::quote as quoted;
use crate::sheet::{Code, Diagnostic, Location};

/// Where cavities stand that no column puts anywhere.
const USUAL_CASTING: &str = "block";

/// A cavity: its casting and where both were first read.
struct Passage {
    label: Option<String>,
    casting: String,
    /// Whether a column said so.
    said: bool,
    at: Range<usize>,
}

/// A plate that ways go through or lie under.
struct Plate {
    kind: &'static str,
    label: Option<String>,
    at: Range<usize>,
}

/// What is gathered while lines are taken.
#[derive(Default)]
pub(super) struct Draft {
    passages: IndexMap<String, Passage>,
    plates: IndexMap<String, Plate>,
    /// For each kind the parts: id, entry.
    parts: IndexMap<&'static str, Vec<(String, Entry)>>,
}

/// The keys of a part, each written out with where it came from.
struct Entry {
    at: Range<usize>,
    keys: Vec<(&'static str, String, Range<usize>)>,
}

/// Stretches of the written text, and where each came from.
#[derive(Default)]
pub(super) struct Spans(Vec<(Range<usize>, Range<usize>)>);

impl Spans {
    /// Where a stretch of the written text came from: the smallest piece that holds its beginning.
    pub fn place(&self, of: Range<usize>) -> Location {
        let around = self.0.iter().filter(|(here, _)| here.contains(&of.start));
        let least = around.min_by_key(|(here, _)| here.len());
        at(least.map_or(&(0..0), |(_, from)| from))
    }
}

impl Draft {
    /// Takes a line; what contradicts an earlier one goes to `wrong`.
    pub fn take(&mut self, row: &Row<'_>, wrong: &mut Vec<Diagnostic>) {
        let from = row
            .from
            .map(|cell| self.cavity(cell, row.cell(Column::FromCasting), wrong));
        let goes_on = !matches!(row.what, What::Outlet(_) | What::Gauge(_));
        let to = row
            .to
            .filter(|_| goes_on)
            .map(|cell| self.cavity(cell, row.cell(Column::ToCasting), wrong));
        let mut entry = Entry {
            at: row.kind.at.clone(),
            keys: Vec::new(),
        };
        let ends: Vec<(String, Range<usize>)> =
            from.clone().into_iter().chain(to.clone()).collect();
        let kind = match row.what {
            What::Between(kind) => {
                let both = ends
                    .iter()
                    .map(|(text, _)| text.as_str())
                    .collect::<Vec<_>>();
                let reach = ends[0].1.start..ends[ends.len() - 1].1.end;
                entry
                    .keys
                    .push(("between", format!("[{}]", both.join(", ")), reach));
                kind.word()
            }
            What::Ball => {
                entry.end("from", from);
                entry.end("to", to);
                Kind::Ball.word()
            }
            What::Relief => {
                entry.end("on", from);
                entry.end("to", to);
                Kind::Relief.word()
            }
            What::Source => {
                entry.end("feeds", to);
                entry.end("draws", from.filter(|(text, _)| *text != quoted(SUMP)));
                Kind::Source.word()
            }
            What::Outlet(kind) => {
                entry
                    .keys
                    .push(("kind", quoted(kind.word()), row.kind.at.clone()));
                entry.end("at", from);
                Kind::Outlet.word()
            }
            What::Gauge(kind) => {
                entry.end("at", from);
                kind.word()
            }
        };
        for (column, key) in [
            (Column::Bore, "bore"),
            (Column::Needs, "needs"),
            (Column::Label, "label"),
        ] {
            if let Some(cell) = row.cell(column) {
                entry.keys.push((key, quoted(&cell.text), cell.at.clone()));
            }
        }
        if let Some(cell) = row.cell(Column::Plate) {
            let plates = cell.text.split('+');
            let plates = plates.map(|one| self.plate(one, "separator", cell));
            let plates = format!("[{}]", plates.collect::<Vec<String>>().join(", "));
            entry.keys.push(("through", plates, cell.at.clone()));
        }
        if let Some(cell) = row.cell(Column::Under) {
            let cover = self.plate(&cell.text, "cover", cell);
            entry.keys.push(("under", cover, cell.at.clone()));
        }
        let (name, label) = match (row.cell(Column::Id), goes_on) {
            (Some(cell), _) => (id(&cell.text), label(&cell.text)),
            (None, false) => row
                .to
                .map_or_else(Default::default, |c| (id(&c.text), label(&c.text))),
            (None, true) => (self.free(kind, row), None),
        };
        if let (Some(label), None) = (label, row.cell(Column::Label)) {
            entry
                .keys
                .push(("label", quoted(&label), row.kind.at.clone()));
        }
        self.parts.entry(kind).or_default().push((name, entry));
    }

    /// An id for a way that has none: its two ends, and a number where that is taken.
    fn free(&self, kind: &str, row: &Row<'_>) -> String {
        let ends = [row.from, row.to].into_iter().flatten();
        let ends: Vec<String> = ends.map(|cell| id(&cell.text)).collect();
        let name = match kind {
            "source" => "pump".to_owned(),
            _ => ends.join("-"),
        };
        let taken = |name: &String| {
            let parts = self.parts.get(kind).into_iter().flatten();
            parts.clone().any(|(known, _)| known == name)
        };
        let numbered = (2..).map(|number| format!("{name}-{number}"));
        let mut names = std::iter::once(name.clone()).chain(numbered);
        names.find(|name| !taken(name)).unwrap_or_default()
    }

    /// Notes a cavity, and gives it as it is mentioned.
    fn cavity(
        &mut self,
        cell: &Cell,
        casting: Option<&Cell>,
        wrong: &mut Vec<Diagnostic>,
    ) -> (String, Range<usize>) {
        let mention = (quoted(&id(&cell.text)), cell.at.clone());
        if is_sump(cell) {
            return mention;
        }
        let passage = self
            .passages
            .entry(id(&cell.text))
            .or_insert_with(|| Passage {
                label: label(&cell.text),
                casting: USUAL_CASTING.to_owned(),
                said: false,
                at: cell.at.clone(),
            });
        if let Some(casting) = casting {
            let said = id(&casting.text);
            if passage.said && passage.casting != said {
                let message = format!("`{}` cannot lie in `{said}` too", cell.text);
                let remedy = format!("an earlier line puts it in `{}`", passage.casting);
                let diagnostic =
                    Diagnostic::error(Code::DuplicateId, at(&casting.at), message, remedy);
                wrong.push(diagnostic.and(at(&passage.at), "there"));
            }
            (passage.casting, passage.said) = (said, true);
        }
        mention
    }

    fn plate(&mut self, text: &str, kind: &'static str, cell: &Cell) -> String {
        let text = text.trim();
        let kind = match text.to_lowercase() {
            text if text.contains("gasket") => "gasket",
            _ => kind,
        };
        self.plates.entry(id(text)).or_insert_with(|| Plate {
            kind,
            label: label(text),
            at: cell.at.clone(),
        });
        quoted(&id(text))
    }

    /// The whole file, and where its pieces came from.
    pub fn finish(self) -> (String, Spans) {
        let mut text = Text::default();
        let mut castings: IndexMap<&str, Vec<(&String, &Passage)>> = IndexMap::new();
        for (id, passage) in &self.passages {
            castings
                .entry(&passage.casting)
                .or_default()
                .push((id, passage));
        }
        text.raw("[casting]\n");
        for (casting, passages) in castings {
            text.raw(&format!("{} = {{ passages = [", quoted(casting)));
            for (id, passage) in passages {
                text.from(&quoted(id), &passage.at);
                text.raw(", ");
            }
            text.raw("] }\n");
        }
        text.raw("[passage]\n");
        for (id, passage) in &self.passages {
            if let Some(label) = &passage.label {
                text.from(
                    &format!("{} = {{ label = {} }}", quoted(id), quoted(label)),
                    &passage.at,
                );
                text.raw("\n");
            }
        }
        text.raw("[plate]\n");
        for (id, plate) in &self.plates {
            let label = plate
                .label
                .iter()
                .map(|label| format!(", label = {}", quoted(label)));
            let label: String = label.collect();
            text.from(
                &format!("{} = {{ kind = \"{}\"{label} }}", quoted(id), plate.kind),
                &plate.at,
            );
            text.raw("\n");
        }
        for (kind, parts) in &self.parts {
            text.raw(&format!("[{kind}]\n"));
            for (id, entry) in parts {
                text.from(&quoted(id), &entry.at);
                text.raw(" = { ");
                for (key, value, at) in &entry.keys {
                    text.from(&format!("{key} = {value}"), at);
                    text.raw(", ");
                }
                text.raw("}\n");
            }
        }
        (text.text, Spans(text.spans))
    }
}

impl Entry {
    fn end(&mut self, key: &'static str, end: Option<(String, Range<usize>)>) {
        if let Some((text, at)) = end {
            self.keys.push((key, text, at));
        }
    }
}

/// A text as it grows.
#[derive(Default)]
struct Text {
    text: String,
    spans: Vec<(Range<usize>, Range<usize>)>,
}

impl Text {
    fn raw(&mut self, text: &str) {
        self.text.push_str(text);
    }

    fn from(&mut self, text: &str, at: &Range<usize>) {
        let start = self.text.len();
        self.text.push_str(text);
        self.spans.push((start..self.text.len(), at.clone()));
    }
}

/// What people call something, where its id says less.
fn label(text: &str) -> Option<String> {
    (id(text) != text).then(|| text.to_owned())
}
