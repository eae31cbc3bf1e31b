//! Taps and pressure switches, and what they show.

use super::Reading;
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
    /// What it shows, if that is other than in the sound circuit.
    pub fn reading(&self, sound: Span, now: Span) -> Option<Reading> {
        let differs = match self.name.kind {
            // A switch tells low from less, and nothing else.
            Kind::Switch => Reading::closed(sound) != Reading::closed(now),
            _ => sound != now,
        };
        differs.then(|| Reading {
            at: self.name.clone(),
            access: self.access,
            sound,
            now,
        })
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
