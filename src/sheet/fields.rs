//! The keys of one table, asked for one by one.

use std::ops::Range;

use super::Code;
use super::document::{Item, Table};
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

    /// The value of a key that goes with one `owner` only: it must be there if this is one, and
    /// must not be there if not.
    pub fn only<S: Shape>(
        &mut self,
        is_owner: Option<bool>,
        owner: &str,
        key: &'static str,
        shape: S,
    ) -> Option<S::Value> {
        self.stray(is_owner, owner, key);
        self.ask(key, shape, is_owner == Some(true))
    }

    /// The value of a key that goes with one `owner` only, and need not be there.
    pub fn maybe<S: Shape>(
        &mut self,
        is_owner: Option<bool>,
        owner: &str,
        key: &'static str,
        shape: S,
    ) -> Option<S::Value> {
        self.stray(is_owner, owner, key);
        self.ask(key, shape, false)
    }

    fn stray(&mut self, is_owner: Option<bool>, owner: &str, key: &str) {
        if let (Some(false), Some(item)) = (is_owner, self.table.get(key)) {
            let message = format!("`{key}` goes with {owner}, which {} is not", self.what);
            let remedy = format!("remove it, or make this {owner} by its `kind`");
            self.log
                .say(Code::StrayKey, item.key.clone(), message, remedy);
        }
    }

    /// The value of a key, or what it is when not there; none if it cannot be read.
    pub fn unless_bad<S: Shape>(
        &mut self,
        key: &'static str,
        shape: S,
        usual: S::Value,
    ) -> Option<S::Value> {
        let value = self.may(key, shape);
        if self.table.contains_key(key) || self.log.may_say(key) {
            value
        } else {
            Some(usual)
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
                    let lost = sets
                        .iter()
                        .any(|set| set.iter().any(|k| self.log.may_say(k)));
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
