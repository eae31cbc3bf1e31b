//! Many sets of faults in one state, each settled and then measured beside the sound circuit.

use super::cases::{Base, Bench, Book, Case, Near};
use crate::answer::StarveState;
use crate::answer::batch::{Batch, each};
use crate::answer::judged::judged;
use crate::answer::sound::SoundState;
use crate::circuit::{Fault, State};
use crate::flow::{Running, Sizes};
use crate::net::{Net, Stage};
use crate::settle::{Settled, settle};

/// A state settled sound and with each of some sets of faults.
pub(super) struct Tried<'n> {
    stage: Stage<'n>,
    sound: Settled,
    faulty: Vec<(Vec<Fault>, Settled)>,
}

impl<'n> Tried<'n> {
    /// Settles a state with each of some sets of faults, made ready in batches.
    pub fn of(net: &'n Net<'n>, state: &State, sets: &[Vec<Fault>], batches: &[Batch<'n>]) -> Self {
        let stage = Stage::new(net, state, &[]);
        let settled = each(batches, |batch| {
            batch.each(
                &stage,
                |_, members| members.iter().map(|_| None).collect(),
                |_, settled| settled.clone(),
            )
        });
        let mut settled: Vec<(usize, Settled)> = settled.into_iter().flatten().collect();
        settled.sort_by_key(|(number, _)| *number);
        let faulty = sets
            .iter()
            .cloned()
            .zip(settled.into_iter().map(|(_, s)| s));
        Tried {
            sound: settle(&stage),
            faulty: faulty.collect(),
            stage,
        }
    }

    /// What settling says of one of the sets of faults.
    pub fn settled(&self, set: usize, sound: &SoundState<'n>) -> StarveState {
        let (faults, settled) = &self.faulty[set];
        judged(sound, &self.stage.with(faults), settled, |_| false)
    }

    /// The sound circuit, measured.
    pub fn sound(&self, running: &Running, sizes: &Sizes, book: &mut Book) -> Base<'n> {
        let bench = Bench {
            running,
            sizes,
            faults: &[],
        };
        let cases = bench.cases(&self.stage, &self.sound, Near::default(), book);
        Base::from(cases)
    }

    /// One of the sets of faults measured, given what the sound circuit is measured to do.
    pub fn faulty(
        &self,
        set: usize,
        running: &Running,
        sizes: &Sizes,
        sound: &Base<'n>,
        book: &mut Book,
    ) -> Vec<Case<'n>> {
        let (faults, settled) = &self.faulty[set];
        let bench = Bench {
            running,
            sizes,
            faults,
        };
        bench.cases(&self.stage.with(faults), settled, Near::many(sound), book)
    }
}
