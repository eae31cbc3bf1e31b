//! Several values: lists, pairs, something for each of some ids.

use indexmap::IndexMap;

use super::plain::{CAVITY, read_size, size};
use super::{Log, Shape};
use crate::sheet::Code;
use crate::sheet::document::{Node, Value};
use crate::sheet::wanted::Wanted;
use crate::units::{KinematicViscosity, Pressure, Temperature};

/// Any number of something. An item that cannot be read keeps its place, empty.
pub(in crate::sheet) struct List<S>(pub S);

impl<S: Shape> Shape for List<S>
where
    S::Value: Default,
{
    type Value = Vec<S::Value>;

    fn wanted(&self) -> Wanted {
        Wanted::List(self.0.wanted().into())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Self::Value> {
        match &node.value {
            Value::List(nodes) => Some(items(&self.0, key, nodes, log)),
            _ => self.refuse(key, node, log),
        }
    }
}

fn items<S: Shape>(shape: &S, key: &str, nodes: &[Node], log: &mut Log<'_>) -> Vec<S::Value>
where
    S::Value: Default,
{
    let nodes = nodes.iter();
    nodes
        .map(|node| shape.read(key, node, log).unwrap_or_default())
        .collect()
}

/// One of something, or a list of it.
pub(in crate::sheet) struct OneOrMore<S>(pub S);

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
            Value::List(nodes) => Some(items(&self.0, key, nodes, log)),
            _ => self.refuse(key, node, log),
        }
    }
}

/// Two of something.
pub(in crate::sheet) struct Pair<S>(pub S);

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
pub(in crate::sheet) struct Each<S>(pub &'static str, pub S);

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

/// How thick an oil is at each of two temperatures.
pub(in crate::sheet) struct Viscosity;

impl Shape for Viscosity {
    type Value = [(Temperature, KinematicViscosity); 2];

    fn wanted(&self) -> Wanted {
        Wanted::Viscosity
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Self::Value> {
        let Some(table) = node.table() else {
            return self.refuse(key, node, log);
        };
        let mut points = Vec::new();
        for (at, item) in table {
            let temperature = read_size(at, &item.key, log);
            let viscosity = size().read(at, &item.node, log);
            points.push(temperature.zip(viscosity));
        }
        match points[..] {
            [one, other] => Some([one?, other?]),
            _ => {
                let wanted = self.wanted();
                let message = format!("`{key}` wants {}, not {}", wanted.says(), points.len());
                let remedy = format!("write it like {key} = {}", wanted.example());
                log.say(Code::WrongType, node.at.clone(), message, remedy);
                None
            }
        }
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
pub(in crate::sheet) struct Boost;

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
