//! What may stand in a table, found by reading one that is empty.
#![cfg_attr(not(feature = "report"), allow(dead_code))] // only the schema looks

use super::document::{Document, Table};
use super::fields::Fields;
use super::shape::Log;
use super::wanted::Keys;

/// The keys that reading a table asks for.
pub(super) fn of(read: impl FnOnce(&mut Fields<'_, '_>)) -> Keys {
    beside(Table::new(), read)
}

/// The keys that reading a table asks for when it has these.
pub(super) fn beside(table: Table, read: impl FnOnce(&mut Fields<'_, '_>)) -> Keys {
    let mut log = Log {
        file: 0,
        text: "",
        document: &Document::default(),
        found: &mut Vec::new(),
        tolerances: Vec::new(),
    };
    let mut fields = Fields::new("", &table, &(0..0), &mut log);
    read(&mut fields);
    fields.keys()
}
