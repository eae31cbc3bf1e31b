//! Pressures and flows: the oil and the laws by which it passes each part.
//!
//! [`Oil`] says how thick and how heavy the oil is at a temperature; a [`Fluid`] is the oil at one.
//! Each part oil can pass has a [`law`]: pressure drop in, flow out, and how steeply the flow
//! grows. Sizes and oil go in as [`units`](crate::units), and are checked there; what is evaluated
//! over and over is plain f64 in SI units. A [`Network`] of laws has one set of pressures at which
//! it balances.
//!
//! Pressures are gauge, in pascals; flows in m³/s. The *drop* of a way is the pressure it comes
//! from less the pressure it goes to, and its flow is positive from the one to the other.
//!
//! ```
//! use oilpath::flow::{Oil, law::{Hole, Law, Orifice}};
//! use oilpath::units::{Flow, Length, Pressure, Temperature};
//!
//! let oil = Oil::generic();
//! let hop = Hole::drilled("1.2 mm".parse()?, "1.5 mm".parse()?);
//! let flow = |temperature: &str| -> Result<Flow, Box<dyn std::error::Error>> {
//!     let fluid = oil.at(temperature.parse()?)?;
//!     let drop: Pressure = "5 bar".parse()?;
//!     Ok(Flow::from_m3_per_s(Orifice::new(hop, fluid)?.rate(drop.pa()).flow))
//! };
//! assert_eq!(flow("80 °C")?.to_string(), "1.773 L/min");
//! assert_eq!(flow("-20 °C")?.to_string(), "0.6336 L/min");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod balance;
mod block;
mod doubt;
pub mod fill;
mod flows;
mod known;
pub mod law;
mod lists;
mod network;
mod newton;
mod oil;
mod size;
mod sizes;
pub mod sparse;
mod trapped;
pub mod walther;

pub use block::{
    Block, BlockError, Filling, Measured, Running, Standing, Stream, Stroke, Strokes, Unsized,
};
pub use doubt::Doubt;
pub use flows::Flows;
pub(crate) use known::Known;
pub use network::{Network, Node, Way};
pub use oil::{Fluid, Oil, OilError};
pub use size::SizeError;
pub use sizes::{Measure, SizeOf, Sizes};
pub use trapped::Trapped;
