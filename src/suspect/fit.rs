//! How well what some faults are expected to show fits what was seen.

use super::bench::{Bench, Bore};
use super::ground::Ground;
use super::measured::{Measured, called};
use super::outlook::{CANNOT_BE, FORETOLD, Outlook};
use super::suspects::Unweighed;
use crate::answer::{AirReady, Range};
use crate::circuit::{AirTest, BoreTest, Fares, Fault, Only, Seen, Shows, Sighting, Symptom};

/// What faults are expected to show in one state, at each depth that was asked.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Expected {
    pub settled: Outlook,
    pub measured: Option<Measured>,
}

/// How likely something seen is by each depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Fit {
    pub settled: f64,
    pub flow: f64,
}

/// Of some faults mostly one depth is right of everything seen; so far is the other followed nevertheless
/// (assumption, no source). With a half, whatever one depth alone foretells would count half as much with
/// each thing more that is seen, and two faults of which nothing is measured more than one.
const OTHER: f64 = 0.1;

impl Fit {
    /// Where both depths say the same, or there is but one.
    pub fn alike(chance: f64) -> Self {
        Fit {
            settled: chance,
            flow: chance,
        }
    }

    /// Where nothing is known of which depth is right: what either expects is not ruled out.
    pub fn mean(self) -> f64 {
        (self.settled + self.flow) / 2.0
    }

    /// How likely it is where settling, not flow, is so likely to be right.
    pub fn expected(self, settles: f64) -> f64 {
        let [settled, flow] = self.by_depth();
        flow + settles * (settled - flow)
    }

    /// How likely it is where settling is right, and where flow is.
    pub fn by_depth(self) -> [f64; 2] {
        let mix = |own: f64, other: f64| own + OTHER * (other - own);
        [mix(self.settled, self.flow), mix(self.flow, self.settled)]
    }
}

/// One sighting, ready to be held against what is expected.
pub(super) struct Mark {
    /// The state, by number; none where it says nothing of a state.
    pub state: Option<usize>,
    pub seen: Aim,
    pub sure: f64,
}

/// What a sighting is about.
pub(super) enum Aim {
    Drives(Symptom),
    WorksAs(Vec<usize>),
    Fares(usize, Fares),
    Shows(usize, Shows),
    /// A reading in Pa, and what it is called where the sound figure is known.
    Reads(usize, f64, Option<Shows>),
    Switch(usize, bool),
    /// What air did; of several checks it could have been, one as likely as another.
    Blown(Vec<AirReady>, AirTest),
    /// What a bore did.
    Pulled(Bore, BoreTest),
    /// Nothing that is weighed, and why.
    Nothing(Unweighed),
}

/// Below this a gauge shows nothing, in Pa (assumption, no source).
const NOTHING: f64 = 0.15e5;

/// What a level, as settling has it, counts for against a reading where flow says how high it is
/// (assumption, no source).
const BY_LEVEL: f64 = 0.1;

/// How likely what is seen is where a sighting says nothing after all.
const ANYTHING: f64 = 0.3;

impl Mark {
    /// Makes a sighting ready; `sound` gives the pressure of a gauge in a state when sound.
    pub fn of(
        sighting: &Sighting,
        ground: &Ground,
        bench: &Bench<'_>,
        applied: &dyn Fn(&str) -> Vec<usize>,
        sound: &dyn Fn(usize, usize) -> Option<Range>,
    ) -> Self {
        let state = ground.state(sighting.state.as_deref());
        let gauge = |name| ground.gauge(name);
        let no_land = Aim::Nothing(Unweighed::NoLand);
        let seen = match &sighting.seen {
            _ if sighting.only == Some(Only::Standing) => {
                Some(Aim::Nothing(Unweighed::AfterStanding))
            }
            Seen::Drives(symptom) => Some(Aim::Drives(*symptom)),
            Seen::WorksAs(state) => Some(Aim::WorksAs(applied(state))),
            Seen::Outlet(name, fares) => ground.outlet(name).map(|o| Aim::Fares(o, *fares)),
            Seen::Shows(name, shows) => gauge(name).map(|g| Aim::Shows(g, *shows)),
            Seen::Reads(name, pressure) => gauge(name).map(|g| {
                let sound = state.and_then(|state| sound(state, g));
                let word = sound.map(|sound| called(pressure.pa(), sound));
                Aim::Reads(g, pressure.pa(), word)
            }),
            Seen::Switch(name, closed) => gauge(name).map(|g| Aim::Switch(g, *closed)),
            Seen::Air(part, test) => Some(match bench.meant(part) {
                none if none.is_empty() => Aim::Nothing(Unweighed::AirTellsNothing),
                checks => Aim::Blown(checks, *test),
            }),
            Seen::Vacuum(valve, test) => {
                let bore = bench.bores().iter().find(|bore| bore.valve == *valve);
                Some(bore.map_or(no_land, |bore| Aim::Pulled(bore.clone(), *test)))
            }
        };
        let on_bench = sighting.seen.on_bench().is_some();
        let state = state.filter(|_| !on_bench);
        let seen = seen.filter(|_| state.is_some() || on_bench);
        Mark {
            state,
            seen: seen.unwrap_or(Aim::Nothing(Unweighed::NotThere)),
            sure: sighting.sure,
        }
    }

    /// How likely what was seen on the bench is with some faults; none where it was seen elsewhere.
    pub fn on_bench(&self, bench: &Bench<'_>, faults: &[Fault]) -> Option<f64> {
        match &self.seen {
            Aim::Blown(checks, test) => {
                let each = checks.iter().map(|ready| bench.blow(ready, faults));
                let sum: f64 = each.map(|chances| chances[*test as usize]).sum();
                Some(sum / checks.len().max(1) as f64)
            }
            Aim::Pulled(bore, test) => Some(bench.pull(bore, faults)[*test as usize]),
            _ => None,
        }
    }

    /// Whether it is weighed at all.
    pub fn counts(&self) -> bool {
        self.unweighed().is_none()
    }

    /// Why it is not weighed, where it is not.
    pub fn unweighed(&self) -> Option<Unweighed> {
        match self.seen {
            Aim::Nothing(why) => Some(why),
            _ => None,
        }
    }

    /// How likely what was seen is where this is expected in its state, by each depth. A reading is
    /// weighed by flow, where that has a figure for it.
    pub fn fit(&self, ground: &Ground, expected: &Expected) -> Fit {
        let settled = self.chance(ground, &expected.settled, None);
        let Some(measured) = &expected.measured else {
            return Fit::alike(settled);
        };
        let flow = self.chance(ground, &measured.outlook, Some(measured));
        match self.seen {
            // How high a pressure is flow alone says; what settling expects is not ruled out.
            Aim::Reads(gauge, ..) if measured.pressures[gauge].iter().all(Option::is_some) => {
                Fit::alike(flow.max(settled * BY_LEVEL))
            }
            _ => Fit { settled, flow },
        }
    }

    /// Whether one depth alone foretells it.
    pub fn foretold(&self, ground: &Ground, expected: &Expected) -> bool {
        let settled = self.chance(ground, &expected.settled, None) >= FORETOLD;
        let measured = expected.measured.as_ref();
        settled || measured.is_some_and(|m| self.chance(ground, &m.outlook, Some(m)) >= FORETOLD)
    }

    fn chance(&self, ground: &Ground, outlook: &Outlook, measured: Option<&Measured>) -> f64 {
        let Some(state) = self.state else { return 1.0 };
        match &self.seen {
            Aim::Nothing(_) | Aim::Blown(..) | Aim::Pulled(..) => 1.0,
            Aim::Drives(symptom) => outlook.drives(ground, state)[*symptom as usize],
            Aim::WorksAs(applied) => outlook.applies(ground, state, applied),
            Aim::Fares(outlet, fares) => outlook.fares(*outlet, *fares),
            Aim::Shows(gauge, shows) => {
                outlook.shows(*gauge, ground.states[state].gauges[*gauge], *shows)
            }
            Aim::Reads(gauge, pressure, word) => {
                let read = measured.and_then(|m| m.reads(*gauge, *pressure));
                read.unwrap_or_else(|| {
                    let sound = ground.states[state].gauges[*gauge];
                    match word {
                        Some(word) => outlook.shows(*gauge, sound, *word),
                        None if *pressure < NOTHING => outlook.shows(*gauge, sound, Shows::None),
                        // How high it should read is not known.
                        None => 1.0 - outlook.faces[*gauge][Shows::None as usize],
                    }
                })
            }
            Aim::Switch(gauge, closed) => outlook.closed(*gauge, *closed),
        }
    }

    /// What a fit counts, given how sure the sighting is.
    pub fn weight(&self, fit: f64) -> f64 {
        self.sure * fit + (1.0 - self.sure) * ANYTHING
    }

    /// Whether a fit contradicts it: only what is sure rules anything out.
    pub fn against(&self, fit: f64) -> bool {
        self.counts() && self.sure >= 1.0 && fit < CANNOT_BE
    }
}
