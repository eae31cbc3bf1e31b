//! A file that grows scenario by scenario and gets its name when it is whole.

use std::fs::{self, File, OpenOptions};
use std::io::{self, BufRead, BufReader, ErrorKind, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::origin::{Origin, foreign};
use super::output;

/// What grows beside a file until it is whole.
#[derive(Debug)]
pub(super) struct Partial {
    /// The name it gets in the end.
    whole: PathBuf,
    path: PathBuf,
    file: File,
}

/// Where the scenarios of a partial begin and how long each is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape<'a> {
    /// What stands before the first.
    pub head: &'a str,
    /// Lines of each.
    pub lines: usize,
}

/// What an interrupted run has left.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Left {
    /// Scenarios it holds whole.
    pub scenarios: usize,
    /// Bytes up to the end of the last of them; a head alone counts for nothing.
    bytes: u64,
    /// Whether it starts otherwise than with the head.
    pub foreign: bool,
    /// The first, the last and the longest scenario as they are written, each with its place.
    pub samples: Vec<(usize, Vec<u8>)>,
}

impl Partial {
    /// Where a file grows.
    pub fn path(whole: &Path) -> PathBuf {
        let mut name = whole.as_os_str().to_owned();
        name.push(".partial");
        name.into()
    }

    /// Begins anew. What is there of a stopped run is begun anew only where that is forced, and what is
    /// of no run never.
    pub fn begin(whole: &Path, force: bool, origin: &Origin) -> Result<Self, Failure> {
        let path = Partial::path(whole);
        let begun = Origin::kept(&path)?;
        if fs::metadata(&path).is_ok_and(|there| there.len() > 0) {
            if begun.is_none() {
                return Err(foreign(&path));
            }
            if !force {
                return Err(Failure::one(
                    format!("`{}` is there from a run that was stopped", path.display()),
                    "go on after it with `--resume`, or begin anew with `--force`",
                ));
            }
        }
        let of = Origin::path(&path);
        if begun.is_none() && !force && of.exists() {
            return Err(output::exists(&of));
        }
        // Emptied first: nothing stands beside an origin that it is not of, wherever this is stopped.
        let file = File::create(&path).map_err(|e| Failure::Unwritten(Some(path.clone()), e))?;
        origin.keep(&path)?;
        Ok(Partial {
            whole: whole.to_owned(),
            path,
            file,
        })
    }

    /// Opens what a stopped run has left, if it has. What is of another circuit, question or program is
    /// refused.
    pub fn left(
        whole: &Path,
        shape: Shape<'_>,
        origin: &Origin,
    ) -> Result<Option<(Self, Left)>, Failure> {
        let path = Partial::path(whole);
        let opened = OpenOptions::new().read(true).write(true).open(&path);
        let file = match opened {
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
            opened => opened.map_err(|e| Failure::Unwritten(Some(path.clone()), e))?,
        };
        let unread = |e| Failure::unread(&path, &e);
        if file.metadata().map_err(unread)?.len() == 0 {
            return Ok(None);
        }
        let begun = Origin::kept(&path)?.ok_or_else(|| foreign(&path))?;
        origin.same_as(&begun, &path)?;
        let left = Left::read(BufReader::new(&file), shape).map_err(unread)?;
        let partial = Partial {
            whole: whole.to_owned(),
            path,
            file,
        };
        Ok(Some((partial, left)))
    }

    /// Drops whatever follows the last whole scenario.
    pub fn cut(&mut self, left: &Left) -> Result<(), Failure> {
        let cut = self.file.set_len(left.bytes);
        cut.and_then(|()| self.file.seek(SeekFrom::Start(left.bytes)))
            .map_err(|e| self.unwritten(e))?;
        Ok(())
    }

    /// Adds whole scenarios.
    pub fn add(&mut self, text: &str) -> Result<(), Failure> {
        let written = self.file.write_all(text.as_bytes());
        written.map_err(|e| self.unwritten(e))
    }

    /// Gives it its name.
    pub fn finish(self, force: bool) -> Result<(), Failure> {
        self.file.sync_all().map_err(|e| self.unwritten(e))?;
        if !force && self.whole.exists() {
            return Err(output::exists(&self.whole));
        }
        let renamed = fs::rename(&self.path, &self.whole);
        renamed.map_err(|e| Failure::Unwritten(Some(self.whole.clone()), e))?;
        Origin::forget(&self.path);
        Ok(())
    }

    fn unwritten(&self, error: io::Error) -> Failure {
        Failure::Unwritten(Some(self.path.clone()), error)
    }
}

impl Left {
    fn read(mut reader: impl BufRead, shape: Shape<'_>) -> io::Result<Self> {
        let mut left = Left::default();
        let mut longest: Option<(usize, Vec<u8>)> = None;
        let mut last: Option<(usize, Vec<u8>)> = None;
        let mut line = Vec::new();
        for expected in shape.head.split_inclusive('\n') {
            line.clear();
            reader.read_until(b'\n', &mut line)?;
            if line != expected.as_bytes() {
                left.foreign = !expected.as_bytes().starts_with(&line);
                return Ok(left);
            }
        }
        let mut scenario = Vec::new();
        loop {
            scenario.clear();
            for _ in 0..shape.lines {
                reader.read_until(b'\n', &mut scenario)?;
            }
            let ends = scenario.iter().filter(|b| **b == b'\n').count();
            if ends < shape.lines {
                break;
            }
            let found = (left.scenarios, scenario.clone());
            if left.scenarios == 0 {
                left.bytes = shape.head.len() as u64;
                left.samples.push(found.clone());
            }
            if longest
                .as_ref()
                .is_none_or(|(_, l)| l.len() < scenario.len())
            {
                longest = Some(found.clone());
            }
            last = Some(found);
            left.bytes += scenario.len() as u64;
            left.scenarios += 1;
        }
        left.samples.extend(longest);
        left.samples.extend(last);
        Ok(left)
    }
}
