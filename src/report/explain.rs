//! What codes mean, in a report.

use serde::Serialize;

use super::page::{Block, Line, Page, Role};
use super::words::{plural, quoted};
use crate::answer::Answer;
use crate::explain::{Example, Explanation};
use crate::sheet::Severity;

/// What some codes mean.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Explain {
    /// The codes, errors first.
    pub codes: Vec<ExplainedCode>,
}

/// What a code means.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ExplainedCode {
    /// The code.
    pub code: String,
    /// Whether the file can be used all the same.
    pub severity: Severity,
    /// What it means in one sentence.
    pub gist: String,
    /// The same at more length, and what to do.
    pub means: String,
    /// Whether the examples are circuit files; else they are in words.
    pub typed: bool,
    /// What gets the code.
    pub bad: String,
    /// The same put right.
    pub good: String,
}

impl Answer for Explain {
    const NAME: &'static str = "explain";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

impl Explain {
    /// Explains these.
    #[must_use]
    pub fn new<'e>(explanations: impl IntoIterator<Item = &'e Explanation>) -> Self {
        let explained = explanations.into_iter().map(|known| ExplainedCode {
            code: known.code.to_owned(),
            severity: known.severity,
            gist: known.gist().to_owned(),
            means: known.means.to_owned(),
            typed: matches!(known.example, Example::Sheet { .. }),
            bad: known.bad().to_owned(),
            good: known.good(),
        });
        Explain {
            codes: explained.collect(),
        }
    }
}

/// The report of one code with its examples, or of several in a line each.
#[must_use]
pub fn explain(answer: &Explain) -> Page {
    match &answer.codes[..] {
        [one] => single(one),
        all => list(all),
    }
}

fn single(known: &ExplainedCode) -> Page {
    let more = known.means.strip_prefix(&known.gist).unwrap_or_default();
    let example = |text: &str| match known.typed {
        true => Block::code(text),
        false => Block::Text(text.into()),
    };
    let role = match known.severity {
        Severity::Error => Role::Drained,
        Severity::Warning => Role::Contested,
    };
    let name = format!("{}[{}]", known.severity, known.code);
    let mut blocks = vec![Block::Lead(
        Line::role(role, &name) + ": " + quoted(&known.gist),
    )];
    if !more.is_empty() {
        blocks.push(Block::Text(quoted(more.trim())));
    }
    blocks.extend([
        Block::Heading("Wrong".into()),
        example(&known.bad),
        Block::Heading("Right".into()),
        example(&known.good),
    ]);
    Page {
        title: Line::id(&known.code),
        blocks,
    }
}

fn list(codes: &[ExplainedCode]) -> Page {
    let mut blocks = Vec::new();
    for (severity, heading, count) in [
        (
            Severity::Error,
            "A file with one of these cannot be used",
            "error",
        ),
        (
            Severity::Warning,
            "A file with one of these may be as it should be",
            "warning",
        ),
    ] {
        let of = codes.iter().filter(|known| known.severity == severity);
        let rows: Vec<Vec<Line>> = of
            .map(|known| vec![Line::id(&known.code), quoted(&known.gist)])
            .collect();
        if !rows.is_empty() {
            blocks.push(Block::Heading(
                format!("{heading} ({})", plural(rows.len(), count)).into(),
            ));
            blocks.push(Block::table(&["code", "means"], rows));
        }
    }
    Page {
        title: "What the codes of errors and warnings mean".into(),
        blocks,
    }
}
