//! Cells and where they stand.

use std::ops::Range;

use csv::ReaderBuilder;

use super::at;
use crate::circuit::nearest;
use crate::sheet::{Code, Diagnostic};

crate::circuit::words! { Column:
    From "from", To "to", Kind "kind", Id "id", Bore "bore", Plate "plate", Under "under",
    Needs "needs", Label "label", FromCasting "from-casting", ToCasting "to-casting",
}

/// What a column says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Column {
    From,
    To,
    Kind,
    Id,
    Bore,
    Plate,
    Under,
    Needs,
    Label,
    FromCasting,
    ToCasting,
}

/// A cell: what stands in it, without space around, and where.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Cell {
    pub text: String,
    pub at: Range<usize>,
}

/// A list with its columns known.
#[derive(Debug, Default)]
pub(super) struct Table {
    columns: Vec<Option<Column>>,
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// Reads a list; what is wrong with it as a list comes beside it.
    pub fn of(text: &str) -> (Self, Vec<Diagnostic>) {
        let mut wrong = Vec::new();
        let mut lines = lines(text, &mut wrong).into_iter();
        let Some(head) = lines.next() else {
            let message = "the list is empty".to_owned();
            let remedy = "name the columns in its first line: from,to,kind".to_owned();
            wrong.push(Diagnostic::error(
                Code::MissingKey,
                at(&(0..0)),
                message,
                remedy,
            ));
            return (Table::default(), wrong);
        };
        let mut columns = Vec::new();
        for cell in &head {
            let column = column(&cell.text);
            if let (None, false) = (column, cell.text.is_empty()) {
                let near = nearest(&cell.text, Column::ALL.iter().map(|c| c.word()));
                let remedy = match near.first() {
                    Some(best) => format!("did you mean `{best}`?"),
                    None => format!("the columns are {}", words(Column::ALL)),
                };
                let message = format!("there is no column `{}`", cell.text);
                wrong.push(Diagnostic::error(
                    Code::UnknownKey,
                    at(&cell.at),
                    message,
                    remedy,
                ));
            }
            if column.is_some() && columns.contains(&column) {
                let message = format!("the column `{}` is there twice", cell.text);
                let remedy = "take one of the two out".to_owned();
                wrong.push(Diagnostic::error(
                    Code::DuplicateKey,
                    at(&cell.at),
                    message,
                    remedy,
                ));
            }
            columns.push(column);
        }
        for needed in [Column::From, Column::To, Column::Kind] {
            if !columns.contains(&Some(needed)) {
                let line =
                    head.first().map_or(0, |c| c.at.start)..head.last().map_or(0, |c| c.at.end);
                let message = format!("no column is called `{}`", needed.word());
                let remedy = "the first line names the columns: from,to,kind".to_owned();
                wrong.push(Diagnostic::error(
                    Code::MissingKey,
                    at(&line),
                    message,
                    remedy,
                ));
            }
        }
        // Without its columns nothing of a row could be told.
        let rows = match wrong.is_empty() {
            true => lines
                .filter(|row| row.iter().any(|c| !c.text.is_empty()))
                .collect(),
            false => Vec::new(),
        };
        (Table { columns, rows }, wrong)
    }

    /// The cell of a row in a column; none where it is empty.
    pub fn cell<'r>(&self, row: &'r [Cell], column: Column) -> Option<&'r Cell> {
        let place = self.columns.iter().position(|c| *c == Some(column))?;
        row.get(place).filter(|cell| !cell.text.is_empty())
    }
}

/// A column by its heading, however it is spaced and capitalised.
fn column(heading: &str) -> Option<Column> {
    let plain = heading.to_lowercase().replace([' ', '_'], "-");
    let mut all = Column::ALL.iter();
    all.find(|column| column.word() == plain).copied()
}

fn words(columns: &[Column]) -> String {
    let words: Vec<&str> = columns.iter().map(|c| c.word()).collect();
    words.join(", ")
}

/// The lines of a list as cells.
fn lines(text: &str, wrong: &mut Vec<Diagnostic>) -> Vec<Vec<Cell>> {
    let head = text.lines().next().unwrap_or_default();
    let count = |delimiter: &u8| head.bytes().filter(|byte| byte == delimiter).count();
    // Spreadsheets save what their country puts between values; of several the first wins a draw.
    let delimiters = [b'\t', b';', b','];
    let delimiter = delimiters.into_iter().max_by_key(count).unwrap_or(b',');
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let mut lines = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let message = format!("the list cannot be read: {error}");
                let remedy = "save it as comma separated values".to_owned();
                wrong.push(Diagnostic::error(
                    Code::Syntax,
                    at(&(0..0)),
                    message,
                    remedy,
                ));
                break;
            }
        };
        let start = record.position().map_or(0, |p| p.byte() as usize);
        let places = places(text, start, delimiter);
        let cells = record.iter().zip(places).map(|(value, at)| Cell {
            text: value.trim().to_owned(),
            at,
        });
        lines.push(cells.collect());
    }
    lines
}

/// Where the cells of a record stand, from the byte it begins at on, without the space and the
/// quotes around each.
fn places(text: &str, start: usize, delimiter: u8) -> impl Iterator<Item = Range<usize>> {
    let bytes = text.as_bytes();
    let mut next = Some(
        start
            + bytes[start..]
                .iter()
                .take_while(|b| matches!(b, b'\r' | b'\n'))
                .count(),
    );
    std::iter::from_fn(move || {
        let begin = next?;
        let mut quoted = false;
        let mut end = begin;
        while end < bytes.len() && (quoted || !matches!(bytes[end], b'\r' | b'\n')) {
            if bytes[end] == delimiter && !quoted {
                break;
            }
            quoted ^= bytes[end] == b'"';
            end += 1;
        }
        next = (bytes.get(end) == Some(&delimiter)).then_some(end + 1);
        let around = |c: char| c.is_whitespace() || c == '"';
        let cell = &text[begin..end];
        let inner = cell.trim_matches(around);
        let from = begin + (cell.len() - cell.trim_start_matches(around).len()).min(cell.len());
        Some(from..from + inner.len())
    })
}
