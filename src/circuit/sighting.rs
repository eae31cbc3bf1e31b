//! Reading what was seen, as someone types it: `reverse: none, hot only, likely`.

use std::ops::Range;

use super::find::{join_or, nearest};
use super::seen::{FARING, SURENESS};
use super::{
    AirTest, Circuit, Fares, FindError, Kind, Only, PartName, Seen, Shows, Sighting, Symptom, Word,
};
use crate::units::Pressure;

/// What stands for every state.
const EVERY: &str = "all";
/// What stands in a state's place where air was blown in.
const AIR: &str = "air";
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

/// A piece of a text and where it starts.
#[derive(Clone, Copy)]
struct Piece<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Piece<'t> {
    /// The piece without blanks around it.
    fn trimmed(self) -> Self {
        let start = self.text.trim_start();
        Piece {
            at: self.at + self.text.len() - start.len(),
            text: start.trim_end(),
        }
    }

    fn split(self, mark: char) -> impl Iterator<Item = Piece<'t>> {
        let base = self.text.as_ptr() as usize;
        self.text.split(mark).map(move |text| {
            let at = self.at + text.as_ptr() as usize - base;
            Piece { text, at }.trimmed()
        })
    }

    fn error(self, what: String, remedy: String) -> SightingError {
        SightingError {
            at: self.at..self.at + self.text.len(),
            what,
            remedy,
        }
    }
}

impl Circuit {
    /// Reads what was seen: the states, a colon, what it was, and after commas when alone it is
    /// seen and how sure that is. Every state named gives one sighting.
    ///
    /// `reverse: none` · `third and fourth: flare, hot only, likely` · `low: line-tap 9 bar` ·
    /// `low: line-tap low` · `low: low-switch open` · `second: clutch-b starved` · `high: works as
    /// low` · `all: fine` · `air: clutch-b leaks`. A circuit that declares no states goes without
    /// the first part.
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
        let air = states.is_some_and(|s| s.text == AIR && !self.states.contains_key(AIR));
        let states = match states {
            _ if air => vec![None],
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
        let seen = match air {
            true => self.air(seen)?,
            false => self.seen(seen)?,
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

    /// Where air was blown in, and what became of it.
    fn air(&self, piece: Piece<'_>) -> Result<Seen, SightingError> {
        let Some((part, said)) = piece.text.split_once(char::is_whitespace) else {
            let remedy = "write where air was blown in and whether it holds or leaks".to_owned();
            return Err(piece.error(format!("`{}` is no air check", piece.text), remedy));
        };
        let at = piece.at + part.len() + 1;
        let part = Piece {
            text: part,
            at: piece.at,
        };
        let part = self.seen_part(part, &[Kind::Outlet, Kind::Passage])?;
        let test: AirTest = one_word(Piece { text: said, at }.trimmed())?;
        Ok(Seen::Air(part, test))
    }

    fn seen_part(&self, piece: Piece<'_>, kinds: &[Kind]) -> Result<PartName, SightingError> {
        self.find(piece.text, kinds).map_err(|error| {
            let what = match &error {
                FindError::Unknown { id, .. } => format!("there is no such part `{id}`"),
                error => error.to_string(),
            };
            let remedy = match &error {
                FindError::Unknown { near, .. } if near.is_empty() => {
                    "list the parts with `oilpath parts FILE`".to_owned()
                }
                error => error.remedy(),
            };
            piece.error(what, remedy)
        })
    }
}

/// One of the words of an enum.
fn one_word<W: Word>(piece: Piece<'_>) -> Result<W, SightingError> {
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

fn listed<W: Word>() -> String {
    let words = W::all().iter().map(|word| format!("`{}`", word.text()));
    join_or(&words.collect::<Vec<_>>())
}

/// How sure something is: a word, or a number above a half.
fn sureness(piece: Piece<'_>) -> Result<f64, SightingError> {
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
