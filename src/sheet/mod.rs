//! Circuit files: from text to a [`Circuit`] and back.
//!
//! Reading is total. Every error of every file is found in one go, each with its place and with
//! what would be right; nothing panics, whatever the bytes.
//!
//! ```
//! let refusal = oilpath::sheet::read(r#"
//! [casting]
//! block = { passages = ["line", "lube"] }
//!
//! [orifice]
//! hop = { between = ["lime", "lube"], bore = "1.2 mmm" }
//! "#).unwrap_err();
//! assert_eq!(refusal.to_string(), "\
//! sheet:6:20: error[unknown-id]: there is no cavity `lime`; did you mean `line`?
//! sheet:6:49: error[bad-size]: `mmm` is not a unit of length; did you mean `mm`?");
//! ```

mod case;
mod check;
mod diagnostic;
mod document;
mod fields;
mod files;
#[cfg(feature = "report")]
mod import;
mod keys;
mod kinds;
mod load;
#[cfg(feature = "report")]
mod schema;
mod shape;
mod source;
mod starter;
mod syntax;
#[cfg(feature = "cli")]
mod tidy;
mod toml;
mod walk;
mod wanted;
mod write;

use std::io;
use std::path::Path;

pub use case::{CaseCheck, CaseList, open_case, read_case};
pub use diagnostic::{Code, Diagnostic, Label, Refusal, Severity, codes};
#[cfg(feature = "report")]
pub use import::import;
pub use load::{DEEPEST_INCLUDE, LARGEST_FILE};
#[cfg(feature = "report")]
pub use schema::schema;
pub use source::{Location, Source};
pub use starter::{BLANK, SMALL};
#[cfg(feature = "cli")]
pub use tidy::tidy;
pub use write::write;

use crate::circuit::{Circuit, Place};
use files::Files;
use load::Load;

/// A circuit and the text it came from.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// What the text says.
    pub circuit: Circuit,
    files: Files,
}

impl Sheet {
    /// The files read: first the one asked for, then those it includes, each once.
    #[must_use]
    pub fn sources(&self) -> &[Source] {
        &self.files.sources
    }

    /// The text that a place in the circuit came from: the id of a part or of one that is
    /// mentioned, or a value. A key that the file leaves out gives what it would stand in;
    /// none means that no such part was read.
    ///
    /// ```
    /// use oilpath::circuit::{Kind, PartName, Place};
    /// let text = "[casting]\nblock = { passages = ['line', 'lube'] }\n\
    ///             [port]\nhop = { between = ['line', 'lube'] }\n";
    /// let sheet = oilpath::sheet::read(text).unwrap();
    /// let port = Place::of(PartName::new(Kind::Port, "hop"));
    /// let end = port.clone().then("between").then(1);
    /// assert_eq!(&text[sheet.locate(&port).unwrap().range()], "hop");
    /// assert_eq!(&text[sheet.locate(&end).unwrap().range()], "'lube'");
    /// ```
    #[must_use]
    pub fn locate(&self, place: &Place) -> Option<Location> {
        self.files.locate(place)
    }
}

/// Reads a circuit from one text. It can include nothing; its name in messages is `sheet`.
///
/// # Errors
/// Everything that is wrong with the text.
pub fn read(text: &str) -> Result<Sheet, Refusal> {
    let mut load = Load::new(None);
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    load.text("sheet".into(), text.to_owned());
    finish(load)
}

/// Reads a circuit from a file and the files it includes.
///
/// # Errors
/// Everything that is wrong with the files, those that cannot be read included.
pub fn open(path: impl AsRef<Path>) -> Result<Sheet, Refusal> {
    open_with(path, &mut load::from_disk)
}

/// As [`open`], with the bytes of each file from elsewhere than the disk.
///
/// ```
/// use std::{io, path::Path};
/// let mut files = |path: &Path| match path.to_str() {
///     Some("box/main.toml") => Ok(b"include = ['../case.toml']".to_vec()),
///     Some("case.toml") => Ok(b"[casting]\ncase = { passages = ['line'] }".to_vec()),
///     _ => Err(io::ErrorKind::NotFound.into()),
/// };
/// let sheet = oilpath::sheet::open_with("box/main.toml", &mut files).unwrap();
/// assert_eq!(sheet.circuit.passages["line"].casting, "case");
/// ```
///
/// # Errors
/// As [`open`].
pub fn open_with(
    path: impl AsRef<Path>,
    loader: &mut dyn FnMut(&Path) -> io::Result<Vec<u8>>,
) -> Result<Sheet, Refusal> {
    let mut load = Load::new(Some(loader));
    load.open(path.as_ref(), None);
    finish(load)
}

fn finish(load: Load<'_>) -> Result<Sheet, Refusal> {
    let Load { files, found, .. } = load;
    let (circuit, mut diagnostics) = walk::walk(&files, found);
    diagnostics.extend(check::check(&files, &circuit, &diagnostics));
    if diagnostics.is_empty() {
        return Ok(Sheet { circuit, files });
    }
    diagnostics.sort_by(|a, b| {
        let place = |d: &Diagnostic| d.labels.first().map(|label| label.at.clone());
        place(a).cmp(&place(b))
    });
    Err(Refusal {
        sources: files.sources,
        diagnostics,
    })
}
