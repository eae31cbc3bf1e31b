//! What was asked for, understood in a circuit's own terms.

use super::args::InState;
use super::failure::{Failure, Mistake};
use crate::answer::TraceError;
use crate::circuit::{Circuit, Fault, FaultError, FindError, Kind, PartName};

/// Parts that something lies before and beyond.
pub(super) const MIDDLES: &[Kind] = &[
    Kind::Source,
    Kind::Passage,
    Kind::Plate,
    Kind::Port,
    Kind::Orifice,
    Kind::Clearance,
    Kind::Ball,
    Kind::Valve,
    Kind::Regulator,
    Kind::Relief,
    Kind::Solenoid,
    Kind::Filter,
    Kind::Converter,
    Kind::Cooler,
    Kind::Accumulator,
    Kind::Outlet,
    Kind::Tap,
    Kind::Switch,
];

/// What was asked for in a circuit's own terms, and everything in it that makes no sense.
pub(super) struct Asked<'c> {
    pub circuit: &'c Circuit,
    mistakes: Vec<Mistake>,
}

impl<'c> Asked<'c> {
    pub fn of(circuit: &'c Circuit) -> Self {
        Asked {
            circuit,
            mistakes: Vec::new(),
        }
    }

    pub fn mistake(&mut self, what: String, remedy: &str) {
        let remedy = remedy.to_owned();
        self.mistakes.push(Mistake { what, remedy });
    }

    pub fn part(&mut self, text: &str, kinds: &[Kind]) -> Option<PartName> {
        let found = self.circuit.find(text, kinds);
        found.map_err(|e| self.mistakes.push(no_part(e))).ok()
    }

    pub fn state(&mut self, state: &InState) -> Option<String> {
        self.state_id(state.state.as_deref()?)
    }

    /// The id of a state.
    pub fn state_id(&mut self, text: &str) -> Option<String> {
        let found = self.circuit.find(text, &[Kind::State]).map_err(|error| {
            let states: Vec<&str> = self.circuit.ids(Kind::State).collect();
            let remedy = match (&error, &states[..]) {
                (_, []) => "this circuit declares no states: name none".to_owned(),
                (FindError::Unknown { near, .. }, states) if near.is_empty() => {
                    format!("the states are {}", states.join(", "))
                }
                (error, states) => {
                    format!("{} The states are {}", error.remedy(), states.join(", "))
                }
            };
            self.mistakes.push(Mistake {
                what: error.to_string(),
                remedy,
            });
        });
        found.ok().map(|name| name.id)
    }

    pub fn faults(&mut self, texts: &[String]) -> Vec<Fault> {
        let mut faults = Vec::new();
        for text in texts {
            match self.circuit.fault(text) {
                Ok(fault) if faults.contains(&fault) => {}
                Ok(fault) => faults.push(fault),
                Err(FaultError::Part(error)) => self.mistakes.push(no_part(error)),
                Err(error) => self.mistakes.push(Mistake {
                    what: error.to_string(),
                    remedy: error.remedy(),
                }),
            }
        }
        faults
    }

    /// What was found, unless anything made no sense.
    pub fn understood<T>(self, found: Option<T>) -> Result<T, Failure> {
        match found {
            Some(found) if self.mistakes.is_empty() => Ok(found),
            _ => Err(Failure::Mistaken(self.mistakes)),
        }
    }
}

pub(super) fn no_cavity(error: TraceError) -> Failure {
    Failure::one(error.to_string(), "name an outlet, a tap or a passage")
}

fn no_part(error: FindError) -> Mistake {
    let [what, remedy] = error.brief();
    let remedy = match &error {
        FindError::WrongKind { id, is, .. } if MIDDLES.contains(is) => format!(
            "`oilpath before FILE {id}` lists what leads to it, `oilpath beyond FILE {id}` what \
             hangs on it"
        ),
        _ => remedy,
    };
    Mistake { what, remedy }
}
