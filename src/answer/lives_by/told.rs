//! What the search found, in words of the circuit.

use std::collections::BTreeMap;

use super::candidates::Candidates;
use super::chance::{Method, Sets};
use super::likelihood::Likelihoods;
use super::search::Found;
use super::{CutSet, Importance, LivesByState, Masked, Tried, alone};
use crate::circuit::{Circuit, Fault, PartName};

/// One state put in words of the circuit.
pub(super) struct Told<'a> {
    pub(super) circuit: &'a Circuit,
    pub(super) candidates: &'a Candidates<'a>,
    pub(super) likelihoods: &'a Likelihoods,
}

impl Told<'_> {
    fn said(&self, candidate: usize) -> Vec<String> {
        let faults = self.candidates.alike[candidate].faults.iter();
        faults.map(|f| self.circuit.say(f)).collect()
    }

    pub(super) fn state(
        &self,
        id: Option<&str>,
        found: &[Found],
        unbuilt: &[usize],
    ) -> LivesByState {
        let sets: Vec<&Vec<usize>> = found.iter().flat_map(|found| &found.starve).collect();
        let cut_sets = sets.iter().map(|set| CutSet {
            faults: set.iter().map(|i| self.said(*i)).collect(),
        });
        let starving = alone(found);
        let fed = found.get(1).map_or(&[][..], |pairs| &pairs.feed);
        let both_ways = fed.iter().flat_map(|p| [[p[0], p[1]], [p[1], p[0]]]);
        let masked = both_ways.filter(|[fault, _]| starving.contains(fault));
        let masked = masked.map(|[fault, beside]| Masked {
            fault: self.said(fault),
            beside: self.said(beside),
        });
        let tried = found.iter().zip(1..).map(|(found, faults)| Tried {
            faults,
            sets: found.of,
            looked_at: found.looked_at,
            settled: found.settled,
            stopped_at: found.stopped_at.as_ref().map(|set| {
                let first = |i: &usize| self.circuit.say(&self.candidates.alike[*i].faults[0]);
                set.iter().map(first).collect()
            }),
        });
        let undecided = found[0].undecided.iter().flatten();
        let unbuilt = unbuilt.iter().filter(|i| !starving.contains(i));
        let (chance, method, importance) = self.importance(&sets);
        let method = match found.iter().any(|found| found.stopped_at.is_some()) {
            true => method.of_some(),
            false => method,
        };
        LivesByState {
            state: id.map(str::to_owned),
            cut_sets: cut_sets.collect(),
            masked: masked.collect(),
            undecided: undecided.flat_map(|i| self.said(*i)).collect(),
            unbuilt: unbuilt.flat_map(|i| self.said(*i)).collect(),
            idle: self.candidates.idle,
            tried: tried.collect(),
            chance,
            method,
            importance,
        }
    }

    fn importance(&self, sets: &[&Vec<usize>]) -> (f64, Method, Vec<Importance>) {
        let mut numbers: BTreeMap<Fault, (usize, usize)> = BTreeMap::new();
        let mut parts: Vec<PartName> = Vec::new();
        let faults = self.candidates.alike.iter().flat_map(|a| &a.faults);
        for fault in faults {
            let known = parts.iter().position(|part| *part == fault.part);
            let part = known.unwrap_or_else(|| {
                parts.push(fault.part.clone());
                parts.len() - 1
            });
            let next = numbers.len();
            numbers.insert(fault.clone(), (part, next));
        }
        let by_number: BTreeMap<_, _> = numbers.iter().map(|(f, n)| (*n, f)).collect();
        let choices = sets.iter().flat_map(|set| self.candidates.expand(set));
        let choices = choices.map(|faults| faults.iter().map(|f| numbers[f]).collect::<Vec<_>>());
        let sets = Sets::new(choices, |literal| self.likelihoods.of(by_number[&literal]));
        let (chance, method, weights) = sets.weigh();
        let importance = weights.into_iter().map(|weight| Importance {
            part: parts[weight.part].clone(),
            likelihood: weight.likelihood,
            assumption: sets.of_part(weight.part).any(|literal| {
                let fault = by_number[&literal];
                !self.likelihoods.has(fault)
            }),
            birnbaum: weight.birnbaum,
            fussell_vesely: weight.fussell_vesely,
        });
        (chance, method, importance.collect())
    }
}
