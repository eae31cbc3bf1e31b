//! Many sets of faults settled in one state: side by side where that is exact, else one by one.

use std::cell::OnceCell;

#[cfg(feature = "parallel")]
use rayon::prelude::*;

use crate::circuit::{Fault, Kind};
use crate::net::{Change, LANES, Net, PackedFaults, PackedStage, Stage};
use crate::settle::{PackedSettle, Settled, settle, settle_packed};

/// Sets of faults that go into one pass: a place is taken by the sound circuit.
pub(super) const MOST: usize = LANES - 1;

/// With fewer sets than this a pass costs more than it spares.
const FEWEST: usize = 8;

/// Some sets of faults, made ready for every state.
pub(super) struct Batch<'n> {
    members: Vec<Member>,
    /// The sets that are settled: the first has no fault, each of the others stands for all that
    /// change the same on the net.
    sets: Vec<Vec<Fault>>,
    laid: PackedFaults<'n>,
}

/// One of the sets that were asked about.
pub(super) struct Member {
    /// Its place among all that were asked about.
    pub number: usize,
    pub faults: Vec<Fault>,
    /// The scene it is settled in.
    pub lane: usize,
}

impl<'n> Batch<'n> {
    /// Makes sets ready, so many of them at a time as go into one pass.
    pub fn of(net: &'n Net<'n>, sets: &[Vec<Fault>]) -> Vec<Self> {
        let mut alike = alike(net, sets);
        // What is felt far and wide goes together: where scenes differ in little a pass takes less.
        alike.sort_by_key(|(change, _)| !change.as_ref().is_some_and(Change::drains));
        let batches = alike.chunks(MOST).map(|chunk| {
            let firsts = chunk.iter().map(|(_, numbers)| sets[numbers[0]].clone());
            let laid: Vec<Vec<Fault>> = std::iter::once(Vec::new()).chain(firsts).collect();
            let members = chunk.iter().zip(1..).flat_map(|((_, numbers), lane)| {
                numbers.iter().map(move |number| Member {
                    number: *number,
                    faults: sets[*number].clone(),
                    lane,
                })
            });
            Batch {
                members: members.collect(),
                laid: PackedFaults::new(net, &laid),
                sets: laid,
            }
        });
        batches.collect()
    }

    /// What becomes of each set in a state, with the place of the set among all asked about:
    /// `beside` tells it of as many as it can of those that settled side by side, `alone` of the
    /// others.
    pub fn each<T>(
        &self,
        sound: &Stage<'n>,
        beside: impl Fn(&PackedSettle<'_>, &[Member]) -> Vec<Option<T>>,
        alone: impl Fn(&[Fault], &Settled) -> T,
    ) -> Vec<(usize, T)> {
        let stage = PackedStage::new(sound, &self.laid);
        let packed = (self.sets.len() > FEWEST).then(|| {
            let mut packed = settle_packed(&stage);
            packed.settle_left(&self.sets);
            packed
        });
        let told = match &packed {
            Some(packed) => beside(packed, &self.members),
            None => self.members.iter().map(|_| None).collect(),
        };
        let settled: Vec<OnceCell<Settled>> = vec![OnceCell::new(); self.sets.len()];
        let members = self.members.iter().zip(told);
        let told = members.map(|(member, told)| {
            let told = told.unwrap_or_else(|| {
                let packed = || packed.as_ref()?.settled(member.lane);
                let settle = || packed().unwrap_or_else(|| settle(&sound.with(&member.faults)));
                alone(&member.faults, settled[member.lane].get_or_init(settle))
            });
            (member.number, told)
        });
        told.collect()
    }
}

/// Places of sets that change the same on the net, and settle alike. An accumulator that cushions
/// no more moves no oil, but is felt: it goes with no other.
fn alike(net: &Net<'_>, sets: &[Vec<Fault>]) -> Vec<(Option<Change>, Vec<usize>)> {
    let mut alike: Vec<(Option<Change>, Vec<usize>)> = Vec::new();
    for (number, faults) in sets.iter().enumerate() {
        let cushion = faults.iter().any(|f| f.part.kind == Kind::Accumulator);
        let change = (!cushion).then(|| Change::of(net, faults));
        let known = alike.iter_mut();
        let mut known = known.filter(|(known, _)| change.is_some() && *known == change);
        match known.next() {
            Some((_, numbers)) => numbers.push(number),
            None => alike.push((change, vec![number])),
        }
    }
    alike
}

/// Answers for each of some, on all threads of the pool this is called in.
pub(crate) fn each<I: Sync, T: Send>(of: &[I], answer: impl Fn(&I) -> T + Send + Sync) -> Vec<T> {
    #[cfg(feature = "parallel")]
    return of.par_iter().map(answer).collect();
    #[cfg(not(feature = "parallel"))]
    return of.iter().map(answer).collect();
}
