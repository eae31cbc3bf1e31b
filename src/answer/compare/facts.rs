//! A circuit as facts: every part with its keys, written alike whatever the order of the file, and
//! every name in them as another circuit calls it.

use std::collections::{BTreeMap, HashMap};

use toml::{Table, Value};

use crate::circuit::{Circuit, Kind, Part, PartName, Rule, Step};
use crate::sheet;

/// What a circuit says of each part: its keys with their values.
pub(super) type Facts = BTreeMap<PartName, BTreeMap<String, String>>;

/// Keys whose lists have no order.
const UNORDERED: [&str; 10] = [
    "boost", "faces", "roofs", "through", "hole-at", "inlets", "joins", "on", "applies", "boosts",
];
/// Keys that only people read.
const PROSE: [&str; 2] = ["label", "note"];

/// The facts of a circuit, of each part under the name it has in `called`, every other part in
/// them as `named` says.
pub(super) fn facts(
    circuit: &Circuit,
    called: &dyn Fn(&PartName) -> PartName,
    named: &dyn Fn(&PartName) -> String,
) -> Facts {
    let text = sheet::write(circuit);
    // What was written by the sheet reads back.
    let written: Table = toml::from_str(&text).unwrap_or_default();
    let mut names: HashMap<(PartName, String), HashMap<String, String>> = HashMap::new();
    for reference in circuit.references() {
        let place = reference.place;
        let (Some(part), Some(Step::Key(key))) = (place.part, place.steps.first()) else {
            continue;
        };
        let found = match circuit.find(reference.text, reference.kinds) {
            Ok(found) => named(&found),
            Err(_) => reference.text.to_owned(),
        };
        let known = names.entry((part, key.clone())).or_default();
        known.insert(reference.text.to_owned(), found);
    }
    let none = HashMap::new();
    let parts = circuit.parts().map(|(name, part)| {
        let table = written.get(name.kind.word()).and_then(|t| t.get(&name.id));
        let mut facts = BTreeMap::new();
        for (key, value) in table.and_then(Value::as_table).into_iter().flatten() {
            // Where a cavity lies is told of the cavity.
            if PROSE.contains(&&**key) || (name.kind == Kind::Casting && key == "passages") {
                continue;
            }
            let names = names.get(&(name.clone(), key.clone())).unwrap_or(&none);
            let told = Told {
                names,
                kind: name.kind,
            };
            told.add(key, value, &mut facts);
        }
        match part {
            Part::Passage(passage) => {
                let casting = PartName::new(Kind::Casting, &passage.casting);
                facts.insert("casting".to_owned(), named(&casting));
            }
            Part::Valve(valve) => {
                for (place, position) in &valve.positions {
                    if let Some(rule) = &position.when {
                        let names = names.get(&(name.clone(), place.clone())).unwrap_or(&none);
                        facts.insert(format!("{place}.when"), ruled(rule, names));
                    }
                }
            }
            _ => {}
        }
        (called(&name), facts)
    });
    parts.collect()
}

/// What is told of one key of one part.
struct Told<'a> {
    names: &'a HashMap<String, String>,
    kind: Kind,
}

impl Told<'_> {
    fn add(&self, key: &str, value: &Value, facts: &mut BTreeMap<String, String>) {
        let last = key.rsplit('.').next().unwrap_or(key);
        match value {
            Value::Table(table) => {
                for (inner, value) in table {
                    let inner = self.names.get(inner).map_or(&**inner, String::as_str);
                    if !PROSE.contains(&inner) && inner != "when" {
                        self.add(&format!("{key}.{inner}"), value, facts);
                    }
                }
            }
            value => {
                facts.insert(key.to_owned(), self.said(last, value));
            }
        }
    }

    fn said(&self, key: &str, value: &Value) -> String {
        match value {
            Value::String(text) => self.names.get(text).unwrap_or(text).clone(),
            Value::Array(items) => {
                let inner = if key == "joins" { "between" } else { key };
                let mut said: Vec<String> = items.iter().map(|v| self.said(inner, v)).collect();
                match key {
                    // A run of neighbours is the same from either end.
                    "separates" => return self.runs(items).join("; "),
                    key if self.unordered(key) => said.sort(),
                    _ => {}
                }
                said.join(if key == "joins" { "; " } else { ", " })
            }
            Value::Table(table) => {
                let said = table
                    .iter()
                    .map(|(key, v)| format!("{key} {}", self.said(key, v)));
                said.collect::<Vec<_>>().join(", ")
            }
            Value::Integer(number) => number.to_string(),
            Value::Boolean(flag) => flag.to_string(),
            // No key of a circuit is written so.
            Value::Float(_) | Value::Datetime(_) => String::new(),
        }
    }

    /// Whether the order of a list says nothing. What passes a filter, converter or cooler goes in
    /// at its first end and comes out at its second; other ways have two ends alike.
    fn unordered(&self, key: &str) -> bool {
        let through = matches!(self.kind, Kind::Filter | Kind::Converter | Kind::Cooler);
        UNORDERED.contains(&key) || (key == "between" && !through)
    }

    fn runs(&self, runs: &[Value]) -> Vec<String> {
        let runs = runs.iter().map(|run| {
            let items = run.as_array().into_iter().flatten();
            let mut items: Vec<String> = items.map(|v| self.said("", v)).collect();
            if items.first() > items.last() {
                items.reverse();
            }
            items.join(", ")
        });
        let mut runs: Vec<String> = runs.collect();
        runs.sort();
        runs
    }
}

/// A rule, what its `and` and `or` join in an order of its own.
fn ruled(rule: &Rule, names: &HashMap<String, String>) -> String {
    let joined = |rules: &[Rule], word: &str| {
        let mut rules: Vec<String> = rules.iter().map(|r| ruled(r, names)).collect();
        rules.sort();
        format!("({})", rules.join(word))
    };
    match rule {
        Rule::Name(name) => names.get(name).unwrap_or(name).clone(),
        Rule::Not(rule) => format!("not {}", ruled(rule, names)),
        Rule::And(rules) => joined(rules, " and "),
        Rule::Or(rules) => joined(rules, " or "),
    }
}
