//! Questions about pressures and flows.

use clap::{Args, Subcommand};

use super::named::{File, InState};
use crate::units::{Quantity, Speed, Temperature};

/// Questions about pressures and flows.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum Flowing {
    /// Compute pressures and flows, and what each outlet keeps of its oil
    #[command(after_help = "Examples:
  oilpath flows circuits/tractor-powershift.toml hop-cover:loose --state neutral
  oilpath flows circuits/tractor-powershift.toml --set hop.bore=1.4mm
  oilpath flows circuits/six-speed-bus.toml --speed 700rpm
  oilpath flows circuits/transfer-box.toml --oil-temperature 110°C

Exit status: 1 if an outlet does not get what it needs.")]
    Flows(Asking),
    /// Compute what every gauge and pressure switch should show, state by state
    #[command(after_help = "Examples:
  oilpath gauges circuits/six-speed-bus.toml
  oilpath gauges circuits/tractor-powershift.toml low-ring:cut --assume")]
    Gauges(Asking),
    /// Vary a size, the speed or the temperature: how loose is too loose
    #[command(after_help = "Examples:
  oilpath vary circuits/lessons/metered-feed.toml --of meter.bore --to 2mm --state saw
  oilpath vary circuits/transfer-box.toml --of speed --to 2000rpm --state low
  oilpath vary circuits/transfer-box.toml --of oil-temperature --to 140°C --state low

A size of a fault, such as hop-cover.gap, counts only with the fault: hop-cover:loose.")]
    Vary {
        #[command(flatten)]
        asking: Asking,
        /// What to vary: PART.SIZE, speed or oil-temperature
        #[arg(long, value_name = "WHAT")]
        of: String,
        /// The first value; else a fiftieth of the last, 300 rpm or 0 °C
        #[arg(long, value_name = "VALUE")]
        from: Option<String>,
        /// The last value
        #[arg(long, value_name = "VALUE")]
        to: String,
        /// At how many values, both ends included
        #[arg(long, value_name = "COUNT", default_value_t = 13,
              value_parser = clap::value_parser!(u16).range(2..=10_000))]
        points: u16,
        /// Plot it as SVG instead of telling it
        #[arg(long)]
        plot: bool,
    },
}

/// What is asked of pressures and flows.
#[derive(Debug, Args)]
pub(in crate::cli) struct Asking {
    #[command(flatten)]
    pub file: File,
    /// What is wrong, such as hop-cover:loose; none asks after the sound circuit
    #[arg(value_name = "FAULT")]
    pub faults: Vec<String>,
    #[command(flatten)]
    pub state: InState,
    #[command(flatten)]
    pub given: Given,
}

/// How the gearbox runs, and what may be taken as given.
#[derive(Debug, Args)]
pub(in crate::cli) struct Given {
    /// Speed the pumps turn at; else as the state or the pump says
    #[arg(long, value_name = "SPEED", value_parser = size::<Speed>)]
    pub speed: Option<Speed>,
    /// Temperature of the oil; else as the state says, else 80 °C
    #[arg(long, value_name = "TEMPERATURE", value_parser = size::<Temperature>)]
    pub oil_temperature: Option<Temperature>,
    #[command(flatten)]
    pub taken: Taken,
}

/// What may be taken as given beside the file.
#[derive(Debug, Args)]
pub(in crate::cli) struct Taken {
    /// Which oil of the file; else its first
    #[arg(long, value_name = "OIL")]
    pub oil: Option<String>,
    /// A size instead of that of the file, such as hop.bore="1.4 mm"; may be given several times
    #[arg(long = "set", value_name = "PART.SIZE=VALUE")]
    pub set: Vec<String>,
    /// Let usual sizes stand in for those the file does not give; every figure that rests on one is
    /// marked
    #[arg(long)]
    pub assume: bool,
}

pub(super) fn size<Q: Quantity>(text: &str) -> Result<Q, String> {
    text.parse::<Q>()
        .map_err(|e| format!("{e}; {}", e.remedy()))
}
