//! Single values: texts, ids, sizes, words, rules.

use std::marker::PhantomData;
use std::ops::Range;

use super::{Log, Shape};
use crate::circuit::{self, Rule, Word, join_or, nearest};
use crate::sheet::Code;
use crate::sheet::document::{Node, Value};
use crate::sheet::wanted::Wanted;
use crate::units::{Flow, Pressure, Quantity, Toleranced, UnitError};

/// Free text.
pub(in crate::sheet) struct Text;

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
pub(in crate::sheet) struct Name(pub &'static str);

pub(in crate::sheet) const CAVITY: Name = Name("cavity");

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
pub(in crate::sheet) struct Flag;

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
pub(in crate::sheet) struct Count;

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
pub(in crate::sheet) struct Size<Q>(PhantomData<Q>);

pub(in crate::sheet) fn size<Q>() -> Size<Q> {
    Size(PhantomData)
}

impl<Q: Quantity> Shape for Size<Q> {
    type Value = Q;

    fn wanted(&self) -> Wanted {
        Wanted::Size(Q::SPEC)
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Q> {
        let Some(text) = node.text() else {
            return self.refuse(key, node, log);
        };
        read_size(text, &node.at, log)
    }
}

/// A size with its unit, and how far it may be off where that is said.
pub(in crate::sheet) struct WithTolerance<Q>(PhantomData<Q>);

pub(in crate::sheet) fn toleranced<Q>() -> WithTolerance<Q> {
    WithTolerance(PhantomData)
}

impl<Q: Quantity> Shape for WithTolerance<Q> {
    type Value = Q;

    fn wanted(&self) -> Wanted {
        Wanted::Toleranced(Q::SPEC)
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Q> {
        let Some(text) = node.text() else {
            return self.refuse(key, node, log);
        };
        let read = Toleranced::<Q>::read(text);
        let read = read.map_err(|e| say_size(&e, text, &node.at, log)).ok()?;
        log.tolerances
            .extend(read.off.map(|off| (key.to_owned(), off)));
        Some(read.size)
    }
}

fn say_size(error: &UnitError, text: &str, at: &Range<usize>, log: &mut Log<'_>) {
    let code = match error.is_of_tolerance() {
        true => Code::BadTolerance,
        false => Code::BadSize,
    };
    let at = log.within(at, text, error.span.clone());
    log.say(code, at, error.to_string(), error.remedy());
}

/// A size written as this text, which stands in quotes at some place.
pub(super) fn read_size<Q: Quantity>(
    text: &str,
    at: &Range<usize>,
    log: &mut Log<'_>,
) -> Option<Q> {
    let read = text.parse::<Q>();
    read.map_err(|e| say_size(&e, text, at, log)).ok()
}

/// What an outlet needs: its unit says whether it is a pressure or a flow. What is neither is
/// taken for what an outlet of its kind needs.
pub(in crate::sheet) struct Needs {
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
pub(in crate::sheet) struct OneWord<W>(PhantomData<W>);

pub(in crate::sheet) fn word<W>() -> OneWord<W> {
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
pub(in crate::sheet) struct When;

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
                let at = log.within(&node.at, text, e.at);
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
