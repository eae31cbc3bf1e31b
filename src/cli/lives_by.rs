//! What an outlet lives by.

use clap::{Args, builder::RangedU64ValueParser};

use super::args::{File, InState, kinds};
use super::ask::{Asked, OUTLETS, Reply, Show};
use super::failure::Failure;
use crate::answer::{Likelihoods, LivesByError, LivesByQuestion, lives_by};
use crate::circuit::Kind;
use crate::net::Net;
use crate::report;

/// Which outlet, and what is tried on it.
#[derive(Debug, Args)]
pub(super) struct LivesBy {
    #[command(flatten)]
    pub file: File,
    /// An outlet, filter, converter or cooler
    outlet: String,
    #[command(flatten)]
    state: InState,
    /// How many faults together at most
    #[arg(
        long,
        value_name = "1|2|3",
        default_value_t = 2,
        value_parser = RangedU64ValueParser::<usize>::new().range(1..=3)
    )]
    up_to: usize,
    /// Only faults of this part; may be given several times, and beside --kind
    #[arg(long, value_name = "PART")]
    of: Vec<String>,
    /// Only faults of parts of this kind; may be given several times
    #[arg(long = "kind", value_name = "KIND", value_parser = kinds())]
    kinds: Vec<Kind>,
    /// How many sets of faults to settle at most, over all states
    #[arg(
        long,
        value_name = "N",
        default_value_t = LivesByQuestion::default().most,
        value_parser = RangedU64ValueParser::<usize>::new().range(1..=1_000_000_000)
    )]
    most: usize,
    /// How likely a fault is, such as hop:plugged=0.01 or, for every part of a kind,
    /// orifice:plugged=0.01; may be given several times
    #[arg(long = "likelihood", value_name = "FAULT=P")]
    likelihoods: Vec<String>,
}

impl LivesBy {
    /// Answers it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        let circuit = net.circuit();
        let mut asked = Asked::of(circuit);
        let outlet = asked.part(&self.outlet, OUTLETS);
        let state = asked.state(&self.state);
        let of = self.of.iter();
        let of = of.filter_map(|part| asked.part(part, Kind::ALL)).collect();
        let mut likelihoods = Likelihoods::default();
        for text in &self.likelihoods {
            if let Err(error) = likelihoods.give(circuit, text) {
                asked.mistake(error.to_string(), &error.remedy());
            }
        }
        let outlet = asked.understood(outlet)?;
        let question = LivesByQuestion {
            state,
            up_to: self.up_to,
            of,
            kinds: self.kinds.clone(),
            most: self.most,
            likelihoods,
        };
        let answer = lives_by(net, &outlet, &question).map_err(|error| {
            let remedy = match error {
                LivesByError::NoOutlet(_) => {
                    "list the outlets with `oilpath parts FILE --kind outlet`"
                }
                LivesByError::NoFaults => {
                    "list what can be wrong with `oilpath parts FILE --faults`"
                }
            };
            Failure::one(error.to_string(), remedy)
        })?;
        show.reply(&answer, |words| report::lives_by(&answer, words))
    }
}
