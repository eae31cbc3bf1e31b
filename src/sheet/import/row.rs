//! One line of a list: a part and the cavities it joins.

use super::at;
use super::table::{Cell, Column, Table};
use crate::circuit::{Kind, OutletKind, SUMP, nearest};
use crate::sheet::{Code, Diagnostic};

/// What a line is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    /// A way between two cavities that oil goes through in both directions, or a part it passes.
    Between(Kind),
    /// A one-way ball.
    Ball,
    /// A relief, from what it holds down to where it lets go.
    Relief,
    /// Where oil is made.
    Source,
    /// What needs oil.
    Outlet(OutletKind),
    /// Where the inside shows.
    Gauge(Kind),
}

/// Kinds that lie between two cavities.
const BETWEEN: [Kind; 6] = [
    Kind::Port,
    Kind::Orifice,
    Kind::Clearance,
    Kind::Filter,
    Kind::Converter,
    Kind::Cooler,
];

/// One line.
pub(super) struct Row<'t> {
    pub what: What,
    pub kind: &'t Cell,
    pub from: Option<&'t Cell>,
    pub to: Option<&'t Cell>,
    table: &'t Table,
    cells: &'t [Cell],
}

impl<'t> Row<'t> {
    pub fn of(table: &'t Table, cells: &'t [Cell]) -> Result<Self, Vec<Diagnostic>> {
        let cell = |column| table.cell(cells, column);
        let line = cells.first().map_or(0, |c| c.at.start)..cells.last().map_or(0, |c| c.at.end);
        let mut wrong = Vec::new();
        let mut missing = |column: Column, remedy: &str| {
            let message = format!("this line has no `{}`", column.word());
            wrong.push(Diagnostic::error(
                Code::MissingKey,
                at(&line),
                message,
                remedy.to_owned(),
            ));
        };
        let (from, to) = (cell(Column::From), cell(Column::To));
        let Some(kind) = cell(Column::Kind) else {
            missing(
                Column::Kind,
                &format!("write one of {}", kinds().join(", ")),
            );
            return Err(wrong);
        };
        let Some(what) = what(&kind.text) else {
            return Err(vec![unknown(kind)]);
        };
        let places = match what {
            What::Source => [None, Some(Column::To)],
            What::Outlet(_) | What::Gauge(_) => [Some(Column::From), None],
            _ => [Some(Column::From), Some(Column::To)],
        };
        for column in places.into_iter().flatten() {
            if cell(column).is_none() {
                missing(column, "write a cavity, or sump");
            }
        }
        let named = cell(Column::Id).or(to).is_some();
        if matches!(what, What::Outlet(_) | What::Gauge(_)) && !named {
            missing(Column::To, "write what it is called");
        }
        match wrong.is_empty() {
            true => Ok(Row {
                what,
                kind,
                from,
                to,
                table,
                cells,
            }),
            false => Err(wrong),
        }
    }

    /// The cell in a column; none where it is empty.
    pub fn cell(&self, column: Column) -> Option<&'t Cell> {
        self.table.cell(self.cells, column)
    }
}

fn what(word: &str) -> Option<What> {
    let word = id(word);
    let between = BETWEEN.iter().find(|kind| kind.word() == word);
    let outlet = OutletKind::ALL.iter().find(|kind| kind.word() == word);
    match word.as_str() {
        "ball" => Some(What::Ball),
        "relief" => Some(What::Relief),
        "source" | "pump" => Some(What::Source),
        "tap" => Some(What::Gauge(Kind::Tap)),
        "switch" => Some(What::Gauge(Kind::Switch)),
        _ => match (between, outlet) {
            (Some(kind), _) => Some(What::Between(*kind)),
            (None, outlet) => outlet.map(|kind| What::Outlet(*kind)),
        },
    }
}

fn kinds() -> Vec<&'static str> {
    let between = BETWEEN.iter().map(|kind| kind.word());
    let others = ["ball", "relief", "source", "tap", "switch"];
    let outlets = OutletKind::ALL.iter().map(|kind| kind.word());
    between.chain(others).chain(outlets).collect()
}

fn unknown(kind: &Cell) -> Diagnostic {
    let message = format!("a list of ways has no `{}`", kind.text);
    let all = [
        Kind::Valve,
        Kind::Regulator,
        Kind::Solenoid,
        Kind::Accumulator,
    ];
    let typed = all.iter().any(|k| k.word() == id(&kind.text));
    let remedy = match nearest(&kind.text, kinds()).first() {
        _ if typed => "leave it out, and type it into the circuit file that is made".to_owned(),
        Some(best) => format!("did you mean `{best}`?"),
        None => format!("write one of {}", kinds().join(", ")),
    };
    Diagnostic::error(Code::BadWord, at(&kind.at), message, remedy)
}

/// What is written for people as an id: small letters, `-` for what ids may not have.
pub(super) fn id(text: &str) -> String {
    let plain = |c: char| match c {
        c if c.is_ascii_alphanumeric() || c == '_' => c.to_ascii_lowercase(),
        _ => '-',
    };
    let spaced: String = text.chars().map(plain).collect();
    let parts: Vec<&str> = spaced.split('-').filter(|part| !part.is_empty()).collect();
    parts.join("-")
}

/// Whether a cell names the sump.
pub(super) fn is_sump(cell: &Cell) -> bool {
    id(&cell.text) == SUMP
}
