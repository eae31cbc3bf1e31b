//! Sizes no law can be made of.

/// A size from which no law can be made.
///
/// ```
/// use oilpath::flow::{Oil, law::{Hole, Orifice}};
/// use oilpath::units::Length;
///
/// let hot = Oil::generic().at("90 °C".parse()?)?;
/// let plugged = Hole { bore: Length::from_m(0.0), thickness: Length::from_m(1e-3), discharge: 0.6 };
/// let error = Orifice::new(plugged, hot).unwrap_err();
/// assert_eq!(error.to_string(), "the bore must be more than nothing");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the {what} must be {must}")]
pub struct SizeError {
    /// What is sized.
    pub what: &'static str,
    /// What it must be.
    pub must: &'static str,
}

/// The value, if it is finite and above zero.
pub(super) fn above_zero(what: &'static str, value: f64) -> Result<f64, SizeError> {
    let must = "more than nothing";
    require(value > 0.0 && value.is_finite(), what, must).map(|()| value)
}

/// The value, if it is finite and not below zero.
pub(super) fn from_zero(what: &'static str, value: f64) -> Result<f64, SizeError> {
    let must = "nothing or more";
    require(value >= 0.0 && value.is_finite(), what, must).map(|()| value)
}

pub(super) fn require(
    holds: bool,
    what: &'static str,
    must: &'static str,
) -> Result<(), SizeError> {
    if holds {
        Ok(())
    } else {
        Err(SizeError { what, must })
    }
}
