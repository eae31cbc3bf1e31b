//! Every code in the user's words: what it means, a bad example and the good one.
//!
//! The only table of its kind. Tests hold it to the codes there are, and read both examples of
//! each.
//!
//! ```
//! let found = oilpath::explain::explain("bare-number").unwrap();
//! assert_eq!(found.gist(), "A size has no unit.");
//! assert!(found.bad().contains("bore = 1.2 }"));
//! assert!(found.good().contains("bore = \"1.2 mm\" }"));
//! ```

mod reading;
mod rules;
mod slips;

use crate::circuit::nearest;
use crate::sheet::Severity;

/// What a code means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// The code, as between the brackets of `error[code]`.
    pub code: &'static str,
    /// Whether the file can be used all the same.
    pub severity: Severity,
    /// What it means and what to do; the first sentence is the gist.
    pub means: &'static str,
    /// How to get it, and how not to.
    pub example: Example,
}

/// What gets a code, and what does not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Example {
    /// A circuit file, named `box.toml` should it include itself.
    Sheet {
        /// All of it.
        bad: &'static str,
        /// What stands there once, and what should stand there.
        mend: (&'static str, &'static str),
    },
    /// What no text can show.
    Words {
        /// What gets it.
        bad: &'static str,
        /// What does not.
        good: &'static str,
    },
}

impl Explanation {
    /// The first sentence of what it means.
    #[must_use]
    pub fn gist(&self) -> &'static str {
        match self.means.find(". ") {
            Some(end) => &self.means[..=end],
            None => self.means,
        }
    }

    /// What gets the code.
    #[must_use]
    pub fn bad(&self) -> &'static str {
        match self.example {
            Example::Sheet { bad, .. } | Example::Words { bad, .. } => bad,
        }
    }

    /// The same put right.
    #[must_use]
    pub fn good(&self) -> String {
        match self.example {
            Example::Sheet { bad, mend } => bad.replacen(mend.0, mend.1, 1),
            Example::Words { good, .. } => good.to_owned(),
        }
    }
}

/// Every explanation: errors of reading, then broken rules, then slips.
pub fn all() -> impl Iterator<Item = &'static Explanation> {
    let errors = reading::TABLE.iter().chain(rules::TABLE);
    errors.chain(slips::TABLE)
}

/// What a code means.
///
/// # Errors
/// There is no such code; it may be near another.
pub fn explain(code: &str) -> Result<&'static Explanation, UnknownCode> {
    let found = all().find(|known| known.code == code);
    found.ok_or_else(|| UnknownCode {
        code: code.to_owned(),
        near: nearest(code, all().map(|known| known.code)),
    })
}

/// A text that is no code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no code `{code}`")]
pub struct UnknownCode {
    /// The text given.
    pub code: String,
    /// Codes it is near, the nearest first.
    pub near: Vec<String>,
}

/// An error that a circuit file shows.
const fn error(
    code: &'static str,
    means: &'static str,
    bad: &'static str,
    mend: (&'static str, &'static str),
) -> Explanation {
    Explanation {
        code,
        severity: Severity::Error,
        means,
        example: Example::Sheet { bad, mend },
    }
}
