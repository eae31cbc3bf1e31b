//! Writing TOML as a person would: one line where it fits, quotes where they are needed.

use crate::units::{Quantity, Toleranced};

/// Lines are kept within this many characters where a break is possible.
pub(super) const WIDTH: usize = 100;

/// A value to be written.
#[derive(Clone, Debug)]
pub(super) enum Toml {
    /// A text, to be quoted.
    Text(String),
    /// Anything that stands as it is: a number, true.
    Plain(String),
    List(Vec<Toml>),
    Table(Keys),
}

/// Keys with their values, in order.
#[derive(Clone, Debug, Default)]
pub(super) struct Keys {
    keys: Vec<(String, Toml)>,
    /// How far sizes may be off, by key, in their SI unit.
    tolerances: Vec<(String, f64)>,
}

impl Keys {
    /// Of a part whose sizes may be off by so much.
    pub fn with(tolerances: Vec<(String, f64)>) -> Self {
        Keys {
            keys: Vec::new(),
            tolerances,
        }
    }

    pub fn put(&mut self, key: &str, value: impl Into<Toml>) {
        self.keys.push((key.to_owned(), value.into()));
    }

    pub fn text(&mut self, key: &str, text: Option<&String>) {
        if let Some(text) = text {
            self.put(key, text);
        }
    }

    pub fn size(&mut self, key: &str, size: Option<impl Quantity>) {
        if let Some(size) = size {
            let mut known = self.tolerances.iter();
            let off = known.find(|(of, _)| of == key).map(|(_, off)| *off);
            self.put(key, Toml::Text(Toleranced { size, off }.write()));
        }
    }

    pub fn count(&mut self, key: &str, count: Option<u32>) {
        if let Some(count) = count {
            self.put(key, Toml::Plain(count.to_string()));
        }
    }

    pub fn list(&mut self, key: &str, list: &[String]) {
        if !list.is_empty() {
            self.put(key, list);
        }
    }

    /// One thing as it is, several as a list.
    pub fn one_or_more(&mut self, key: &str, list: &[String]) {
        match list {
            [one] => self.put(key, one),
            list => self.list(key, list),
        }
    }

    pub fn flag(&mut self, key: &str, flag: bool) {
        if flag {
            self.put(key, Toml::Plain("true".into()));
        }
    }

    pub fn is_empty(&self) -> bool {
        self.keys.is_empty()
    }

    /// All on one line, in braces.
    pub fn inline(&self) -> String {
        if self.keys.is_empty() {
            return "{}".into();
        }
        let items = self.keys.iter();
        let items: Vec<String> = items
            .map(|(key, value)| format!("{} = {}", self::key(key), value.inline()))
            .collect();
        format!("{{ {} }}", items.join(", "))
    }

    /// A line each, long lists over several.
    pub fn lines(&self) -> String {
        let mut out = String::new();
        for (key, value) in &self.keys {
            let key = self::key(key);
            let line = match value {
                Toml::Text(text) if text.contains('\n') => format!("{key} = {}", long_text(text)),
                value => format!("{key} = {}", value.inline()),
            };
            match value {
                Toml::List(items) if line.chars().count() > WIDTH => {
                    out += &format!("{key} = [\n{}]", wrapped(items));
                }
                _ => out += &line,
            }
            out.push('\n');
        }
        out
    }

    /// Whether some text in it has several lines.
    pub fn has_long_text(&self) -> bool {
        let long = |value: &Toml| matches!(value, Toml::Text(text) if text.contains('\n'));
        self.keys.iter().any(|(_, value)| long(value))
    }
}

impl Toml {
    fn inline(&self) -> String {
        match self {
            Toml::Text(text) => quote(text),
            Toml::Plain(text) => text.clone(),
            Toml::List(items) => {
                let items: Vec<String> = items.iter().map(Toml::inline).collect();
                format!("[{}]", items.join(", "))
            }
            Toml::Table(keys) => keys.inline(),
        }
    }
}

impl From<&String> for Toml {
    fn from(text: &String) -> Self {
        Toml::Text(text.clone())
    }
}

impl From<&str> for Toml {
    fn from(text: &str) -> Self {
        Toml::Text(text.to_owned())
    }
}

impl From<&[String]> for Toml {
    fn from(list: &[String]) -> Self {
        Toml::List(list.iter().map(Toml::from).collect())
    }
}

impl From<&[String; 2]> for Toml {
    fn from(pair: &[String; 2]) -> Self {
        pair.as_slice().into()
    }
}

impl From<Vec<Toml>> for Toml {
    fn from(list: Vec<Toml>) -> Self {
        Toml::List(list)
    }
}

impl From<Keys> for Toml {
    fn from(keys: Keys) -> Self {
        Toml::Table(keys)
    }
}

/// Items in filled lines.
fn wrapped(items: &[Toml]) -> String {
    let mut out = String::new();
    let mut line = String::new();
    for item in items {
        let item = format!("{},", item.inline());
        if !line.is_empty() && 5 + line.chars().count() + item.chars().count() > WIDTH {
            out += &format!("    {line}\n");
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line += &item;
    }
    if !line.is_empty() {
        out += &format!("    {line}\n");
    }
    out
}

/// A key, quoted where it must be.
pub(super) fn key(key: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if !key.is_empty() && key.chars().all(bare) {
        key.to_owned()
    } else {
        quote(key)
    }
}

pub(super) fn quote(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\n' => out.push_str("\\n"),
            c => push(&mut out, c),
        }
    }
    out.push('"');
    out
}

/// A text of several lines as it reads.
fn long_text(text: &str) -> String {
    let mut out = String::from("\"\"\"\n");
    for c in text.chars() {
        match c {
            // Three in a row would end it; one before the end may stand.
            '"' if out.ends_with('"') => out.push_str("\\\""),
            c @ ('"' | '\n') => out.push(c),
            c => push(&mut out, c),
        }
    }
    out.push_str("\"\"\"");
    out
}

fn push(out: &mut String, c: char) {
    match c {
        '\\' => out.push_str("\\\\"),
        '\r' => out.push_str("\\r"),
        '\t' => out.push_str("\\t"),
        c if c.is_control() => out.push_str(&format!("\\u{:04X}", u32::from(c))),
        c => out.push(c),
    }
}
