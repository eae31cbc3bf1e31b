//! The suspects, told.

use serde::Serialize;

use super::check::{Check, asks};
use super::clash::Clash;
use super::group::shown;
use super::hypothesis::Hypothesis;
use super::inquiry::Inquiry;
use super::search::TriedSets;
use crate::answer::{
    Answer, Complaint, ComplaintWord, Depth, Event, Range, Reason, Verdict, starve,
};
use crate::circuit::{Access, Fault, Only, PartName, Seen, Symptom};

/// What can be wrong where this was seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Suspects {
    /// How deep the answer looks.
    pub depth: Depth,
    /// What was seen, in the order given.
    pub seen: Vec<SeenTold>,
    /// What of it cannot be, and why.
    pub clashes: Vec<Clash>,
    /// Single faults that can have a hand in something seen.
    pub faults: usize,
    /// Their parts.
    pub parts: usize,
    /// How many sets of faults were tried.
    pub tried: Vec<TriedSets>,
    /// The likeliest suspects; those that no available check tells apart are one.
    pub suspects: Vec<Suspect>,
    /// How many sets of faults contradict nothing and are not listed.
    pub more: usize,
    /// The share of the chance that these have.
    pub more_share: f64,
    /// Where nothing is left: what would be left without one of the things seen.
    pub without: Vec<Without>,
}

impl Answer for Suspects {
    const NAME: &'static str = "suspects";
    const VERSION: u32 = 1;

    /// It asks what could be, not what is.
    fn wrong(&self) -> bool {
        false
    }
}

/// One thing that was seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SeenTold {
    /// As a reader would type it.
    pub said: String,
    /// The state; none for a circuit that declares no states, and for what is seen in none.
    pub state: Option<String>,
    /// The part, if it is about one.
    pub part: Option<PartName>,
    /// When alone it is seen. It narrows nothing yet, and what comes after standing is not weighed
    /// at all.
    pub only: Option<Only>,
    /// How sure it is, up to 1.
    pub sure: f64,
    /// Whether it is weighed.
    pub weighed: bool,
    /// Whether it is other than in the sound circuit.
    pub abnormal: bool,
    /// What the gauge should read, in Pa, where that is known.
    pub should_pa: Option<Range>,
}

/// A suspect: sets of faults that no available check tells apart.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Suspect {
    /// Its share of the chance, over everything that contradicts nothing seen.
    pub share: f64,
    /// Whether the likeliest of its sets foretells everything seen.
    pub explains: bool,
    /// Its sets, the likeliest first.
    pub sets: Vec<SuspectSet>,
    /// Things seen, by number, that it foretells.
    pub foretells: Vec<usize>,
    /// Things seen, by number, that it neither foretells nor contradicts.
    pub leaves_open: Vec<usize>,
    /// What leads from it to what was seen.
    pub causes: Vec<Cause>,
    /// What else it would do.
    pub also: Vec<Also>,
    /// Checks that set it apart from the others, most for their effort first.
    pub confirm: Vec<Confirm>,
}

/// Faults that together are a suspect.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SuspectSet {
    /// One row a fault: it, and those that change exactly the same.
    pub faults: Vec<Vec<String>>,
    /// How likely it is before anything was seen.
    pub likelihood: f64,
    /// Whether some of that is assumed.
    pub assumption: bool,
    /// Its share of the chance.
    pub share: f64,
    /// How hard it is to look at.
    pub access: Access,
}

/// What a suspect does to one outlet in a state in which something was seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Cause {
    /// The state.
    pub state: Option<String>,
    /// The outlet.
    pub outlet: PartName,
    /// What became of it.
    pub verdict: Verdict,
    /// Why.
    pub reason: Option<Reason>,
    /// What leads to it, the first cause first.
    pub chain: Vec<Event>,
}

/// What a suspect would do that nobody reported.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Also {
    /// The complaint.
    pub complaint: Complaint,
    /// The states; empty for a circuit that declares none.
    pub states: Vec<String>,
}

/// A check that sets a suspect apart.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Confirm {
    /// The check.
    pub check: Check,
    /// What is seen if this is the suspect.
    pub seen: String,
    /// The share of the others' chance that shows something else.
    pub sets_apart: f64,
}

/// What would be left without one thing seen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Without {
    /// Which.
    pub seen: usize,
    /// How many single faults contradict nothing else.
    pub left: usize,
}

/// Suspects told at most.
const LISTED: usize = 10;
/// Outlets whose cause is told in one state at most.
const CAUSES: usize = 3;
/// Checks that set a suspect apart, at most.
const CONFIRM: usize = 2;

impl Inquiry<'_> {
    /// The suspects.
    #[must_use]
    pub fn suspects(&self) -> Suspects {
        let whole = self.whole().max(f64::MIN_POSITIVE);
        let listed = self.groups.len().min(LISTED);
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
        match self.measured {
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
            sure: sighting.sure,
            weighed: mark.counts(),
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
        let group = &self.groups[number];
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
            also: self.also(number),
            confirm: self.confirm(number),
        }
    }

    /// What leads to what was seen, in each state in which something is not as it should be.
    fn causes(&self, of: &Hypothesis) -> Vec<Cause> {
        let mut states: Vec<Option<&str>> = Vec::new();
        for seen in &self.abnormal {
            let state = self.question.saw[*seen].state.as_deref();
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

    /// The complaints that it would give and that nobody reported; those of states that agree are
    /// told together.
    fn also(&self, number: usize) -> Vec<Also> {
        let mut also: Vec<Also> = Vec::new();
        for effect in self.effects[number].iter().flatten() {
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
        let felt = !matches!(
            complaint.what,
            ComplaintWord::RunsDry | ComplaintWord::RunsShort
        );
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
        let checks = asks(&self.ground);
        let mut found: Vec<(f64, Confirm)> = Vec::new();
        for (i, ask) in checks
            .iter()
            .enumerate()
            .filter(|(i, _)| planner.is_open(*i))
        {
            let Some(own) = shown(&self.groups[number].chances[i]) else {
                continue;
            };
            let apart = self.groups.iter().zip(&weights).enumerate();
            let apart = apart.filter(|(other, (group, _))| {
                *other != number && shown(&group.chances[i]).is_some_and(|o| o != own)
            });
            let apart: f64 = apart.map(|(_, (_, weight))| weight).sum();
            if apart <= 0.0 {
                continue;
            }
            let check = ask.told(&self.ground, &self.question.efforts);
            let seen = ask.outcomes(&self.ground)[own].to_string();
            let rate = apart / check.effort.max(1e-6);
            let sets_apart = apart / others.max(f64::MIN_POSITIVE);
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
