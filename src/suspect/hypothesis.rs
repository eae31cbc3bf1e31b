//! Sets of faults held against what was seen.

use super::bench::Bench;
use super::fit::{Expected, Fit, Mark};
use super::ground::Ground;
use super::measured::Measured;
use super::outlook::{FORETOLD, Outlook};
use super::when::Whens;
use crate::answer::{Glances, Likelihoods, Status, SweepState, Sweeper};
use crate::circuit::{Fault, PartName};
use crate::net::{Cavity, Net};

/// Some faults, and what was seen held against what they are expected to show.
#[derive(Clone, Debug)]
pub(super) struct Hypothesis {
    /// One row a fault: it, and those that change exactly the same.
    pub rows: Vec<Vec<Fault>>,
    /// How likely it is before anything was seen.
    pub prior: f64,
    /// How likely each thing seen is with it, whenever it shows.
    pub fits: Vec<f64>,
    /// Which of them it foretells.
    pub foretold: Vec<bool>,
    /// Prior times how well everything seen fits, one depth or the other being right of most of it.
    pub weight: f64,
    /// How likely it is, by what was seen, that settling is right of it, not flow.
    pub settles: f64,
    /// Whether nothing seen contradicts it.
    pub consistent: bool,
    /// Whether it foretells everything seen.
    pub explains: bool,
    /// Whether it makes anything likelier that was seen and is not as it should be.
    pub touches: bool,
    /// Which of them it makes likelier.
    pub raises: Vec<bool>,
}

impl Hypothesis {
    /// The first fault of each row.
    pub fn first(&self) -> Vec<Fault> {
        self.rows.iter().map(|row| row[0].clone()).collect()
    }

    /// Whether these are its faults, or others that change the same.
    pub fn is(&self, faults: &[Fault]) -> bool {
        let mut rows = self.rows.iter();
        self.rows.len() == faults.len()
            && rows.all(|row| row.iter().any(|fault| faults.contains(fault)))
    }
}

/// Holds sets of faults against what was seen.
pub(super) struct Trial<'t, 'n> {
    pub net: &'n Net<'n>,
    pub sweeper: &'t Sweeper<'n>,
    pub ground: &'t Ground,
    pub bench: &'t Bench<'n>,
    pub marks: &'t [Mark],
    pub whens: Option<&'t Whens>,
    pub glances: Option<&'t Glances<'n>>,
    pub gauges: &'t [Cavity],
    pub likelihoods: &'t Likelihoods,
}

impl Trial<'_, '_> {
    /// What settling expects of sets of faults, in every state of the ground.
    fn settled(&self, sets: &[Vec<Fault>]) -> Vec<Vec<Expected>> {
        settled(self.ground, &self.sweeper.of_sets(sets))
    }

    /// Adds what pressures and flows expect in one state of those sets that are wanted.
    fn measure(
        &self,
        state: usize,
        sets: &[Vec<Fault>],
        wanted: &[bool],
        expected: &mut [Vec<Expected>],
    ) {
        let Some(glances) = self.glances else { return };
        let asked = (0..sets.len()).filter(|i| wanted[*i]);
        let asked: Vec<usize> = asked.collect();
        let wanted: Vec<Vec<Fault>> = asked.iter().map(|i| sets[*i].clone()).collect();
        let found = glances.of_sets(state, &wanted, self.gauges);
        for (i, glance) in asked.into_iter().zip(found) {
            let own = &mut expected[i][state];
            own.measured = glance.map(|glance| {
                let circuit = self.net.circuit();
                Measured::of(circuit, self.ground, state, &glance, &own.settled)
            });
        }
    }

    /// Sets of faults judged, one row a fault; the first of each row is tried for all of it. What
    /// is measured is so state by state, as long as nothing seen rules it out.
    pub fn judge(&self, sets: Vec<Vec<Vec<Fault>>>, measure: bool) -> Vec<Hypothesis> {
        let sound = self.sound();
        let mut judged = Vec::with_capacity(sets.len());
        for chunk in sets.chunks(Sweeper::AT_ONCE) {
            let firsts = chunk.iter();
            let firsts = firsts.map(|rows| rows.iter().map(|row| row[0].clone()).collect());
            let firsts: Vec<Vec<Fault>> = firsts.collect();
            let mut expected = self.settled(&firsts);
            if measure && self.glances.is_some() {
                let mut open = vec![true; firsts.len()];
                for state in self.telling_first(&sound) {
                    self.measure(state, &firsts, &open, &mut expected);
                    for (open, expected) in open.iter_mut().zip(&expected) {
                        let here = self.marks.iter().filter(|mark| mark.state == Some(state));
                        let mut fits =
                            here.map(|mark| (mark, mark.fit(self.ground, &expected[state]).mean()));
                        *open &= !fits.any(|(mark, fit)| mark.against(fit));
                    }
                }
            }
            let chunk = chunk.iter().zip(expected);
            judged.extend(chunk.map(|(rows, e)| self.weigh(rows.clone(), &e, &sound)));
        }
        judged
    }

    /// One set judged, measured in every state even where something seen rules it out.
    pub fn judge_wholly(&self, faults: &[Fault]) -> Hypothesis {
        let sets = [faults.to_vec()];
        let mut expected = self.settled(&sets);
        for state in 0..self.ground.states.len() {
            self.measure(state, &sets, &[true], &mut expected);
        }
        let rows = faults.iter().map(|fault| vec![fault.clone()]);
        self.weigh(rows.collect(), &expected[0], &self.sound())
    }

    /// The states, those first in which something is not as it should be.
    fn telling_first(&self, sound: &[f64]) -> Vec<usize> {
        let mut states: Vec<usize> = (0..self.ground.states.len()).collect();
        let marks = || self.marks.iter().zip(sound);
        states.sort_by_key(|state| {
            let mut here = marks().filter(|(mark, _)| mark.state == Some(*state));
            !here.any(|(mark, sound)| mark.counts() && *sound < FORETOLD)
        });
        states
    }

    /// How likely each thing seen is in the sound circuit.
    pub fn sound(&self) -> Vec<f64> {
        let states = 0..self.ground.states.len();
        let expected = states.map(|state| Expected {
            settled: Outlook::settled(self.ground, state, None, &[]),
            measured: None,
        });
        let expected: Vec<Expected> = expected.collect();
        let fits = self.fits(&[], &expected);
        fits.into_iter().map(Fit::mean).collect()
    }

    /// How likely each thing seen is with some faults, of which this is expected.
    fn fits(&self, faults: &[Fault], expected: &[Expected]) -> Vec<Fit> {
        let fits = self.marks.iter().map(|mark| match mark.state {
            Some(state) => mark.fit(self.ground, &expected[state]),
            None => Fit::alike(mark.on_bench(self.bench, faults).unwrap_or(1.0)),
        });
        fits.collect()
    }

    fn weigh(&self, rows: Vec<Vec<Fault>>, expected: &[Expected], sound: &[f64]) -> Hypothesis {
        let likely = rows.iter().map(|row| {
            let each = row.iter().map(|fault| self.likelihoods.of(fault));
            each.sum::<f64>().min(1.0)
        });
        let prior: f64 = likely.product();
        let firsts: Vec<Fault> = rows.iter().map(|row| row[0].clone()).collect();
        let mut fits = self.fits(&firsts, expected);
        // Of what shows at times alone: how likely that is. What the depths expect is what runs as the
        // file says, so what falls short at such a time counts as foretold all the same.
        let mut times = vec![1.0; fits.len()];
        for (seen, fit) in fits.iter_mut().enumerate() {
            let chance = self.whens.and_then(|whens| whens.chance(seen, &firsts));
            if let Some((chance, shows)) = chance {
                times[seen] = chance;
                if shows && fit.mean() < FORETOLD {
                    *fit = Fit::alike(FORETOLD);
                }
            }
        }
        let by_depth = self.marks.iter().zip(&fits).zip(&times);
        let by_depth = by_depth.fold([0.5; 2], |[settled, flow], ((mark, fit), time)| {
            let [by_settling, by_flow] = fit.by_depth().map(|fit| mark.weight(fit * time));
            [settled * by_settling, flow * by_flow]
        });
        let seen = by_depth[0] + by_depth[1];
        let fits: Vec<f64> = fits.into_iter().map(Fit::mean).collect();
        let foretold = self.marks.iter().zip(&fits).zip(&times);
        let foretold = foretold.map(|((mark, fit), time)| match mark.state {
            _ if *time < FORETOLD => false,
            Some(_) if !mark.counts() || *fit >= FORETOLD => true,
            Some(state) => mark.foretold(self.ground, &expected[state]),
            None => *fit >= FORETOLD,
        });
        let foretold: Vec<bool> = foretold.collect();
        let marks = self.marks.iter().zip(&fits);
        let mut against = marks.clone().map(|(mark, fit)| mark.against(*fit));
        let raises = marks.zip(sound).map(|((mark, fit), sound)| {
            mark.counts() && *sound < FORETOLD && *fit > 1.5 * sound + f64::EPSILON
        });
        let raises: Vec<bool> = raises.collect();
        Hypothesis {
            prior,
            weight: prior * seen,
            settles: match seen > 0.0 {
                true => by_depth[0] / seen,
                false => 0.5,
            },
            consistent: !against.any(|against| against),
            explains: foretold.iter().all(|told| *told),
            touches: raises.iter().any(|raised| *raised),
            raises,
            rows,
            fits,
            foretold,
        }
    }
}

/// What is expected where settling finds these effects of sets of faults, state by state.
pub(super) fn settled(ground: &Ground, effects: &[Vec<Option<SweepState>>]) -> Vec<Vec<Expected>> {
    let expected = effects.iter().map(|states| {
        let dry = dry(ground, states);
        let states = states.iter().enumerate();
        let states = states.map(|(state, effect)| Expected {
            settled: Outlook::settled(ground, state, effect.as_ref(), &dry),
            measured: None,
        });
        states.collect()
    });
    expected.collect()
}

/// Outlets that get no oil in any state of the ground in which they should have it, of which there
/// is one.
fn dry(ground: &Ground, effects: &[Option<SweepState>]) -> Vec<PartName> {
    let outlets = ground.outlets.iter().enumerate();
    let dry = outlets.filter(|(place, outlet)| {
        let states = ground.states.iter().zip(effects);
        let mut on = states.filter(|(state, _)| state.has[*place] != Status::Off);
        let starved = |effect: &Option<SweepState>| {
            effect
                .as_ref()
                .is_some_and(|effect| effect.starved.contains(&outlet.name))
        };
        on.clone().next().is_some() && on.all(|(_, effect)| starved(effect))
    });
    dry.map(|(_, outlet)| outlet.name.clone()).collect()
}
