//! What may stand behind a key, and how it is read.

use std::ops::Range;

mod many;
mod plain;

pub(super) use many::{Boost, Each, Joined, List, OneOrMore, Pair};
pub(super) use plain::{CAVITY, Count, Flag, Name, Needs, Text, When, size, word};

use super::document::{Document, Node, Value};
use super::keys::Keys;
use super::{Code, Diagnostic, Location};
use crate::circuit::{article, join_or};
use crate::units::Spec;

/// Where the reader stands and what it has to complain about.
pub(in crate::sheet) struct Log<'l> {
    pub file: usize,
    pub text: &'l str,
    pub document: &'l Document,
    pub found: &'l mut Vec<Diagnostic>,
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

    /// The bytes of the file for some bytes of a text value; all of it where it has escapes.
    fn within(&self, node: &Node, text: &str, part: Range<usize>) -> Range<usize> {
        let inner = node.at.start + 1..node.at.end.saturating_sub(1);
        if self.text.get(inner.clone()) == Some(text) {
            inner.start + part.start..inner.start + part.end
        } else {
            node.at.clone()
        }
    }
}

/// What is wanted behind a key: enough to say it in words, and to describe the format.
#[derive(Clone)]
pub(in crate::sheet) enum Wanted {
    /// Free text.
    Text,
    /// A rule.
    Rule,
    /// The id of such a part.
    Name(&'static str),
    /// A size.
    Size(&'static Spec),
    /// One of some words.
    Word(Vec<&'static str>),
    /// True or false.
    Flag,
    /// A whole number from 1.
    Count,
    /// Two of something.
    Pair(Box<Wanted>),
    /// Any number of something.
    List(Box<Wanted>),
    /// One of something by id.
    Each(&'static str, Box<Wanted>),
    /// Either of two.
    Or(Box<Wanted>, Box<Wanted>),
    /// Keys of its own.
    Table(
        &'static str,
        #[cfg_attr(not(feature = "report"), allow(dead_code))] // only the schema looks
        fn() -> Keys,
    ),
}

impl Wanted {
    /// In the user's words.
    pub fn says(&self) -> String {
        match self {
            Wanted::Text => "a text".into(),
            Wanted::Rule => "a rule".into(),
            Wanted::Name(noun) => article(noun),
            Wanted::Size(spec) => format!("{} with its unit", article(spec.name)),
            Wanted::Word(_) => "a word".into(),
            Wanted::Flag => "true or false".into(),
            Wanted::Count => "a whole number".into(),
            Wanted::Pair(of) => format!("two {}", of.plural()),
            Wanted::List(of) => format!("a list of {}", of.plural()),
            Wanted::Each(noun, of) => format!("{} for each {noun}", of.says()),
            Wanted::Or(a, b) => format!("{} or {}", a.says(), b.says()),
            Wanted::Table(noun, _) => article(noun),
        }
    }

    fn plural(&self) -> String {
        match self {
            Wanted::Name("cavity") => "cavities".into(),
            Wanted::Name(noun) => format!("{}s", noun.replace(" or ", "s or ")),
            Wanted::List(of) => format!("lists of {}", of.plural()),
            Wanted::Text => "texts".into(),
            other => format!("{}s", other.says()),
        }
    }

    /// How it is written.
    pub fn example(&self) -> String {
        match self {
            Wanted::Text => "\"some words\"".into(),
            Wanted::Rule => "\"range-pilot and not lever.R\"".into(),
            Wanted::Name(noun) => match *noun {
                "cavity" => "\"line\"",
                "casting" => "\"case\"",
                "plate" => "\"separator-plate\"",
                "valve" => "\"shift-valve\"",
                _ => "\"its-id\"",
            }
            .into(),
            Wanted::Size(spec) => {
                let number = match spec.name {
                    "pressure" => 4.0,
                    "length" => 1.2,
                    _ => 9.0,
                };
                format!("\"{number} {}\"", spec.metric.name)
            }
            Wanted::Word(words) => format!("\"{}\"", words.first().unwrap_or(&"")),
            Wanted::Flag => "true".into(),
            Wanted::Count => "2".into(),
            Wanted::Pair(of) => match **of {
                Wanted::Name("cavity") => "[\"line\", \"lube-feed\"]".into(),
                _ => format!("[{0}, {0}]", of.example()),
            },
            Wanted::List(of) => format!("[{}]", of.example()),
            Wanted::Each(_, of) => format!("{{ its-id = {} }}", of.example()),
            Wanted::Or(a, _) => a.example(),
            Wanted::Table(..) => "{ ... }".into(),
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
        Wanted::Size(..) => Some(wanted),
        Wanted::Or(a, b) => [a, b]
            .into_iter()
            .map(|w| &**w)
            .find(|w| matches!(w, Wanted::Size(..))),
        _ => None,
    };
    if let (Value::Number, Some(Wanted::Size(spec))) = (&node.value, size) {
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
