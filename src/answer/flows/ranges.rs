//! Figures over every case of a state: ranges of pressures and flows.

use std::collections::BTreeMap;

use super::cases::Case;
use super::{Gets, Range};
use crate::circuit::PartName;
use crate::flow::Measured;
use crate::flow::law::Stand;
use crate::net::{Cavity, Net, NetOutlet, User};

/// What uses oil under pressure, by pressure or by flow.
pub(super) fn users<'n>(net: &'n Net<'_>) -> impl Iterator<Item = &'n NetOutlet> {
    let outlets = net.outlets().iter();
    outlets.filter(|outlet| !net.draws_through(outlet.user.feed()))
}

impl Range {
    pub(super) fn of(figures: impl Iterator<Item = f64>) -> Option<Range> {
        figures
            .map(|figure| Range {
                least: figure,
                most: figure,
            })
            .reduce(|a, b| Range {
                least: a.least.min(b.least),
                most: a.most.max(b.most),
            })
    }

    /// None where any of the figures is not there.
    fn of_all(figures: impl Iterator<Item = Option<f64>>) -> Option<Range> {
        let figures: Option<Vec<f64>> = figures.collect();
        Range::of(figures?.into_iter())
    }

    pub(super) fn turned(self) -> Range {
        Range {
            least: -self.most,
            most: -self.least,
        }
    }
}

pub(super) fn measured<'c>(cases: &'c [Case<'_>]) -> impl Iterator<Item = &'c Measured> + Clone {
    cases.iter().map(|case| &case.measured)
}

/// What an outlet gets in some cases.
pub(super) fn gets<'m>(
    measured: impl Iterator<Item = &'m Measured> + Clone,
    outlet: &NetOutlet,
) -> Gets {
    let flow = |measured: &Measured| -> f64 {
        let own = measured.streams_at(outlet.user.feed(), &outlet.name);
        own.map(|stream| stream.flow).sum()
    };
    let at = |cavity: Cavity| measured.clone().map(move |m| m.pressures[cavity.number()]);
    Gets {
        pressure_pa: match outlet.user {
            User::TwoSided { apply, release } => {
                let both = at(apply).zip(at(release));
                Range::of_all(both.map(|(apply, release)| Some(apply? - release?)))
            }
            user => Range::of_all(at(user.feed())),
        },
        flow_m3_per_s: match outlet.by_pressure {
            true => None,
            false => Range::of(measured.map(flow)),
        },
    }
}

/// The same, but what is sealed off gets nothing: from rest no oil comes to it, but what seeps by a
/// ball on its seat.
pub(super) fn reaching<'m>(
    measured: impl Iterator<Item = &'m Measured> + Clone,
    outlet: &NetOutlet,
) -> Gets {
    if !outlet.by_pressure {
        return gets(measured, outlet);
    }
    let at = |m: &Measured, cavity: Cavity| m.pressures[cavity.number()];
    let reached = |m: &Measured, cavity| at(m, cavity).filter(|_| m.reaches(cavity));
    let pressures = measured.map(|m| match outlet.user {
        User::TwoSided { apply, release } => {
            Some(reached(m, apply).unwrap_or(0.0) - at(m, release)?)
        }
        user => Some(reached(m, user.feed()).unwrap_or(0.0)),
    });
    Gets {
        pressure_pa: Range::of_all(pressures),
        flow_m3_per_s: None,
    }
}

/// The pressure of a cavity over all cases; none where it is trapped in any.
pub(super) fn pressures<'m>(
    measured: impl Iterator<Item = &'m Measured>,
    cavity: Cavity,
) -> Option<Range> {
    Range::of_all(measured.map(|m| m.pressures[cavity.number()]))
}

/// A part and the cavities that it lets oil pass between, the lower number first.
pub(super) type Key = (PartName, [Cavity; 2]);

/// Flow by each part between each pair of cavities over all cases; nothing where a way is not there.
pub(super) fn flows<'m>(measured: impl Iterator<Item = &'m Measured>) -> BTreeMap<Key, Range> {
    let each: Vec<BTreeMap<Key, f64>> = measured
        .map(|measured| {
            let mut flows = BTreeMap::new();
            for stream in &measured.streams {
                let [a, b] = stream.ends;
                // Both directions of a way are one stream.
                let (ends, flow) = match a <= b {
                    true => ([a, b], stream.flow),
                    false => ([b, a], -stream.flow),
                };
                *flows.entry((stream.part.clone(), ends)).or_default() += flow;
            }
            flows
        })
        .collect();
    let mut keys: Vec<&Key> = each.iter().flat_map(BTreeMap::keys).collect();
    keys.sort_unstable();
    keys.dedup();
    let ranges = keys.into_iter().filter_map(|key| {
        let figures = each
            .iter()
            .map(|flows| flows.get(key).copied().unwrap_or_default());
        Some((key.clone(), Range::of(figures)?))
    });
    ranges.collect()
}

/// Where what moves by itself stands over all cases, each place once.
pub(super) fn stands(cases: &[Case<'_>]) -> BTreeMap<Key, Vec<Stand>> {
    let mut stands: BTreeMap<Key, Vec<Stand>> = BTreeMap::new();
    for stream in cases.iter().flat_map(|case| &case.measured.streams) {
        if let Some(stand) = stream.stand {
            let known = stands
                .entry((stream.part.clone(), stream.ends))
                .or_default();
            known.push(stand);
            known.sort_unstable();
            known.dedup();
        }
    }
    stands
}

/// What is kept of a figure; none where there was none to keep.
pub(super) fn share(now: Range, sound: Range, nothing: f64) -> Option<Range> {
    (sound.least > nothing).then(|| Range {
        least: now.least.max(0.0) / sound.most,
        most: now.most.max(0.0) / sound.least,
    })
}
