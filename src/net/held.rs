//! What a state sets from outside, and where the moving parts stand.

use super::Net;
use crate::circuit::{Kind, Level, State, Truth};

/// How a solenoid is driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drive {
    /// No current.
    Off,
    /// Current.
    On,
    /// In between.
    At(Level),
}

impl Drive {
    /// Whether it works as if it had current, when asked about pressures of at least `level`.
    ///
    /// A half-driven solenoid whose current raises pressure holds it up to its level; one whose
    /// current lowers pressure leaves what is left of full.
    #[must_use]
    pub fn works(self, level: Level, raises: bool) -> bool {
        match self {
            Drive::Off => false,
            Drive::On => true,
            Drive::At(at) if raises => at >= level,
            Drive::At(at) => at as u8 + level as u8 > Level::Full as u8,
        }
    }
}

/// What a state sets from outside the oil.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drives {
    /// How each solenoid is driven, in the order of the circuit's table.
    pub solenoids: Vec<Drive>,
    /// Which inputs hold, in the order of the circuit's table.
    pub inputs: Vec<bool>,
    /// The detent of the lever, by its place in the circuit's list.
    pub lever: Option<usize>,
    /// Valves held by hand, with their position, in the order of the circuit's table.
    pub by_hand: Vec<Option<u32>>,
    /// Where the lever and the inputs put valves that go by nothing else, in the order of the
    /// circuit's table.
    pub put: Vec<Option<u32>>,
    /// Regulators the state should boost, in the order of the circuit's table.
    pub boosts: Vec<bool>,
}

impl Drives {
    /// What a state sets.
    #[must_use]
    pub fn of(net: &Net<'_>, state: &State) -> Self {
        let circuit = net.circuit();
        let switched = &[Kind::Solenoid, Kind::Input];
        let mut drives = Drives {
            solenoids: vec![Drive::Off; circuit.solenoids.len()],
            inputs: vec![false; circuit.inputs.len()],
            lever: state
                .lever
                .as_ref()
                .and_then(|at| circuit.lever.iter().position(|detent| detent == at)),
            by_hand: vec![None; circuit.valves.len()],
            put: Vec::new(),
            boosts: vec![false; circuit.regulators.len()],
        };
        for text in &state.on {
            match circuit.find(text, switched) {
                Ok(name) if name.kind == Kind::Solenoid => {
                    if let Some(at) = circuit.solenoids.get_index_of(&name.id) {
                        drives.solenoids[at] = Drive::On;
                    }
                }
                Ok(name) => {
                    if let Some(at) = circuit.inputs.get_index_of(&name.id) {
                        drives.inputs[at] = true;
                    }
                }
                Err(_) => {}
            }
        }
        for (text, level) in &state.levels {
            if let Ok(name) = circuit.find(text, &[Kind::Solenoid])
                && let Some(at) = circuit.solenoids.get_index_of(&name.id)
            {
                drives.solenoids[at] = match level {
                    Level::Off => Drive::Off,
                    Level::Full => Drive::On,
                    level => Drive::At(*level),
                };
            }
        }
        for (text, position) in &state.valves {
            if let Ok(name) = circuit.find(text, &[Kind::Valve])
                && let Some((at, _, valve)) = circuit.valves.get_full(&name.id)
            {
                let position = valve.positions.get_index_of(position);
                drives.by_hand[at] = position.map(|p| p as u32);
            }
        }
        for text in &state.boosts {
            if let Ok(name) = circuit.find(text, &[Kind::Regulator])
                && let Some(at) = circuit.regulators.get_index_of(&name.id)
            {
                drives.boosts[at] = true;
            }
        }
        let put = net.valves().iter().map(|valve| valve.put_by(&drives));
        drives.put = put.collect();
        drives
    }
}

/// Where every moving part stands, as far as is known, and how solenoids are driven.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Held {
    /// Position of each valve, in the order of the circuit's table.
    pub valves: Vec<Option<u32>>,
    /// The open inlet of each shuttle ball, in the order of the net; none where it is not known:
    /// then both feed the outlet and neither drains it.
    pub shuttles: Vec<Option<u8>>,
    /// Which regulators are boosted, in the order of the circuit's table.
    pub boosted: Vec<bool>,
}

impl Held {
    /// Nothing known.
    #[must_use]
    pub fn unknown(net: &Net<'_>) -> Self {
        Held {
            valves: vec![None; net.circuit().valves.len()],
            shuttles: vec![None; net.shuttles().len()],
            boosted: vec![true; net.circuit().regulators.len()],
        }
    }
}

impl Drives {
    /// Whether a solenoid has current, for a rule that names it.
    #[must_use]
    pub fn has_current(&self, solenoid: usize) -> Truth {
        self.solenoids[solenoid].works(Level::Low, true).into()
    }
}
