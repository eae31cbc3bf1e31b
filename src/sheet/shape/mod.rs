//! How what stands behind a key is read.

use std::ops::Range;

mod many;
mod plain;

pub(super) use many::{Boost, Each, List, OneOrMore, Pair, Viscosity};
pub(super) use plain::{CAVITY, Count, Flag, Name, Needs, Text, When, size, toleranced, word};

use super::document::{Document, Node, Value};
use super::wanted::Wanted;
use super::{Code, Diagnostic, Location};
use crate::circuit::join_or;

/// Where the reader stands and what it has to complain about.
pub(in crate::sheet) struct Log<'l> {
    pub file: usize,
    pub text: &'l str,
    pub document: &'l Document,
    pub found: &'l mut Vec<Diagnostic>,
    /// How far sizes read so far may be off, by key, in their SI unit.
    pub tolerances: Vec<(String, f64)>,
}

impl Log<'_> {
    pub fn say(&mut self, code: Code, at: Range<usize>, message: String, remedy: String) {
        let at = Location::new(self.file, at);
        let said = Diagnostic::error(code, at, message, remedy);
        self.found.push(said);
    }

    /// Says what is wrong at one place together with others.
    pub fn say_at(
        &mut self,
        code: Code,
        at: Range<usize>,
        others: Vec<Range<usize>>,
        message: String,
        remedy: String,
    ) {
        let place = |at| Location::new(self.file, at);
        let mut said = Diagnostic::error(code, place(at), message, remedy);
        for other in others {
            said = said.and(place(other), "");
        }
        self.found.push(said);
    }

    /// Whether a word may stand in a part of the file that could not be read.
    pub fn may_say(&self, word: &str) -> bool {
        self.document.may_say(self.text, word)
    }

    /// The bytes of the file for some bytes of a quoted text; all of it where it has escapes.
    pub(in crate::sheet) fn within(
        &self,
        at: &Range<usize>,
        text: &str,
        part: Range<usize>,
    ) -> Range<usize> {
        let inner = at.start + 1..at.end.saturating_sub(1);
        if self.text.get(inner.clone()) == Some(text) {
            inner.start + part.start..inner.start + part.end
        } else {
            at.clone()
        }
    }
}

/// A kind of value, and how it is read. Whatever is wrong goes to the log.
pub(in crate::sheet) trait Shape {
    type Value;

    fn wanted(&self) -> Wanted;

    /// `key` is what it stands behind, for messages.
    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Self::Value>;

    /// Says that something else stands there.
    fn refuse<T>(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<T> {
        refuse(&self.wanted(), key, node, log);
        None
    }
}

fn refuse(wanted: &Wanted, key: &str, node: &Node, log: &mut Log<'_>) {
    let given = log.text.get(node.at.clone()).unwrap_or("");
    let size = match wanted {
        Wanted::Size(_) | Wanted::Toleranced(_) => Some(wanted),
        Wanted::Or(a, b) => [a, b]
            .into_iter()
            .map(|w| &**w)
            .find(|w| matches!(w, Wanted::Size(_))),
        _ => None,
    };
    if let (Value::Number, Some(Wanted::Size(spec) | Wanted::Toleranced(spec))) =
        (&node.value, size)
    {
        let quantity = spec.name;
        let units: Vec<String> = spec.accepts.iter().map(|u| (*u).to_owned()).collect();
        let message = format!("`{key}` has no unit");
        let remedy = format!(
            "write it with its unit, such as \"{given} {}\"; a {quantity} is in {}",
            units[0],
            join_or(&units)
        );
        return log.say(Code::BareNumber, node.at.clone(), message, remedy);
    }
    let is = match &node.value {
        Value::Text(_) => "one text",
        Value::Number => "a number",
        Value::Flag(_) => "true or false",
        Value::Date => "a date",
        Value::List(_) => "a list",
        Value::Table(_) => "a table",
    };
    let message = format!("`{key}` wants {}, not {is}", wanted.says());
    let remedy = match (wanted, &node.value) {
        (Wanted::List(_), Value::Text(_)) => format!("write {key} = [{given}]"),
        (Wanted::Text | Wanted::Name(_), Value::Number | Value::Date) => {
            format!("put it in quotes: {key} = \"{given}\"")
        }
        _ => format!("write it like {key} = {}", wanted.example()),
    };
    log.say(Code::WrongType, node.at.clone(), message, remedy);
}
