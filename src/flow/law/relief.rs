//! Relief valves.

use super::smooth::ramp;
use super::{Law, Rate, Stand};
use crate::flow::Doubt;
use crate::flow::size::{SizeError, above_zero, from_zero};
use crate::units::{Flow, Pressure};

/// Shut up to its set pressure, above it flow in proportion: `q = G·(x − set)`.
///
/// `G` comes from the override, the rise it takes to pass a known flow. How far it can open is not
/// bounded. The corner at the set pressure is rounded over 200 Pa; shut, it leaks in proportion.
///
/// ```
/// use oilpath::flow::law::{Law, Relief, SEATED_LEAK};
///
/// // Opens at 20 bar and passes 10 L/min at 22 bar.
/// let relief = Relief::new(
///     "20 bar".parse()?, "2 bar".parse()?, "10 L/min".parse()?, SEATED_LEAK)?;
/// assert!(relief.rate(19e5).flow < 1e-9);
/// assert!((relief.rate(21e5).flow * 60e3 - 5.0).abs() < 1e-4);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    set: f64,
    /// `G`, in m³/s per Pa.
    gain: f64,
    leak: f64,
}

impl Relief {
    /// Opens at `set`, passes `flow` at `rise` more; `leak` shut, in m³/s per Pa.
    ///
    /// # Errors
    ///
    /// Where rise or flow is nothing, set pressure or leak below nothing.
    pub fn new(set: Pressure, rise: Pressure, flow: Flow, leak: f64) -> Result<Relief, SizeError> {
        let rise = above_zero("rise of the relief", rise.pa())?;
        Ok(Relief {
            set: from_zero("set pressure", set.pa())?,
            gain: above_zero("flow of the relief", flow.m3_per_s())? / rise,
            leak: from_zero("leak of the relief", leak)?,
        })
    }
}

impl Law for Relief {
    fn rate(&self, drop: f64) -> Rate {
        let (above, slope) = ramp(drop - self.set);
        Rate {
            flow: self.gain * above + self.leak * drop,
            slope: self.gain * slope + self.leak,
        }
    }

    fn doubts(&self, _drop: f64) -> Vec<Doubt> {
        Vec::new()
    }

    fn stand(&self, drop: f64) -> Option<Stand> {
        Some(Stand::of_lift(drop > self.set))
    }
}
