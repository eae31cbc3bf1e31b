//! What is swept.

use std::str::FromStr;

use clap::Args;

use super::named::{File, kinds};
use crate::circuit::Kind;

/// What is swept, and how.
#[derive(Debug, Args)]
pub(in crate::cli) struct Swept {
    #[command(flatten)]
    pub file: File,
    /// Pairs of faults of two different parts, instead of each fault alone
    #[arg(long)]
    pub pairs: bool,
    /// Only faults of this part; may be given several times, and beside --kind
    #[arg(long, value_name = "PART")]
    pub of: Vec<String>,
    /// Only faults of parts of this kind; may be given several times
    #[arg(long = "kind", value_name = "KIND", value_parser = kinds())]
    pub kinds: Vec<Kind>,
    /// Only in this state; may be given several times
    #[arg(long = "state", value_name = "STATE")]
    pub states: Vec<String>,
    /// Only the Kth of N slices of the scenarios, in csv or json-lines
    #[arg(long, value_name = "K/N")]
    pub part: Option<Slice>,
    /// Go on after what a stopped run of the same circuit, question and program has left beside --output
    #[arg(long)]
    pub resume: bool,
    /// How many threads work at it; as many as the machine has unless given
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
}

/// One of several slices, counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) struct Slice {
    pub k: usize,
    pub n: usize,
}

impl Default for Slice {
    /// The whole.
    fn default() -> Self {
        Slice { k: 1, n: 1 }
    }
}

impl FromStr for Slice {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let read = |text: &str| text.parse::<u32>().ok().map(|n| n as usize);
        match text.split_once('/').map(|(k, n)| (read(k), read(n))) {
            Some((Some(k), Some(n))) if (1..=n).contains(&k) => Ok(Slice { k, n }),
            _ => Err("write K/N, such as 1/4, where K is one of 1 to N"),
        }
    }
}
