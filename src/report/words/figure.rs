//! Figures that were computed, and ranges of them.

use super::Words;
use crate::answer::Range;
use crate::report::page::{Line, Role};
use crate::units::{Flow, Pressure, Quantity, Speed, Temperature, UnitSystem};

/// The least flow that is told, 1 cm³/min, in m³/s.
pub(in crate::report) const SEEN: f64 = 1.0 / 60e6;

fn or_none(figure: f64, least: f64) -> f64 {
    if figure.abs() < least { 0.0 } else { figure }
}

impl Words<'_> {
    /// A pressure that was computed, in Pa; less than a hundredth of a bar is none.
    pub(in crate::report) fn pa(&self, pa: f64) -> String {
        Pressure::from_pa(or_none(pa, 1e3)).brief(self.units)
    }

    /// A flow that was computed, in m³/s; less than a cubic centimetre a minute is none.
    pub(in crate::report) fn flow(&self, m3_per_s: f64) -> String {
        Flow::from_m3_per_s(or_none(m3_per_s, SEEN)).brief(self.units)
    }

    /// Pressures that were computed; where nothing sets one, its oil is trapped.
    pub(in crate::report) fn pressures(&self, range: Option<Range>) -> Line {
        match range {
            Some(range) => spread(range, |pa| self.pa(pa)),
            None => Line::role(Role::Trapped, "trapped"),
        }
    }

    /// Pressures as they are read off a gauge, to a tenth of a bar or one psi.
    pub(in crate::report) fn read_off(&self, range: Option<Range>) -> Line {
        let tick = match self.units {
            UnitSystem::Metric => 1e4,
            UnitSystem::Us => Pressure::PSI.pa(),
        };
        let read = |pa: f64| (pa / tick).round() * tick;
        self.pressures(range.map(|range| Range {
            least: read(range.least),
            most: read(range.most),
        }))
    }

    /// Flows that were computed; nothing where there is no way.
    pub(in crate::report) fn flows(&self, range: Option<Range>) -> Line {
        range.map_or_else(Line::default, |range| spread(range, |q| self.flow(q)))
    }
}

/// How the gearbox runs: `700 rpm, oil at 80 °C`.
pub(in crate::report) fn running(rad_per_s: Option<f64>, kelvin: f64, words: &Words<'_>) -> Line {
    let warm = Temperature::from_kelvin(kelvin).show(words.units);
    match rad_per_s {
        Some(speed) => {
            let speed = Speed::from_rad_per_s(speed).show(words.units);
            format!("{speed}, oil at {warm}").into()
        }
        None => format!("oil at {warm}").into(),
    }
}

/// Where a file gives no oil.
pub(in crate::report) fn generic_oil() -> Line {
    "No oil is given: a generic one stands in, 30 cSt at 40 °C and 6 cSt at 100 °C.".into()
}

/// What is kept, in parts of a hundred.
pub(in crate::report) fn share(range: Range) -> Line {
    spread(range, |share| format!("{:.0} %", 100.0 * share))
}

/// A range as one figure where its ends read the same: `2.1 bar`, `0.4–2.1 bar`.
pub(in crate::report) fn spread(range: Range, show: impl Fn(f64) -> String) -> Line {
    let (least, most) = (show(range.least), show(range.most));
    if least == most {
        return least.into();
    }
    match (least.split_once(' '), most.split_once(' ')) {
        // A minus beside the dash would be hard to read.
        (Some((number, unit)), Some((_, same))) if unit == same && range.least >= 0.0 => {
            format!("{number}–{most}").into()
        }
        _ => format!("{least} to {most}").into(),
    }
}
