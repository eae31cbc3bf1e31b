//! What an outlet lives by.

use super::args::LivesBy;
use super::ask::OUTLETS;
use super::asked::Asked;
use super::failure::Failure;
use super::show::{Reply, Show};
use crate::answer::{Likelihoods, LivesByError, LivesByQuestion, lives_by};
use crate::circuit::Kind;
use crate::net::Net;
use crate::report;

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
            let remedy = match &error {
                LivesByError::NoOutlet(_) => {
                    "list the outlets with `oilpath parts FILE --kind outlet`".to_owned()
                }
                LivesByError::Drawn(part) => format!(
                    "ask of what the pump feeds, which lives by this too. What it does when it is \
                     blocked: `oilpath starve FILE {}:blocked`",
                    circuit.short(part)
                ),
                LivesByError::NoFaults => {
                    "list what can be wrong with `oilpath parts FILE --faults`".to_owned()
                }
            };
            Failure::one(error.to_string(), &remedy)
        })?;
        show.reply(&answer, |words| report::lives_by(&answer, words))
    }
}
