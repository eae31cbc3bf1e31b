//! The keys of one table, asked for one by one.

use std::ops::Range;

use super::Code;
use super::document::{Item, Node, Table};
use super::shape::{Log, Shape, Text, Wanted};
use crate::circuit::{self, join_or, nearest};

/// A key that a table may have.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Asked {
    pub key: &'static str,
    pub wanted: Wanted,
    pub required: bool,
}

/// Reads a table key by key. What is wrong with a value is said when it is asked for; what is
/// wrong with the table as a whole (keys missing, or never asked for) when it is finished.
pub(super) struct Fields<'f, 'l> {
    /// What the table is, for messages: "outlet `pto`".
    what: &'f str,
    table: &'f Table,
    /// Where to say what is missing.
    at: &'f Range<usize>,
    log: &'f mut Log<'l>,
    asked: Vec<Asked>,
    /// Sets of keys of which exactly one must be there.
    choices: Vec<Vec<&'static [&'static str]>>,
    /// Keys that were looked at but belong to nothing the reader knows, such as positions.
    taken: Vec<&'f str>,
    /// What else to say of a key never asked for.
    hint: Option<String>,
}

impl<'f, 'l> Fields<'f, 'l> {
    pub fn new(
        what: &'f str,
        table: &'f Table,
        at: &'f Range<usize>,
        log: &'f mut Log<'l>,
    ) -> Self {
        Fields {
            what,
            table,
            at,
            log,
            asked: Vec::new(),
            choices: Vec::new(),
            taken: Vec::new(),
            hint: None,
        }
    }

    /// The value of a key that need not be there.
    pub fn may<S: Shape>(&mut self, key: &'static str, shape: S) -> Option<S::Value> {
        self.ask(key, shape, false)
    }

    /// The value of a key that must be there.
    pub fn need<S: Shape>(&mut self, key: &'static str, shape: S) -> Option<S::Value> {
        self.ask(key, shape, true)
    }

    /// The value of a key that must be there if `here`, and must not be there otherwise.
    pub fn only<S: Shape>(
        &mut self,
        here: Option<bool>,
        owner: &str,
        key: &'static str,
        shape: S,
    ) -> Option<S::Value> {
        match here {
            Some(true) => self.need(key, shape),
            Some(false) => {
                self.stray(owner, key);
                self.may(key, shape)
            }
            None => self.may(key, shape),
        }
    }

    /// Says that a key, if it is there, goes with something else.
    pub fn stray(&mut self, owner: &str, key: &str) {
        if let Some(item) = self.table.get(key) {
            let message = format!("`{key}` goes with {owner}, and {} is none", self.what);
            let remedy = format!("remove it, or make this {owner} by its `kind`");
            self.log
                .say(Code::StrayKey, item.key.clone(), message, remedy);
        }
    }

    /// Of these sets of keys exactly one must be there.
    pub fn exactly_one(&mut self, of: &[&'static [&'static str]]) {
        self.choices.push(of.to_vec());
    }

    /// Label and note.
    pub fn text(&mut self) -> circuit::Text {
        circuit::Text {
            label: self.may("label", Text),
            note: self.may("note", Text),
        }
    }

    /// The keys not asked for so far whose values are tables.
    pub fn tables(&mut self) -> Vec<(&'f str, &'f Item)> {
        let table = self.table;
        let free = table.iter().filter(|(key, item)| {
            item.node.table().is_some() && !self.asked.iter().any(|a| a.key == *key)
        });
        let free: Vec<_> = free.map(|(key, item)| (key.as_str(), item)).collect();
        self.taken.extend(free.iter().map(|(key, _)| *key));
        free
    }

    /// Whether a key is there.
    pub fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// The value of a key, unread.
    pub fn node(&self, key: &str) -> Option<&'f Node> {
        self.table.get(key).map(|item| &item.node)
    }

    /// The keys asked for so far that are nearly this.
    pub fn near(&self, key: &str) -> Vec<String> {
        nearest(key, self.asked.iter().map(|a| a.key))
    }

    /// What else to say of a key never asked for.
    pub fn hint(&mut self, hint: String) {
        self.hint = Some(hint);
    }

    /// The log, to read something inside this table with.
    pub fn log(&mut self) -> &mut Log<'l> {
        self.log
    }

    fn ask<S: Shape>(&mut self, key: &'static str, shape: S, required: bool) -> Option<S::Value> {
        self.asked.push(Asked {
            key,
            wanted: shape.wanted(),
            required,
        });
        let item = self.table.get(key)?;
        shape.read(key, &item.node, self.log)
    }

    /// Says what is missing and what means nothing here. Gives back the keys that mean
    /// something.
    pub fn finish(self) -> Vec<Asked> {
        let mut meant: Vec<String> = Vec::new();
        for (key, item) in self.table {
            let known = self.asked.iter().any(|a| a.key == key);
            if known || self.taken.contains(&key.as_str()) {
                continue;
            }
            let near = self.near(key);
            let mut remedy = match near.first() {
                Some(best) => format!("did you mean `{best}`?"),
                None => {
                    let keys: Vec<String> =
                        self.asked.iter().map(|a| format!("`{}`", a.key)).collect();
                    format!("it takes {}", circuit::join_and(&keys))
                }
            };
            if let Some(hint) = &self.hint {
                remedy = format!("{remedy}; {hint}");
            }
            meant.extend(near.into_iter().next());
            let message = format!("{} has no key `{key}`", self.what);
            self.log
                .say(Code::UnknownKey, item.key.clone(), message, remedy);
        }
        let there = |key: &str| self.table.contains_key(key) || meant.iter().any(|m| m == key);
        let missing = self.asked.iter().filter(|a| a.required && !there(a.key));
        let missing: Vec<&Asked> = missing.filter(|a| !self.log.may_say(a.key)).collect();
        if !missing.is_empty() {
            let keys: Vec<String> = missing.iter().map(|a| format!("`{}`", a.key)).collect();
            let message = format!("{} lacks {}", self.what, circuit::join_and(&keys));
            let examples: Vec<String> = missing
                .iter()
                .map(|a| format!("{} = {}", a.key, a.wanted.example()))
                .collect();
            let remedy = format!("add it, such as {}", examples.join(", "));
            self.log
                .say(Code::MissingKey, self.at.clone(), message, remedy);
        }
        for sets in &self.choices {
            let said = |set: &&&[&str]| set.iter().any(|key| there(key));
            let chosen: Vec<_> = sets.iter().filter(said).collect();
            let names = |set: &[&str]| {
                let keys: Vec<String> = set.iter().map(|key| format!("`{key}`")).collect();
                keys.join(" with ")
            };
            let all: Vec<String> = sets.iter().map(|set| names(set)).collect();
            match chosen[..] {
                [set] => {
                    let absent = set.iter().find(|key| !there(key));
                    if let Some(absent) = absent.filter(|key| !self.log.may_say(key)) {
                        let message = format!("{} lacks `{absent}`", self.what);
                        let remedy = format!("it takes {}", join_or(&all));
                        self.log
                            .say(Code::MissingKey, self.at.clone(), message, remedy);
                    }
                }
                [] => {
                    let lost = sets.iter().any(|set| set.iter().any(|k| self.log.may_say(k)));
                    if !lost {
                        let message = format!("{} has neither {}", self.what, all.join(" nor "));
                        let remedy = "add one of them".into();
                        self.log.say(Code::OneOf, self.at.clone(), message, remedy);
                    }
                }
                [first, second, ..] => {
                    let key = |set: &[&str]| set.iter().find_map(|key| self.table.get(*key));
                    if let (Some(first), Some(second)) = (key(first), key(second)) {
                        let message = format!("{} has both {}", self.what, all.join(" and "));
                        self.log.clash(
                            Code::OneOf,
                            (second.key.clone(), "and this"),
                            (first.key.clone(), "this"),
                            message,
                            "keep one of them".into(),
                        );
                    }
                }
            }
        }
        self.asked
    }
}
