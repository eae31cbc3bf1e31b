//! Questions about pressures and flows.

use std::path::Path;

use super::args::{Asking, Flowing, Given};
use super::ask::{Asked, Reply, Show};
use super::failure::Failure;
use crate::answer::{self, FlowsError, FlowsQuestion, SizeUsed, Varied, VaryQuestion};
use crate::circuit::{Circuit, Kind, State};
use crate::draw;
use crate::flow::{Measure, SizeOf, Sizes};
use crate::net::Net;
use crate::report;

impl Flowing {
    fn asking(&self) -> &Asking {
        match self {
            Flowing::Flows(asking) | Flowing::Gauges(asking) | Flowing::Vary { asking, .. } => {
                asking
            }
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
        let flows = asked.given(&asking.given);
        let unsaid = |error| cannot_say(error, circuit);
        match self {
            Flowing::Flows(_) => {
                asked.understood(Some(()))?;
                let answer = answer::flows(net, &faults, state.as_deref(), &flows);
                let answer = answer.map_err(unsaid)?;
                show.reply(&answer, |words| report::flows(&answer, words))
            }
            Flowing::Gauges(_) => {
                asked.understood(Some(()))?;
                let answer = answer::gauges(net, &faults, state.as_deref(), &flows);
                let answer = answer.map_err(unsaid)?;
                show.reply(&answer, |words| report::gauges(&answer, words))
            }
            Flowing::Vary {
                of,
                from,
                to,
                points,
                plot,
                ..
            } => {
                let varied = asked.varied(of);
                let over = varied.as_ref();
                let over = over.and_then(|v| asked.range(v, from.as_deref(), to));
                let driven = asked.one_state(state.as_deref());
                let all = varied.zip(over).zip(driven);
                let ((varied, over), driven) = asked.understood(all)?;
                let question = VaryQuestion {
                    varied: varied.clone(),
                    over,
                    points: (*points).into(),
                    flows: &flows,
                };
                let answer = answer::vary(net, &faults, driven, &question).map_err(unsaid)?;
                if *plot {
                    let value = |si| varied.show(si, show.words().units);
                    return Ok(Reply {
                        text: draw::plot(&answer, circuit, &value),
                        wrong: false,
                    });
                }
                show.reply(&answer, |words| report::vary(&answer, &varied, words))
            }
        }
    }
}

impl<'c> Asked<'c> {
    /// How the gearbox runs.
    pub fn given(&mut self, given: &Given) -> FlowsQuestion {
        let sizes = given.set.iter().filter_map(|text| self.size(text));
        FlowsQuestion {
            speed: given.speed,
            oil_temperature: given.oil_temperature,
            oil: given.oil.clone(),
            sizes: sizes.fold(Sizes::default(), |sizes, (of, si)| sizes.with(of, si)),
            assume: given.assume,
        }
    }

    /// The state asked about, where that must be one.
    fn one_state(&mut self, state: Option<&str>) -> Option<(Option<&'c str>, &'c State)> {
        let states = answer::states(self.circuit, state);
        match &states[..] {
            [one] => Some(*one),
            _ => {
                let ids: Vec<&str> = states.iter().filter_map(|(id, _)| *id).collect();
                let remedy = format!("name one with `--state`: {}", ids.join(", "));
                self.mistake("this is asked in one state at a time".to_owned(), &remedy);
                None
            }
        }
    }

    /// What is to be varied.
    fn varied(&mut self, text: &str) -> Option<Varied> {
        match text {
            "speed" => Some(Varied::Speed),
            "oil-temperature" => Some(Varied::OilTemperature),
            text => {
                let Some((part, word)) = text.rsplit_once('.') else {
                    let remedy = "name PART.SIZE, such as hop.bore, or speed, or oil-temperature";
                    self.mistake(format!("`{text}` cannot be varied"), remedy);
                    return None;
                };
                let part = self.part(part, Kind::ALL);
                let measure = self.measure(word);
                Some(Varied::Size((part?, measure?)))
            }
        }
    }

    /// The values between which it is varied, in SI units.
    fn range(&mut self, varied: &Varied, from: Option<&str>, to: &str) -> Option<[f64; 2]> {
        let mut read = |text: &str| {
            let read = varied.read(text);
            let read = read.map_err(|error| self.mistake(error.to_string(), &error.remedy()));
            read.ok()
        };
        let to = read(to);
        let from = match (from, varied) {
            (Some(from), _) => read(from),
            (None, Varied::Size(_)) => to.map(|to| to / 50.0),
            (None, Varied::Speed) => read("300 rpm"),
            (None, Varied::OilTemperature) => read("0 °C"),
        };
        let [from, to] = [from?, to?];
        if from == to {
            let remedy = "give a first and a last value that differ";
            self.mistake("it is varied over nothing".to_owned(), remedy);
            return None;
        }
        Some([from, to])
    }

    fn measure(&mut self, word: &str) -> Option<Measure> {
        let measure = word.trim().parse::<Measure>().ok();
        if measure.is_none() {
            let words: Vec<&str> = Measure::ALL.iter().map(|m| m.word()).collect();
            let remedy = format!("the sizes are {}", words.join(", "));
            self.mistake(format!("there is no size `{}`", word.trim()), &remedy);
        }
        measure
    }

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
        let measure = self.measure(word)?;
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
