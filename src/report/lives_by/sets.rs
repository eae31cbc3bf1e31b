//! Sets of faults, gathered and worded.

use std::collections::BTreeMap;

use super::NAMED;
use crate::answer::LivesByState;
use crate::report::page::{Block, Line};
use crate::report::words;

/// Faults that do exactly the same.
pub(super) type Alike = Vec<String>;

/// The sets of one size.
pub(super) fn sets(state: &LivesByState, size: usize) -> impl Iterator<Item = &[Alike]> {
    let sets = state.cut_sets.iter().map(|set| &set.faults[..]);
    sets.filter(move |set| set.len() == size)
}

/// The faults that starve the outlet alone.
pub(super) fn alone(state: &LivesByState) -> Vec<String> {
    sets(state, 1).flatten().flatten().cloned().collect()
}

/// The parts that starve the outlet alone.
pub(super) fn singles(state: &LivesByState) -> Vec<(String, Vec<String>)> {
    by_part(&alone(state))
}

/// Faults by part, each part with its conditions, in the order they come.
pub(super) fn by_part(faults: &[String]) -> Vec<(String, Vec<String>)> {
    let mut parts: Vec<(String, Vec<String>)> = Vec::new();
    for fault in faults {
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

/// A list of so many rows, the rest counted.
pub(super) fn listed(mut items: Vec<Line>, rows: usize) -> Block {
    let more = items.len().saturating_sub(rows);
    items.truncate(rows);
    if more > 0 {
        let rows = words::plural(more, "more row");
        let are = if more == 1 { "is" } else { "are" };
        items.push(format!("{rows} {are} in the JSON.").into());
    }
    Block::List(items)
}

/// What is found in states, by those in which it is found: what most share first, otherwise as it comes.
pub(super) fn by_states<T: Clone + Ord>(found: Vec<(&str, Vec<T>)>) -> Vec<(Vec<&str>, Vec<T>)> {
    let mut place: BTreeMap<T, usize> = BTreeMap::new();
    let mut each: Vec<(T, Vec<&str>)> = Vec::new();
    for (state, found) in found {
        for one in found {
            let at = *place.entry(one.clone()).or_insert(each.len());
            if at == each.len() {
                each.push((one, Vec::new()));
            }
            each[at].1.push(state);
        }
    }
    let mut place: BTreeMap<Vec<&str>, usize> = BTreeMap::new();
    let mut groups: Vec<(Vec<&str>, Vec<T>)> = Vec::new();
    for (one, states) in each {
        let at = *place.entry(states.clone()).or_insert(groups.len());
        if at == groups.len() {
            groups.push((states, Vec::new()));
        }
        groups[at].1.push(one);
    }
    groups.sort_by_key(|(states, _)| std::cmp::Reverse(states.len()));
    groups
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

/// `12 026`, or `9800 to 12 026` where they differ.
pub(super) fn range(counts: impl Iterator<Item = u64> + Clone) -> String {
    let least = counts.clone().min().unwrap_or(0);
    let most = counts.max().unwrap_or(0);
    match least == most {
        true => thousands(most),
        false => format!("{} to {}", thousands(least), thousands(most)),
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
