//! Leak signatures, as they are asked for and told: the pattern in which each fault shows, hot only,
//! cold only, at idle only.

use serde::Serialize;

use super::pattern::{Corner, Pattern, When};
use super::{FlowsQuestion, SizeUsed};
use crate::answer::{Answer, Depth};
use crate::circuit::PartName;
use crate::units::{Speed, Temperature};

/// At which corners faults are looked at, and how far gone.
#[derive(Clone, Debug)]
pub struct SignatureQuestion {
    /// Cold and hot oil.
    pub oil: [Temperature; 2],
    /// The pump with the engine idling and fast.
    pub speed: [Speed; 2],
    /// How far the faults have gone, in times what the file says or is usual.
    pub extents: Vec<f64>,
    /// An outlet whose need is not known, or not met when sound, falls short where it keeps less
    /// than this of its oil.
    pub keeps: f64,
    /// What may be taken as given; its own speed and temperature do not count.
    pub flows: FlowsQuestion,
}

impl Default for SignatureQuestion {
    /// A cold morning and a long hill, idling and fast (`common practice, no source`).
    fn default() -> Self {
        const RPM: f64 = std::f64::consts::PI / 30.0;
        SignatureQuestion {
            oil: [20.0, 110.0].map(|celsius| Temperature::from_kelvin(273.15 + celsius)),
            speed: [700.0, 2500.0].map(|rpm| Speed::from_rad_per_s(rpm * RPM)),
            extents: vec![0.5, 1.0, 2.0],
            keeps: 0.5,
            flows: FlowsQuestion::default(),
        }
    }
}

/// The patterns in which some faults show.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Signatures {
    /// How deep the answer looks.
    pub depth: Depth,
    /// The oil, by its id in the file; none where a generic one stands in.
    pub oil: Option<String>,
    /// The corners, each with how the gearbox runs there.
    pub corners: Vec<CornerRuns>,
    /// How far the faults have gone, in times what the file says or is usual.
    pub extents: Vec<f64>,
    /// What an outlet must keep of its oil where its need is not known, or not met when sound.
    pub keeps: f64,
    /// Sizes that were set instead of those of the file.
    pub set: Vec<SizeUsed>,
    /// Sizes that are not known, how far faults have gone above all, and what stands in for each.
    pub assumed: Vec<SizeUsed>,
    /// The states asked about; empty for a circuit that declares none.
    pub states: Vec<String>,
    /// Outlets that fall short when sound.
    pub sound: Vec<SoundShort>,
    /// How many faults were looked at.
    pub tried: usize,
    /// Where only what someone would say this of is kept: what was seen.
    pub seen: Option<When>,
    /// Each fault, in the order asked.
    pub faults: Vec<FaultSignature>,
}

/// How the gearbox runs at a corner.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CornerRuns {
    /// The corner.
    pub corner: Corner,
    /// Speed the pumps turn at, in rad/s.
    pub speed_rad_per_s: f64,
    /// Temperature of the oil, in K.
    pub oil_temperature_k: f64,
}

/// An outlet that falls short in the sound circuit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SoundShort {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// The outlet.
    pub outlet: PartName,
    /// At which corners.
    pub pattern: Pattern,
}

/// In what pattern a fault shows.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct FaultSignature {
    /// The fault, as a reader would type it.
    pub fault: String,
    /// Whether it can have gone more or less far. If not, one extent stands for all.
    pub has_extent: bool,
    /// Each state in which some outlet falls short, or may.
    pub states: Vec<StateSignature>,
}

/// In what pattern a fault shows in one state.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct StateSignature {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// Each outlet that should have oil and falls short, or may; the others never do.
    pub outlets: Vec<OutletSignature>,
}

/// In what pattern an outlet falls short.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct OutletSignature {
    /// The outlet.
    pub outlet: PartName,
    /// Its pattern for each extent of the fault, the least first.
    pub patterns: Vec<ExtentPattern>,
}

/// A pattern, and how far gone the fault is that shows it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ExtentPattern {
    /// In times what the file says or is usual.
    pub extent: f64,
    /// The pattern.
    pub pattern: Pattern,
}

impl Answer for Signatures {
    const NAME: &'static str = "signatures";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

impl OutletSignature {
    /// Whether the fault, however far gone, may show when this was seen.
    #[must_use]
    pub fn fits(&self, seen: When) -> bool {
        self.patterns.iter().any(|p| p.pattern.fits(seen))
    }
}

impl Signatures {
    /// Keeps what someone would say this of, and no other fault.
    pub fn keep(&mut self, seen: When) {
        self.seen = Some(seen);
        for fault in &mut self.faults {
            for state in &mut fault.states {
                state.outlets.retain(|outlet| outlet.fits(seen));
            }
            fault.states.retain(|state| !state.outlets.is_empty());
        }
        self.faults.retain(|fault| !fault.states.is_empty());
    }

    /// What a fault does to an outlet in a state; none where that never falls short. The fault is
    /// given as the answer says it.
    #[must_use]
    pub fn of(&self, fault: &str, state: &str, outlet: &PartName) -> Option<&OutletSignature> {
        let fault = self.faults.iter().find(|f| f.fault == fault)?;
        let mut states = fault.states.iter();
        let state = states.find(|s| s.state.as_deref().unwrap_or_default() == state)?;
        state.outlets.iter().find(|o| o.outlet == *outlet)
    }
}
