//! What a check costs.

use serde::Serialize;

use crate::circuit::{Access, Circuit, Condition, Fault, Kind, nearest};

/// What checks cost, against each other: driving one state is the unit. Assumptions, no source.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub struct Efforts {
    /// To drive one state.
    pub drive: f64,
    /// To hook up a gauge outside.
    pub outside: f64,
    /// To take the pan off, once.
    pub pan_off: f64,
    /// To take the gearbox to the bench, once.
    pub bench: f64,
    /// To strip and look at one part.
    pub look: f64,
    /// To blow air in at one place of a block on the bench.
    pub air: f64,
    /// To pull a vacuum, or blow wet air, on one valve's bore on the bench, land by land.
    pub vacuum: f64,
}

impl Default for Efforts {
    fn default() -> Self {
        Efforts {
            drive: 1.0,
            outside: 1.0,
            pan_off: 6.0,
            bench: 40.0,
            look: 5.0,
            air: 2.0,
            vacuum: 3.0,
        }
    }
}

/// Why a text gives no effort.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{what}")]
pub struct EffortError {
    /// What is wrong.
    pub what: String,
    /// What to write instead.
    pub remedy: String,
}

impl Efforts {
    const WORDS: [&'static str; 7] = [
        "drive", "outside", "pan-off", "bench", "look", "air", "vacuum",
    ];

    /// Takes `pan-off=3` and the like.
    ///
    /// # Errors
    /// It names no effort, or no number from 0 on.
    ///
    /// ```
    /// let mut efforts = oilpath::suspect::Efforts::default();
    /// efforts.give("pan-off=3").unwrap();
    /// assert_eq!(efforts.pan_off, 3.0);
    /// assert!(efforts.give("pan=3").unwrap_err().remedy.starts_with("did you mean `pan-off`?"));
    /// ```
    pub fn give(&mut self, text: &str) -> Result<(), EffortError> {
        let list = format!("efforts are {}", Self::WORDS.join(", "));
        let (word, number) = text.split_once('=').unwrap_or((text, ""));
        let word = word.trim();
        let place = match word {
            "drive" => &mut self.drive,
            "outside" => &mut self.outside,
            "pan-off" => &mut self.pan_off,
            "bench" => &mut self.bench,
            "look" => &mut self.look,
            "air" => &mut self.air,
            "vacuum" => &mut self.vacuum,
            _ => {
                let remedy = match nearest(word, Self::WORDS).first() {
                    Some(best) => format!("did you mean `{best}`? {list}"),
                    None => list,
                };
                let what = format!("`{word}` is no effort");
                return Err(EffortError { what, remedy });
            }
        };
        match number.trim().parse::<f64>() {
            Ok(number) if number.is_finite() && number >= 0.0 => {
                *place = number;
                Ok(())
            }
            _ => Err(EffortError {
                what: format!("`{text}` gives no effort"),
                remedy: format!("write `{word}=3`, any number from 0 on"),
            }),
        }
    }

    /// To reach a place, where another was reached already.
    pub(super) fn reach(&self, access: Access, opened: Access) -> f64 {
        if access <= opened {
            return 0.0;
        }
        match access {
            Access::Outside => 0.0,
            Access::PanOff => self.pan_off,
            Access::Bench => self.bench,
        }
    }
}

/// How hard a part is to look at, for one fault of it (common practice, no source).
pub(super) fn access(circuit: &Circuit, fault: &Fault) -> Access {
    match (fault.part.kind, &fault.condition) {
        (_, Condition::OilLow) => Access::Outside,
        (Kind::Tap, _) => circuit.taps[&fault.part.id].access,
        (Kind::Solenoid, Condition::NoCurrent | Condition::Swapped(_)) => Access::Outside,
        (Kind::Solenoid | Kind::Filter, _) => Access::PanOff,
        _ => Access::Bench,
    }
}
