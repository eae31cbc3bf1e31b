//! What is wrong with a sheet, as plain data.

use std::fmt;

use serde::Serialize;

use super::{Location, Source};
use crate::circuit::{Trouble, shown};

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// The sheet cannot be used.
    Error,
    /// It can, but something looks wrong.
    Warning,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        })
    }
}

/// One thing that is wrong, where, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// A stable kebab-case word for what kind of thing is wrong; see [`codes`].
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub remedy: String,
    /// Where: the first is the offending text itself, others have a share in it.
    pub labels: Vec<Label>,
}

/// A marked stretch of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub at: Location,
    /// What stands there; empty where the message says it all.
    pub text: String,
}

impl Diagnostic {
    /// An error at one place.
    #[must_use]
    pub fn error(code: Code, at: Location, message: String, remedy: String) -> Self {
        Diagnostic {
            code: code.word(),
            severity: Severity::Error,
            message,
            remedy,
            labels: vec![Label {
                at,
                text: String::new(),
            }],
        }
    }

    /// Says what stands at the first place.
    #[must_use]
    pub fn here(mut self, text: &str) -> Self {
        if let Some(first) = self.labels.first_mut() {
            text.clone_into(&mut first.text);
        }
        self
    }

    /// Adds a place that has a share in it.
    #[must_use]
    pub fn and(mut self, at: Location, text: &str) -> Self {
        let text = text.to_owned();
        self.labels.push(Label { at, text });
        self
    }
}

crate::circuit::words! { Code:
    Syntax "syntax",
    WrongType "wrong-type",
    BareNumber "bare-number",
    BadSize "bad-size",
    BadTolerance "bad-tolerance",
    BadWord "bad-word",
    BadRule "bad-rule",
    UnknownKey "unknown-key",
    UnknownKind "unknown-kind",
    StrayKey "stray-key",
    MissingKey "missing-key",
    OneOf "one-of",
    DuplicateKey "duplicate-key",
    DuplicateId "duplicate-id",
    UnlistedPassage "unlisted-passage",
    IncludeCycle "include-cycle",
    IncludeDepth "include-depth",
    IncludeHere "include-here",
    Unreadable "unreadable",
    NotUtf8 "not-utf8",
    TooLarge "too-large",
    BadSighting "bad-sighting",
}

/// What can be wrong with a file before the rules of a circuit are asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Code {
    /// Not TOML.
    Syntax,
    /// A list where a text should be, and the like.
    WrongType,
    /// A size without its unit.
    BareNumber,
    /// A text that is not the size it should be.
    BadSize,
    /// A tolerance where none is taken, below nothing, or as large as its size.
    BadTolerance,
    /// Not one of the words that may stand there.
    BadWord,
    /// A `when` that cannot be read.
    BadRule,
    /// A key that means nothing there.
    UnknownKey,
    /// A table that is no kind of part.
    UnknownKind,
    /// A key that goes with another kind of the same part.
    StrayKey,
    /// A key that must be there and is not.
    MissingKey,
    /// Not exactly one of several keys.
    OneOf,
    /// The same key twice.
    DuplicateKey,
    /// The same part twice.
    DuplicateId,
    /// Details of a passage that no casting lists.
    UnlistedPassage,
    /// Files that include each other.
    IncludeCycle,
    /// Files included too deeply.
    IncludeDepth,
    /// An include where only one text is read.
    IncludeHere,
    /// A file that cannot be opened.
    Unreadable,
    /// A file that is no UTF-8 text.
    NotUtf8,
    /// A file larger than the limit.
    TooLarge,
    /// A text of a case that says nothing of the circuit.
    BadSighting,
}

/// Every code a diagnostic of [`super::read`] or [`super::open`] can have.
pub fn codes() -> impl Iterator<Item = &'static str> {
    let own = Code::ALL.iter().map(|code| code.word());
    own.chain(Trouble::CODES.iter().copied())
}

/// A sheet that cannot be used: everything that is wrong with it, in file order.
///
/// Shown as one line each: `file:line:column: error[code]: message; remedy`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The files read, to draw the labels in.
    pub sources: Vec<Source>,
    /// What is wrong.
    pub diagnostics: Vec<Diagnostic>,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, diagnostic) in self.diagnostics.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            let place = diagnostic.labels.first().map(|label| &label.at);
            if let Some((at, source)) = place.and_then(|at| Some((at, self.sources.get(at.file)?)))
            {
                let (line, column) = source.line_column(at.start);
                write!(f, "{}:{line}:{column}: ", visible(&source.name))?;
            }
            let Diagnostic {
                code,
                severity,
                message,
                remedy,
                ..
            } = diagnostic;
            let (message, remedy) = (visible(message), visible(remedy));
            write!(f, "{severity}[{code}]: {message}; {remedy}")?;
        }
        Ok(())
    }
}

/// A text without what could forge or command a terminal.
fn visible(text: &str) -> String {
    text.chars().map(shown).collect()
}

impl std::error::Error for Refusal {}
