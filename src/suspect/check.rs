//! Checks that can be made, and what each is expected to show.

use serde::Serialize;

use super::bench::{Bench, Blown};
use super::effort::Efforts;
use super::fit::{Expected, Fit};
use super::ground::Ground;
use super::outlook::Outlook;
use crate::circuit::{Access, AirTest, BoreTest, Fault, Kind, PartName, Seen, Shows, Symptom};

/// A check.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Check {
    /// What is done.
    pub what: CheckWord,
    /// The tap or the switch, the passage that air goes into, or the valve whose bore is pulled on.
    pub at: Option<PartName>,
    /// The state it is driven in; none on the bench and for a circuit that declares no states.
    pub state: Option<String>,
    /// How hard it is to reach.
    pub access: Access,
    /// What it costs where nothing was opened yet.
    pub effort: f64,
    /// Of air: where it goes in.
    pub air: Option<AirPlace>,
}

impl Check {
    /// Whether a gauge or a switch is read in it.
    #[must_use]
    pub fn reads(&self) -> bool {
        matches!(self.what, CheckWord::Gauge | CheckWord::Switch)
    }

    /// Whether the block is out and on the bench for it.
    #[must_use]
    pub fn on_bench(&self) -> bool {
        matches!(self.what, CheckWord::Air | CheckWord::Vacuum)
    }
}

/// What is done in a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum CheckWord {
    /// A state is driven, and what is felt is told.
    Drive,
    /// A gauge is read.
    Gauge,
    /// A pressure switch is read.
    Switch,
    /// Air is blown in on the bench.
    Air,
    /// Vacuum is pulled, or wet air blown, on a valve's bore on the bench.
    Vacuum,
}

/// Where air goes in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct AirPlace {
    /// The number of the check on the bench sheet.
    pub number: usize,
    /// The castings tested alone; empty for the whole block assembled.
    pub castings: Vec<String>,
    /// The hole it goes in by; none where the file has no hole to that passage.
    pub hole: Option<PartName>,
    /// Where the lever stands, where that makes a difference.
    pub lever: Option<String>,
}

impl AirPlace {
    fn of(place: usize, blown: &Blown) -> Self {
        AirPlace {
            number: place + 1,
            castings: blown.check.castings.clone(),
            hole: blown.check.hole.clone(),
            lever: blown.check.lever.clone(),
        }
    }
}

/// A check by where it is in a [`Ground`] or on a [`Bench`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ask {
    /// A state is driven.
    Drive { state: usize },
    /// A gauge or a switch is read in a state.
    Read { state: usize, gauge: usize },
    /// Air is blown in.
    Blow(usize),
    /// A bore is pulled on.
    Pull(usize),
}

impl Ask {
    pub fn on_bench(self) -> bool {
        matches!(self, Ask::Blow(_) | Ask::Pull(_))
    }
}

/// Chances of the outcomes of one check; see [`Checks::outcomes`].
pub(super) type Chances = Vec<f64>;

/// Where checks are made.
#[derive(Clone, Copy)]
pub(super) struct Checks<'c, 'n> {
    pub ground: &'c Ground,
    pub bench: &'c Bench<'n>,
}

impl Checks<'_, '_> {
    /// Every check that can be made.
    pub fn all(self) -> Vec<Ask> {
        let driven = self.ground.outlets.iter().any(|o| o.by_pressure);
        let states = (0..self.ground.states.len()).flat_map(|state| {
            let gauges = 0..self.ground.gauges.len();
            let read = gauges.map(move |gauge| Ask::Read { state, gauge });
            driven
                .then_some(Ask::Drive { state })
                .into_iter()
                .chain(read)
        });
        let blown = (0..self.bench.blown().len()).map(Ask::Blow);
        let pulled = (0..self.bench.bores().len()).map(Ask::Pull);
        states.chain(blown).chain(pulled).collect()
    }

    pub fn access(self, ask: Ask) -> Access {
        match ask {
            Ask::Drive { .. } => Access::Outside,
            Ask::Read { gauge, .. } => self.ground.access[gauge],
            Ask::Blow(_) | Ask::Pull(_) => Access::Bench,
        }
    }

    /// What it costs where a place was opened already.
    pub fn effort(self, ask: Ask, efforts: &Efforts, opened: Access) -> f64 {
        let access = self.access(ask);
        let made = match ask {
            Ask::Blow(_) => efforts.air,
            Ask::Pull(_) => efforts.vacuum,
            Ask::Read { gauge, .. } if self.ground.gauges[gauge].kind == Kind::Tap => {
                efforts.drive + efforts.outside
            }
            Ask::Drive { .. } | Ask::Read { .. } => efforts.drive,
        };
        // What lies on the bench has to go in again before it is driven.
        let reach = match opened > access && opened == Access::Bench {
            true => efforts.bench,
            false => efforts.reach(access, opened),
        };
        made + reach
    }

    /// What is opened once it is made.
    pub fn opened(self, ask: Ask, opened: Access) -> Access {
        let access = self.access(ask);
        match opened {
            Access::Bench => access,
            opened => opened.max(access),
        }
    }

    pub fn told(self, ask: Ask, efforts: &Efforts) -> Check {
        let (what, at, state) = match ask {
            Ask::Drive { state } => (CheckWord::Drive, None, Some(state)),
            Ask::Read { state, gauge } => {
                let at = &self.ground.gauges[gauge];
                let what = match at.kind {
                    Kind::Switch => CheckWord::Switch,
                    _ => CheckWord::Gauge,
                };
                (what, Some(at.clone()), Some(state))
            }
            Ask::Blow(i) => (CheckWord::Air, Some(self.bench.blown()[i].at()), None),
            Ask::Pull(i) => (
                CheckWord::Vacuum,
                Some(self.bench.bores()[i].valve.clone()),
                None,
            ),
        };
        Check {
            what,
            at,
            state: state.and_then(|state| self.ground.states[state].id.clone()),
            access: self.access(ask),
            effort: self.effort(ask, efforts, Access::Outside),
            air: match ask {
                Ask::Blow(i) => Some(AirPlace::of(i, &self.bench.blown()[i])),
                _ => None,
            },
        }
    }

    /// What it can show.
    pub fn outcomes(self, ask: Ask) -> Vec<Seen> {
        match ask {
            Ask::Drive { .. } => {
                let symptoms = Symptom::ALL.iter().map(|s| Seen::Drives(*s));
                let others = self.ground.states.iter().filter_map(|s| s.id.clone());
                symptoms.chain(others.map(Seen::WorksAs)).collect()
            }
            Ask::Read { gauge, .. } => {
                let at = &self.ground.gauges[gauge];
                match at.kind {
                    Kind::Switch => [false, true]
                        .map(|closed| Seen::Switch(at.clone(), closed))
                        .into(),
                    _ => Shows::ALL
                        .iter()
                        .map(|s| Seen::Shows(at.clone(), *s))
                        .collect(),
                }
            }
            Ask::Blow(i) => {
                let tests = AirTest::ALL.iter();
                let seen = |test: &AirTest| Seen::Air(self.bench.blown()[i].at(), *test);
                tests.map(seen).collect()
            }
            Ask::Pull(i) => {
                let tests = BoreTest::ALL.iter();
                let valve = &self.bench.bores()[i].valve;
                tests
                    .map(|test| Seen::Vacuum(valve.clone(), *test))
                    .collect()
            }
        }
    }

    /// An outcome as a reader would type it. What is driven or read goes without its state, which
    /// the check names.
    pub fn typed(self, ask: Ask, outcome: usize) -> String {
        let seen = self.outcomes(ask).swap_remove(outcome);
        match seen.on_bench() {
            Some(place) => format!("{place}: {seen}"),
            None => seen.to_string(),
        }
    }

    /// How likely each outcome is with some faults, of which this is expected state by state, where
    /// settling, not flow, is so likely to be right of them.
    pub fn chances(
        self,
        ask: Ask,
        faults: &[Fault],
        expected: &[Expected],
        settles: f64,
    ) -> Chances {
        let state = match ask {
            Ask::Drive { state } | Ask::Read { state, .. } => state,
            Ask::Blow(i) => return self.bench.blow(&self.bench.blown()[i].ready, faults).into(),
            Ask::Pull(i) => return self.bench.pull(&self.bench.bores()[i], faults).into(),
        };
        let settled = self.of(ask, state, &expected[state].settled);
        match &expected[state].measured {
            None => settled,
            Some(measured) => {
                let flow = self.of(ask, state, &measured.outlook).into_iter();
                let both = settled.into_iter().zip(flow);
                let both = both.map(|(settled, flow)| Fit { settled, flow }.expected(settles));
                both.collect()
            }
        }
    }

    fn of(self, ask: Ask, state: usize, outlook: &Outlook) -> Chances {
        let Ask::Read { gauge, .. } = ask else {
            return self.driven(state, outlook);
        };
        let chances = match self.ground.gauges[gauge].kind {
            Kind::Switch => vec![outlook.closed(gauge, false), outlook.closed(gauge, true)],
            _ => outlook.faces[gauge].to_vec(),
        };
        let sum: f64 = chances.iter().sum();
        chances.iter().map(|chance| chance / sum).collect()
    }

    /// What a driver would call it: what stands out, and a little of everything else.
    fn driven(self, state: usize, outlook: &Outlook) -> Chances {
        let ground = self.ground;
        let symptoms = outlook.drives(ground, state);
        let own: Vec<usize> = ground.applied(state).collect();
        let named = ground.states.iter().enumerate();
        let named = named.filter(|(_, state)| state.id.is_some());
        let like = named.clone().find(|(other, _)| {
            let applied: Vec<usize> = ground.applied(*other).collect();
            applied != own && !applied.is_empty() && outlook.applies(ground, state, &applied) >= 0.5
        });
        let mut chances = vec![0.0; Symptom::ALL.len() + named.count()];
        let sum: f64 = symptoms.iter().sum();
        for (chance, symptom) in chances.iter_mut().zip(symptoms) {
            *chance = 0.05 * symptom / sum;
        }
        let fine = symptoms[Symptom::Fine as usize] >= 0.5;
        let most = (0..symptoms.len()).max_by(|a, b| {
            // The graver, which stands first, of those as likely.
            symptoms[*a].total_cmp(&symptoms[*b]).then(b.cmp(a))
        });
        let stands_out = match (fine, like) {
            (true, _) => Some(Symptom::Fine as usize),
            (_, Some((other, _))) => Some(Symptom::ALL.len() + other),
            _ => most.filter(|m| symptoms[*m] >= super::outlook::FORETOLD),
        };
        match stands_out {
            Some(place) => chances[place] += 0.95,
            None => {
                for chance in &mut chances {
                    *chance *= 20.0;
                }
            }
        }
        chances
    }
}
