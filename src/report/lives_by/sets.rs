//! Sets of faults, gathered and worded.

use std::collections::BTreeMap;

use crate::answer::LivesByState;
use crate::report::page::{Block, Line};
use crate::report::words;

/// Rows of one list at most; the rest is counted.
const ROWS: usize = 20;
/// Faults in one place at most; the rest is counted.
const NAMED: usize = 9;

/// Faults that do exactly the same.
pub(super) type Alike = Vec<String>;

/// The sets of one size.
pub(super) fn sets(state: &LivesByState, size: usize) -> impl Iterator<Item = &[Alike]> {
    let sets = state.cut_sets.iter().map(|set| &set.faults[..]);
    sets.filter(move |set| set.len() == size)
}

/// The parts that starve the outlet alone, each with its conditions, in the order they are found.
pub(super) fn singles(state: &LivesByState) -> Vec<(String, Vec<String>)> {
    let mut parts: Vec<(String, Vec<String>)> = Vec::new();
    for fault in sets(state, 1).flatten().flatten() {
        let (part, condition) = fault.split_once(':').unwrap_or((fault, ""));
        match parts.iter_mut().find(|(known, _)| known == part) {
            Some((_, conditions)) => conditions.push(condition.to_owned()),
            None => parts.push((part.to_owned(), vec![condition.to_owned()])),
        }
    }
    parts
}

/// What begins alike together, then what ends alike.
pub(super) fn merged(
    pairs: impl Iterator<Item = (Vec<Alike>, Alike)>,
) -> Vec<(Vec<Vec<Alike>>, Vec<Alike>)> {
    let mut ends: Vec<(Vec<Alike>, Vec<Alike>)> = Vec::new();
    let mut place: BTreeMap<Vec<Alike>, usize> = BTreeMap::new();
    for (first, last) in pairs {
        let at = *place.entry(first.clone()).or_insert_with(|| {
            ends.push((first, Vec::new()));
            ends.len() - 1
        });
        ends[at].1.push(last);
    }
    let mut merged: Vec<(Vec<Vec<Alike>>, Vec<Alike>)> = Vec::new();
    let mut place: BTreeMap<Vec<Alike>, usize> = BTreeMap::new();
    for (first, lasts) in ends {
        let at = *place.entry(lasts.clone()).or_insert_with(|| {
            merged.push((Vec::new(), lasts));
            merged.len() - 1
        });
        merged[at].0.push(first);
    }
    merged
}

/// Faults that do the same, in a set.
pub(super) fn any_of(alike: &Alike) -> Line {
    match &alike[..] {
        [one] => Line::id(one),
        alike => Line::from("(") + some(alike) + ")",
    }
}

/// Some of these faults named, the others counted.
pub(super) fn some(faults: &[String]) -> Line {
    Line::few(faults.iter().map(|fault| Line::id(fault)), NAMED, "or")
}

/// A list, unless nothing is in it.
pub(super) fn listed(mut items: Vec<Line>) -> Vec<Block> {
    let more = items.len().saturating_sub(ROWS);
    items.truncate(ROWS);
    let more = (more > 0).then(|| {
        let rows = words::plural(more, "more row");
        let are = if more == 1 { "is" } else { "are" };
        Block::Text(format!("{rows} {are} in the JSON.").into())
    });
    let list = (!items.is_empty()).then_some(Block::List(items));
    list.into_iter().chain(more).collect()
}

/// `12 parts`, or `3 to 12 parts` where the states differ.
pub(super) fn span(counts: impl Iterator<Item = usize> + Clone, noun: &str) -> String {
    let least = counts.clone().min().unwrap_or(0);
    let most = counts.max().unwrap_or(0);
    match least == most {
        true => words::plural(most, noun),
        false => format!("{least} to {}", words::plural(most, noun)),
    }
}

pub(super) fn number(value: f64) -> Line {
    match value {
        0.0 => "0".into(),
        value if value >= 0.001 => format!("{value:.4}").into(),
        value => format!("{value:.1e}").into(),
    }
}

/// A count in groups of three digits.
pub(super) fn thousands(count: u64) -> String {
    let digits = count.to_string();
    let first = digits.len() % 3;
    let groups = digits.as_bytes()[first..].chunks(3);
    let groups = groups.map(|group| String::from_utf8_lossy(group).into_owned());
    let head = (first > 0).then(|| digits[..first].to_owned());
    head.into_iter().chain(groups).collect::<Vec<_>>().join(" ")
}
