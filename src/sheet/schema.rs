//! The circuit file as a JSON Schema, made from the keys its reader asks for.

use serde_json::{Map, Value as Json, json};

use super::document::{Item, Node, Table, Value};
use super::keys;
use super::kinds;
use super::walk::TOP;
use super::wanted::{Asked, Choice, Keys, Need, Wanted};
use crate::circuit::{Circuit, ID_PATTERN, Kind, RESERVED};
use crate::units::{KinematicViscosity, Quantity, Spec, Temperature};

/// The JSON Schema (draft 7, which editors know) of a circuit file, for editors that check and
/// complete as one types.
///
/// A schema knows shapes, not meanings: what it rejects cannot be read, but not all that it
/// accepts can, for it does not see whether the parts a file names are there.
///
/// ```
/// let schema = oilpath::sheet::schema();
/// assert_eq!(schema["properties"]["lever"]["type"], "array");
/// ```
#[must_use]
pub fn schema() -> Json {
    let mut sheet = Sheet::default();
    let mut properties = Map::new();
    for top in TOP {
        let described = described(top.about, sheet.value(&(top.wanted)()));
        properties.insert(top.key.to_owned(), described);
    }
    for kind in Kind::ALL {
        let (about, part) = sheet.kind(*kind);
        let parts = json!({
            "type": "object",
            "description": format!("{about}. One for each id."),
            "propertyNames": sheet.id(),
            "additionalProperties": part,
        });
        properties.insert(kind.word().to_owned(), parts);
    }
    json!({
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": "Oil circuit",
        "description": "The oil circuit of an automatic gearbox's control block, for oilpath.",
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
        "definitions": sheet.definitions,
    })
}

/// What is used in many places, by name.
#[derive(Default)]
struct Sheet {
    definitions: Map<String, Json>,
}

impl Sheet {
    /// What a kind of part is, and the schema of one.
    fn kind(&mut self, kind: Kind) -> (&'static str, Json) {
        let keys = |table| {
            keys::beside(table, |f| {
                kinds::part(kind, "", f, &mut Circuit::default());
            })
        };
        let plain = keys(Table::new());
        let words = plain.asked.iter().find_map(|asked| match &asked.wanted {
            Wanted::Word(words) if asked.key == "kind" => Some(words.clone()),
            _ => None,
        });
        // The same part once for each word of its `kind`.
        let variants: Vec<_> = words.into_iter().flatten().collect();
        let variants: Vec<_> = variants
            .into_iter()
            .map(|word| (word, keys(of_kind(word))))
            .collect();
        let mut part = self.table(&plain, &|asked| {
            let everywhere = |(_, keys): &(_, Keys)| need(keys, asked.key) == Need::Must;
            asked.need == Need::Must && variants.iter().all(everywhere)
        });
        let splits = |asked: &Asked| {
            let differs = |(_, keys): &(_, Keys)| need(keys, asked.key) != asked.need;
            variants.iter().any(differs)
        };
        let split: Vec<&Asked> = plain.asked.iter().filter(|asked| splits(asked)).collect();
        if !split.is_empty() {
            let branches = variants.iter().map(|(word, keys)| {
                let usual = split.iter().all(|a| need(keys, a.key) == a.need);
                branch(
                    word,
                    usual,
                    split.iter().map(|a| (a.key, need(keys, a.key))),
                )
            });
            part["allOf"] = branches.collect();
        }
        (plain.about, part)
    }

    /// A table with these keys, of which some must be there.
    fn table(&mut self, keys: &Keys, must: &dyn Fn(&Asked) -> bool) -> Json {
        let mut properties = Map::new();
        let mut required = Vec::new();
        for asked in &keys.asked {
            let value = described(asked.about, self.value(&asked.wanted));
            properties.insert(asked.key.to_owned(), value);
            if must(asked) {
                required.push(asked.key);
            }
        }
        let mut table = json!({
            "type": "object",
            "description": keys.about,
            "properties": properties,
            "additionalProperties": false,
        });
        if !required.is_empty() {
            table["required"] = json!(required);
        }
        if let Some(others) = keys.others {
            let other = others();
            table["additionalProperties"] = self.table(&other, &|a| a.need == Need::Must);
            // Whatever is no key names what its table is, so that it has to be an id.
            table["propertyNames"] = self.id();
        }
        if let [Choice { of: sets, need }] = &keys.choices[..] {
            let none: &[&str] = &[];
            let one = |set: &&[&str]| {
                let rest = sets
                    .iter()
                    .copied()
                    .flatten()
                    .filter(|key| !set.contains(key));
                let absent: Map<_, _> = rest.map(|key| ((*key).to_owned(), json!(false))).collect();
                json!({ "required": set, "properties": absent })
            };
            let none = (*need != Need::Must).then_some(&none);
            table["anyOf"] = sets.iter().chain(none).map(one).collect();
        }
        table
    }

    fn value(&mut self, wanted: &Wanted) -> Json {
        match wanted {
            Wanted::Text => json!({ "type": "string" }),
            Wanted::Rule => json!({ "type": "string", "pattern": r"\S" }),
            Wanted::Name(noun) => self.name(noun),
            Wanted::Size(spec) => self.size(spec),
            Wanted::Toleranced(spec) => self.toleranced(spec),
            Wanted::Word(words) => json!({ "enum": words }),
            Wanted::Flag => json!({ "type": "boolean" }),
            Wanted::Count => json!({ "type": "integer", "minimum": 1, "maximum": u32::MAX }),
            Wanted::Pair(of) => json!({
                "type": "array",
                "items": self.value(of),
                "minItems": 2,
                "maxItems": 2,
            }),
            Wanted::List(of) => json!({ "type": "array", "items": self.value(of) }),
            Wanted::Each(noun, of) => json!({
                "type": "object",
                "propertyNames": self.name(noun),
                "additionalProperties": self.value(of),
            }),
            Wanted::Viscosity => json!({
                "type": "object",
                "propertyNames": self.size(Temperature::SPEC),
                "additionalProperties": self.size(KinematicViscosity::SPEC),
                "minProperties": 2,
                "maxProperties": 2,
            }),
            Wanted::Or(a, b) => json!({ "anyOf": [self.value(a), self.value(b)] }),
            Wanted::Table(_, keys) => self.table(&keys(), &|a| a.need == Need::Must),
        }
    }

    /// The id of a part that is declared.
    fn id(&mut self) -> Json {
        self.defined("id", || {
            json!({
                "description": "Letters, digits, - and _; no word of the rules.",
                "type": "string",
                "pattern": format!("^{ID_PATTERN}$"),
                "not": { "enum": RESERVED },
            })
        })
    }

    /// A part that is named.
    fn name(&mut self, noun: &str) -> Json {
        let pattern = match noun {
            // A lever's detents are what is cast beside it: any text.
            "detent" => r"\S".to_owned(),
            "cavity" => format!(r"^\s*(passage\.)?{ID_PATTERN}\s*$"),
            "position" => format!(r"^\s*{ID_PATTERN}\s*$"),
            _ => format!(r"^\s*([a-z]+\.)?{ID_PATTERN}\s*$"),
        };
        self.defined(&noun.replace(' ', "-"), || {
            json!({
                "description": format!("The id of a {noun}."),
                "type": "string",
                "pattern": pattern,
            })
        })
    }

    fn size(&mut self, spec: &Spec) -> Json {
        self.defined(&spec.name.replace(' ', "-"), || {
            json!({
                "description": format!("A number and its unit: {}.", spec.accepts.join(", ")),
                "type": "string",
                "pattern": spec.pattern(),
            })
        })
    }

    fn toleranced(&mut self, spec: &Spec) -> Json {
        let units = spec.accepts.join(", ");
        self.defined(&format!("toleranced-{}", spec.name.replace(' ', "-")), || {
            json!({
                "description": format!(
                    "A number and its unit: {units}; with how far it may be off, if that is known: \
                     \"1.2 ±0.05 mm\", \"16 bar ±5 %\"."
                ),
                "type": "string",
                "pattern": spec.toleranced_pattern(),
            })
        })
    }

    fn defined(&mut self, name: &str, make: impl FnOnce() -> Json) -> Json {
        self.definitions.entry(name).or_insert_with(make);
        json!({ "$ref": format!("#/definitions/{name}") })
    }
}

fn need(keys: &Keys, key: &str) -> Need {
    let asked = keys.asked.iter().find(|asked| asked.key == key);
    asked.map_or(Need::May, |asked| asked.need)
}

/// What holds where `kind` is this word, or where it is the usual one and unsaid.
fn branch<'k>(word: &str, usual: bool, needs: impl Iterator<Item = (&'k str, Need)>) -> Json {
    let mut required = Vec::new();
    let mut properties = Map::new();
    for (key, need) in needs {
        match need {
            Need::Must => required.push(key),
            Need::MustNot => drop(properties.insert(key.to_owned(), json!(false))),
            Need::May => {}
        }
    }
    let said: &[&str] = if usual { &[] } else { &["kind"] };
    json!({
        "if": { "properties": { "kind": { "const": word } }, "required": said },
        "then": { "required": required, "properties": properties },
    })
}

/// The table of a part of which only the kind is known.
fn of_kind(word: &str) -> Table {
    let node = Node {
        at: 0..0,
        value: Value::Text(word.to_owned()),
    };
    let item = Item { key: 0..0, node };
    Table::from([("kind".to_owned(), item)])
}

/// A schema with what it is for. Beside a reference draft 7 heeds nothing, so that goes inside.
fn described(about: &str, value: Json) -> Json {
    let mut described = match value {
        Json::Object(value) if !value.contains_key("$ref") => value,
        reference => Map::from_iter([("allOf".to_owned(), json!([reference]))]),
    };
    described.insert("description".to_owned(), json!(format!("{about}.")));
    Json::Object(described)
}
