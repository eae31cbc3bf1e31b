//! Questions about pressures and flows.

use std::path::Path;

use super::args::{Along, Asking, Banding, Flowing, Given, Taken, Up};
use super::asked::Asked;
use super::failure::Failure;
use super::show::{Reply, Show};
use crate::answer::{
    self, Draws, FlowsError, FlowsQuestion, GridQuestion, SizeUsed, Varied, VaryQuestion, VarySpan,
};
use crate::circuit::{Circuit, Kind, State};
use crate::draw;
use crate::flow::{Measure, SizeOf, Sizes};
use crate::net::Net;
use crate::page::Drawings;
use crate::report::{self, Words};

impl Flowing {
    fn asking(&self) -> &Asking {
        match self {
            Flowing::Flows { asking, .. }
            | Flowing::Gauges(asking)
            | Flowing::Vary { asking, .. }
            | Flowing::Grid { asking, .. } => asking,
        }
    }

    fn banding(&self) -> Option<&Banding> {
        match self {
            Flowing::Flows { banding, .. }
            | Flowing::Vary { banding, .. }
            | Flowing::Grid { banding, .. } => Some(banding),
            Flowing::Gauges(_) => None,
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
        let flows = FlowsQuestion {
            bands: self.banding().and_then(Banding::draws),
            ..asked.given(&asking.given)
        };
        let unsaid = |error| cannot_say(error, circuit);
        match self {
            Flowing::Flows { .. } => {
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
            Flowing::Vary { along, plot, .. } => {
                let span = asked.along(along);
                let driven = asked.one_state(state.as_deref());
                let (span, driven) = asked.understood(span.zip(driven))?;
                let varied = span.varied.clone();
                let flows = &flows;
                let question = VaryQuestion { span, flows };
                let answer = answer::vary(net, &faults, driven, &question).map_err(unsaid)?;
                let value = |si| varied.show(si, show.words().units);
                let draw = || draw::plot(&answer, circuit, &value);
                if *plot {
                    return Ok(drawn(draw()));
                }
                let page = |words: &Words<'_>| report::vary(&answer, &varied, words);
                show.drawn(&answer, page, || Ok(whole(draw())))
            }
            Flowing::Grid {
                along, up, plot, ..
            } => {
                let spans = asked.along(along).zip(asked.up(up));
                let spans = spans.and_then(|(along, up)| asked.differ(along, up));
                let driven = asked.one_state(state.as_deref());
                let ([along, up], driven) = asked.understood(spans.zip(driven))?;
                let varied = [along.varied.clone(), up.varied.clone()];
                let flows = &flows;
                let question = GridQuestion { along, up, flows };
                let answer = answer::grid(net, &faults, driven, &question).map_err(unsaid)?;
                let value = |i: usize, si| varied[i].show(si, show.words().units);
                let draw = || draw::map(&answer, circuit, &value);
                if *plot {
                    return Ok(drawn(draw()));
                }
                let page = |words: &Words<'_>| report::grid(&answer, &varied, words);
                show.drawn(&answer, page, || Ok(whole(draw())))
            }
        }
    }
}

/// A drawing of the answer as a whole.
fn whole(svg: String) -> Drawings {
    Drawings {
        whole: Some(svg),
        sections: Vec::new(),
    }
}

/// A drawing as it is.
fn drawn(text: String) -> Reply {
    Reply { text, wrong: false }
}

impl Banding {
    fn draws(&self) -> Option<Draws> {
        let usual = Draws::default();
        self.bands.then(|| Draws {
            count: self.draws.map_or(usual.count, usize::from),
            seed: self.seed.unwrap_or(usual.seed),
        })
    }
}

impl<'c> Asked<'c> {
    pub(super) fn given(&mut self, given: &Given) -> FlowsQuestion {
        FlowsQuestion {
            speed: given.speed,
            oil_temperature: given.oil_temperature,
            ..self.taken(&given.taken)
        }
    }

    pub(super) fn taken(&mut self, taken: &Taken) -> FlowsQuestion {
        let sizes = taken.set.iter().filter_map(|text| self.size(text));
        FlowsQuestion {
            oil: taken.oil.clone(),
            sizes: sizes.fold(Sizes::default(), |sizes, (of, si)| sizes.with(of, si)),
            assume: taken.assume,
            ..FlowsQuestion::default()
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

    fn along(&mut self, given: &Along) -> Option<VarySpan> {
        let ends = [given.from.as_deref(), given.to.as_deref()];
        self.span(&given.of, ends, given.points, "--to")
    }

    fn up(&mut self, given: &Up) -> Option<VarySpan> {
        let ends = [given.and_from.as_deref(), given.and_to.as_deref()];
        self.span(&given.and, ends, given.and_points, "--and-to")
    }

    fn span(
        &mut self,
        of: &str,
        [from, to]: [Option<&str>; 2],
        points: u16,
        option: &str,
    ) -> Option<VarySpan> {
        let varied = self.varied(of)?;
        let usual = match varied {
            Varied::Size(_) => None,
            Varied::Speed => Some("3000 rpm"),
            Varied::OilTemperature => Some("120 °C"),
        };
        let Some(to) = to.or(usual) else {
            let remedy = format!("give the last value of `{of}` with `{option}`");
            self.mistake("a size is varied up to a last value".to_owned(), &remedy);
            return None;
        };
        let over = self.range(&varied, from, to)?;
        Some(VarySpan {
            varied,
            over,
            points: points.into(),
        })
    }

    /// Two quantities that are not the same.
    fn differ(&mut self, along: VarySpan, up: VarySpan) -> Option<[VarySpan; 2]> {
        if along.varied == up.varied {
            let remedy = "name another one with `--and`";
            self.mistake("both quantities are the same".to_owned(), remedy);
            return None;
        }
        Some([along, up])
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

pub(super) fn cannot_say(error: FlowsError, circuit: &Circuit) -> Failure {
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
