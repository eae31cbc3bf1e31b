//! Through the files of a sheet, part by part.

use super::document::{Document, Item, Table, Value};
use super::fields::Fields;
use super::files::{Files, cavity_id};
use super::shape::{List, Log, Name, Shape, Text};
use super::wanted::Wanted;
use super::{Code, Diagnostic, Location, kinds};
use crate::circuit::{Circuit, Kind, PartName, Place, join_or, nearest};

/// The circuit that the files describe, and everything wrong with them, what was found before
/// included. A part that cannot be read is there all the same, so that no mention of it is
/// called unknown.
pub(super) fn walk(files: &Files, found: Vec<Diagnostic>) -> (Circuit, Vec<Diagnostic>) {
    let mut walk = Walk {
        files,
        circuit: Circuit::default(),
        found,
    };
    for (file, document) in files.documents.iter().enumerate() {
        walk.top(file, document);
    }
    for kind in Kind::ALL {
        for (file, document) in files.documents.iter().enumerate() {
            if let Some(item) = document.root.get(kind.word()) {
                walk.kind(file, *kind, item);
            }
        }
    }
    (walk.circuit, walk.found)
}

/// The files a file includes.
pub(super) const INCLUDE: List<Text> = List(Text);
const LEVER: List<Name> = List(Name("detent"));

/// A top-level key that is no kind of part: what it says, and how.
pub(super) struct Top {
    pub key: &'static str,
    #[cfg_attr(not(feature = "report"), allow(dead_code))] // only the schema looks
    pub about: &'static str,
    #[cfg_attr(not(feature = "report"), allow(dead_code))] // only the schema looks
    pub wanted: fn() -> Wanted,
}

pub(super) const TOP: [Top; 4] = [
    Top {
        key: "title",
        about: "What the circuit is, in a line",
        wanted: || Text.wanted(),
    },
    Top {
        key: "note",
        about: "Anything worth knowing about the whole: its source, its doubts",
        wanted: || Text.wanted(),
    },
    Top {
        key: "include",
        about: "Other files to read with this one, from the folder this one is in",
        wanted: || INCLUDE.wanted(),
    },
    Top {
        key: "lever",
        about: "Detents of the selector lever, in the order it passes them",
        wanted: || LEVER.wanted(),
    },
];

struct Walk<'w> {
    files: &'w Files,
    circuit: Circuit,
    found: Vec<Diagnostic>,
}

impl Walk<'_> {
    fn log(&mut self, file: usize) -> Log<'_> {
        Log {
            file,
            text: &self.files.sources[file].text,
            document: &self.files.documents[file],
            found: &mut self.found,
            tolerances: Vec::new(),
        }
    }

    fn top(&mut self, file: usize, document: &Document) {
        for (key, item) in &document.root {
            match key.as_str() {
                // A title or note of an included file is about that file alone.
                "title" | "note" => {
                    let text = Text.read(key, &item.node, &mut self.log(file));
                    match key.as_str() {
                        "title" if file == 0 => self.circuit.title = text,
                        _ if file == 0 => self.circuit.note = text,
                        _ => {}
                    }
                }
                "lever" => {
                    let detents = LEVER.read(key, &item.node, &mut self.log(file));
                    let place = Place::default().then("lever");
                    let first = self.files.locate(&place);
                    match first.filter(|first| first.file != file) {
                        Some(first) => {
                            let message = "`lever` stands in two files".to_owned();
                            self.twice(Code::DuplicateKey, file, item, first, message);
                        }
                        // A detent that cannot be read stays, empty: which ones there are is
                        // then unknown.
                        None => self.circuit.lever = detents.unwrap_or(vec![String::new()]),
                    }
                }
                "include" => {}
                _ if key.parse::<Kind>().is_ok() => {}
                _ => self.stranger(file, key, item),
            }
        }
    }

    /// A top-level key that means nothing.
    fn stranger(&mut self, file: usize, key: &str, item: &Item) {
        let kinds = || Kind::ALL.iter().map(|kind| kind.word());
        let top = || TOP.iter().map(|top| top.key);
        let (code, message, all): (_, _, Vec<&str>) = if item.node.table().is_some() {
            let message = format!("`{key}` is no kind of part");
            (Code::UnknownKind, message, kinds().collect())
        } else {
            let message = format!("a circuit has no key `{key}`");
            (Code::UnknownKey, message, top().collect())
        };
        let remedy = match nearest(key, top().chain(kinds())).first() {
            Some(best) => format!("did you mean `{best}`?"),
            None => {
                let all: Vec<String> = all.iter().map(|w| format!("`{w}`")).collect();
                format!("it can be {}", join_or(&all))
            }
        };
        self.log(file).say(code, item.key.clone(), message, remedy);
    }

    fn kind(&mut self, file: usize, kind: Kind, item: &Item) {
        let Value::Table(parts) = &item.node.value else {
            let message = format!("`{kind}` wants parts by their ids");
            let remedy = format!("write a header for each, such as [{kind}.its-id]");
            let at = match &item.node.value {
                Value::List(_) => item.key.clone(),
                _ => item.node.at.clone(),
            };
            return self.log(file).say(Code::WrongType, at, message, remedy);
        };
        for (id, item) in parts {
            self.part(file, kind, id, item);
        }
    }

    fn part(&mut self, file: usize, kind: Kind, id: &str, item: &Item) {
        let name = PartName::new(kind, id);
        let first = self.files.part(&name).filter(|first| first.file != file);
        if let Some(first) = first {
            let message = format!("{kind} `{id}` stands in two files");
            let first = Location::new(first.file, first.key);
            return self.twice(Code::DuplicateId, file, item, first, message);
        }
        let listed = kind != Kind::Passage || self.circuit.passages.contains_key(id);
        let empty = Table::new();
        let what = format!("{kind} `{id}`");
        let files = self.files;
        let mut log = Log {
            file,
            text: &files.sources[file].text,
            document: &files.documents[file],
            found: &mut self.found,
            tolerances: Vec::new(),
        };
        match item.node.table() {
            Some(table) => {
                let mut fields = Fields::new(&what, table, &item.key, &mut log);
                kinds::part(kind, id, &mut fields, &mut self.circuit);
                fields.finish();
            }
            None => {
                let message = format!("{what} wants its keys in braces");
                let remedy = format!("write {id} = {{ ... }}, or its keys under [{kind}.{id}]");
                log.say(Code::WrongType, item.node.at.clone(), message, remedy);
                let mut fields = Fields::new(&what, &empty, &item.key, &mut log);
                kinds::part(kind, id, &mut fields, &mut self.circuit);
            }
        }
        let off = std::mem::take(&mut log.tolerances).into_iter();
        let off = off.map(|(key, off)| ((name.clone(), key), off));
        self.circuit.tolerances.extend(off);
        if kind == Kind::Casting {
            self.passages(file, id, item);
        }
        if !listed {
            self.unlisted(file, id, item);
        }
    }

    /// Declares the passages that a casting lists.
    fn passages(&mut self, file: usize, casting: &str, item: &Item) {
        let list = item.node.table().and_then(|t| t.get("passages"));
        let Some(Value::List(items)) = list.map(|item| &item.node.value) else {
            return;
        };
        for node in items {
            let id = node.text().map(cavity_id).unwrap_or_default();
            if id.is_empty() {
                continue;
            }
            match self.circuit.passages.get(id) {
                None => {
                    let passage = crate::circuit::Passage {
                        casting: casting.to_owned(),
                        ..Default::default()
                    };
                    self.circuit.passages.insert(id.to_owned(), passage);
                }
                Some(first) => {
                    let message = if first.casting == casting {
                        format!("casting `{casting}` lists passage `{id}` twice")
                    } else {
                        format!(
                            "passage `{id}` lies in two castings, `{}` and `{casting}`",
                            first.casting
                        )
                    };
                    let place = Place::of(PartName::new(Kind::Passage, id));
                    let remedy = "keep one, or give one another id".to_owned();
                    let at = Location::new(file, node.at.clone());
                    let said = Diagnostic::error(Code::DuplicateId, at, message, remedy);
                    self.found.push(match self.files.locate(&place) {
                        Some(first) => said.here("again here").and(first, "first here"),
                        None => said,
                    });
                }
            }
        }
    }

    /// Details of a passage that no casting lists: a slip of the pen if it is nearly one that is
    /// listed; else it is taken for forgotten, and mentions of it are no news.
    fn unlisted(&mut self, file: usize, id: &str, item: &Item) {
        let listed = self.circuit.passages.iter();
        let listed = listed.filter(|(_, passage)| !passage.casting.is_empty());
        let near = nearest(id, listed.map(|(id, _)| id.as_str()));
        let remedy = match near.first() {
            Some(best) => {
                self.circuit.passages.shift_remove(id);
                format!("did you mean `{best}`?")
            }
            None => format!("add \"{id}\" to the `passages` of the casting it lies in"),
        };
        let files = self.files;
        let mut both = files.sources.iter().zip(&files.documents);
        if both.any(|(source, document)| document.may_say(&source.text, id)) {
            return;
        }
        let message = format!("no casting lists a passage `{id}`");
        let at = item.key.clone();
        self.log(file)
            .say(Code::UnlistedPassage, at, message, remedy);
    }

    fn twice(&mut self, code: Code, file: usize, item: &Item, first: Location, message: String) {
        let at = Location::new(file, item.key.clone());
        let remedy = "keep one, or give one another id".to_owned();
        let said = Diagnostic::error(code, at, message, remedy);
        self.found
            .push(said.here("again here").and(first, "first here"));
    }
}
