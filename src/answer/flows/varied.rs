//! What can be varied, and between which values.

use super::FlowsQuestion;
use crate::flow::SizeOf;
use crate::net::Net;
use crate::units::{Quantity, Spec, Speed, Temperature, UnitError, UnitSystem};

/// What is varied.
#[derive(Clone, Debug, PartialEq)]
pub enum Varied {
    /// A size of a part.
    Size(SizeOf),
    /// The speed the pumps turn at.
    Speed,
    /// The temperature of the oil, and with it its viscosity.
    OilTemperature,
}

/// What is varied, and at which values.
#[derive(Clone, Debug, PartialEq)]
pub struct VarySpan {
    /// What.
    pub varied: Varied,
    /// From where to where, in its SI unit.
    pub over: [f64; 2],
    /// At how many values, both ends included; two at least.
    pub points: usize,
}

impl VarySpan {
    /// The values, evenly spaced, rising or falling as they were asked for; in their SI unit.
    ///
    /// ```
    /// use oilpath::answer::{Varied, VarySpan};
    /// let span = VarySpan { varied: Varied::Speed, over: [30.0, 90.0], points: 3 };
    /// assert_eq!(span.values(), [30.0, 60.0, 90.0]);
    /// ```
    #[must_use]
    pub fn values(&self) -> Vec<f64> {
        let ([first, last], steps) = (self.over, self.points.max(2) - 1);
        let value = |i| first + (last - first) * i as f64 / steps as f64;
        (0..=steps).map(value).collect()
    }

    /// A part of the range, in the unit of the values.
    pub(super) fn part(&self, part: f64) -> f64 {
        part * (self.over[1] - self.over[0]).abs()
    }
}

impl Varied {
    /// As a reader would type it.
    #[must_use]
    pub fn word(&self, net: &Net<'_>) -> String {
        match self {
            Varied::Size((part, measure)) => format!("{}.{measure}", net.circuit().short(part)),
            Varied::Speed => "speed".to_owned(),
            Varied::OilTemperature => "oil-temperature".to_owned(),
        }
    }

    /// Reads a value of it; in its SI unit.
    ///
    /// # Errors
    ///
    /// As for every size with its unit.
    pub fn read(&self, text: &str) -> Result<f64, UnitError> {
        self.spec().read(text)
    }

    /// A value of it for the eye, from its SI unit.
    #[must_use]
    pub fn show(&self, si: f64, units: UnitSystem) -> String {
        self.spec().show(si, units)
    }

    /// A value of it that was computed, from its SI unit.
    #[must_use]
    pub fn brief(&self, si: f64, units: UnitSystem) -> String {
        self.spec().brief(si, units)
    }

    pub(super) fn unit(&self) -> &'static str {
        self.spec().si_unit()
    }

    fn spec(&self) -> &'static Spec {
        match self {
            Varied::Size((_, measure)) => measure.spec(),
            Varied::Speed => Speed::SPEC,
            Varied::OilTemperature => Temperature::SPEC,
        }
    }

    /// A question with this value in place of its own.
    pub(super) fn set(&self, value: f64, question: &mut FlowsQuestion) {
        match self {
            Varied::Size(of) => question.sizes = question.sizes.with(of.clone(), value),
            Varied::Speed => question.speed = Some(Speed::from_si(value)),
            Varied::OilTemperature => {
                question.oil_temperature = Some(Temperature::from_si(value));
            }
        }
    }
}
