//! Hot only, cold only, at idle only, at speed only: when something shows, held against the leak
//! signatures of the faults.

use std::collections::HashMap;

use super::fit::{Aim, Mark};
use super::ground::Ground;
use crate::answer::{
    FlowsQuestion, OutletSignature, Pattern, SignatureQuestion, Signatures, When, signatures,
};
use crate::circuit::{Fares, Fault, Only, PartName, Sighting, Symptom};
use crate::net::Net;

/// What the signatures of faults say of things seen that show at times alone.
pub(super) struct Whens {
    /// Of each thing seen, when it shows and which outlets it can be about; none where it always
    /// shows, and where signatures say nothing of it.
    asked: Vec<Option<Asked>>,
    found: Option<Signatures>,
    places: HashMap<Fault, usize>,
}

struct Asked {
    when: When,
    state: Option<String>,
    outlets: Vec<PartName>,
}

/// How likely it is that something shows when it was seen and at no other time, by the share of the
/// extents of its faults whose pattern fits (assumption, no source): no file knows how far a fault
/// has gone, so that none is ruled out by it.
const FITS: f64 = 0.9;
const MISFITS: f64 = 0.04;
/// What cannot be said of some corner may be so.
const UNSURE: f64 = 0.3;

impl Whens {
    /// Computes the signatures of some faults in the states in which something was seen at times
    /// alone; where the file lacks sizes, none narrows.
    pub fn of(
        net: &Net<'_>,
        ground: &Ground,
        (saw, marks): (&[Sighting], &[Mark]),
        faults: &[Fault],
        flows: Option<&FlowsQuestion>,
    ) -> Self {
        let asked = saw.iter().zip(marks);
        let asked = asked.map(|(sighting, mark)| Asked::of(ground, sighting, mark));
        let mut asked: Vec<Option<Asked>> = asked.collect();
        let states = asked
            .iter()
            .flatten()
            .filter_map(|asked| asked.state.clone());
        let mut states: Vec<String> = states.collect();
        states.sort();
        states.dedup();
        let wanted = flows.filter(|_| asked.iter().any(Option::is_some));
        let found = wanted.and_then(|flows| {
            let question = SignatureQuestion {
                flows: flows.clone(),
                ..SignatureQuestion::default()
            };
            signatures(net, faults, &states, &question).ok()
        });
        if found.is_none() {
            asked.iter_mut().for_each(|asked| *asked = None);
        }
        Whens {
            asked,
            found,
            places: faults.iter().cloned().zip(0..).collect(),
        }
    }

    /// When something seen shows, where that narrows the suspects.
    pub fn when(&self, seen: usize) -> Option<When> {
        Some(self.asked[seen].as_ref()?.when)
    }

    /// How likely it is that something that some faults do shows when it was seen, and at no other
    /// time; and whether they surely do, however far gone. None where that narrows nothing.
    pub fn chance(&self, seen: usize, faults: &[Fault]) -> Option<(f64, bool)> {
        let asked = self.asked[seen].as_ref()?;
        let told: Vec<&OutletSignature> = self.told(seen, faults).collect();
        let extents = told.iter().map(|o| o.patterns.len()).max().unwrap_or(1);
        let (mut fit, mut shows) = (0.0, false);
        for extent in 0..extents {
            let all = told.iter().map(|outlet| {
                let own = extent.min(outlet.patterns.len() - 1);
                outlet.patterns[own].pattern
            });
            // What someone feels falls short where any of them does.
            let pattern = all.fold(Pattern::Never, together);
            fit += match pattern {
                Pattern::Unsure => UNSURE,
                pattern if pattern.fits(asked.when) => {
                    shows = true;
                    FITS
                }
                _ => MISFITS,
            };
        }
        Some((fit / extents as f64, shows))
    }

    /// In what patterns the outlets that something seen can be about fall short with some faults.
    pub fn told<'w>(
        &'w self,
        seen: usize,
        faults: &'w [Fault],
    ) -> impl Iterator<Item = &'w OutletSignature> {
        let asked = self.asked[seen].as_ref();
        let own = faults.iter().filter_map(|fault| {
            let place = self.places.get(fault)?;
            Some(&self.found.as_ref()?.faults[*place])
        });
        let states = own.flat_map(|fault| &fault.states);
        let here = states.filter(move |s| asked.is_some_and(|asked| asked.state == s.state));
        let outlets = here.flat_map(|state| &state.outlets);
        outlets.filter(move |o| asked.is_some_and(|asked| asked.outlets.contains(&o.outlet)))
    }
}

impl Asked {
    fn of(ground: &Ground, sighting: &Sighting, mark: &Mark) -> Option<Self> {
        let when = match sighting.only? {
            Only::Hot => When::Hot,
            Only::Cold => When::Cold,
            Only::Idle => When::Idle,
            Only::Speed => When::Fast,
            Only::Standing => return None,
        };
        // Signatures tell of what falls short, and of nothing else.
        let outlets = match &mark.seen {
            Aim::Drives(Symptom::None | Symptom::Flare | Symptom::Slips | Symptom::Late) => {
                ground.applied(mark.state?).collect()
            }
            Aim::Fares(outlet, Fares::Starved | Fares::Weak | Fares::Late) => vec![*outlet],
            _ => return None,
        };
        let name = |place: usize| ground.outlets[place].name.clone();
        Some(Asked {
            when,
            state: sighting.state.clone(),
            outlets: outlets.into_iter().map(name).collect(),
        })
    }
}

/// The corners at which one of two fails.
fn together(a: Pattern, b: Pattern) -> Pattern {
    match (a.corners(), b.corners()) {
        (Some(a), Some(b)) => {
            let mut fails = [None; 4];
            for (i, fails) in fails.iter_mut().enumerate() {
                *fails = Some(a[i] || b[i]);
            }
            Pattern::of(fails)
        }
        _ => Pattern::Unsure,
    }
}
