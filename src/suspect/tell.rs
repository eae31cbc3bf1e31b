//! From an inquiry to the suspects as they are told.

use super::fit::Aim;
use super::group::shown;
use super::hypothesis::Hypothesis;
use super::inquiry::Inquiry;
use super::suspects::{
    Also, Cause, Confirm, OnBench, SeenTold, ShowsWhen, Suspect, SuspectSet, Suspects, Without,
};
use crate::answer::{Complaint, Depth, starve};
use crate::circuit::{Fault, Seen, Symptom};

/// Suspects told at most.
const LISTED: usize = 10;
/// Outlets whose cause is told in one state at most.
const CAUSES: usize = 3;
/// Checks that set a suspect apart, at most.
const CONFIRM: usize = 2;
/// A check that would show something else with less of the others than this confirms nothing.
const CONFIRMS: f64 = 0.05;

impl Inquiry<'_> {
    /// The suspects.
    #[must_use]
    pub fn suspects(&self) -> Suspects {
        let whole = self.whole().max(f64::MIN_POSITIVE);
        let listed = self.groups().len().min(LISTED);
        let suspects: Vec<Suspect> = (0..listed).map(|i| self.suspect(i, whole)).collect();
        let told: usize = suspects.iter().map(|s| s.sets.len()).sum();
        let told_share: f64 = suspects.iter().map(|s| s.share).sum();
        Suspects {
            depth: self.depth(),
            seen: self.seen(),
            clashes: self.clashes.clone(),
            faults: self.found.faults,
            parts: self.found.parts,
            tried: self.found.tried.clone(),
            more: self.found.left.len() - told,
            more_share: match self.found.left.len() - told {
                0 => 0.0,
                _ => (1.0 - told_share).max(0.0),
            },
            suspects,
            without: self.without(),
        }
    }

    pub(super) fn depth(&self) -> Depth {
        match self.is_measured() {
            true => Depth::Flow,
            false => Depth::Settle,
        }
    }

    pub(super) fn seen(&self) -> Vec<SeenTold> {
        let saw = self.question.saw.iter().zip(&self.marks).enumerate();
        let told = saw.map(|(i, (sighting, mark))| SeenTold {
            said: sighting.to_string(),
            state: sighting.state.clone(),
            part: sighting.seen.part().cloned(),
            only: sighting.only,
            narrows: self.whens.when(i).is_some(),
            sure: sighting.sure,
            weighed: mark.counts(),
            unweighed: mark.unweighed(),
            abnormal: self.abnormal.contains(&i),
            should_pa: self.should[i],
        });
        told.collect()
    }

    pub(super) fn set(&self, hypothesis: &Hypothesis, whole: f64) -> SuspectSet {
        let circuit = self.net.circuit();
        let rows = hypothesis.rows.iter();
        let say = |row: &Vec<Fault>| row.iter().map(|fault| circuit.say(fault)).collect();
        let mut all = hypothesis.rows.iter().flatten();
        let reach = hypothesis
            .rows
            .iter()
            .map(|row| super::effort::access(circuit, &row[0]));
        SuspectSet {
            faults: rows.map(say).collect(),
            likelihood: hypothesis.prior,
            assumption: all.any(|fault| !self.question.likelihoods.has(fault)),
            share: hypothesis.weight / whole,
            access: reach.max().unwrap_or_default(),
        }
    }

    fn suspect(&self, number: usize, whole: f64) -> Suspect {
        let group = &self.groups()[number];
        let first = &group.members[0];
        let told = |foretold: bool| {
            let marks = self
                .marks
                .iter()
                .enumerate()
                .filter(|(_, mark)| mark.counts());
            let some = marks.filter(|(i, _)| first.foretold[*i] == foretold);
            some.map(|(i, _)| i).collect()
        };
        Suspect {
            share: group.weight / whole,
            explains: first.explains,
            sets: group.members.iter().map(|h| self.set(h, whole)).collect(),
            foretells: told(true),
            leaves_open: told(false),
            causes: self.causes(first),
            shows_when: self.shows_when(first),
            on_bench: self.on_bench(first),
            also: self.also(number),
            confirm: self.confirm(number),
        }
    }

    /// What leads to what was seen, in each state in which something is not as it should be.
    pub(super) fn causes(&self, of: &Hypothesis) -> Vec<Cause> {
        let mut states: Vec<Option<&str>> = Vec::new();
        for seen in &self.abnormal {
            let sighting = &self.question.saw[*seen];
            if sighting.seen.on_bench().is_some() {
                continue;
            }
            let state = sighting.state.as_deref();
            if !states.contains(&state) {
                states.push(state);
            }
        }
        let told = states.into_iter().flat_map(|state| {
            let found = starve(self.net, &of.first(), state);
            let outlets = found.states.into_iter().flat_map(|s| {
                let state = s.state.clone();
                let bad = s.outlets.into_iter().filter(|o| o.verdict.is_bad());
                bad.take(CAUSES).map(move |o| (state.clone(), o))
            });
            outlets.collect::<Vec<_>>()
        });
        told.map(|(state, outlet)| Cause {
            state,
            outlet: outlet.outlet,
            verdict: outlet.verdict,
            reason: outlet.reason,
            chain: outlet.chain,
        })
        .collect()
    }

    /// When what was seen at times alone shows with it.
    fn shows_when(&self, of: &Hypothesis) -> Vec<ShowsWhen> {
        let faults = of.first();
        let told = (0..self.marks.len()).filter_map(|seen| {
            let (_, fits) = self.whens.chance(seen, &faults)?;
            let when = self.whens.when(seen)?;
            let outlets = self.whens.told(seen, &faults).cloned().collect();
            Some(ShowsWhen {
                seen,
                when,
                fits,
                outlets,
            })
        });
        told.collect()
    }

    /// What it shows in the checks by air that were made and are not as they should be.
    fn on_bench(&self, of: &Hypothesis) -> Vec<OnBench> {
        let faults = of.first();
        let told = self.abnormal.iter().filter_map(|seen| {
            let Aim::Blown(checks, _) = &self.marks[*seen].seen else {
                return None;
            };
            let signs = checks.iter().map(|ready| self.bench.signs(ready, &faults));
            let signs = signs.into_iter().find(|signs| !signs.is_empty())?;
            Some(OnBench { seen: *seen, signs })
        });
        told.collect()
    }

    /// The complaints that it would give and that nobody reported; those of states that agree are
    /// told together.
    fn also(&self, number: usize) -> Vec<Also> {
        let mut also: Vec<Also> = Vec::new();
        for effect in self.apart().effects[number].iter().flatten() {
            let id = effect.state.clone();
            for complaint in &effect.complaints {
                if self.reported(id.as_deref(), complaint) {
                    continue;
                }
                let known = also.iter_mut().find(|a| a.complaint == *complaint);
                match known {
                    Some(known) => known.states.extend(id.clone()),
                    None => also.push(Also {
                        complaint: complaint.clone(),
                        states: id.clone().into_iter().collect(),
                    }),
                }
            }
        }
        also
    }

    /// Whether what was seen in a state says this complaint, or one that takes its place.
    fn reported(&self, state: Option<&str>, complaint: &Complaint) -> bool {
        let mut saw = self
            .question
            .saw
            .iter()
            .filter(|s| s.state.as_deref() == state);
        let felt = complaint.what.is_felt();
        saw.any(|sighting| match &sighting.seen {
            Seen::Drives(symptom) => felt && *symptom != Symptom::Fine,
            Seen::WorksAs(_) => felt,
            Seen::Outlet(part, _) => complaint.outlets.contains(part),
            _ => false,
        })
    }

    fn confirm(&self, number: usize) -> Vec<Confirm> {
        let planner = self.planner();
        let weights = planner.weights();
        let others: f64 = weights.iter().sum::<f64>() - weights[number];
        let checks = self.checks();
        let mut found: Vec<(f64, Confirm)> = Vec::new();
        let open = checks.all().into_iter().enumerate();
        for (i, ask) in open.filter(|(i, _)| planner.is_open(*i)) {
            let Some(own) = shown(&self.groups()[number].chances[i]) else {
                continue;
            };
            let apart = self.groups().iter().zip(&weights).enumerate();
            let apart = apart.filter(|(other, (group, _))| {
                *other != number && shown(&group.chances[i]).is_some_and(|o| o != own)
            });
            let apart: f64 = apart.map(|(_, (_, weight))| weight).sum();
            let sets_apart = apart / others.max(f64::MIN_POSITIVE);
            if sets_apart < CONFIRMS {
                continue;
            }
            let check = checks.told(ask, &self.question.efforts);
            let seen = checks.typed(ask, own);
            let rate = apart / check.effort.max(1e-6);
            found.push((
                rate,
                Confirm {
                    check,
                    seen,
                    sets_apart,
                },
            ));
        }
        found.sort_by(|a, b| b.0.total_cmp(&a.0));
        let found = found.into_iter().take(CONFIRM);
        found.map(|(_, confirm)| confirm).collect()
    }

    fn without(&self) -> Vec<Without> {
        if !self.found.left.is_empty() {
            return Vec::new();
        }
        let marks = || {
            self.marks
                .iter()
                .enumerate()
                .filter(|(_, mark)| mark.counts())
        };
        let left = |dropped: usize| {
            let rest = |h: &Hypothesis| {
                let mut others = marks().filter(|(i, _)| *i != dropped);
                let touches = self.abnormal.iter().any(|i| *i != dropped && h.raises[*i]);
                touches && !others.any(|(i, mark)| mark.against(h.fits[i]))
            };
            self.found.alone.iter().filter(|h| rest(h)).count()
        };
        let told = marks().map(|(seen, _)| Without {
            seen,
            left: left(seen),
        });
        told.filter(|without| without.left > 0).collect()
    }
}
