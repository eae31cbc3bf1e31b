//! What a file that grows is of, kept beside it, so that nothing but its own run goes on with it.

use std::fs;
use std::hash::{DefaultHasher, Hasher};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use super::failure::{Failure, Mistake};

/// What to do where a run may not go on with what is there.
pub(super) const REMEDY: &str =
    "give another `--output`, or leave `--resume` out and begin anew with `--force`";

/// Of what program, circuit and question a run is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Origin {
    program: String,
    /// A digest of every text that was read for the circuit.
    circuit: String,
    /// The options that say what is written, as they are typed.
    asked: String,
}

impl Origin {
    /// `texts` are those of the circuit file and all that it includes, as read.
    pub fn of<'t>(texts: impl IntoIterator<Item = &'t str>, asked: String) -> Self {
        let mut digest = DefaultHasher::new();
        for text in texts {
            digest.write_usize(text.len());
            digest.write(text.as_bytes());
        }
        Origin {
            program: concat!("oilpath ", env!("CARGO_PKG_VERSION")).to_owned(),
            circuit: format!("{:016x}", digest.finish()),
            asked,
        }
    }

    /// Where it is kept.
    pub fn path(partial: &Path) -> PathBuf {
        let mut name = partial.as_os_str().to_owned();
        name.push(".of");
        name.into()
    }

    /// Keeps it. It is on the disk before anything that it is of.
    pub fn keep(&self, partial: &Path) -> Result<(), Failure> {
        let path = Origin::path(partial);
        let text = self.text();
        let written = fs::File::create(&path).and_then(|mut file| {
            file.write_all(text.as_bytes())?;
            file.sync_all()
        });
        written.map_err(|e| Failure::Unwritten(Some(path), e))
    }

    /// What is kept beside a file; none where there is nothing, or nothing of a run.
    pub fn kept(partial: &Path) -> Result<Option<Self>, Failure> {
        let path = Origin::path(partial);
        match fs::read(&path) {
            Ok(bytes) => Ok(Origin::read(&String::from_utf8_lossy(&bytes))),
            Err(e) if e.kind() == ErrorKind::NotFound => Ok(None),
            Err(e) => Err(Failure::unread(&path, &e)),
        }
    }

    /// Removes it once what it is of is whole. One that stays does no harm: it is of no file then.
    pub fn forget(partial: &Path) {
        let _ = fs::remove_file(Origin::path(partial));
    }

    fn text(&self) -> String {
        let Origin {
            program,
            circuit,
            asked,
        } = self;
        format!("{program}\ncircuit {circuit}\nasked {asked}\n")
    }

    fn read(text: &str) -> Option<Self> {
        let mut lines = text.split_terminator('\n');
        let origin = Origin {
            program: lines.next()?.to_owned(),
            circuit: lines.next()?.strip_prefix("circuit ")?.to_owned(),
            asked: lines.next()?.strip_prefix("asked ")?.to_owned(),
        };
        let whole = text.ends_with('\n') && lines.next().is_none();
        (whole && origin.program.starts_with("oilpath ")).then_some(origin)
    }

    /// Refuses to go on, as this, with what was begun as another.
    pub fn same_as(&self, begun: &Origin, partial: &Path) -> Result<(), Failure> {
        let name = partial.display();
        let mut mistakes = Vec::new();
        let mut differs = |what: String, back: &str| {
            mistakes.push(Mistake {
                what,
                remedy: format!("{back}, {REMEDY}"),
            });
        };
        if self.circuit != begun.circuit {
            differs(
                format!(
                    "the circuit, or what it includes, no longer reads as it did when `{name}` was begun"
                ),
                "put it back as it was",
            );
        }
        if self.asked != begun.asked {
            differs(
                format!(
                    "`{name}` was begun with `{}`, and this asks `{}`",
                    begun.asked, self.asked
                ),
                "ask as it was asked then",
            );
        }
        if self.program != begun.program {
            differs(
                format!(
                    "`{name}` was begun by {}, and this is {}, which may answer otherwise",
                    begun.program, self.program
                ),
                "go on with the other",
            );
        }
        match mistakes.is_empty() {
            true => Ok(()),
            false => Err(Failure::Mistaken(mistakes)),
        }
    }
}

/// Of a file of which nothing says what it is of.
pub(super) fn foreign(partial: &Path) -> Failure {
    Failure::one(
        format!(
            "`{}` is there already, and no `{}` says that it is of this run",
            partial.display(),
            Origin::path(partial).display()
        ),
        "move it away, or give another `--output`",
    )
}

#[cfg(test)]
mod tests {
    use super::Origin;

    /// A file that a lost connection or a full disk cut off is no origin.
    #[test]
    fn what_is_kept_is_read_back_whole_or_not_at_all() {
        let origin = Origin::of(["a = 1\n", ""], "--format csv --pairs".to_owned());
        let text = origin.text();
        assert_eq!(Origin::read(&text).as_ref(), Some(&origin));
        for cut in 0..text.len() {
            assert_eq!(Origin::read(&text[..cut]), None, "{cut}");
        }
    }

    #[test]
    fn texts_are_told_apart_by_where_they_end() {
        let of = |texts: &[&str]| Origin::of(texts.iter().copied(), String::new());
        assert_ne!(of(&["ab", ""]), of(&["a", "b"]));
        assert_ne!(of(&["a"]), of(&["a", ""]));
        assert_eq!(of(&["a", "b"]), of(&["a", "b"]));
    }
}
