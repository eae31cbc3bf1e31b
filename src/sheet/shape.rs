//! What may stand behind a key, and how it is read.

use std::marker::PhantomData;
use std::ops::Range;

use indexmap::IndexMap;

use super::document::{Document, Node, Value};
use super::{Code, Diagnostic, Location};
use crate::circuit::{self, Join, Rule, Word, article, join_or, nearest};
use crate::units::{Flow, Pressure, Quantity};

/// Where the reader stands and what it has to complain about.
pub(super) struct Log<'l> {
    pub file: usize,
    pub text: &'l str,
    pub document: &'l Document,
    pub found: &'l mut Vec<Diagnostic>,
}

impl Log<'_> {
    pub fn say(&mut self, code: Code, at: Range<usize>, message: String, remedy: String) {
        let at = Location::new(self.file, at);
        let said = Diagnostic::error(code, at, message, remedy);
        self.found.push(said);
    }

    /// Says what is wrong at one place together with others.
    pub fn say_at(
        &mut self,
        code: Code,
        at: Range<usize>,
        others: Vec<Range<usize>>,
        message: String,
        remedy: String,
    ) {
        let place = |at| Location::new(self.file, at);
        let mut said = Diagnostic::error(code, place(at), message, remedy);
        for other in others {
            said = said.and(place(other), "");
        }
        self.found.push(said);
    }

    /// Whether a word may stand in a part of the file that could not be read.
    pub fn may_say(&self, word: &str) -> bool {
        self.document.may_say(self.text, word)
    }

    /// The bytes of the file for some bytes of a text value; all of it where it has escapes.
    fn within(&self, node: &Node, text: &str, part: Range<usize>) -> Range<usize> {
        let inner = node.at.start + 1..node.at.end.saturating_sub(1);
        if self.text.get(inner.clone()) == Some(text) {
            inner.start + part.start..inner.start + part.end
        } else {
            node.at.clone()
        }
    }
}

/// What is wanted behind a key: enough to say it in words, and to describe the format.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Wanted {
    /// Free text.
    Text,
    /// A rule.
    Rule,
    /// The id of such a part.
    Name(&'static str),
    /// A size: the quantity and its units.
    Size(&'static str, &'static [&'static str]),
    /// One of some words.
    Word(Vec<&'static str>),
    /// True or false.
    Flag,
    /// A whole number from 1.
    Count,
    /// Two of something.
    Pair(Box<Wanted>),
    /// Any number of something.
    List(Box<Wanted>),
    /// One of something by id.
    Each(&'static str, Box<Wanted>),
    /// Either of two.
    Or(Box<Wanted>, Box<Wanted>),
    /// Keys of its own.
    Table(&'static str),
}

impl Wanted {
    /// In the user's words.
    pub fn says(&self) -> String {
        match self {
            Wanted::Text => "a text".into(),
            Wanted::Rule => "a rule".into(),
            Wanted::Name(noun) => article(noun),
            Wanted::Size(quantity, _) => format!("{} with its unit", article(quantity)),
            Wanted::Word(_) => "a word".into(),
            Wanted::Flag => "true or false".into(),
            Wanted::Count => "a whole number".into(),
            Wanted::Pair(of) => format!("two {}", of.plural()),
            Wanted::List(of) => format!("a list of {}", of.plural()),
            Wanted::Each(noun, of) => format!("{} for each {noun}", of.says()),
            Wanted::Or(a, b) => format!("{} or {}", a.says(), b.says()),
            Wanted::Table(noun) => article(noun),
        }
    }

    fn plural(&self) -> String {
        match self {
            Wanted::Name("cavity") => "cavities".into(),
            Wanted::Name(noun) => format!("{}s", noun.replace(" or ", "s or ")),
            Wanted::List(of) => format!("lists of {}", of.plural()),
            Wanted::Text => "texts".into(),
            other => format!("{}s", other.says()),
        }
    }

    /// How it is written.
    pub fn example(&self) -> String {
        match self {
            Wanted::Text => "\"some words\"".into(),
            Wanted::Rule => "\"range-pilot and not lever.R\"".into(),
            Wanted::Name(noun) => match *noun {
                "cavity" => "\"line\"",
                "casting" => "\"case\"",
                "plate" => "\"separator-plate\"",
                "valve" => "\"shift-valve\"",
                _ => "\"its-id\"",
            }
            .into(),
            Wanted::Size(quantity, units) => {
                let number = match *quantity {
                    "pressure" => 4.0,
                    "length" => 1.2,
                    _ => 9.0,
                };
                format!("\"{number} {}\"", units.first().unwrap_or(&""))
            }
            Wanted::Word(words) => format!("\"{}\"", words.first().unwrap_or(&"")),
            Wanted::Flag => "true".into(),
            Wanted::Count => "2".into(),
            Wanted::Pair(of) => match **of {
                Wanted::Name("cavity") => "[\"line\", \"lube-feed\"]".into(),
                _ => format!("[{0}, {0}]", of.example()),
            },
            Wanted::List(of) => format!("[{}]", of.example()),
            Wanted::Each(_, of) => format!("{{ its-id = {} }}", of.example()),
            Wanted::Or(a, _) => a.example(),
            Wanted::Table(_) => "{ ... }".into(),
        }
    }
}

/// A kind of value, and how it is read. Whatever is wrong goes to the log.
pub(super) trait Shape {
    type Value;

    fn wanted(&self) -> Wanted;

    /// `key` is what it stands behind, for messages.
    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Self::Value>;

    /// Says that something else stands there.
    fn refuse<T>(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<T> {
        refuse(&self.wanted(), key, node, log);
        None
    }
}

fn refuse(wanted: &Wanted, key: &str, node: &Node, log: &mut Log<'_>) {
    let given = log.text.get(node.at.clone()).unwrap_or("");
    let size = match wanted {
        Wanted::Size(..) => Some(wanted),
        Wanted::Or(a, b) => [a, b]
            .into_iter()
            .map(|w| &**w)
            .find(|w| matches!(w, Wanted::Size(..))),
        _ => None,
    };
    if let (Value::Number, Some(Wanted::Size(quantity, units))) = (&node.value, size) {
        let units: Vec<String> = units.iter().map(|u| (*u).to_owned()).collect();
        let message = format!("`{key}` has no unit");
        let remedy = format!(
            "write it with its unit, such as \"{given} {}\"; a {quantity} is in {}",
            units[0],
            join_or(&units)
        );
        return log.say(Code::BareNumber, node.at.clone(), message, remedy);
    }
    let is = match &node.value {
        Value::Text(_) => "one text",
        Value::Number => "a number",
        Value::Flag(_) => "true or false",
        Value::Date => "a date",
        Value::List(_) => "a list",
        Value::Table(_) => "a table",
    };
    let message = format!("`{key}` wants {}, not {is}", wanted.says());
    let remedy = match (wanted, &node.value) {
        (Wanted::List(_), Value::Text(_)) => format!("write {key} = [{given}]"),
        (Wanted::Text | Wanted::Name(_), Value::Number | Value::Date) => {
            format!("put it in quotes: {key} = \"{given}\"")
        }
        _ => format!("write it like {key} = {}", wanted.example()),
    };
    log.say(Code::WrongType, node.at.clone(), message, remedy);
}

/// Free text.
pub(super) struct Text;

impl Shape for Text {
    type Value = String;

    fn wanted(&self) -> Wanted {
        Wanted::Text
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<String> {
        match node.text() {
            Some(text) => Some(text.to_owned()),
            None => self.refuse(key, node, log),
        }
    }
}

/// The id of a part, said by what kind of part it is.
#[derive(Clone, Copy)]
pub(super) struct Name(pub &'static str);

pub(super) const CAVITY: Name = Name("cavity");

impl Shape for Name {
    type Value = String;

    fn wanted(&self) -> Wanted {
        Wanted::Name(self.0)
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<String> {
        match node.text().map(str::trim) {
            Some("") => {
                let message = format!("`{key}` names no {}", self.0);
                let remedy = format!("write it like {key} = {}", self.wanted().example());
                log.say(Code::WrongType, node.at.clone(), message, remedy);
                None
            }
            // Only a cavity can stand where one is wanted: its kind need not be said.
            Some(text) if self.0 == CAVITY.0 => {
                let id = text.strip_prefix("passage.").unwrap_or(text);
                Some(id.to_owned())
            }
            Some(text) => Some(text.to_owned()),
            None => self.refuse(key, node, log),
        }
    }
}

/// True or false.
pub(super) struct Flag;

impl Shape for Flag {
    type Value = bool;

    fn wanted(&self) -> Wanted {
        Wanted::Flag
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<bool> {
        match node.value {
            Value::Flag(flag) => Some(flag),
            _ => self.refuse(key, node, log),
        }
    }
}

/// A whole number from 1.
pub(super) struct Count;

impl Shape for Count {
    type Value = u32;

    fn wanted(&self) -> Wanted {
        Wanted::Count
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<u32> {
        let given = log.text.get(node.at.clone()).unwrap_or("");
        match (&node.value, given.parse()) {
            (Value::Number, Ok(count)) if count >= 1 => Some(count),
            (Value::Number, _) => {
                let message = format!("`{key}` counts from 1 in whole numbers");
                let remedy = format!("write how many there are, such as {key} = 2");
                log.say(Code::WrongType, node.at.clone(), message, remedy);
                None
            }
            _ => self.refuse(key, node, log),
        }
    }
}

/// A size with its unit.
pub(super) struct Size<Q>(PhantomData<Q>);

pub(super) fn size<Q>() -> Size<Q> {
    Size(PhantomData)
}

impl<Q: Quantity> Shape for Size<Q> {
    type Value = Q;

    fn wanted(&self) -> Wanted {
        Wanted::Size(Q::NAME, Q::accepts())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Q> {
        let Some(text) = node.text() else {
            return self.refuse(key, node, log);
        };
        text.parse::<Q>()
            .map_err(|e| {
                let at = log.within(node, text, e.span.clone());
                log.say(Code::BadSize, at, e.to_string(), e.remedy());
            })
            .ok()
    }
}

/// What an outlet needs: its unit says whether it is a pressure or a flow. What is neither is
/// taken for what an outlet of its kind needs.
pub(super) struct Needs {
    pub flow: bool,
}

impl Shape for Needs {
    type Value = circuit::Needs;

    fn wanted(&self) -> Wanted {
        let (pressure, flow) = (size::<Pressure>().wanted(), size::<Flow>().wanted());
        match self.flow {
            true => Wanted::Or(flow.into(), pressure.into()),
            false => Wanted::Or(pressure.into(), flow.into()),
        }
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<circuit::Needs> {
        let Some(text) = node.text() else {
            return self.refuse(key, node, log);
        };
        match (text.parse(), text.parse(), self.flow) {
            (Ok(pressure), ..) => Some(circuit::Needs::Pressure(pressure)),
            (_, Ok(flow), _) => Some(circuit::Needs::Flow(flow)),
            (.., true) => size().read(key, node, log).map(circuit::Needs::Flow),
            (.., false) => size().read(key, node, log).map(circuit::Needs::Pressure),
        }
    }
}

/// One of the words of an enum.
pub(super) struct OneWord<W>(PhantomData<W>);

pub(super) fn word<W>() -> OneWord<W> {
    OneWord(PhantomData)
}

impl<W: Word> Shape for OneWord<W> {
    type Value = W;

    fn wanted(&self) -> Wanted {
        Wanted::Word(W::all().iter().map(|w| w.text()).collect())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<W> {
        let Some(text) = node.text() else {
            return self.refuse(key, node, log);
        };
        let found = W::all().iter().find(|w| w.text() == text);
        if found.is_none() {
            let all = || W::all().iter().map(|w| w.text());
            let list: Vec<String> = all().map(|w| format!("`{w}`")).collect();
            let list = format!("it can be {}", join_or(&list));
            let remedy = match nearest(text, all()).first() {
                Some(best) => format!("did you mean `{best}`? {list}"),
                None => list,
            };
            let message = format!("`{key}` cannot be `{text}`");
            log.say(Code::BadWord, node.at.clone(), message, remedy);
        }
        found.copied()
    }
}

/// A rule of a valve.
pub(super) struct When;

impl Shape for When {
    type Value = Rule;

    fn wanted(&self) -> Wanted {
        Wanted::Rule
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Rule> {
        let Some(text) = node.text() else {
            return self.refuse(key, node, log);
        };
        text.parse::<Rule>()
            .map_err(|e| {
                let at = log.within(node, text, e.at);
                let remedy = "a rule is names joined by `and`, `or`, `not` and brackets".into();
                log.say(
                    Code::BadRule,
                    at,
                    format!("this rule cannot be read: {}", e.reason),
                    remedy,
                );
            })
            .ok()
    }
}

/// Any number of something. An item that cannot be read keeps its place, empty.
pub(super) struct List<S>(pub S);

impl<S: Shape> Shape for List<S>
where
    S::Value: Default,
{
    type Value = Vec<S::Value>;

    fn wanted(&self) -> Wanted {
        Wanted::List(self.0.wanted().into())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Self::Value> {
        let Value::List(items) = &node.value else {
            return self.refuse(key, node, log);
        };
        let items = items.iter();
        Some(
            items
                .map(|item| self.0.read(key, item, log).unwrap_or_default())
                .collect(),
        )
    }
}

/// One of something, or a list of it.
pub(super) struct OneOrMore<S>(pub S);

impl<S: Shape> Shape for OneOrMore<S>
where
    S::Value: Default,
{
    type Value = Vec<S::Value>;

    fn wanted(&self) -> Wanted {
        let one = self.0.wanted();
        Wanted::Or(one.clone().into(), Wanted::List(one.into()).into())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Self::Value> {
        match &node.value {
            Value::Text(_) => Some(vec![self.0.read(key, node, log)?]),
            Value::List(items) => {
                let items = items.iter();
                Some(
                    items
                        .map(|item| self.0.read(key, item, log).unwrap_or_default())
                        .collect(),
                )
            }
            _ => self.refuse(key, node, log),
        }
    }
}

/// Two of something.
pub(super) struct Pair<S>(pub S);

impl<S: Shape> Shape for Pair<S>
where
    S::Value: Default,
{
    type Value = [S::Value; 2];

    fn wanted(&self) -> Wanted {
        Wanted::Pair(self.0.wanted().into())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Self::Value> {
        match &node.value {
            Value::List(items) => match &items[..] {
                [a, b] => {
                    let mut one = |node| self.0.read(key, node, log).unwrap_or_default();
                    Some([one(a), one(b)])
                }
                _ => {
                    let message = format!(
                        "`{key}` wants {}, not {}",
                        self.wanted().says(),
                        items.len()
                    );
                    let remedy = format!("write it like {key} = {}", self.wanted().example());
                    log.say(Code::WrongType, node.at.clone(), message, remedy);
                    None
                }
            },
            _ => self.refuse(key, node, log),
        }
    }
}

/// Something for each of some ids. An id whose value cannot be read is left out.
pub(super) struct Each<S>(pub &'static str, pub S);

impl<S: Shape> Shape for Each<S> {
    type Value = IndexMap<String, S::Value>;

    fn wanted(&self) -> Wanted {
        Wanted::Each(self.0, self.1.wanted().into())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Self::Value> {
        let Some(table) = node.table() else {
            return self.refuse(key, node, log);
        };
        let mut out = IndexMap::new();
        for (id, item) in table {
            if let Some(value) = self.1.read(id, &item.node, log) {
                out.insert(id.clone(), value);
            }
        }
        Some(out)
    }
}

/// How much a cavity boosts a regulator, or only that it does.
struct Rise;

impl Shape for Rise {
    type Value = Option<Pressure>;

    fn wanted(&self) -> Wanted {
        Wanted::Or(size::<Pressure>().wanted().into(), Wanted::Flag.into())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Option<Pressure>> {
        match &node.value {
            Value::Flag(true) => Some(None),
            Value::Text(_) => size().read(key, node, log).map(Some),
            // It does not boost, which goes without saying.
            Value::Flag(false) => None,
            _ => self.refuse(key, node, log),
        }
    }
}

/// Cavities that boost a regulator: a list, or a rise of pressure for each.
pub(super) struct Boost;

impl Shape for Boost {
    type Value = IndexMap<String, Option<Pressure>>;

    fn wanted(&self) -> Wanted {
        let each = Each("cavity", Rise).wanted();
        Wanted::Or(List(CAVITY).wanted().into(), each.into())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Self::Value> {
        match &node.value {
            Value::List(_) => {
                let ids = List(CAVITY).read(key, node, log)?;
                Some(ids.into_iter().map(|id| (id, None)).collect())
            }
            Value::Table(_) => Each("cavity", Rise).read(key, node, log),
            _ => self.refuse(key, node, log),
        }
    }
}

/// A run of joined cavities, or a table with `between` and a `bore`.
pub(super) struct Joined;

impl Shape for Joined {
    type Value = Join;

    fn wanted(&self) -> Wanted {
        let run = List(CAVITY).wanted();
        Wanted::Or(run.into(), Wanted::Table("metered join").into())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Join> {
        match &node.value {
            Value::List(_) => {
                let cavities = List(CAVITY).read(key, node, log)?;
                Some(Join {
                    cavities,
                    bore: None,
                })
            }
            Value::Table(table) => {
                let mut fields = super::fields::Fields::new("this join", table, &node.at, log);
                let join = Join {
                    cavities: fields.need("between", List(CAVITY)).unwrap_or_default(),
                    bore: fields.may("bore", size()),
                };
                fields.finish();
                Some(join)
            }
            _ => self.refuse(key, node, log),
        }
    }
}
