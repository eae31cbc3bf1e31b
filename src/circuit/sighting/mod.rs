//! Reading what was seen, as someone types it: `reverse: none, hot only, likely`.

use std::ops::Range;

mod bench;
mod piece;

use piece::{Piece, listed, one_word, sureness};

use super::find::nearest;
use super::seen::{AIR, FARING, VACUUM};
use super::{Circuit, Fares, FindError, Kind, Only, PartName, Seen, Shows, Sighting, Symptom};
use crate::units::Pressure;

/// What stands for every state.
const EVERY: &str = "all";
/// How a state that drives like another is said.
const WORKS_AS: &str = "works as ";

/// What a thing seen can be about.
const SEEN: &[Kind] = &[
    Kind::Outlet,
    Kind::Filter,
    Kind::Converter,
    Kind::Cooler,
    Kind::Tap,
    Kind::Switch,
];

/// Why a text is nothing that could be seen of a circuit.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{what}")]
pub struct SightingError {
    /// Which bytes of the text are to blame.
    pub at: Range<usize>,
    /// What is wrong.
    pub what: String,
    /// What to write instead.
    pub remedy: String,
}

impl Circuit {
    /// Reads what was seen: the states, a colon, what it was, and after commas when alone it is
    /// seen and how sure that is. Every state named gives one sighting.
    ///
    /// `reverse: none` · `third and fourth: flare, hot only, likely` · `low: line-tap 9 bar` ·
    /// `low: line-tap low` · `low: low-switch open` · `second: clutch-b starved` · `high: works as
    /// low` · `all: fine` · `air: clutch-b leaks` · `vacuum: range holds`. A circuit that declares no
    /// states goes without the first part.
    ///
    /// # Errors
    /// It names what the circuit has not, or says what cannot be seen there.
    ///
    /// ```
    /// let circuit = oilpath::sheet::read(r#"
    ///     lever = ["low", "high"]
    ///     [casting]
    ///     block = { passages = ["line"] }
    ///     [tap]
    ///     line-tap = { at = "line" }
    ///     [state]
    ///     low = { lever = "low" }
    ///     high = { lever = "high" }
    /// "#).unwrap().circuit;
    /// let seen = circuit.sightings("low and high: line-tap 9 bar, likely").unwrap();
    /// assert_eq!(seen.len(), 2);
    /// assert_eq!(seen[1].to_string(), "high: line-tap 9 bar, likely");
    /// let err = circuit.sightings("low: flair").unwrap_err();
    /// assert_eq!((err.at, err.remedy.as_str()), (5..10, "did you mean `flare`?"));
    /// ```
    pub fn sightings(&self, text: &str) -> Result<Vec<Sighting>, SightingError> {
        let whole = Piece { text, at: 0 }.trimmed();
        let (states, rest) = match whole.text.split_once(':') {
            Some((states, rest)) => {
                let at = whole.at + states.len() + 1;
                let states = Piece {
                    text: states,
                    at: whole.at,
                };
                (Some(states.trimmed()), Piece { text: rest, at })
            }
            None => (None, whole),
        };
        let mut pieces = rest.split(',');
        let seen = pieces.next().unwrap_or(rest);
        let bench = states
            .map(|s| s.text)
            .filter(|word| [AIR, VACUUM].contains(word) && !self.states.contains_key(*word));
        let states = match states {
            _ if bench.is_some() => vec![None],
            Some(states) => self.seen_in(states)?,
            None if self.states.is_empty() => vec![None],
            None => {
                let example = self.states.keys().next().map_or("", String::as_str);
                return Err(whole.error(
                    format!("`{}` does not say in which state it was seen", whole.text),
                    format!(
                        "put the state before it, such as `{example}: {}`",
                        whole.text
                    ),
                ));
            }
        };
        let seen = match bench {
            Some(word) => self.seen_on_bench(word, seen)?,
            None => self.seen(seen)?,
        };
        let mut only = None;
        let mut sure = 1.0;
        for piece in pieces {
            match Only::ALL.iter().find(|o| o.word() == piece.text) {
                Some(found) => only = Some(*found),
                None => sure = sureness(piece)?,
            }
        }
        let sighting = |state| Sighting {
            state,
            seen: seen.clone(),
            only,
            sure,
        };
        Ok(states.into_iter().map(sighting).collect())
    }

    /// The states that a list names.
    fn seen_in(&self, list: Piece<'_>) -> Result<Vec<Option<String>>, SightingError> {
        if self.states.is_empty() {
            let remedy = "leave out the colon and what stands before it".to_owned();
            return Err(list.error("this circuit declares no states".to_owned(), remedy));
        }
        if list.text == EVERY && !self.states.contains_key(EVERY) {
            return Ok(self.states.keys().cloned().map(Some).collect());
        }
        let mut states = Vec::new();
        for piece in list.split(',') {
            let base = piece.text.as_ptr() as usize;
            for text in piece.text.split(" and ") {
                let at = piece.at + text.as_ptr() as usize - base;
                let one = Piece { text, at }.trimmed();
                let found = self.find(one.text, &[Kind::State]);
                let found = found.map_err(|e| self.no_state(one, &e))?;
                states.push(Some(found.id));
            }
        }
        Ok(states)
    }

    fn no_state(&self, piece: Piece<'_>, error: &FindError) -> SightingError {
        let states: Vec<&str> = self.states.keys().map(String::as_str).collect();
        let all = format!("the states are {}", states.join(", "));
        let remedy = match error {
            FindError::Unknown { near, .. } if near.is_empty() => all,
            error => format!("{} {all}", error.remedy()),
        };
        piece.error(error.to_string(), remedy)
    }

    /// What was seen in a state.
    fn seen(&self, piece: Piece<'_>) -> Result<Seen, SightingError> {
        if let Ok(symptom) = piece.text.parse() {
            return Ok(Seen::Drives(symptom));
        }
        if let Some(state) = piece.text.strip_prefix(WORKS_AS) {
            let at = piece.at + WORKS_AS.len();
            let state = Piece { text: state, at }.trimmed();
            let found = self.find(state.text, &[Kind::State]);
            return match found {
                Ok(name) => Ok(Seen::WorksAs(name.id)),
                Err(error) => Err(self.no_state(state, &error)),
            };
        }
        let (part, said) = match piece.text.split_once(char::is_whitespace) {
            Some((part, said)) => {
                let at = piece.at + part.len() + 1;
                let part = Piece {
                    text: part,
                    at: piece.at,
                };
                (part, Piece { text: said, at }.trimmed())
            }
            None => return Err(self.nothing_seen(piece)),
        };
        let part = self.seen_part(part, SEEN)?;
        if FARING.contains(&part.kind) {
            return Ok(Seen::Outlet(part, one_word(said)?));
        }
        if part.kind == Kind::Switch {
            return match said.text {
                "closed" => Ok(Seen::Switch(part, true)),
                "open" => Ok(Seen::Switch(part, false)),
                text => Err(said.error(
                    format!("a switch cannot be `{text}`"),
                    "it is `open` or `closed`".to_owned(),
                )),
            };
        }
        if said
            .text
            .starts_with(|c: char| c.is_ascii_digit() || c == '-')
        {
            return match said.text.parse::<Pressure>() {
                Ok(pressure) => Ok(Seen::Reads(part, pressure)),
                Err(error) => Err(SightingError {
                    at: said.at + error.span.start..said.at + error.span.end,
                    what: error.to_string(),
                    remedy: error.remedy(),
                }),
            };
        }
        match one_word(said) {
            Ok(shows) => Ok(Seen::Shows(part, shows)),
            Err(mut error) => {
                error.remedy += ", or a pressure such as `9 bar`";
                Err(error)
            }
        }
    }

    /// Neither a way to drive nor a part with what it does.
    fn nothing_seen(&self, piece: Piece<'_>) -> SightingError {
        let symptoms = || Symptom::ALL.iter().map(|s| s.word());
        if let Ok(part) = self.find(piece.text, SEEN) {
            let says = match part.kind {
                Kind::Tap => listed::<Shows>() + " or a pressure",
                Kind::Switch => "`open` or `closed`".to_owned(),
                _ => listed::<Fares>(),
            };
            let what = format!("`{}` alone does not say what was seen there", piece.text);
            return piece.error(what, format!("add {says}"));
        }
        let remedy = match nearest(piece.text, symptoms()).first() {
            Some(best) => format!("did you mean `{best}`?"),
            None => format!(
                "write how it drives ({}), `works as STATE`, or a part with what it does, such as \
                 `line-tap low`",
                symptoms().collect::<Vec<_>>().join(", ")
            ),
        };
        piece.error(
            format!("`{}` is nothing that can be seen", piece.text),
            remedy,
        )
    }

    fn seen_part(&self, piece: Piece<'_>, kinds: &[Kind]) -> Result<PartName, SightingError> {
        self.find(piece.text, kinds).map_err(|error| {
            let [what, remedy] = error.brief();
            piece.error(what, remedy)
        })
    }
}
