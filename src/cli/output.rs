//! Where an answer goes.

use std::fs::{self, Permissions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf, is_separator};

use super::failure::Failure;

/// Writes to a file, whole or not at all: what was there stays until all of it is written.
pub(super) fn to_file(path: &Path, made: &[u8], force: bool) -> Result<(), Failure> {
    let there = fs::metadata(path);
    if !force && there.is_ok() {
        return Err(exists(path));
    }
    let unwritten = |error| Failure::Unwritten(Some(path.to_owned()), error);
    if there.as_ref().is_ok_and(|there| !there.is_file()) {
        // What is no file, a device or a pipe, is written to and never replaced.
        return fs::write(path, made).map_err(unwritten);
    }
    let path = &behind_link(path);
    let folder = folder(path);
    let mut builder = tempfile::Builder::new();
    // A replaced file keeps its permissions; a new one has the usual.
    if let Some(permissions) = there.ok().map(|m| m.permissions()).or_else(usual) {
        builder.permissions(permissions);
    }
    let mut file = builder.tempfile_in(folder).map_err(unwritten)?;
    file.write_all(made).map_err(unwritten)?;
    let kept = if force {
        file.persist(path)
    } else {
        file.persist_noclobber(path)
    };
    match kept {
        Ok(_) => Ok(()),
        Err(e) if e.error.kind() == ErrorKind::AlreadyExists => Err(exists(path)),
        Err(e) => Err(unwritten(e.error)),
    }
}

/// Finds out whether something could be written to a path, before any work is done for it: the same
/// as [`to_file`] would meet.
pub(super) fn ready(path: &Path, force: bool) -> Result<(), Failure> {
    let unwritten = |error| Failure::Unwritten(Some(path.to_owned()), error);
    match fs::metadata(path) {
        Ok(there) if there.is_dir() => Err(unwritten(ErrorKind::IsADirectory.into())),
        Ok(_) if !force => Err(exists(path)),
        // A pipe is not opened: that would wait for whoever reads it.
        Ok(there) if !there.is_file() => Ok(()),
        Err(_) if path.to_string_lossy().ends_with(is_separator) => {
            Err(unwritten(ErrorKind::NotFound.into()))
        }
        // Gone again as soon as it is there.
        _ => tempfile::tempfile_in(folder(&behind_link(path)))
            .map(|_| ())
            .map_err(unwritten),
    }
}

/// Behind a link it is the file that is replaced, not the link.
fn behind_link(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}

fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    }
}

pub(super) fn exists(path: &Path) -> Failure {
    Failure::one(
        format!("`{}` is there already", path.display()),
        "give another path, or replace it with `--force`",
    )
}

/// What the user's mask leaves of reading and writing for all.
#[cfg(unix)]
fn usual() -> Option<Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn usual() -> Option<Permissions> {
    None
}

/// Writes to standard output. A reader that has seen enough and closed it is no failure.
pub(super) fn to_stream(out: &mut dyn Write, made: &[u8]) -> Result<(), Failure> {
    match out.write_all(made).and_then(|()| out.flush()) {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => Err(Failure::Unwritten(None, e)),
        _ => Ok(()),
    }
}

/// Refuses to write over a file that the answer was made of.
pub(super) fn spares<'f>(
    path: &Path,
    read: impl IntoIterator<Item = &'f Path>,
) -> Result<(), Failure> {
    let mut files = read.into_iter();
    match files.any(|file| same(path, file)) {
        true => Err(Failure::one(
            format!("`{}` is read for this answer", path.display()),
            "give another path",
        )),
        false => Ok(()),
    }
}

/// Whether two paths are one file.
fn same(a: &Path, b: &Path) -> bool {
    let real = |path: &Path| -> io::Result<_> { fs::canonicalize(path) };
    matches!((real(a), real(b)), (Ok(a), Ok(b)) if a == b)
}
