//! The rules of a circuit, said where the sheet breaks them.

use std::collections::{BTreeSet, HashSet};
use std::ops::Range;

use super::document::Node;
use super::files::Files;
use super::{Diagnostic, Label, Location, Severity};
use crate::circuit::{Circuit, FindError, Problem, Step, Trouble};

/// What the rules of a circuit find, where reading has not already said what lies behind it.
pub(super) fn check(files: &Files, circuit: &Circuit, read: &[Diagnostic]) -> Vec<Diagnostic> {
    let firsts = read.iter().filter_map(|said| said.labels.first());
    let firsts: BTreeSet<Location> = firsts.map(|label| label.at.clone()).collect();
    let mut out: Vec<Diagnostic> = Vec::new();
    let mut told = HashSet::new();
    for problem in circuit.problems() {
        if excused(files, &problem) {
            continue;
        }
        let Some(at) = place(files, &problem) else {
            continue;
        };
        // Something inside could not be read: what follows from that is no news.
        let start = Location::new(at.file, at.start..at.start);
        let mut inside = firsts.range(start..=Location::new(at.file, at.end..at.end));
        if !problem.at.steps.is_empty() && inside.any(|said| said.end <= at.end) {
            continue;
        }
        // The rule that would hold, or the place to rest, may be what could not be read.
        if matches!(problem.what, Trouble::NoRuleHolds { .. })
            && let Some(valve) = problem.at.part.as_ref().and_then(|part| files.part(part))
            && let Some(body) = valve.node
        {
            let Range { start, end } = body.extent();
            let [start, end] = [start, end].map(|edge| Location::new(at.file, edge..edge));
            if firsts.range(start..end).next().is_some() {
                continue;
            }
        }
        // A rule that names one thing twice is wrong once.
        if !told.insert((at.clone(), problem.what.to_string())) {
            continue;
        }
        let mut said = Diagnostic {
            code: problem.what.code(),
            severity: Severity::Error,
            message: problem.what.to_string(),
            remedy: problem.what.remedy(),
            labels: vec![Label {
                at,
                text: String::new(),
            }],
        };
        if let Some(other) = problem.other.as_ref().and_then(|p| files.locate(p)) {
            said = said.here("here").and(other, "and here");
        }
        out.push(said);
    }
    out
}

/// Whether what is missing may stand in a part of the files that could not be read, or is
/// missing with a key, which was said when the key was asked for.
fn excused(files: &Files, problem: &Problem) -> bool {
    let words: &[&str] = match &problem.what {
        Trouble::Find(FindError::Unknown { id, .. }) => &[id],
        Trouble::NoSuchPosition { position, .. } => &[position],
        Trouble::NoSuchDetent { .. } => &["lever"],
        Trouble::ShortBore | Trouble::OffBore(_) | Trouble::NotAnEnd(_) => &["bore"],
        Trouble::NoPosition => &["joins"],
        Trouble::NoRuleHolds { .. } => &["when", "otherwise"],
        _ => &[],
    };
    let mut both = files.sources.iter().zip(&files.documents);
    let lost = both.any(|(s, d)| words.iter().any(|word| d.may_say(&s.text, word)));
    lost || files.find(&problem.at).is_some_and(|f| f.missing > 0)
}

fn place(files: &Files, problem: &Problem) -> Option<Location> {
    let found = files.find(&problem.at)?;
    let text = &files.sources.get(found.file)?.text;
    let in_rule = matches!(problem.at.steps.last(), Some(Step::Key(key)) if key == "when");
    let name = match &problem.what {
        // It is the position that is wrong, not the valve that stands before it.
        Trouble::NoSuchPosition { .. } => {
            let node = found.node?;
            return Some(Location::new(found.file, node.at.clone()));
        }
        Trouble::NoSuchDetent { detent, .. } => format!("lever.{detent}"),
        Trouble::Find(
            FindError::Unknown { id, .. }
            | FindError::WrongKind { id, .. }
            | FindError::Shared { id, .. },
        ) => id.clone(),
        _ => return files.locate(&problem.at),
    };
    match found.node.filter(|_| in_rule) {
        Some(node) => Some(Location::new(found.file, word_in(text, node, &name))),
        None => files.locate(&problem.at),
    }
}

/// Where a name stands in a rule; the whole rule if that cannot be told.
fn word_in(text: &str, node: &Node, name: &str) -> Range<usize> {
    let raw = text.get(node.at.clone()).unwrap_or("");
    let edge = |c: Option<char>| c.is_none_or(|c| c.is_whitespace() || "()\"'".contains(c));
    let mut hits = raw.match_indices(name);
    let hit = hits.find(|(at, _)| {
        edge(raw[..*at].chars().next_back()) && edge(raw[at + name.len()..].chars().next())
    });
    match hit {
        Some((at, _)) => node.at.start + at..node.at.start + at + name.len(),
        None => node.at.clone(),
    }
}
