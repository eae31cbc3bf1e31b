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
  oilpath flows circuits/tractor-powershift.toml --state neutral --bands

Exit status: 1 if an outlet does not get what it needs.")]
    Flows {
        #[command(flatten)]
        asking: Asking,
        #[command(flatten)]
        banding: Banding,
    },
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
        #[command(flatten)]
        along: Along,
        #[command(flatten)]
        banding: Banding,
        /// Plot it as SVG instead of telling it
        #[arg(long)]
        plot: bool,
    },
    /// Vary two at once, as from hot idle to cold fast: a map of what falls short
    #[command(after_help = "Examples:
  oilpath grid circuits/transfer-box.toml --state low --of speed --and oil-temperature
  oilpath grid circuits/tractor-powershift.toml --state neutral --of hop.bore --to 2mm --and speed

The boundary of each outlet is found to a thousandth of each range; --plot draws it.")]
    Grid {
        #[command(flatten)]
        asking: Asking,
        #[command(flatten)]
        along: Along,
        #[command(flatten)]
        up: Up,
        #[command(flatten)]
        banding: Banding,
        /// Plot it as SVG instead of telling it
        #[arg(long)]
        plot: bool,
    },
}

/// Whether sizes are taken with their tolerances.
#[derive(Debug, Args)]
pub(in crate::cli) struct Banding {
    /// Take every size with the tolerance that the file gives it: each figure is then a range
    #[arg(long)]
    pub bands: bool,
    /// How often sizes are drawn for figures that are not shown to go one way [default: 200]
    #[arg(long, value_name = "COUNT", requires = "bands",
          value_parser = clap::value_parser!(u16).range(1..=10_000))]
    pub draws: Option<u16>,
    /// What they are drawn with: the same seed draws the same sizes [default: 1]
    #[arg(long, value_name = "NUMBER", requires = "bands")]
    pub seed: Option<u64>,
}

/// What is varied, and between which values.
#[derive(Debug, Args)]
pub(in crate::cli) struct Along {
    /// What to vary: PART.SIZE, speed or oil-temperature
    #[arg(long, value_name = "WHAT")]
    pub of: String,
    /// The first value; else a fiftieth of the last, 300 rpm or 0 °C
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    pub from: Option<String>,
    /// The last value; of a speed else 3000 rpm, of a temperature 120 °C
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    pub to: Option<String>,
    /// At how many values, both ends included
    #[arg(long, value_name = "COUNT", default_value_t = 13,
          value_parser = clap::value_parser!(u16).range(2..=10_000))]
    pub points: u16,
}

/// What is varied besides, up the map.
#[derive(Debug, Args)]
pub(in crate::cli) struct Up {
    /// What else to vary, up the map: PART.SIZE, speed or oil-temperature
    #[arg(long, value_name = "WHAT")]
    pub and: String,
    /// Its first value; else as for --from
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    pub and_from: Option<String>,
    /// Its last value; else as for --to
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    pub and_to: Option<String>,
    /// At how many values, both ends included
    #[arg(long, value_name = "COUNT", default_value_t = 9,
          value_parser = clap::value_parser!(u16).range(2..=1000))]
    pub and_points: u16,
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
