//! Why a question could not be answered.

use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf, is_separator};

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

    /// A file that could not be read.
    pub fn unread(path: &Path, error: &io::Error) -> Self {
        Failure::one(
            format!("cannot read `{}`: {}", path.display(), unnumbered(error)),
            "see that it is a file, and that you may read it",
        )
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
                    mistake.write(look, err)?;
                }
                Ok(())
            }
            Failure::Unwritten(path, error) => {
                let place = match path {
                    Some(path) => format!("`{}`", path.display()),
                    None => "the answer".to_owned(),
                };
                let (why, remedy) = plainly(error, path.as_deref());
                let mistake = Mistake {
                    what: format!("cannot write {place}: {why}"),
                    remedy: remedy.to_owned(),
                };
                mistake.write(look, err)
            }
        }
    }
}

impl Mistake {
    fn write(&self, look: Look, err: &mut dyn Write) -> io::Result<()> {
        let error = Line::role(Role::Drained, "error: ");
        say(error + &*self.what, look, err)?;
        let help = Line::role(Role::Strong, "help: ");
        say(help + &*self.remedy, look, err)
    }
}

/// Why something could not be written, and what to do instead, in place of the system's own words.
fn plainly(error: &io::Error, path: Option<&Path>) -> (String, &'static str) {
    const OTHER: &str = "give another path";
    let file = path.filter(|path| !path.to_string_lossy().ends_with(is_separator));
    let folder = file.and_then(Path::parent);
    let (why, remedy) = match error.kind() {
        ErrorKind::NotFound if folder.is_some_and(Path::is_dir) => {
            ("that folder takes no files", OTHER)
        }
        ErrorKind::NotFound => (
            "there is no such folder",
            "make the folder first, or give another path",
        ),
        ErrorKind::NotADirectory => ("what should be a folder on its path is none", OTHER),
        ErrorKind::IsADirectory => ("it is a folder", "name a file in it"),
        ErrorKind::PermissionDenied => ("this user may not write there", OTHER),
        ErrorKind::ReadOnlyFilesystem => ("what lies there can only be read", OTHER),
        ErrorKind::StorageFull => (
            "the disk is full",
            "make room, or give a path on another disk",
        ),
        _ => return (unnumbered(error), OTHER),
    };
    (why.to_owned(), remedy)
}

/// The system's own words without its number.
fn unnumbered(error: &io::Error) -> String {
    let text = error.to_string();
    let words = text.split(" (os error").next();
    words.unwrap_or_default().to_lowercase()
}

/// Writes a paragraph.
pub(super) fn say(line: Line, look: Look, err: &mut dyn Write) -> io::Result<()> {
    let page = Page {
        title: Line::default(),
        blocks: vec![Block::Text(line)],
    };
    err.write_all(terminal(&page, look).as_bytes())
}
