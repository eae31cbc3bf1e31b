//! Every figure of a state, by what it is of, so that figures of several measurements can be joined.

use std::collections::{BTreeMap, BTreeSet};

use super::cases::Case;
use super::ranges::{Key, flows, gets, measured, pressures, share, users};
use super::sides::Sides;
use super::{Gets, Range};
use crate::net::{Cavity, Net, SUMP_CAVITY};

/// Flows below this are nothing, in m³/s: a drop an hour.
pub(super) const NOTHING: f64 = 1e-11;

/// A pressure below which a share of it says nothing, in Pa.
const NO_PRESSURE: f64 = 1e3;

/// What a figure is of; outlets by their number among those that use oil under pressure.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Of {
    Pressure(usize),
    Flow(usize),
    Share(usize),
    Cavity(Cavity),
    Stream(Key),
}

/// A figure: of what, and whether as it is now, with the faults if there are any, or when sound.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Figure {
    pub of: Of,
    pub now: bool,
}

/// Every figure that there is: one that is missing cannot be said. A stream that is missing is none.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Figures(BTreeMap<Figure, Range>);

impl Figures {
    pub fn of(net: &Net<'_>, sides: &Sides<'_>) -> Figures {
        let mut figures = Figures::default();
        for (now, cases) in [(false, &sides.sound[..]), (true, sides.present())] {
            for cavity in net.cavities().filter(|cavity| *cavity != SUMP_CAVITY) {
                figures.put(Of::Cavity(cavity), now, pressures(measured(cases), cavity));
            }
            for (key, range) in flows(measured(cases)) {
                figures.put(Of::Stream(key), now, Some(range));
            }
            figures.put_outlets(net, cases, now);
        }
        if sides.now.is_some() {
            for (number, outlet) in users(net).enumerate() {
                let of = match outlet.by_pressure {
                    true => Of::Pressure(number),
                    false => Of::Flow(number),
                };
                let nothing = if outlet.by_pressure {
                    NO_PRESSURE
                } else {
                    NOTHING
                };
                let both = figures.get(of.clone(), true).zip(figures.get(of, false));
                let kept = both.and_then(|(now, sound)| share(now, sound, nothing));
                figures.put(Of::Share(number), true, kept);
            }
        }
        figures
    }

    /// What outlets get, and nothing else.
    pub fn of_outlets(net: &Net<'_>, cases: &[Case<'_>]) -> Figures {
        let mut figures = Figures::default();
        figures.put_outlets(net, cases, false);
        figures
    }

    fn put_outlets(&mut self, net: &Net<'_>, cases: &[Case<'_>], now: bool) {
        for (number, outlet) in users(net).enumerate() {
            let gets = gets(measured(cases), outlet);
            self.put(Of::Pressure(number), now, gets.pressure_pa);
            self.put(Of::Flow(number), now, gets.flow_m3_per_s);
        }
    }

    fn put(&mut self, of: Of, now: bool, range: Option<Range>) {
        let figure = Figure { of, now };
        self.0.extend(range.map(|range| (figure, range)));
    }

    pub fn get(&self, of: Of, now: bool) -> Option<Range> {
        self.0.get(&Figure { of, now }).copied()
    }

    /// What an outlet gets.
    pub fn gets(&self, number: usize, now: bool) -> Gets {
        Gets {
            pressure_pa: self.get(Of::Pressure(number), now),
            flow_m3_per_s: self.get(Of::Flow(number), now),
        }
    }

    /// Each part that may let oil by, with the cavities it lies between.
    pub fn streams(&self) -> BTreeSet<&Key> {
        let keys = self.0.keys().filter_map(|figure| match &figure.of {
            Of::Stream(key) => Some(key),
            _ => None,
        });
        keys.collect()
    }

    /// Every figure.
    pub fn iter(&self) -> impl Iterator<Item = (&Figure, Range)> {
        self.0.iter().map(|(figure, range)| (figure, *range))
    }

    /// A figure, a stream that is missing taken as none.
    pub fn at(&self, figure: &Figure) -> Option<Range> {
        let none = matches!(figure.of, Of::Stream(_)).then_some(Range {
            least: 0.0,
            most: 0.0,
        });
        self.0.get(figure).copied().or(none)
    }

    /// Takes in what another measurement found: each figure is then anywhere between all.
    pub fn join(&mut self, other: &Figures) {
        let all: BTreeSet<Figure> = self.0.keys().chain(other.0.keys()).cloned().collect();
        self.0 = all
            .into_iter()
            .filter_map(|figure| {
                let (one, other) = (self.at(&figure)?, other.at(&figure)?);
                let range = Range {
                    least: one.least.min(other.least),
                    most: one.most.max(other.most),
                };
                Some((figure, range))
            })
            .collect();
    }
}
