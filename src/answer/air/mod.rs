//! The air check: where to blow, what to close, what must stroke, what must stay quiet, and what
//! a leak means.

mod bench;
mod body;
mod found;
mod lever;
mod look;
mod ready;
mod signs;

use serde::Serialize;

pub use bench::{AirBench, AirSetup, LEAST_AIR, MOST_AIR};
pub use found::{AirEscape, AirFound};
pub use ready::AirReady;
pub use signs::{AirMeaning, AirSign};

use super::{Depth, Likelihoods, each};
use crate::circuit::{Kind, PartName};
use crate::net::Net;

/// Every check by air that a block can be given.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Air {
    /// How deep the answer looks.
    pub depth: Depth,
    /// The least pressure of the air, Pa (`common practice, no source`).
    pub least_pa: f64,
    /// The highest pressure of the air, Pa (`common practice, no source`).
    pub most_pa: f64,
    /// The checks: castings tested alone first, then the whole block assembled.
    pub checks: Vec<AirCheck>,
    /// Places where air goes off at once wherever the lever stands, so that they test nothing.
    pub useless: Vec<AirCheck>,
    /// Clutches, brakes, servos and lock-ups that no check surely strokes.
    pub unstroked: Vec<PartName>,
}

/// One check by air.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct AirCheck {
    /// The castings tested alone; empty for the whole block assembled.
    pub castings: Vec<String>,
    /// Plates that have to be bolted on for it, in file order.
    pub on: Vec<String>,
    /// Plates that come off for it, in file order.
    pub off: Vec<String>,
    /// The cavity where air goes in.
    pub cavity: String,
    /// The hole it goes in by: a way in a face, a tap, or a pressure switch taken out; none where
    /// the file has no hole to that cavity.
    pub hole: Option<PartName>,
    /// Where the lever stands, where that makes a difference.
    pub lever: Option<String>,
    /// Holes in the face that have to be closed meanwhile.
    pub close: Vec<AirHole>,
    /// What a sound block does.
    pub sound: AirFound,
    /// What else it may show, and what that means, the likeliest first as far as is assumed.
    pub meanings: Vec<AirMeaning>,
}

/// A hole in a face.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct AirHole {
    /// The cavity that ends there.
    pub cavity: String,
    /// The way whose end it is.
    pub way: PartName,
}

/// Works out every check by air of a block, and what each single fault would show in it.
///
/// No pump works, no solenoid has current; valves rest on their springs until the air moves them.
/// What regulators spill stays shut, and so do balls and valves whose spring is stiffer than the
/// air. Each casting is tested alone with its faces open, and the whole block at its taps.
///
/// ```
/// use oilpath::{answer, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["feed"] }
///     case = { passages = ["apply"] }
///     [source]
///     pump = { feeds = "feed" }
///     [port]
///     drilling = { between = ["feed", "apply"] }
///     [outlet]
///     clutch = { kind = "clutch", at = "apply" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let sheet = answer::air(&net);
/// let case = sheet.checks.iter().find(|c| c.castings == ["case"]).unwrap();
/// assert_eq!((case.cavity.as_str(), case.sound.strokes[0].id.as_str()), ("apply", "clutch"));
/// let cracked = "apply:cracked".to_owned();
/// assert!(case.meanings.iter().any(|meaning| meaning.faults.contains(&cracked)));
/// ```
#[must_use]
pub fn air(net: &Net<'_>) -> Air {
    let circuit = net.circuit();
    let bench = AirBench::new(net);
    // The likeliest first.
    let (mut faults, likely) = (circuit.faults(), Likelihoods::default());
    faults.sort_by(|a, b| likely.of(b).total_cmp(&likely.of(a)));
    let mut answer = Air {
        depth: Depth::Settle,
        least_pa: LEAST_AIR.pa(),
        most_pa: MOST_AIR.pa(),
        checks: Vec::new(),
        useless: Vec::new(),
        unstroked: Vec::new(),
    };
    let useless = |check: &AirCheck| check.sound.tests_nothing();
    let told = each(bench.setups(), |setup| {
        let mut check = bench.told(setup, bench.blow(setup, &[]));
        if !useless(&check) {
            check.meanings = bench.meanings(setup, &faults);
        }
        check
    });
    (answer.useless, answer.checks) = told.into_iter().partition(useless);
    let stroked = |name: &PartName| answer.checks.iter().any(|c| c.sound.strokes.contains(name));
    let outlets = net.outlets().iter().filter(|o| o.by_pressure);
    let dead = outlets.map(|o| &o.name).filter(|name| !stroked(name));
    answer.unstroked = dead.cloned().collect();
    answer
}

impl AirBench<'_> {
    /// A check as it is told, given what a sound block does in it, without what faults would show.
    pub(crate) fn told(&self, setup: &AirSetup, sound: AirFound) -> AirCheck {
        let circuit = self.net.circuit();
        let at = self.cavity(setup);
        let in_order = |ids: &[String]| {
            let ids = circuit.plates.keys().filter(|id| ids.contains(id));
            ids.cloned().collect()
        };
        let body = setup.body.map(|body| &self.bodies.all[body]);
        let tap = || {
            let same = |text: &str| self.net.cavity(text) == Some(setup.at);
            let mut taps = circuit.taps.iter().filter(|(_, tap)| same(&tap.at));
            let mut switches = circuit.switches.iter().filter(|(_, s)| same(&s.at));
            let tap = taps.next().map(|(id, _)| PartName::new(Kind::Tap, id));
            tap.or_else(|| Some(PartName::new(Kind::Switch, switches.next()?.0)))
        };
        let hole = setup
            .holes
            .first()
            .map(|way| self.bodies.part(*way).clone());
        let lever = setup.lever.filter(|_| setup.hangs_on_lever);
        AirCheck {
            castings: self.castings(setup).to_vec(),
            on: body.map_or_else(Vec::new, |body| in_order(&body.on)),
            off: body.map_or_else(Vec::new, |body| in_order(&body.off)),
            cavity: at.to_owned(),
            hole: hole.or_else(|| setup.body.is_none().then(tap)?),
            lever: lever.map(|lever| circuit.lever[lever].clone()),
            close: setup
                .blocked
                .iter()
                .filter_map(|i| {
                    let hole = body?.openings[*i];
                    Some(AirHole {
                        cavity: self.net.name(hole.at).to_owned(),
                        way: self.bodies.part(hole.way).clone(),
                    })
                })
                .collect(),
            sound,
            meanings: Vec::new(),
        }
    }
}
