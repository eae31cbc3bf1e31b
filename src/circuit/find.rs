//! From what an author or reader typed to the part that is meant.

use super::{Circuit, Kind, PartName, SUMP};

/// Why a text names no part.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FindError {
    /// There is no such id.
    #[error("there is no {wanted} `{id}`")]
    Unknown {
        /// What was typed.
        id: String,
        /// What kinds would have served, in words.
        wanted: String,
        /// Ids that are nearly what was typed, best first.
        near: Vec<String>,
    },
    /// There is, but it is of a kind that cannot stand here.
    #[error("`{id}` is {}, but {} is wanted here", article(.is.word()), article(.wanted))]
    WrongKind {
        /// What was typed.
        id: String,
        /// What it is.
        is: Kind,
        /// What would have served, in words.
        wanted: String,
    },
    /// Several kinds have that id.
    #[error("`{id}` could be {}", list(.kinds, "or"))]
    Shared {
        /// What was typed.
        id: String,
        /// The kinds that have it.
        kinds: Vec<Kind>,
    },
}

impl FindError {
    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> String {
        match self {
            FindError::Unknown { near, .. } if !near.is_empty() => {
                let near: Vec<String> = near.iter().map(|id| format!("`{id}`")).collect();
                format!("did you mean {}?", join_or(&near))
            }
            FindError::Unknown { wanted, .. } => {
                format!("check the spelling, or add the {wanted}")
            }
            FindError::WrongKind { wanted, .. } => format!("name {}", article(wanted)),
            FindError::Shared { id, kinds } => {
                let full: Vec<String> = kinds.iter().map(|k| format!("`{k}.{id}`")).collect();
                format!("write {}", join_or(&full))
            }
        }
    }

    /// What is wrong and what to do about it, where so many kinds would serve that naming them is a
    /// mouthful.
    #[must_use]
    pub fn brief(&self) -> [String; 2] {
        match self {
            FindError::Unknown { id, near, .. } => {
                let remedy = match near[..] {
                    [] => "list the parts with `oilpath parts FILE`".to_owned(),
                    _ => self.remedy(),
                };
                [format!("there is no such part `{id}`"), remedy]
            }
            error => [error.to_string(), error.remedy()],
        }
    }
}

impl Circuit {
    /// The part that `text` names among the given kinds: a bare id, or `kind.id`.
    ///
    /// # Errors
    /// Unknown (with near misses), of another kind, or shared by several of the kinds.
    ///
    /// ```
    /// use oilpath::circuit::Kind;
    /// let circuit = oilpath::sheet::read("[casting]\ncase = { passages = ['line'] }").unwrap().circuit;
    /// assert_eq!(circuit.find("line", &[Kind::Passage]).unwrap().to_string(), "passage.line");
    /// let err = circuit.find("lime", &[Kind::Passage]).unwrap_err();
    /// assert_eq!(err.remedy(), "did you mean `line`?");
    /// ```
    pub fn find(&self, text: &str, kinds: &[Kind]) -> Result<PartName, FindError> {
        let (said, id) = match text.split_once('.') {
            Some((kind, id)) => match kind.parse::<Kind>() {
                Ok(kind) => (Some(kind), id),
                Err(()) => (None, text),
            },
            None => (None, text),
        };
        let has = |kind: &Kind| self.get(*kind, id).is_some();
        let fits: Vec<Kind> = match said {
            Some(kind) => [kind].into_iter().filter(has).collect(),
            None => kinds.iter().copied().filter(has).collect(),
        };
        match fits[..] {
            [kind] if kinds.contains(&kind) => Ok(PartName::new(kind, id)),
            [is] => Err(FindError::WrongKind {
                id: id.to_owned(),
                is,
                wanted: wanted(kinds),
            }),
            [] => Err(match Kind::ALL.iter().copied().find(has) {
                Some(is) if said.is_none() => FindError::WrongKind {
                    id: id.to_owned(),
                    is,
                    wanted: wanted(kinds),
                },
                _ => FindError::Unknown {
                    id: text.to_owned(),
                    wanted: wanted(kinds),
                    near: self.near(id, kinds),
                },
            }),
            _ => Err(FindError::Shared {
                id: id.to_owned(),
                kinds: fits,
            }),
        }
    }

    /// The shortest name that finds the part again: its id, or `kind.id` where kinds share it.
    #[must_use]
    pub fn short(&self, part: &PartName) -> String {
        let shared = Kind::ALL
            .iter()
            .filter(|k| self.get(**k, &part.id).is_some())
            .nth(1);
        match shared {
            Some(_) => part.to_string(),
            None => part.id.clone(),
        }
    }

    /// What people call the part: its label, else its id.
    #[must_use]
    pub fn label(&self, part: &PartName) -> &str {
        self.get(part.kind, &part.id)
            .and_then(|p| p.text().label.as_deref())
            .or_else(|| self.get_key(part))
            .unwrap_or(SUMP)
    }

    fn get_key(&self, part: &PartName) -> Option<&str> {
        self.ids(part.kind).find(|id| *id == part.id)
    }

    fn near(&self, id: &str, kinds: &[Kind]) -> Vec<String> {
        let sump = kinds.contains(&Kind::Passage).then_some(SUMP);
        nearest(id, kinds.iter().flat_map(|k| self.ids(*k)).chain(sump))
    }
}

/// The candidates that are nearly `typed`, best first, three at most.
#[must_use]
pub(crate) fn nearest<'a>(
    typed: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Vec<String> {
    let mut scored: Vec<(f64, &str)> = candidates
        .into_iter()
        .map(|c| (strsim::jaro_winkler(typed, c), c))
        .filter(|(score, _)| *score > 0.82)
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    scored.dedup();
    // Far behind the best is noise, not a suggestion.
    let best = scored.first().map_or(0.0, |(score, _)| *score);
    scored
        .into_iter()
        .take_while(|(score, _)| best - score < 0.06)
        .take(3)
        .map(|(_, id)| id.to_owned())
        .collect()
}

fn wanted(kinds: &[Kind]) -> String {
    if kinds.len() == Kind::ALL.len() {
        return "part".to_owned();
    }
    let words: Vec<String> = kinds
        .iter()
        .map(|k| match k {
            Kind::Passage => "cavity".to_owned(),
            kind => kind.word().to_owned(),
        })
        .collect();
    join_or(&words)
}

fn list(kinds: &[Kind], word: &str) -> String {
    let words: Vec<String> = kinds.iter().map(|k| article(k.word())).collect();
    join(&words, word)
}

pub(crate) fn join_or(words: &[String]) -> String {
    join(words, "or")
}

pub(crate) fn join_and(words: &[String]) -> String {
    join(words, "and")
}

fn join(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., end] => format!("{} {last} {end}", rest.join(", ")),
    }
}

pub(crate) fn article(noun: &str) -> String {
    let vowel = noun.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {noun}", if vowel { "an" } else { "a" })
}
