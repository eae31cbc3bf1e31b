//! The keys of one table, asked for one by one.

mod whole;

use std::ops::Range;

use super::document::{Item, Table};
use super::shape::{Log, Shape, Text};
use super::wanted::{Asked, Choice, Keys, Need};
use crate::circuit::{self, nearest};

/// A kind of the part that some keys go with: "a one-way ball".
#[derive(Clone, Copy)]
pub(super) struct Owner {
    pub what: &'static str,
    /// Whether this is one; none where its kind could not be read.
    pub is: Option<bool>,
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
    about: &'static str,
    asked: Vec<Asked>,
    choices: Vec<Choice>,
    others: Option<fn() -> Keys>,
    /// Keys that were looked at but belong to nothing the reader knows, such as positions.
    taken: Vec<&'f str>,
    /// What else to say of a key never asked for.
    hint: Option<String>,
    /// Keys that are there but go with another kind, and with which. The kind is then in
    /// doubt, and with it what is missing.
    strays: Vec<(&'static str, &'static str)>,
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
            about: "",
            asked: Vec::new(),
            choices: Vec::new(),
            others: None,
            taken: Vec::new(),
            hint: None,
            strays: Vec::new(),
        }
    }

    /// Says what the table is about.
    pub fn about(&mut self, about: &'static str) {
        self.about = about;
    }

    /// The value of a key that need not be there.
    pub fn may<S: Shape>(
        &mut self,
        key: &'static str,
        about: &'static str,
        shape: S,
    ) -> Option<S::Value> {
        self.ask(key, about, shape, Need::May)
    }

    /// The value of a key that must be there.
    pub fn need<S: Shape>(
        &mut self,
        key: &'static str,
        about: &'static str,
        shape: S,
    ) -> Option<S::Value> {
        self.ask(key, about, shape, Need::Must)
    }

    /// The value of a key that goes with one `owner` only: it must be there if this is one, and
    /// must not be there if not.
    pub fn only<S: Shape>(
        &mut self,
        owner: Owner,
        key: &'static str,
        about: &'static str,
        shape: S,
    ) -> Option<S::Value> {
        let need = self.owned(owner, key, Need::Must);
        self.ask(key, about, shape, need)
    }

    /// The value of a key that goes with one `owner` only, and need not be there.
    pub fn maybe<S: Shape>(
        &mut self,
        owner: Owner,
        key: &'static str,
        about: &'static str,
        shape: S,
    ) -> Option<S::Value> {
        let need = self.owned(owner, key, Need::May);
        self.ask(key, about, shape, need)
    }

    fn owned(&mut self, owner: Owner, key: &'static str, if_owner: Need) -> Need {
        match owner.is {
            Some(true) => if_owner,
            Some(false) => {
                if self.table.contains_key(key) {
                    self.strays.push((key, owner.what));
                }
                Need::MustNot
            }
            None => Need::May,
        }
    }

    /// The value of a key, or what it is when not there; none if it cannot be read.
    pub fn unless_bad<S: Shape>(
        &mut self,
        key: &'static str,
        about: &'static str,
        shape: S,
        usual: S::Value,
    ) -> Option<S::Value> {
        let value = self.may(key, about, shape);
        if self.table.contains_key(key) || self.log.may_say(key) {
            value
        } else {
            Some(usual)
        }
    }

    /// Of these sets of keys exactly one must be there.
    pub fn exactly_one(&mut self, of: &[&'static [&'static str]]) {
        let (of, need) = (of.to_vec(), Need::Must);
        self.choices.push(Choice { of, need });
    }

    /// Of these sets of keys one may be there, whole.
    pub fn at_most_one(&mut self, of: &[&'static [&'static str]]) {
        let (of, need) = (of.to_vec(), Need::May);
        self.choices.push(Choice { of, need });
    }

    /// Label and note.
    pub fn text(&mut self) -> circuit::Text {
        circuit::Text {
            label: self.may("label", "What people call it", Text),
            note: self.may("note", "Anything worth knowing about it", Text),
        }
    }

    /// The keys not asked for so far whose values are tables, and what each of those may be.
    pub fn tables(&mut self, of: fn() -> Keys) -> Vec<(&'f str, &'f Item)> {
        self.others = Some(of);
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

    /// What else to say of a key never asked for, before the keys that may be there.
    pub fn hint(&mut self, hint: String) {
        self.hint = Some(hint);
    }

    /// The log, to read something inside this table with.
    pub fn log(&mut self) -> &mut Log<'l> {
        self.log
    }

    fn ask<S: Shape>(
        &mut self,
        key: &'static str,
        about: &'static str,
        shape: S,
        need: Need,
    ) -> Option<S::Value> {
        self.asked.push(Asked {
            key,
            about,
            wanted: shape.wanted(),
            need,
        });
        let item = self.table.get(key)?;
        shape.read(key, &item.node, self.log)
    }

    /// The keys asked for.
    pub fn keys(self) -> Keys {
        Keys {
            about: self.about,
            asked: self.asked,
            choices: self.choices,
            others: self.others,
        }
    }

    /// Says what means nothing here and what is missing.
    pub fn finish(mut self) {
        let meant = self.strangers();
        self.misplaced();
        let there = |key: &str| self.table.contains_key(key) || meant.iter().any(|m| m == key);
        let absent = |key: &str| !there(key) && !self.log.may_say(key);
        let missing = self
            .asked
            .iter()
            .filter(|a| a.need == Need::Must && absent(a.key));
        let missing: Vec<Asked> = missing.cloned().collect();
        // Where keys of another kind stand, the kind is in doubt, and so is what is missing.
        if self.strays.is_empty() {
            self.missing(&missing);
        }
        for choice in std::mem::take(&mut self.choices) {
            self.choice(&choice, &meant);
        }
    }
}
