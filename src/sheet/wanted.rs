//! What may stand behind a key, and which keys a table may have: said, not read.
#![cfg_attr(not(feature = "report"), allow(dead_code))] // the schema alone looks at all of it

use crate::circuit::article;
use crate::units::Spec;

/// What is wanted behind a key: enough to say it in words, and to describe the format.
#[derive(Clone)]
pub(super) enum Wanted {
    /// Free text.
    Text,
    /// A rule.
    Rule,
    /// The id of such a part.
    Name(&'static str),
    /// A size.
    Size(&'static Spec),
    /// A size that may say how far it may be off.
    Toleranced(&'static Spec),
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
    /// A viscosity at each of two temperatures.
    Viscosity,
    /// Either of two.
    Or(Box<Wanted>, Box<Wanted>),
    /// Keys of its own.
    Table(&'static str, fn() -> Keys),
}

impl Wanted {
    /// In the user's words.
    pub fn says(&self) -> String {
        match self {
            Wanted::Text => "a text".into(),
            Wanted::Rule => "a rule".into(),
            Wanted::Name(noun) => article(noun),
            Wanted::Size(spec) | Wanted::Toleranced(spec) => {
                format!("{} with its unit", article(spec.name))
            }
            Wanted::Word(_) => "a word".into(),
            Wanted::Flag => "true or false".into(),
            Wanted::Count => "a whole number".into(),
            Wanted::Pair(of) => format!("two {}", of.plural()),
            Wanted::List(of) => format!("a list of {}", of.plural()),
            Wanted::Each(noun, of) => format!("{} for each {noun}", of.says()),
            Wanted::Viscosity => "a viscosity at each of two temperatures".into(),
            Wanted::Or(a, b) => format!("{} or {}", a.says(), b.says()),
            Wanted::Table(noun, _) => article(noun),
        }
    }

    fn plural(&self) -> String {
        match self {
            Wanted::Name("cavity") => "cavities".into(),
            Wanted::Name(noun) => format!("{}s", noun.replace(" or ", "s or ")),
            Wanted::List(of) => format!("lists of {}", of.plural()),
            Wanted::Text => "texts".into(),
            Wanted::Table(noun, _) => format!("{noun}s"),
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
            Wanted::Size(spec) | Wanted::Toleranced(spec) => {
                let number = match spec.name {
                    "pressure" => 4.0,
                    "length" => 1.2,
                    _ => 9.0,
                };
                format!("\"{number} {}\"", spec.metric.name)
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
            Wanted::Viscosity => "{ \"40 °C\" = \"24 cSt\", \"100 °C\" = \"5.4 cSt\" }".into(),
            Wanted::Or(a, _) => a.example(),
            Wanted::Table(..) => "{ ... }".into(),
        }
    }
}

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

/// Sets of keys of which one must or may be there, whole, and no other.
#[derive(Clone)]
pub(super) struct Choice {
    pub of: Vec<&'static [&'static str]>,
    pub need: Need,
}

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
