//! Space and line breaks as they should be, every comment and the author's order as they are.

use toml_edit::{Array, DocumentMut, Item, KeyMut, RawString, Table, Value};

use super::toml::WIDTH;
use super::{Code, Diagnostic, Location, Refusal, Source, read};

/// The text of a circuit file with its space set right: one blank line before each heading, one
/// space around `=` and after commas, no space at the ends of lines, lists that are too long for
/// a line broken where they fill it. Comments, order, quotes and blank lines between groups stay
/// the author's, and so does a list with a comment in it.
///
/// # Errors
/// What is wrong with the text as TOML. The parts themselves are not looked at.
///
/// ```
/// let text = "[orifice] # metered\nhop={between=['line','lube'],bore=\"1.2 mm\"}   # drill shank\n";
/// assert_eq!(oilpath::sheet::tidy(text).unwrap(), "\
/// [orifice] # metered
/// hop = { between = ['line', 'lube'], bore = \"1.2 mm\" }   # drill shank
/// ");
/// ```
pub fn tidy(text: &str) -> Result<String, Refusal> {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let mut document: DocumentMut = text.parse().map_err(|error| refused(text, &error))?;
    let end = lines(document.trailing().as_str(), false);
    table(document.as_table_mut(), &mut true);
    document.set_trailing(
        end.trim_end_matches('\n').to_owned() + if end.is_empty() { "" } else { "\n" },
    );
    Ok(document.to_string())
}

/// The errors that reading finds; it may forgive what the other reader does not.
fn refused(text: &str, error: &toml_edit::TomlError) -> Refusal {
    read(text).err().unwrap_or_else(|| {
        let at = Location::new(0, error.span().unwrap_or(0..0));
        let message = error.message().to_owned();
        let remedy = "write it as TOML has it".to_owned();
        Refusal {
            sources: vec![Source::new("sheet".to_owned(), text.to_owned())],
            diagnostics: vec![Diagnostic::error(Code::Syntax, at, message, remedy)],
        }
    })
}

/// Sets a table right. `first` is whether nothing stands above it in the file.
fn table(table: &mut Table, first: &mut bool) {
    // Nothing is to stand between a heading and its first key.
    let mut begins = true;
    for (mut key, item) in table.iter_mut() {
        match item {
            Item::Value(value) => {
                let top = std::mem::take(&mut begins) || *first;
                entry(&mut key, value, top);
                *first = false;
            }
            Item::Table(inner) => heading(inner, first),
            Item::ArrayOfTables(all) => all.iter_mut().for_each(|inner| heading(inner, first)),
            Item::None => {}
        }
    }
}

fn heading(inner: &mut Table, first: &mut bool) {
    if !inner.is_implicit() && !inner.is_dotted() {
        let decor = inner.decor_mut();
        let above = lines(decor.prefix().and_then(RawString::as_str), true);
        let behind = comment(decor.suffix().and_then(RawString::as_str));
        let blank = if std::mem::take(first) { "" } else { "\n" };
        decor.set_prefix(format!("{blank}{above}"));
        decor.set_suffix(behind);
    }
    table(inner, first);
}

fn entry(key: &mut KeyMut<'_>, value: &mut Value, top: bool) {
    let decor = key.leaf_decor_mut();
    let above = lines(decor.prefix().and_then(RawString::as_str), top);
    decor.set_prefix(above);
    decor.set_suffix(" ");
    let behind = comment(value.decor().suffix().and_then(RawString::as_str));
    let room = WIDTH.saturating_sub(key.get().chars().count() + " = ".len());
    set(value, room);
    let decor = value.decor_mut();
    decor.set_prefix(" ");
    decor.set_suffix(behind);
}

/// Sets a value right within so many columns, without what stands around it.
fn set(value: &mut Value, room: usize) {
    if has_comment(value) {
        return;
    }
    flat(value);
    if let Value::Array(list) = value
        && list.to_string().chars().count() > room
    {
        fill(list);
    }
}

/// A value on one line.
fn flat(value: &mut Value) {
    match value {
        Value::Array(list) => {
            list.iter_mut().for_each(flat);
            list.fmt();
        }
        Value::InlineTable(table) => {
            table.iter_mut().for_each(|(_, value)| flat(value));
            table.fmt();
        }
        _ => value.decor_mut().clear(),
    }
}

/// A list over several lines, each as full as it can be.
fn fill(list: &mut Array) {
    const INDENT: &str = "\n    ";
    let mut column = WIDTH;
    for item in list.iter_mut() {
        item.decor_mut().clear();
        let wide = item.to_string().chars().count() + ",".len();
        let breaks = column + " ".len() + wide > WIDTH;
        column = if breaks {
            INDENT.len() - 1 + wide
        } else {
            column + " ".len() + wide
        };
        item.decor_mut()
            .set_prefix(if breaks { INDENT } else { " " });
    }
    list.set_trailing_comma(true);
    list.set_trailing("\n");
}

fn has_comment(value: &Value) -> bool {
    let decor = |raw: Option<&RawString>| {
        raw.and_then(RawString::as_str)
            .is_some_and(|t| t.contains('#'))
    };
    match value {
        Value::Array(list) => {
            let within = |one: &Value| {
                decor(one.decor().prefix()) || decor(one.decor().suffix()) || has_comment(one)
            };
            decor(Some(list.trailing())) || list.iter().any(within)
        }
        // Comments cannot stand in an inline table of one line.
        Value::InlineTable(table) => {
            let raw = table.to_string();
            raw.contains('\n') || table.iter().any(|(_, value)| has_comment(value))
        }
        _ => false,
    }
}

/// The comment behind something, as far off as it was typed, at least a space.
fn comment(raw: Option<&str>) -> String {
    let raw = raw.unwrap_or_default().trim_end();
    match raw.trim_start() {
        "" => String::new(),
        text if raw.starts_with([' ', '\t']) => {
            raw[..raw.len() - text.len()].replace('\t', " ") + text
        }
        text => format!(" {text}"),
    }
}

/// Comment lines and blank lines above something: no two blank ones together, and none at the
/// `top`, where nothing stands above.
fn lines(raw: Option<&str>, top: bool) -> String {
    let mut out = String::new();
    let mut blank = top;
    let raw = raw.unwrap_or_default();
    // What follows the last line break is indentation.
    let whole = raw.rfind('\n').map_or("", |end| &raw[..=end]);
    for line in whole.lines() {
        let line = line.trim();
        if line.is_empty() && std::mem::replace(&mut blank, true) {
            continue;
        }
        blank = line.is_empty();
        out += line;
        out.push('\n');
    }
    out
}
