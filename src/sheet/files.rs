//! The files of a sheet, and the way from a place in the circuit to a place in them.

use std::ops::Range;

use super::document::{Document, Node, Value};
use super::{Location, Source};
use crate::circuit::{Kind, PartName, Place, Step};

/// The files a sheet was read from: each text, and beside it the same as a tree.
#[derive(Clone, Debug, Default)]
pub(super) struct Files {
    pub sources: Vec<Source>,
    pub documents: Vec<Document>,
}

/// What stands at a place.
pub(super) struct Found<'f> {
    pub file: usize,
    /// The key or id, or for the item of a list the item.
    pub key: Range<usize>,
    /// The value, unless it is a passage that only a casting lists.
    pub node: Option<&'f Node>,
    /// Steps that lead nowhere: the keys are not in the file.
    pub missing: usize,
}

impl Files {
    /// The text that a place in the circuit came from: an id where it is a part or a mention of
    /// one as a key, else the value. Where a key is not in the file, what it would stand in.
    pub fn locate(&self, place: &Place) -> Option<Location> {
        let found = self.find(place)?;
        let keyed = match (&place.part, &place.steps[..]) {
            (_, []) => true,
            // Tables from ids to something: it is the id that names a part.
            (Some(part), [Step::Key(key), Step::Key(_)]) => matches!(
                (part.kind, key.as_str()),
                (Kind::Regulator, "boost") | (Kind::State, "levels" | "valves")
            ),
            _ => false,
        };
        let range = match found.node {
            Some(node) if !keyed && node.table().is_none() => node.at.clone(),
            _ => found.key,
        };
        Some(Location::new(found.file, range))
    }

    /// Follows a place as far as the files have it.
    pub fn find(&self, place: &Place) -> Option<Found<'_>> {
        let mut steps = &place.steps[..];
        let mut found = match &place.part {
            Some(part) if part.kind == Kind::Passage && steps.is_empty() => {
                return self.listing(&part.id);
            }
            Some(part) => match self.part(part) {
                Some(found) => found,
                None if part.kind == Kind::Passage => self.listing(&part.id)?,
                None => return None,
            },
            None => {
                let [Step::Key(key), rest @ ..] = steps else {
                    return None;
                };
                steps = rest;
                let mut documents = self.documents.iter().enumerate();
                let (file, item) =
                    documents.find_map(|(file, d)| Some((file, d.root.get(key)?)))?;
                Found {
                    file,
                    key: item.key.clone(),
                    node: Some(&item.node),
                    missing: 0,
                }
            }
        };
        found.missing = steps.len();
        for step in steps {
            let Some((key, node)) = found.node.and_then(|node| inner(node, step)) else {
                break;
            };
            found.key = key;
            found.node = Some(node);
            found.missing -= 1;
        }
        Some(found)
    }

    /// The table of a part, by its id.
    pub fn part(&self, part: &PartName) -> Option<Found<'_>> {
        let mut documents = self.documents.iter().enumerate();
        documents.find_map(|(file, document)| {
            let table = document.root.get(part.kind.word())?.node.table()?;
            let item = table.get(&part.id)?;
            Some(Found {
                file,
                key: item.key.clone(),
                node: Some(&item.node),
                missing: 0,
            })
        })
    }

    /// Where a casting lists a passage.
    fn listing(&self, passage: &str) -> Option<Found<'_>> {
        let mut documents = self.documents.iter().enumerate();
        documents.find_map(|(file, document)| {
            let castings = document.root.get(Kind::Casting.word())?.node.table()?;
            let mut lists = castings.values().filter_map(|casting| {
                let passages = casting.node.table()?.get("passages")?;
                item(&passages.node, passage)
            });
            lists.next().map(|listed| Found {
                file,
                key: listed.at.clone(),
                node: None,
                missing: 0,
            })
        })
    }
}

/// The item of a list that is this text.
fn item<'n>(list: &'n Node, text: &str) -> Option<&'n Node> {
    let Value::List(items) = &list.value else {
        return None;
    };
    items
        .iter()
        .find(|item| item.text().is_some_and(|t| cavity_id(t) == text))
}

/// A cavity's id as the circuit has it.
pub(super) fn cavity_id(text: &str) -> &str {
    let text = text.trim();
    text.strip_prefix("passage.").unwrap_or(text)
}

fn inner<'n>(node: &'n Node, step: &Step) -> Option<(Range<usize>, &'n Node)> {
    let node = match (step, &node.value) {
        (Step::Key(key), Value::Table(table)) => {
            let item = table.get(key)?;
            return Some((item.key.clone(), &item.node));
        }
        // Ids given as a list where a table could say more of each.
        (Step::Key(key), Value::List(_)) => item(node, key)?,
        (Step::Item(index), Value::List(items)) => items.get(*index)?,
        // One thing where there may be a list.
        (Step::Item(0), Value::Text(_)) => node,
        // A join that has keys keeps its cavities under `between`.
        (Step::Item(_), Value::Table(table)) => {
            return inner(&table.get("between")?.node, step);
        }
        _ => return None,
    };
    Some((node.at.clone(), node))
}
