//! Reading what was seen on the bench: `air: clutch-b leaks`, `vacuum: range holds`.

use super::SightingError;
use super::piece::{Piece, one_word};
use crate::circuit::seen::VACUUM;
use crate::circuit::{Circuit, Kind, Seen};

impl Circuit {
    /// Where air was blown in or vacuum pulled, and what came of it.
    pub(super) fn seen_on_bench(
        &self,
        word: &str,
        piece: Piece<'_>,
    ) -> Result<Seen, SightingError> {
        let vacuum = word == VACUUM;
        let Some((part, said)) = piece.text.split_once(char::is_whitespace) else {
            let remedy = match vacuum {
                true => "write whose bore was pulled on and whether it holds or leaks",
                false => "write where air was blown in and whether it holds, leaks or is dead",
            };
            let what = format!("`{}` is no {word} check", piece.text);
            return Err(piece.error(what, remedy.to_owned()));
        };
        let at = piece.at + part.len() + 1;
        let said = Piece { text: said, at }.trimmed();
        let part = Piece {
            text: part,
            at: piece.at,
        };
        Ok(match vacuum {
            true => Seen::Vacuum(self.seen_part(part, &[Kind::Valve])?, one_word(said)?),
            false => {
                let blown = self.seen_part(part, &[Kind::Outlet, Kind::Passage])?;
                Seen::Air(blown, one_word(said)?)
            }
        })
    }
}
