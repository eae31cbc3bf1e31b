//! Checks that can be made, and what each is expected to show.

use serde::Serialize;

use super::effort::Efforts;
use super::fit::Expected;
use super::ground::Ground;
use super::outlook::Outlook;
use crate::circuit::{Access, Kind, PartName, Seen, Shows, Symptom};

/// A check.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Check {
    /// What is done.
    pub what: CheckWord,
    /// The tap or the switch.
    pub at: Option<PartName>,
    /// The state it is driven in; none for a circuit that declares no states.
    pub state: Option<String>,
    /// How hard it is to reach.
    pub access: Access,
    /// What it costs where nothing was opened yet.
    pub effort: f64,
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
}

/// A check by where it is in a [`Ground`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ask {
    pub state: usize,
    /// The gauge; none to drive.
    pub gauge: Option<usize>,
}

/// Chances of the outcomes of one check; see [`outcomes`].
pub(super) type Chances = Vec<f64>;

/// Every check that can be made.
pub(super) fn asks(ground: &Ground) -> Vec<Ask> {
    let states = 0..ground.states.len();
    let asks = states.flat_map(|state| {
        let driven = ground.outlets.iter().any(|o| o.by_pressure);
        let gauges = (0..ground.gauges.len()).map(Some);
        let all = driven.then_some(None).into_iter().chain(gauges);
        all.map(move |gauge| Ask { state, gauge })
    });
    asks.collect()
}

impl Ask {
    pub fn access(self, ground: &Ground) -> Access {
        self.gauge.map_or(Access::Outside, |g| ground.access[g])
    }

    /// What it costs where a place was opened already.
    pub fn effort(self, ground: &Ground, efforts: &Efforts, opened: Access) -> f64 {
        let hook = match self.gauge {
            Some(g) if ground.gauges[g].kind == Kind::Tap => efforts.outside,
            _ => 0.0,
        };
        efforts.drive + hook + efforts.reach(self.access(ground), opened)
    }

    pub fn told(self, ground: &Ground, efforts: &Efforts) -> Check {
        let at = self.gauge.map(|g| ground.gauges[g].clone());
        Check {
            what: match at.as_ref().map(|at| at.kind) {
                None => CheckWord::Drive,
                Some(Kind::Switch) => CheckWord::Switch,
                Some(_) => CheckWord::Gauge,
            },
            at,
            state: ground.states[self.state].id.clone(),
            access: self.access(ground),
            effort: self.effort(ground, efforts, Access::Outside),
        }
    }

    /// What it can show.
    pub fn outcomes(self, ground: &Ground) -> Vec<Seen> {
        match self.gauge {
            None => {
                let symptoms = Symptom::ALL.iter().map(|s| Seen::Drives(*s));
                let others = ground.states.iter().filter_map(|s| s.id.clone());
                symptoms.chain(others.map(Seen::WorksAs)).collect()
            }
            Some(g) => {
                let at = &ground.gauges[g];
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
        }
    }

    /// How likely each outcome is where this is expected in its state: the mean of the depths.
    pub fn chances(self, ground: &Ground, expected: &Expected) -> Chances {
        let settled = self.of(ground, &expected.settled);
        match &expected.measured {
            None => settled,
            Some(measured) => {
                let flow = self.of(ground, &measured.outlook).into_iter();
                settled
                    .iter()
                    .zip(flow)
                    .map(|(a, b)| (a + b) / 2.0)
                    .collect()
            }
        }
    }

    fn of(self, ground: &Ground, outlook: &Outlook) -> Chances {
        let chances = match self.gauge {
            None => return self.driven(ground, outlook),
            Some(g) if ground.gauges[g].kind == Kind::Switch => {
                vec![outlook.closed(g, false), outlook.closed(g, true)]
            }
            Some(g) => outlook.faces[g].to_vec(),
        };
        let sum: f64 = chances.iter().sum();
        chances.iter().map(|chance| chance / sum).collect()
    }

    /// What a driver would call it: what stands out, and a little of everything else.
    fn driven(self, ground: &Ground, outlook: &Outlook) -> Chances {
        let symptoms = outlook.drives(ground, self.state);
        let own: Vec<usize> = ground.applied(self.state).collect();
        let named = ground.states.iter().enumerate();
        let named = named.filter(|(_, state)| state.id.is_some());
        let like = named.clone().find(|(other, _)| {
            let applied: Vec<usize> = ground.applied(*other).collect();
            applied != own
                && !applied.is_empty()
                && outlook.applies(ground, self.state, &applied) >= 0.5
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
