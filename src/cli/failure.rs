//! Why a question could not be answered.

use std::io::{self, Write};
use std::path::PathBuf;

use crate::report::page::{Block, Line, Page, Role};
use crate::report::{Look, diagnostic, terminal};
use crate::sheet::Refusal;

/// Why a question could not be answered.
#[derive(Debug)]
pub(super) enum Failure {
    /// The circuit file cannot be used.
    Refused(Refusal),
    /// The case file cannot be used.
    RefusedCase(Refusal),
    /// What was asked makes no sense for this circuit.
    Mistaken(Vec<Mistake>),
    /// The answer could not be written; to standard output where there is no path.
    Unwritten(Option<PathBuf>, io::Error),
}

/// One thing that makes no sense, and what would.
#[derive(Debug)]
pub(super) struct Mistake {
    pub what: String,
    pub remedy: String,
}

impl Failure {
    /// One mistake alone.
    pub fn one(what: String, remedy: &str) -> Self {
        Failure::Mistaken(vec![Mistake {
            what,
            remedy: remedy.to_owned(),
        }])
    }

    /// Says it.
    pub fn write(&self, look: Look, err: &mut dyn Write) -> io::Result<()> {
        match self {
            Failure::Refused(refusal) | Failure::RefusedCase(refusal) => {
                let file = match self {
                    Failure::RefusedCase(_) => "case",
                    _ => "circuit",
                };
                diagnostic::write(&refusal.diagnostics, &refusal.sources, look, err)?;
                let count = refusal.diagnostics.len();
                let s = if count == 1 { "" } else { "s" };
                let total = format!("{count} error{s}: the {file} cannot be used.");
                say(total.into(), look, err)
            }
            Failure::Mistaken(mistakes) => {
                for (i, mistake) in mistakes.iter().enumerate() {
                    if i > 0 {
                        writeln!(err)?;
                    }
                    let error = Line::role(Role::Drained, "error: ");
                    say(error + &*mistake.what, look, err)?;
                    let help = Line::role(Role::Strong, "help: ");
                    say(help + &*mistake.remedy, look, err)?;
                }
                Ok(())
            }
            Failure::Unwritten(path, error) => {
                let place = match path {
                    Some(path) => format!("`{}`", path.display()),
                    None => "the answer".to_owned(),
                };
                let line = Line::role(Role::Drained, "error: ");
                say(line + format!("cannot write {place}: {error}"), look, err)
            }
        }
    }
}

/// Writes a paragraph.
pub(super) fn say(line: Line, look: Look, err: &mut dyn Write) -> io::Result<()> {
    let page = Page {
        title: Line::default(),
        blocks: vec![Block::Text(line)],
    };
    err.write_all(terminal(&page, look).as_bytes())
}
