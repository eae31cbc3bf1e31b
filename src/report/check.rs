//! Whether a circuit file is sound: what was read, and what looks like a slip.

use serde::Serialize;

use super::page::{Block, Line, Page};
use super::words::{Words, plural, quoted};
use crate::answer::Answer;
use crate::circuit::Kind;
use crate::lint::Warning;
use crate::sheet::{Diagnostic, Label, Location, Severity, Sheet};

/// What was read from a circuit file, and what looks like a slip in it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Check {
    /// The files read: the one asked for, then those it includes.
    pub files: Vec<String>,
    /// How many parts of each kind there are; kinds without any are left out.
    pub parts: Vec<KindCount>,
    /// What looks like a slip.
    pub warnings: Vec<CheckWarning>,
}

/// How many parts of a kind there are.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct KindCount {
    /// The kind.
    pub kind: Kind,
    /// How many.
    pub count: usize,
}

/// One thing that looks like a slip.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CheckWarning {
    /// A stable word for it.
    pub code: String,
    /// What looks wrong.
    pub message: String,
    /// What to look at.
    pub remedy: String,
    /// The file it shows in.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
}

impl Answer for Check {
    const NAME: &'static str = "check";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        !self.warnings.is_empty()
    }
}

impl Check {
    /// What was read, with the warnings as [`located`] gives them.
    #[must_use]
    pub fn new(sheet: &Sheet, warnings: &[Diagnostic]) -> Self {
        let counts = Kind::ALL.iter().map(|kind| KindCount {
            kind: *kind,
            count: sheet.circuit.ids(*kind).count(),
        });
        let warnings = warnings.iter().filter_map(|warning| {
            let at = &warning.labels.first()?.at;
            let source = sheet.sources().get(at.file)?;
            let (line, column) = source.line_column(at.start);
            Some(CheckWarning {
                code: warning.code.to_owned(),
                message: warning.message.clone(),
                remedy: warning.remedy.clone(),
                file: source.name.clone(),
                line,
                column,
            })
        });
        Check {
            files: sheet.sources().iter().map(|s| s.name.clone()).collect(),
            parts: counts.filter(|c| c.count > 0).collect(),
            warnings: warnings.collect(),
        }
    }
}

/// Warnings at their places in the file, as errors of reading are, in the order of the file.
#[must_use]
pub fn located(sheet: &Sheet, warnings: &[Warning]) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> = warnings
        .iter()
        .map(|warning| Diagnostic {
            code: warning.what.code(),
            severity: Severity::Warning,
            message: warning.what.to_string(),
            remedy: warning.what.remedy().to_owned(),
            labels: vec![Label {
                // What cannot be placed is still said, at the top of the file.
                at: (sheet.locate(&warning.at)).unwrap_or_else(|| Location::new(0, 0..0)),
                text: String::new(),
            }],
        })
        .collect();
    found.sort_by(|a, b| a.labels[0].at.cmp(&b.labels[0].at));
    found
}

/// The report of a check; the warnings are listed where they are not drawn in their file.
#[must_use]
pub fn check(answer: &Check, words: &Words<'_>, drawn: bool) -> Page {
    let count = |state: bool| -> usize {
        let kinds = answer
            .parts
            .iter()
            .filter(|c| (c.kind == Kind::State) == state);
        kinds.map(|c| c.count).sum()
    };
    let read = Line::list(answer.files.iter().map(|f| Line::id(f)), "and") + ": ";
    let read = read + plural(count(false), "part") + " and " + plural(count(true), "state");
    let lead = match answer.warnings.len() {
        0 => read + " read, nothing looks wrong.",
        n => read + " read, " + plural(n, "warning") + ".",
    };
    let counts = answer
        .parts
        .iter()
        .map(|c| plural(c.count, c.kind.word()).into());
    let mut blocks = vec![
        Block::Lead(lead),
        Block::Text(Line::from("Found ") + Line::list(counts, "and") + "."),
    ];
    if !drawn && !answer.warnings.is_empty() {
        let items = answer.warnings.iter().map(|w| {
            let place = format!("{}:{}:{}", w.file, w.line, w.column);
            Line::id(&place) + ": " + quoted(&w.message) + "; " + quoted(&w.remedy) + "."
        });
        blocks.push(Block::List(items.collect()));
    }
    Page {
        title: words.title(),
        blocks,
    }
}
