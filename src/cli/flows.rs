//! Questions about pressures and flows.

use std::path::Path;

use super::args::{Asking, Flowing};
use super::ask::{Asked, Reply, Show};
use super::failure::Failure;
use crate::answer::{self, FlowsError, FlowsQuestion, SizeUsed};
use crate::circuit::{Circuit, Kind};
use crate::flow::{Measure, SizeOf, Sizes};
use crate::net::Net;
use crate::report;

impl Flowing {
    fn asking(&self) -> &Asking {
        match self {
            Flowing::Flows(asking) | Flowing::Gauges(asking) => asking,
        }
    }

    /// The circuit file it is about.
    pub fn file(&self) -> &Path {
        &self.asking().file.file
    }

    /// Answers it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        let (circuit, asking) = (net.circuit(), self.asking());
        let mut asked = Asked::of(circuit);
        let faults = asked.faults(&asking.faults);
        let state = asked.state(&asking.state);
        let sizes = asking.set.iter().filter_map(|text| asked.size(text));
        let sizes = sizes.fold(Sizes::default(), |sizes, (of, si)| sizes.with(of, si));
        asked.understood(Some(()))?;
        let question = FlowsQuestion {
            speed: asking.speed,
            oil_temperature: asking.oil_temperature,
            oil: asking.oil.clone(),
            sizes,
            assume: asking.assume,
        };
        let state = state.as_deref();
        let unsaid = |error| cannot_say(error, circuit);
        match self {
            Flowing::Flows(_) => {
                let answer = answer::flows(net, &faults, state, &question).map_err(unsaid)?;
                show.reply(&answer, |words| report::flows(&answer, words))
            }
            Flowing::Gauges(_) => {
                let answer = answer::gauges(net, &faults, state, &question).map_err(unsaid)?;
                show.reply(&answer, |words| report::gauges(&answer, words))
            }
        }
    }
}

impl Asked<'_> {
    /// A size as it is set: `hop.bore=1.4 mm`.
    fn size(&mut self, text: &str) -> Option<(SizeOf, f64)> {
        let remedy = "write PART.SIZE=VALUE, such as hop.bore=\"1.4 mm\"";
        let pieces = text
            .split_once('=')
            .and_then(|(of, value)| Some((of.rsplit_once('.')?, value)));
        let Some(((part, word), value)) = pieces else {
            self.mistake(format!("`{text}` sets no size"), remedy);
            return None;
        };
        let part = self.part(part.trim(), Kind::ALL);
        let Ok(measure) = word.trim().parse::<Measure>() else {
            let words: Vec<&str> = Measure::ALL.iter().map(|m| m.word()).collect();
            let remedy = format!("the sizes are {}", words.join(", "));
            self.mistake(format!("there is no size `{}`", word.trim()), &remedy);
            return None;
        };
        match measure.read(value.trim().trim_matches('"')) {
            Ok(si) => Some(((part?, measure), si)),
            Err(error) => {
                self.mistake(error.to_string(), &error.remedy());
                None
            }
        }
    }
}

fn cannot_say(error: FlowsError, circuit: &Circuit) -> Failure {
    let named = |sizes: &[SizeUsed], value: bool| {
        let one = |size: &SizeUsed| {
            let of = format!("{}.{}", circuit.short(&size.part), size.measure);
            if value {
                format!("{of} {}", size.size)
            } else {
                of
            }
        };
        sizes.iter().map(one).collect::<Vec<_>>().join(", ")
    };
    let (what, remedy) = match &error {
        FlowsError::Missing(sizes) => (
            format!("{error}: {}", named(sizes, false)),
            format!(
                "give them in the file or with `--set`; or add `--assume`, which takes {}",
                named(sizes, true)
            ),
        ),
        FlowsError::Unused(sizes) => (
            format!("{error}: {}", named(sizes, false)),
            "set a size of a part that oil passes in the states asked about; a size of a fault \
             counts only with the fault"
                .to_owned(),
        ),
        FlowsError::Wrong(_) => (
            error.to_string(),
            "correct the size in the file, or what was set".to_owned(),
        ),
        FlowsError::NoOil(_, oils) if oils.is_empty() => (
            error.to_string(),
            "the file gives no oil: leave `--oil` out for a generic one".to_owned(),
        ),
        FlowsError::NoOil(_, oils) => (
            error.to_string(),
            format!("its oils are {}", oils.join(", ")),
        ),
        FlowsError::Oil(_) => (
            error.to_string(),
            "ask at another temperature, or correct the two viscosities of the oil".to_owned(),
        ),
    };
    Failure::one(what, &remedy)
}
