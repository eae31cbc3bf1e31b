//! Many sets of faults settled in one state: side by side where that is exact, else one by one.

#[cfg(feature = "parallel")]
use rayon::prelude::*;

use crate::circuit::Fault;
use crate::net::{LANES, Net, PackedFaults, PackedStage, Stage};
use crate::settle::{Settled, settle, settle_packed};

/// Sets of faults that go into one pass: a place is taken by the sound circuit.
pub(super) const MOST: usize = LANES - 1;

/// With fewer sets than this a pass costs more than it spares.
const FEWEST: usize = 8;

/// Some sets of faults, made ready for every state.
pub(super) struct Batch<'n> {
    /// The sets; the first has no fault.
    sets: Vec<Vec<Fault>>,
    laid: PackedFaults<'n>,
}

impl<'n> Batch<'n> {
    /// Makes sets ready, so many of them at a time as go into one pass.
    pub fn of(net: &'n Net<'n>, sets: &[Vec<Fault>]) -> Vec<Self> {
        let batches = sets.chunks(MOST).map(|chunk| {
            let sets: Vec<Vec<Fault>> = std::iter::once(Vec::new())
                .chain(chunk.iter().cloned())
                .collect();
            let laid = PackedFaults::new(net, &sets);
            Batch { sets, laid }
        });
        batches.collect()
    }

    /// What becomes of each set in a state: `tell` gets the faults and how they settle, none
    /// where nothing differs from the sound circuit in anything that is told of an outlet.
    pub fn each<T>(
        &self,
        sound: &Stage<'n>,
        tell: impl Fn(&[Fault], Option<Settled>) -> T,
    ) -> Vec<T> {
        let alone = |faults: &Vec<Fault>| tell(faults, Some(settle(&sound.with(faults))));
        if self.sets.len() <= FEWEST {
            return self.sets[1..].iter().map(alone).collect();
        }
        let stage = PackedStage::new(sound, &self.laid);
        let packed = settle_packed(&stage);
        let quiet = packed.quiet();
        let sets = self.sets.iter().enumerate().skip(1);
        let told = sets.map(|(lane, faults)| match packed.settled(lane) {
            _ if quiet.contains(lane) => tell(faults, None),
            Some(settled) => tell(faults, Some(settled)),
            None => alone(faults),
        });
        told.collect()
    }
}

/// Answers for each of some, on all threads of the pool this is called in.
pub(super) fn each<I: Sync, T: Send>(of: &[I], answer: impl Fn(&I) -> T + Send + Sync) -> Vec<T> {
    #[cfg(feature = "parallel")]
    return of.par_iter().map(answer).collect();
    #[cfg(not(feature = "parallel"))]
    return of.iter().map(answer).collect();
}
