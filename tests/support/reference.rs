//! Reference cases as tables, and sets counted out one by one.
#![allow(dead_code)] // each test file uses its share

use std::collections::BTreeSet;

use oilpath::circuit::Circuit;
use oilpath::sheet;

/// A file of `tests/reference/graph/`.
pub fn table(name: &str) -> toml::Table {
    let path = format!("tests/reference/graph/{name}.toml");
    toml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// A list of words.
pub fn words(list: &toml::Value) -> Vec<String> {
    let list = list.as_array().unwrap().iter();
    list.map(word).collect()
}

/// A word or a whole number.
pub fn word(value: &toml::Value) -> String {
    match value {
        toml::Value::Integer(number) => number.to_string(),
        other => other.as_str().unwrap().to_owned(),
    }
}

/// A list of lists of words.
pub fn lists(list: &toml::Value) -> Vec<Vec<String>> {
    list.as_array().unwrap().iter().map(words).collect()
}

/// All subsets of `0..count`, as bits.
pub fn subsets(count: usize) -> std::ops::Range<u32> {
    0..1 << count
}

/// The sets none of which holds another, smallest first.
pub fn minimal<T: Ord + Clone>(sets: impl IntoIterator<Item = BTreeSet<T>>) -> Vec<Vec<T>> {
    let sets: BTreeSet<BTreeSet<T>> = sets.into_iter().collect();
    let least = sets
        .iter()
        .filter(|s| !sets.iter().any(|t| t != *s && t.is_subset(s)));
    let mut least: Vec<Vec<T>> = least.map(|s| s.iter().cloned().collect()).collect();
    least.sort_by_key(|s| (s.len(), s.clone()));
    least
}

/// Those of some things whose bits are set.
pub fn members<T: Clone>(of: &[T], bits: u32) -> impl Iterator<Item = T> {
    let chosen = of
        .iter()
        .enumerate()
        .filter(move |(i, _)| bits >> i & 1 == 1);
    chosen.map(|(_, m)| m.clone())
}

/// The chance that just the events of `on` happen.
pub fn state_chance(events: &[String], on: &BTreeSet<String>, of: impl Fn(&str) -> f64) -> f64 {
    let each = events
        .iter()
        .map(|e| if on.contains(e) { of(e) } else { 1.0 - of(e) });
    each.product()
}

/// A circuit of one-way balls `e0`, `e1`, ... between passages, fed at `sources`.
pub fn directed(nodes: &BTreeSet<&str>, sources: &[&str], edges: &[(&str, &str, u64)]) -> Circuit {
    let listed: Vec<String> = nodes.iter().map(|n| format!("'{n}'")).collect();
    let mut text = format!(
        "[casting]\nblock = {{ passages = [{}] }}\n",
        listed.join(", ")
    );
    for node in sources {
        text += &format!("[source.at-{node}]\nfeeds = '{node}'\n");
    }
    for (i, (from, to, tenths)) in edges.iter().enumerate() {
        let bore = *tenths as f64 / 10.0;
        text += &format!("[ball.e{i}]\nfrom = '{from}'\nto = '{to}'\nbore = '{bore} mm'\n");
    }
    sheet::read(&text).unwrap().circuit
}
