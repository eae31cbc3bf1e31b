//! Every set of up to three faults, tried.

use std::collections::{BTreeSet, HashSet};

use super::candidates::Candidates;
use crate::answer::Status;
use crate::answer::batch::{self, Batch};
use crate::answer::judged::judged;
use crate::answer::oil::Oil;
use crate::answer::picture::has_oil;
use crate::answer::sound::SoundState;
use crate::circuit::Fault;
use crate::net::NetOutlet;
use crate::settle::settle;

/// Sets settled between two looks at how many still may be.
const AT_ONCE: usize = 2 * batch::MOST;
/// Sets looked at for each that may be settled: most need no settling, but each takes its time.
const LOOKS: u64 = 1000;

/// What became of the sets of one size, each a row of places among the candidates.
#[derive(Default)]
pub(super) struct Found {
    pub starve: Vec<Vec<usize>>,
    pub feed: Vec<Vec<usize>>,
    pub undecided: Vec<Vec<usize>>,
    /// Sets there are, those looked at, those settled, and the first that was not looked at.
    pub of: u64,
    pub looked_at: u64,
    pub settled: usize,
    pub stopped_at: Option<Vec<usize>>,
}

/// One outlet in one state.
pub(super) struct Search<'s, 'n> {
    pub candidates: &'s Candidates<'n>,
    pub outlet: &'s NetOutlet,
    pub sound: &'s SoundState<'n>,
    /// Sets that may still be settled.
    pub left: usize,
}

impl Search<'_, '_> {
    /// Whether the outlet has its oil with each of some sets of faults: the one place that
    /// settles many.
    fn statuses(&self, sets: &[Vec<Fault>]) -> Vec<Status> {
        let sound = &self.sound.stage;
        let batches = Batch::of(sound.net(), sets);
        let told = batch::each(&batches, |batch| {
            batch.each(
                sound,
                |settled, members| {
                    let oil = Oil::of(settled, self.outlet);
                    members.iter().map(|m| oil.status(m.lane)).collect()
                },
                |faults, settled| has_oil(&sound.with(faults), settled, self.outlet),
            )
        });
        let mut told: Vec<(usize, Status)> = told.into_iter().flatten().collect();
        told.sort_unstable_by_key(|(number, _)| *number);
        told.into_iter().map(|(_, status)| status).collect()
    }

    /// The single faults that keep a source from building pressure.
    pub fn unbuilt(&self) -> Vec<usize> {
        let alike = &self.candidates.alike;
        let unbuilt = batch::each(alike, |alike| {
            let stage = self.sound.stage.with(&alike.faults[..1]);
            let state = judged(self.sound, &stage, &settle(&stage), |_| false);
            !state.will_not_build.is_empty()
        });
        (0..alike.len()).filter(|i| unbuilt[*i]).collect()
    }

    /// Every fault alone.
    pub fn singles(&mut self) -> Found {
        let count = self.candidates.alike.len();
        // Whatever the limit, what one fault does is the least an answer can say.
        self.left = self.left.max(count);
        self.run((0..count).map(|i| [i]), count, |_| true)
    }

    /// Every pair, those of which one or both starve the outlet alone included: they may give it
    /// oil again.
    pub fn pairs(&mut self) -> Found {
        let count = self.candidates.alike.len();
        let pairs = (0..count).flat_map(|i| (i + 1..count).map(move |j| [i, j]));
        self.run(pairs, count, |_| true)
    }

    /// Every three faults, none of which starves the outlet alone and no two of which do.
    pub fn triples(&mut self, alone: &BTreeSet<usize>, pairs: &[Vec<usize>]) -> Found {
        let all = 0..self.candidates.alike.len();
        let rest: Vec<usize> = all.filter(|i| !alone.contains(i)).collect();
        let (rest, count) = (&rest[..], rest.len());
        let triples = (0..count).flat_map(|i| {
            let seconds = i + 1..count;
            seconds.flat_map(move |j| (j + 1..count).map(move |k| [rest[i], rest[j], rest[k]]))
        });
        let starving: HashSet<[usize; 2]> = pairs.iter().map(|pair| [pair[0], pair[1]]).collect();
        self.run(triples, count, |[a, b, c]| {
            [[a, b], [a, c], [b, c]]
                .iter()
                .all(|pair| !starving.contains(pair))
        })
    }

    /// Tries those of some sets that are wanted, in order, until all are tried or no more may be.
    fn run<const N: usize>(
        &mut self,
        mut sets: impl Iterator<Item = [usize; N]>,
        of: usize,
        wanted: impl Fn([usize; N]) -> bool,
    ) -> Found {
        let mut found = Found {
            of: choose(of, N),
            ..Found::default()
        };
        let looks = (self.left as u64).saturating_mul(LOOKS);
        while found.stopped_at.is_none() {
            let mut batch: Vec<(Vec<usize>, Vec<Fault>)> = Vec::new();
            while batch.len() < AT_ONCE {
                let Some(set) = sets.next() else { break };
                let faults = match wanted(set) && self.candidates.can_matter(&set) {
                    true => self.candidates.pick(&set),
                    false => None,
                };
                if found.looked_at == looks || faults.is_some() && batch.len() == self.left {
                    found.stopped_at = Some(set.to_vec());
                    break;
                }
                found.looked_at += 1;
                batch.extend(faults.map(|faults| (set.to_vec(), faults)));
            }
            if batch.is_empty() {
                break;
            }
            self.left -= batch.len();
            found.settled += batch.len();
            let (sets, faults): (Vec<_>, Vec<_>) = batch.into_iter().unzip();
            for (set, status) in sets.into_iter().zip(self.statuses(&faults)) {
                match status {
                    Status::Off => found.starve.push(set),
                    Status::On => found.feed.push(set),
                    Status::Unsure => found.undecided.push(set),
                }
            }
        }
        found
    }
}

/// In how many ways some can be chosen of many.
fn choose(of: usize, some: usize) -> u64 {
    let of = of as u64;
    (0..some as u64).fold(1, |count, i| {
        count.saturating_mul(of.saturating_sub(i)) / (i + 1)
    })
}
