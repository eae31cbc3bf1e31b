//! Pieces of what is typed, and the words they can be.

use super::SightingError;
use crate::circuit::find::{join_or, nearest};
use crate::circuit::seen::SURENESS;
use crate::circuit::{Only, Word};

/// A piece of a text and where it starts.
#[derive(Clone, Copy)]
pub(super) struct Piece<'t> {
    pub text: &'t str,
    pub at: usize,
}

impl<'t> Piece<'t> {
    /// The piece without blanks around it.
    pub fn trimmed(self) -> Self {
        let start = self.text.trim_start();
        Piece {
            at: self.at + self.text.len() - start.len(),
            text: start.trim_end(),
        }
    }

    pub fn split(self, mark: char) -> impl Iterator<Item = Piece<'t>> {
        let base = self.text.as_ptr() as usize;
        self.text.split(mark).map(move |text| {
            let at = self.at + text.as_ptr() as usize - base;
            Piece { text, at }.trimmed()
        })
    }

    pub fn error(self, what: String, remedy: String) -> SightingError {
        SightingError {
            at: self.at..self.at + self.text.len(),
            what,
            remedy,
        }
    }
}

/// One of the words of an enum.
pub(super) fn one_word<W: Word>(piece: Piece<'_>) -> Result<W, SightingError> {
    let found = W::all().iter().find(|word| word.text() == piece.text);
    found.copied().ok_or_else(|| {
        let list = format!("it can be {}", listed::<W>());
        let remedy = match nearest(piece.text, W::all().iter().map(|w| w.text())).first() {
            Some(best) => format!("did you mean `{best}`? {list}"),
            None => list,
        };
        piece.error(format!("`{}` cannot be seen here", piece.text), remedy)
    })
}

pub(super) fn listed<W: Word>() -> String {
    let words = W::all().iter().map(|word| format!("`{}`", word.text()));
    join_or(&words.collect::<Vec<_>>())
}

/// How sure something is: a word, or a number above a half.
pub(super) fn sureness(piece: Piece<'_>) -> Result<f64, SightingError> {
    if let Some((_, sure)) = SURENESS.iter().find(|(word, _)| *word == piece.text) {
        return Ok(*sure);
    }
    if let Ok(sure) = piece.text.parse::<f64>() {
        return match sure > 0.5 && sure <= 1.0 {
            true => Ok(sure),
            false => Err(piece.error(
                format!("{} says nothing of how sure it is", piece.text),
                "give a number above 0.5 and up to 1".to_owned(),
            )),
        };
    }
    let only = Only::ALL.iter().map(|only| only.word());
    let words = only.chain(SURENESS.iter().map(|(word, _)| *word));
    let remedy = match nearest(piece.text, words.clone()).first() {
        Some(best) => format!("did you mean `{best}`?"),
        None => {
            let words: Vec<String> = words.map(|word| format!("`{word}`")).collect();
            format!(
                "after a comma can stand {}, or a number above 0.5",
                join_or(&words)
            )
        }
    };
    let what = format!(
        "`{}` says neither when it is seen nor how sure it is",
        piece.text
    );
    Err(piece.error(what, remedy))
}
