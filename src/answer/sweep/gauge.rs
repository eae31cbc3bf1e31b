//! Taps and pressure switches, and what they show.

use super::{Reading, Sweeper};
use crate::answer::{ComplaintWord, StarveState};
use crate::circuit::{Access, Kind, Level, PartName};
use crate::net::{Cavity, Net};
use crate::settle::{Settled, Span};

/// A tap or a pressure switch.
pub(super) struct Gauge {
    pub name: PartName,
    pub at: Cavity,
    pub access: Access,
}

/// Every tap and pressure switch, the easiest to reach first.
pub(super) fn gauges(net: &Net<'_>) -> Vec<Gauge> {
    let circuit = net.circuit();
    let taps = circuit.taps.iter();
    let taps = taps.map(|(id, tap)| (Kind::Tap, id, &tap.at, tap.access));
    let switches = circuit.switches.iter();
    let switches = switches.map(|(id, switch)| (Kind::Switch, id, &switch.at, switch.access));
    let mut gauges: Vec<Gauge> = taps
        .chain(switches)
        .filter_map(|(kind, id, at, access)| {
            Some(Gauge {
                name: PartName::new(kind, id),
                at: net.cavity(at)?,
                access,
            })
        })
        .collect();
    gauges.sort_by_key(|gauge| gauge.access);
    gauges
}

impl Gauge {
    /// What it shows, if that is other than in the sound circuit: at what stands `high` more.
    pub fn reading(&self, sound: Span, now: Span, high: bool) -> Option<Reading> {
        let (differs, high) = match self.name.kind {
            // A switch tells low from less, and nothing else.
            Kind::Switch => (Reading::closed(sound) != Reading::closed(now), false),
            _ => (sound != now || high, high),
        };
        differs.then(|| Reading {
            at: self.name.clone(),
            access: self.access,
            sound,
            now,
            high,
        })
    }
}

impl Sweeper<'_> {
    /// What the gauges show, given between which levels each is when sound and now.
    pub(super) fn seen(
        &self,
        state: &StarveState,
        spans: impl Iterator<Item = (Span, Span)>,
    ) -> Vec<Reading> {
        let loaded = |gauge: &Gauge| {
            let mut sources = self.net.sources().iter();
            sources.any(|s| s.feeds == gauge.at && state.will_not_build.contains(&s.name))
        };
        let high = |at: Cavity| {
            let mut high =
                (state.complaints.iter()).filter(|c| c.what == ComplaintWord::StandsHigh);
            let regulators = self.net.regulators();
            high.any(|c| {
                let mut held = regulators.iter().filter(|r| r.holds == at);
                held.any(|regulator| c.outlets.contains(&regulator.name))
            })
        };
        let seen = self.gauges.iter().zip(spans);
        let seen = seen.filter_map(|(gauge, (sound, mut now))| {
            if loaded(gauge) {
                now = Span {
                    lowest: Level::Off,
                    highest: now.highest.min(Level::Fill),
                };
            }
            gauge.reading(sound, now, high(gauge.at))
        });
        seen.collect()
    }
}

/// Between which levels a cavity is at any end.
pub(super) fn span(settled: &Settled, cavity: Cavity) -> Span {
    let spans = settled.ends.iter().map(|end| end.pressures.span(cavity));
    let joined = spans.reduce(|a, b| Span {
        lowest: a.lowest.min(b.lowest),
        highest: a.highest.max(b.highest),
    });
    joined.unwrap_or(Span {
        lowest: Level::Off,
        highest: Level::Full,
    })
}
