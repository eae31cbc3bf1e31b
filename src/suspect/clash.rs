//! Things seen that cannot be: two that exclude each other, one that a sound circuit excludes.

use serde::Serialize;

use super::fit::{Aim, Mark};
use super::ground::Ground;
use crate::answer::{AirReady, Status};
use crate::circuit::{Fares, Sighting, Symptom};

/// Something seen that cannot be, by its number among what was seen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Clash {
    /// Which.
    pub seen: usize,
    /// Why not.
    pub why: ClashWhy,
}

/// Why something seen cannot be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum ClashWhy {
    /// It excludes another thing that was seen.
    Excludes {
        /// Which.
        other: usize,
    },
    /// The state applies nothing when sound: nothing can be missing there.
    NothingApplied,
    /// The state applies something when sound: what is on beside it binds.
    SomethingApplied,
    /// The outlet has no oil there when sound: it cannot lack any.
    NoOilThere,
    /// The outlet has its oil there when sound: it is on as it should be.
    OilThere,
    /// The gauge shows nothing there when sound: it cannot show less.
    NothingShown,
    /// The state is the same.
    SameState,
    /// No fault that was tried does this.
    NoFault,
}

/// Two pressures that one gauge shows differ from so much on, in part and in Pa.
const DIFFERS: (f64, f64) = (0.1, 0.3e5);

/// Everything seen that cannot be, whatever the fault.
pub(super) fn clashes(ground: &Ground, saw: &[Sighting], marks: &[Mark]) -> Vec<Clash> {
    let mut found = Vec::new();
    for (seen, (sighting, mark)) in saw.iter().zip(marks).enumerate() {
        if let Some(why) = against_sound(ground, mark) {
            found.push(Clash { seen, why });
        }
        let before = saw[..seen].iter().zip(marks).enumerate();
        for (other, (earlier, before)) in before {
            let together = mark.state == before.state && sighting.only == earlier.only;
            if together && exclude(ground, mark, before) {
                let why = ClashWhy::Excludes { other };
                found.push(Clash { seen, why });
            }
        }
    }
    found
}

fn against_sound(ground: &Ground, mark: &Mark) -> Option<ClashWhy> {
    let state = mark.state?;
    let own = &ground.states[state];
    let mut felt = ground.outlets.iter().zip(&own.has);
    let drives = felt.any(|(outlet, has)| outlet.by_pressure && *has != Status::Off);
    match &mark.seen {
        Aim::Drives(Symptom::None | Symptom::Flare | Symptom::Slips) if !drives => {
            Some(ClashWhy::NothingApplied)
        }
        Aim::Drives(Symptom::Bind) if !drives => Some(ClashWhy::NothingApplied),
        Aim::Drives(Symptom::Creeps) if ground.applied(state).next().is_some() => {
            Some(ClashWhy::SomethingApplied)
        }
        Aim::WorksAs(applied) if ground.applied(state).eq(applied.iter().copied()) => {
            Some(ClashWhy::SameState)
        }
        Aim::Fares(place, Fares::Starved | Fares::Weak) if own.has[*place] == Status::Off => {
            Some(ClashWhy::NoOilThere)
        }
        Aim::Fares(place, Fares::On) if own.has[*place] == Status::On => Some(ClashWhy::OilThere),
        Aim::Shows(gauge, crate::circuit::Shows::Low) if own.gauges[*gauge].empty => {
            Some(ClashWhy::NothingShown)
        }
        _ => None,
    }
}

/// Whether two things cannot both be seen in one state.
fn exclude(ground: &Ground, a: &Mark, b: &Mark) -> bool {
    exclude_so(ground, a, b) || exclude_so(ground, b, a)
}

fn exclude_so(ground: &Ground, a: &Mark, b: &Mark) -> bool {
    match (&a.seen, &b.seen) {
        (Aim::Drives(Symptom::Fine), Aim::Drives(other)) => *other != Symptom::Fine,
        (Aim::Drives(Symptom::Fine), Aim::WorksAs(_)) => true,
        (Aim::Drives(Symptom::Fine), Aim::Fares(place, fares)) => {
            ground.outlets[*place].by_pressure && *fares != Fares::Fine
        }
        (Aim::Drives(Symptom::None), Aim::Drives(other)) => {
            !matches!(other, Symptom::None | Symptom::Flare)
        }
        (Aim::Drives(Symptom::None), Aim::WorksAs(_)) => true,
        (Aim::Drives(Symptom::None), Aim::Fares(place, Fares::Fine)) => a
            .state
            .is_some_and(|state| ground.applied(state).any(|on| on == *place)),
        (Aim::WorksAs(one), Aim::WorksAs(other)) => one != other,
        (Aim::Fares(one, seen), Aim::Fares(other, also)) => one == other && seen != also,
        (Aim::Shows(one, seen), Aim::Shows(other, also)) => one == other && seen != also,
        (Aim::Shows(one, seen), Aim::Reads(other, _, Some(word))) => one == other && seen != word,
        (Aim::Reads(one, seen, _), Aim::Reads(other, also, _)) => {
            let least = seen.abs().max(also.abs()) * DIFFERS.0 + DIFFERS.1;
            one == other && (seen - also).abs() > least
        }
        (Aim::Switch(one, closed), Aim::Switch(other, also)) => one == other && closed != also,
        (Aim::Blown(one, test), Aim::Blown(other, also)) => {
            let setups =
                |checks: &[AirReady]| checks.iter().map(|c| c.setup.clone()).collect::<Vec<_>>();
            setups(one) == setups(other) && test != also
        }
        (Aim::Pulled(one, test), Aim::Pulled(other, also)) => one == other && test != also,
        _ => false,
    }
}
