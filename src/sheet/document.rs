//! A file as a tree of values, each with its place in the text.

use std::ops::Range;

use ::toml::de::{DeTable, DeValue};
use indexmap::IndexMap;
use indexmap::map::Entry;

use super::syntax;
use super::{Code, Diagnostic, Location};

/// Rounds of repair before a file is given up: each mends at least one statement.
const ROUNDS: usize = 64;

/// One file, parsed as far as it can be.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Document {
    pub root: Table,
    /// Stretches of the text that could not be read.
    pub lost: Vec<Range<usize>>,
}

/// A value and the text it came from.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Node {
    pub at: Range<usize>,
    pub value: Value,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value {
    Text(String),
    Number,
    Flag(bool),
    Date,
    List(Vec<Node>),
    Table(Table),
}

/// Keys in file order.
pub(super) type Table = IndexMap<String, Item>;

/// A key and its value.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Item {
    pub key: Range<usize>,
    pub node: Node,
}

impl Node {
    /// The text from the first to the last thing in it: a table with a heading goes on below it.
    pub fn extent(&self) -> Range<usize> {
        let Value::Table(table) = &self.value else {
            return self.at.clone();
        };
        table.values().fold(self.at.clone(), |all, item| {
            let inner = item.node.extent();
            all.start.min(item.key.start)..all.end.max(inner.end)
        })
    }

    pub fn table(&self) -> Option<&Table> {
        match &self.value {
            Value::Table(table) => Some(table),
            _ => None,
        }
    }

    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }
}

impl Document {
    /// Parses a text, says everything that is wrong with it as TOML, and keeps all that is not.
    ///
    /// A broken statement is said once, blanked, and the rest parsed again, so that one open
    /// bracket does not hide or spoil what follows it. Blanking moves no byte.
    pub fn parse(file: usize, text: &str, log: &mut Vec<Diagnostic>) -> Document {
        let mut sound = text.to_owned();
        let mut lost = Vec::new();
        for _ in 0..ROUNDS {
            let (root, errors) = DeTable::parse_recoverable(&sound);
            let (twins, broken): (Vec<_>, Vec<_>) = errors
                .into_iter()
                .partition(|e| e.message() == "duplicate key");
            if broken.is_empty() {
                let twins: Vec<_> = twins.into_iter().filter_map(|e| e.span()).collect();
                let root = match twins[..] {
                    [] => Tree { file, text, log }.table(root.get_ref()),
                    _ => {
                        // With the second of two keys renamed, both are in the tree.
                        let apart = rename(&sound, &twins);
                        let (root, _) = DeTable::parse_recoverable(&apart);
                        Tree { file, text, log }.table(root.get_ref())
                    }
                };
                return Document { root, lost };
            }
            let mut blanked = sound.clone();
            for (found, range) in syntax::explain(&sound, &broken) {
                let at = Location::new(file, found.at);
                let said = Diagnostic::error(Code::Syntax, at, found.message, found.remedy);
                log.push(match found.end {
                    Some((at, label)) => said.and(Location::new(file, at), label),
                    None => said,
                });
                blank(&mut blanked, &range);
                lost.push(range);
            }
            sound = blanked;
        }
        Document {
            root: Table::new(),
            lost: std::iter::once(0..text.len()).collect(),
        }
    }

    /// Whether a word stands somewhere in the text that could not be read, so that nothing
    /// can be said of its absence.
    pub fn may_say(&self, text: &str, word: &str) -> bool {
        let inner = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
        let mut lost = self.lost.iter().filter_map(|range| text.get(range.clone()));
        lost.any(|lost| {
            lost.match_indices(word).any(|(at, _)| {
                !lost[..at].ends_with(inner) && !lost[at + word.len()..].starts_with(inner)
            })
        })
    }
}

fn blank(text: &mut String, range: &Range<usize>) {
    let blanks: String = text[range.clone()]
        .bytes()
        .map(|b| if b == b'\n' { '\n' } else { ' ' })
        .collect();
    text.replace_range(range.clone(), &blanks);
}

/// The text with each of these keys replaced by another of the same length.
fn rename(text: &str, keys: &[Range<usize>]) -> String {
    let mut bytes = text.as_bytes().to_vec();
    for (n, key) in keys.iter().enumerate() {
        let name = format!("{n:-<width$}", width = key.len());
        if name.len() == key.len() {
            bytes[key.clone()].copy_from_slice(name.as_bytes());
        } else {
            bytes[key.clone()].fill(b'-');
        }
    }
    // Keys lie between character boundaries, so this never fails.
    String::from_utf8(bytes).unwrap_or_default()
}

/// From the parser's tree to ours: in file order, names as the text has them.
struct Tree<'t> {
    file: usize,
    text: &'t str,
    log: &'t mut Vec<Diagnostic>,
}

impl Tree<'_> {
    fn table(&mut self, table: &DeTable<'_>) -> Table {
        let mut items: Vec<_> = table.iter().collect();
        items.sort_by_key(|(key, _)| key.span().start);
        let mut out = Table::new();
        for (key, value) in items {
            let at = key.span();
            let name = name(&self.text[at.clone()]).unwrap_or_else(|| key.to_string());
            let node = self.node(value.span(), value.get_ref());
            match out.entry(name) {
                Entry::Vacant(free) => {
                    free.insert(Item { key: at, node });
                }
                Entry::Occupied(taken) => {
                    let message = format!("`{}` stands here twice", taken.key());
                    let first = Location::new(self.file, taken.get().key.clone());
                    let remedy = "keep one, or give one another name".to_owned();
                    let at = Location::new(self.file, at);
                    self.log.push(
                        Diagnostic::error(Code::DuplicateKey, at, message, remedy)
                            .here("again here")
                            .and(first, "first here"),
                    );
                }
            }
        }
        out
    }

    fn node(&mut self, at: Range<usize>, value: &DeValue<'_>) -> Node {
        let value = match value {
            DeValue::String(text) => Value::Text(text.to_string()),
            DeValue::Integer(_) | DeValue::Float(_) => Value::Number,
            DeValue::Boolean(flag) => Value::Flag(*flag),
            DeValue::Datetime(_) => Value::Date,
            DeValue::Array(list) => Value::List(
                list.iter()
                    .map(|item| self.node(item.span(), item.get_ref()))
                    .collect(),
            ),
            DeValue::Table(table) => Value::Table(self.table(table)),
        };
        Node { at, value }
    }
}

/// A key's name from its text. Only quoted keys need a parser.
fn name(raw: &str) -> Option<String> {
    if !raw.starts_with(['"', '\'']) {
        return Some(raw.to_owned());
    }
    let line = format!("{raw} = 0");
    let table = DeTable::parse(&line).ok()?;
    table.get_ref().keys().next().map(|key| key.to_string())
}
