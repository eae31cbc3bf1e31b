//! Files, states and kinds, as they are named on the command line.

use std::path::PathBuf;
use std::str::FromStr;

use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};

use crate::circuit::{Kind, Word};

#[derive(Debug, Args)]
pub(in crate::cli) struct File {
    /// The circuit file; - reads standard input
    pub file: PathBuf,
}

#[derive(Debug, Args)]
pub(in crate::cli) struct InState {
    /// Only in this state
    #[arg(long, value_name = "STATE")]
    pub state: Option<String>,
}

pub(in crate::cli) fn kinds() -> impl TypedValueParser<Value = Kind> {
    words()
}

/// One of the words of a list.
pub(in crate::cli) fn words<W>() -> impl TypedValueParser<Value = W>
where
    W: Word + FromStr<Err = ()> + Send + Sync + 'static,
{
    let words = W::all().iter().map(|word| word.text());
    let unknown = |word: String| word.parse().map_err(|()| Unread);
    PossibleValuesParser::new(words).try_map(unknown)
}

/// Never seen: the words are those the parser lists.
#[derive(Debug, thiserror::Error)]
#[error("not one of the words")]
struct Unread;
