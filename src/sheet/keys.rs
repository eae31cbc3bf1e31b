//! What may stand in a table, found by reading one that is empty.
#![cfg_attr(not(feature = "report"), allow(dead_code))] // only the schema looks

use super::document::{Document, Table};
use super::fields::Fields;
use super::shape::{Log, Wanted};

/// A key that a table may have.
#[derive(Clone)]
pub(super) struct Asked {
    pub key: &'static str,
    /// What it says.
    pub about: &'static str,
    pub wanted: Wanted,
    pub need: Need,
}

/// Whether a key has to be there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Need {
    Must,
    May,
    /// It goes with another kind of the same part.
    MustNot,
}

/// Keys of which exactly one set must be there.
pub(super) type Choice = Vec<&'static [&'static str]>;

/// What may stand in a table, without reading one.
#[derive(Clone)]
pub(super) struct Keys {
    /// What the table says, as a whole.
    pub about: &'static str,
    pub asked: Vec<Asked>,
    pub choices: Vec<Choice>,
    /// What any other key may be.
    pub others: Option<fn() -> Keys>,
}

impl Keys {
    /// The keys that reading a table asks for.
    pub fn of(read: impl FnOnce(&mut Fields<'_, '_>)) -> Keys {
        Keys::beside(Table::new(), read)
    }

    /// The keys that reading a table asks for when it has these.
    pub fn beside(table: Table, read: impl FnOnce(&mut Fields<'_, '_>)) -> Keys {
        let mut log = Log {
            file: 0,
            text: "",
            document: &Document::default(),
            found: &mut Vec::new(),
        };
        let mut fields = Fields::new("", &table, &(0..0), &mut log);
        read(&mut fields);
        fields.keys()
    }
}
