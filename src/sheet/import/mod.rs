//! A circuit from a list of ways, as a spreadsheet saves it.

mod draft;
mod row;
mod table;

use super::{Diagnostic, Location, Refusal, Source, read};
use crate::circuit::Circuit;

use draft::Draft;
use row::Row;
use table::Table;

/// Makes a circuit of a list of ways: comma, semicolon or tab separated values whose first line
/// names the columns.
///
/// `from`, `to` and `kind` must be there. A `kind` is that of a way (`port`, `orifice`,
/// `clearance`, `ball`, `filter`, `converter`, `cooler`, `relief`), a `source`, which feeds `to`,
/// what an outlet is (`clutch`, `bearing`, ...), a `tap` or a `switch`; these last stand on `from`,
/// and `to` is what they are called. Further columns, all optional: `id`, `bore`, `plate` (what the
/// way goes through; several with `+` between), `under` (a cover), `needs`, `label`, and
/// `from-casting` and `to-casting`, where `block` stands for an empty one.
///
/// What is written for people becomes an id, `Lube feed` `lube-feed`, and stays as its label.
/// `name` is what messages call the list.
///
/// # Errors
/// Everything that is wrong with the list, each with its place in it.
///
/// ```
/// use oilpath::sheet;
/// let circuit = sheet::import("ways.csv", "\
/// from,to,kind,bore,plate
/// sump,line,source,,
/// line,Lube feed,orifice,1.2 mm,separator
/// Lube feed,far-bearing,bearing,,
/// ").unwrap();
/// assert_eq!(circuit.orifices["line-lube-feed"].through, ["separator"]);
/// let refusal = sheet::import("ways.csv", "from,to,kind,bore\nline,lube,orifice,1.2\n");
/// assert!(refusal.unwrap_err().to_string().starts_with("ways.csv:2:19: error[bad-size]"));
/// ```
pub fn import(name: &str, text: &str) -> Result<Circuit, Refusal> {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let (table, mut wrong) = Table::of(text);
    let mut draft = Draft::default();
    for cells in &table.rows {
        match Row::of(&table, cells) {
            Ok(row) => draft.take(&row, &mut wrong),
            Err(diagnostics) => wrong.extend(diagnostics),
        }
    }
    let (toml, spans) = draft.finish();
    let circuit = match read(&toml) {
        Ok(sheet) if wrong.is_empty() => return Ok(sheet.circuit),
        Ok(_) => None,
        Err(refusal) => Some(refusal),
    };
    let found = circuit.into_iter().flat_map(|refusal| refusal.diagnostics);
    wrong.extend(found.map(|mut diagnostic: Diagnostic| {
        for label in &mut diagnostic.labels {
            label.at = spans.place(label.at.range());
        }
        diagnostic
    }));
    wrong.sort_by_key(|d| d.labels.first().map(|label| label.at.clone()));
    Err(Refusal {
        sources: vec![Source::new(name.to_owned(), text.to_owned())],
        diagnostics: wrong,
    })
}

/// A place in the list.
fn at(range: &std::ops::Range<usize>) -> Location {
    Location::new(0, range.clone())
}
