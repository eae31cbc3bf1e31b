//! Every figure of a state, by what it is of, so that figures of several measurements can be joined.

use std::collections::{BTreeMap, BTreeSet};

use super::cases::Case;
use super::ranges::{Key, flows, gets, measured, pressures, reaching, share, users};
use super::sides::Sides;
use super::{Gets, Range};
use crate::net::{Cavity, Net, NetOutlet, SUMP_CAVITY};

/// Flows below this are nothing, in m³/s: a drop an hour.
pub(super) const NOTHING: f64 = 1e-11;

/// A pressure below which a share of it says nothing, in Pa.
const NO_PRESSURE: f64 = 1e3;

/// A pressure that is nothing but rounding, in Pa.
const STILL_PRESSURE: f64 = 1e-3;

/// What an outlet keeps of what reaches it when sound, 1 for all of it; none where that is nothing.
pub(super) fn kept(now: Gets, sound: Gets, outlet: &NetOutlet) -> Option<Range> {
    match outlet.by_pressure {
        true => share(now.pressure_pa?, sound.pressure_pa?, NO_PRESSURE),
        false => share(now.flow_m3_per_s?, sound.flow_m3_per_s?, NOTHING),
    }
}

/// What a figure is of; outlets by their number among those that use oil under pressure.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Of {
    Pressure(usize),
    /// The pressure that reaches it: none of what is sealed off.
    Reach(usize),
    Flow(usize),
    Share(usize),
    Cavity(Cavity),
    Stream(Key),
}

impl Of {
    /// Below this such a figure, or a move of it, is nothing: more than what rounding leaves.
    pub fn nothing(&self) -> f64 {
        match self {
            Of::Pressure(_) | Of::Reach(_) | Of::Cavity(_) => STILL_PRESSURE,
            Of::Flow(_) | Of::Stream(_) => NOTHING,
            Of::Share(_) => f64::EPSILON,
        }
    }
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
                let [now, sound] = [true, false].map(|now| figures.reaches(number, now));
                figures.put(Of::Share(number), true, kept(now, sound, outlet));
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
            let reaches = reaching(measured(cases), outlet);
            self.put(Of::Reach(number), now, reaches.pressure_pa);
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

    /// What reaches an outlet: nothing where it is sealed off.
    pub fn reaches(&self, number: usize, now: bool) -> Gets {
        Gets {
            pressure_pa: self.get(Of::Reach(number), now),
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
