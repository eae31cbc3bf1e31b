//! From paths to texts: reading files and following includes.

use std::io;
use std::path::{Component, Path, PathBuf};

use super::document::{Document, Value};
use super::files::Files;
use super::shape::{Log, Shape};
use super::walk::INCLUDE;
use super::{Code, Diagnostic, Location, Source};

/// No file may be larger, in bytes, nor all that it includes with it: a circuit of a thousand parts
/// takes about 100 KiB, so a million parts fit and no number of parts outgrows the net's.
pub const LARGEST_FILE: usize = 128 << 20;

/// No file may be included more deeply.
pub const DEEPEST_INCLUDE: usize = 16;

/// Gives the bytes of a file.
pub(super) type Loader<'l> = &'l mut dyn FnMut(&Path) -> io::Result<Vec<u8>>;

/// Reads a file from disk, no more than one byte over the limit.
pub(super) fn from_disk(path: &Path) -> io::Result<Vec<u8>> {
    use io::Read;
    let mut bytes = Vec::new();
    let limit = LARGEST_FILE as u64 + 1;
    std::fs::File::open(path)?
        .take(limit)
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Reads files and what they include.
pub(super) struct Load<'l> {
    pub files: Files,
    pub found: Vec<Diagnostic>,
    /// None where there is but one text.
    pub loader: Option<Loader<'l>>,
    /// Bytes of all files so far.
    taken: usize,
    /// The path of each source.
    paths: Vec<PathBuf>,
    /// The files that include each other down to the one being read, with where.
    chain: Vec<(PathBuf, Option<Location>)>,
}

impl<'l> Load<'l> {
    pub fn new(loader: Option<Loader<'l>>) -> Self {
        Load {
            files: Files::default(),
            found: Vec::new(),
            loader,
            taken: 0,
            paths: Vec::new(),
            chain: Vec::new(),
        }
    }

    /// Loads a file unless it is there already. `from` is where it is included.
    pub fn open(&mut self, path: &Path, from: Option<Location>) {
        let path = plain(path);
        let shown = path.display().to_string();
        if let Some(at) = from.clone() {
            let mut links = self.chain.iter();
            if let Some(start) = links.position(|(open, _)| *open == path) {
                self.cycle(start, at, &shown);
                return;
            }
            if self.paths.contains(&path) {
                return;
            }
            if self.chain.len() > DEEPEST_INCLUDE {
                let message = format!("files are included more than {DEEPEST_INCLUDE} deep");
                let remedy = format!("include `{shown}` from a file nearer the top");
                self.say(Code::IncludeDepth, at, message, remedy);
                return;
            }
        }
        let Some(loader) = &mut self.loader else {
            return;
        };
        match loader(&path) {
            Ok(bytes) => {
                self.chain.push((path.clone(), from.clone()));
                self.bytes(path, &bytes, from);
                self.chain.pop();
            }
            Err(e) => {
                let reason = match e.kind() {
                    io::ErrorKind::NotFound => "there is no such file".to_owned(),
                    _ => e.to_string(),
                };
                let message = format!("cannot read `{shown}`: {reason}");
                let remedy = match from {
                    Some(_) => "paths are taken from the folder of the including file",
                    None => "check the path",
                };
                let at = from.unwrap_or_else(|| self.source(path, String::new()));
                self.say(Code::Unreadable, at, message, remedy.into());
            }
        }
    }

    fn bytes(&mut self, path: PathBuf, bytes: &[u8], from: Option<Location>) {
        let shown = path.display().to_string();
        self.taken += bytes.len();
        if self.taken > LARGEST_FILE {
            let all = match self.taken == bytes.len() {
                true => "is",
                false => "and the files read before it are",
            };
            let most = LARGEST_FILE >> 20;
            let message = format!("`{shown}` {all} larger than {most} MiB");
            let at = from.unwrap_or_else(|| self.source(path, String::new()));
            let remedy = "check that it is a circuit file; make several circuits of one".into();
            return self.say(Code::TooLarge, at, message, remedy);
        }
        let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        match std::str::from_utf8(bytes) {
            Ok(text) => self.text(path, text.to_owned()),
            Err(e) => {
                let at = e.valid_up_to();
                let text = String::from_utf8_lossy(bytes).into_owned();
                let mark = text[at..].chars().next().map_or(0, char::len_utf8);
                let file = self.source(path, text).file;
                let wide = bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF");
                let message = if wide {
                    "the file is UTF-16 text, not UTF-8".into()
                } else {
                    format!("the byte at offset {at}, 0x{:02X}, is not UTF-8", bytes[at])
                };
                let remedy = "save it as UTF-8 text".into();
                let at = Location::new(file, at..at + mark);
                self.say(Code::NotUtf8, at, message, remedy);
            }
        }
    }

    /// Takes a text in, and what it includes.
    pub fn text(&mut self, path: PathBuf, text: String) {
        let folder = path.parent().map(Path::to_owned).unwrap_or_default();
        let file = self.source(path, text).file;
        let text = &self.files.sources[file].text;
        let document = Document::parse(file, text, &mut self.found);
        let mut includes = Vec::new();
        if let Some(item) = document.root.get("include") {
            let mut log = Log {
                file,
                text,
                document: &document,
                found: &mut self.found,
                tolerances: Vec::new(),
            };
            let names = INCLUDE.read("include", &item.node, &mut log);
            if let (Some(names), Value::List(nodes)) = (names, &item.node.value) {
                let places = nodes.iter().map(|n| Location::new(file, n.at.clone()));
                includes.extend(names.into_iter().zip(places));
            }
        }
        self.files.documents[file] = document;
        for (name, at) in includes.into_iter().filter(|(name, _)| !name.is_empty()) {
            if self.loader.is_some() {
                self.open(&folder.join(name), Some(at));
            } else {
                let message = "a text on its own can include nothing".into();
                let remedy = "read it from a file, or put everything in one text".into();
                self.say(Code::IncludeHere, at, message, remedy);
            }
        }
    }

    fn source(&mut self, path: PathBuf, text: String) -> Location {
        let name = path.display().to_string();
        self.paths.push(path);
        self.files.sources.push(Source::new(name, text));
        self.files.documents.push(Document::default());
        Location::new(self.files.sources.len() - 1, 0..0)
    }

    fn cycle(&mut self, start: usize, at: Location, shown: &str) {
        let message = format!("`{shown}` ends up including itself");
        let remedy = "remove one of these includes".into();
        let mut said =
            Diagnostic::error(Code::IncludeCycle, at, message, remedy).here("included again here");
        for (path, from) in &self.chain[start + 1..] {
            if let Some(from) = from {
                said = said.and(from.clone(), &format!("`{}` here", path.display()));
            }
        }
        self.found.push(said);
    }

    fn say(&mut self, code: Code, at: Location, message: String, remedy: String) {
        self.found
            .push(Diagnostic::error(code, at, message, remedy));
    }
}

/// A path without `.` and `..` where the text alone says so, to know a file by its path.
fn plain(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if out.file_name().is_some() => {
                out.pop();
            }
            part => out.push(part),
        }
    }
    out
}
