//! What decides a cavity, as one clause.

use super::{Because, Kind, Line, PartName, Told, Value, WhyEnd, WhyWay};
use crate::settle::Push;

impl Told<'_> {
    /// What decides it at one end.
    pub(super) fn because(&self, end: &WhyEnd) -> Line {
        let (way_in, way_out) = (end.way_in.as_ref(), end.way_out.as_ref());
        let dry = match &end.cannot_draw[..] {
            [] => Line::default(),
            sources => Line::from(", for ") + self.words.parts(sources) + " gives no oil",
        };
        match &end.because {
            Because::Source { source } => self.words.part(source) + " feeds it directly",
            Because::Driven { .. } if end.value == Value::Drained => {
                let feed = match way_in {
                    None => Line::from(", and nothing feeds it") + dry,
                    Some(way) => self.loses(way, way_out, "feeds it", "its feed"),
                };
                self.runs_off(way_out) + feed
            }
            Because::Driven { .. } => {
                let drain = match way_out {
                    None => Line::from(", and nothing lets it off"),
                    Some(way) => self.loses(way, way_in, "lets it off", "its way out"),
                };
                self.comes(way_in) + drain
            }
            Because::Bores { share, .. } => {
                let left = format!(": {} of the pressure is left", percent(*share));
                self.comes(way_in) + ", and " + self.runs_off(way_out) + left
            }
            Because::Trapped => {
                let keeps = match end.value {
                    Value::Fed => "nothing feeds it and nothing lets it off: it keeps what it had",
                    Value::Drained => {
                        "nothing feeds it and nothing lets it off: it had no pressure before"
                    }
                    Value::Undecided => {
                        "nothing feeds it and nothing lets it off, and what it had cannot be said"
                    }
                };
                let lost = way_in.and_then(|way| way.beaten_at.as_deref());
                let lost = lost.map(|at| {
                    Line::from("; the oil that is on its way is lost at ") + self.words.cavity(at)
                });
                Line::from(keeps) + dry + lost.unwrap_or_default()
            }
            Because::Contested { share, .. } => {
                let left = match share {
                    Some(share) => {
                        format!(
                            ": {} of the pressure is left, neither on nor off",
                            percent(*share)
                        )
                    }
                    None => ", just as hard: what pressure is left cannot be said".into(),
                };
                self.comes(way_in) + ", and " + self.runs_off(way_out) + left
            }
            Because::Unknown {
                doubtful,
                contested,
            } => self.hangs_on(doubtful, contested.as_deref()),
        }
    }

    fn hangs_on(&self, doubtful: &[PartName], contested: Option<&str>) -> Line {
        match (doubtful, contested) {
            ([], Some(cavity)) => {
                let cavity = self.words.cavity(cavity);
                Line::from("it hangs on ") + cavity + ", which is fed and drained just as hard"
            }
            ([], None) => "it hangs on ways that may be open or shut".into(),
            (parts, _) => {
                let stands = if parts.len() == 1 { "stands" } else { "stand" };
                Line::from("whether ")
                    + self.words.parts(parts)
                    + format!(" {stands} open cannot be said")
            }
        }
    }

    /// How oil comes.
    fn comes(&self, way: Option<&WhyWay>) -> Line {
        let Some(way) = way else {
            return "oil comes".into();
        };
        match &way.narrowest {
            Some(place) => Line::from("oil comes through ") + self.words.narrow(place),
            None => "oil comes through open ways alone".into(),
        }
    }

    /// How oil runs off.
    fn runs_off(&self, way: Option<&WhyWay>) -> Line {
        let last = way.and_then(|way| way.hops.last());
        let narrow = way.and_then(|way| way.narrowest.as_ref());
        match (narrow, last) {
            (Some(place), _) => Line::from("it runs off through ") + self.words.narrow(place),
            (None, Some(hop)) => {
                let hops = way.into_iter().flat_map(|way| &way.hops);
                let mut moving =
                    hops.filter(|h| matches!(h.part.kind, Kind::Valve | Kind::Solenoid));
                let by = moving.next().filter(|moving| moving.part != hop.part);
                let by = by.map(|by| Line::from(" by ") + self.words.part(&by.part) + ", out");
                let bore = hop.bore_m.map(|m| format!(", {}", self.words.bore(m)));
                Line::from("it is open to the sump")
                    + by.unwrap_or_default()
                    + " at "
                    + self.words.part(&hop.part)
                    + bore.unwrap_or_default()
            }
            (None, None) => "it runs off".into(),
        }
    }

    /// What becomes of the losing side.
    fn loses(&self, way: &WhyWay, other: Option<&WhyWay>, does: &str, what: &str) -> Line {
        let weaker = way.push < other.map_or(Push::Rail, |o| o.push);
        let beaten = way.beaten_at.as_deref();
        match (&way.narrowest, beaten) {
            (Some(place), _) if weaker => {
                Line::from(format!(", and all that {does} is ")) + self.words.narrow(place)
            }
            (_, Some(at)) => {
                Line::from(format!(", and {what} is outweighed at ")) + self.words.cavity(at)
            }
            (_, None) => Line::from(format!(", and {what} does not get through")),
        }
    }
}

fn percent(share: f64) -> String {
    match share * 100.0 {
        share if share < 1.0 => "less than 1 %".to_owned(),
        share if share > 99.0 => "more than 99 %".to_owned(),
        share => format!("{share:.0} %"),
    }
}
