//! One state settled and measured twice: sound, and with its faults.

use super::cases::{Bench, Book, Case, Near};
use crate::circuit::{Fault, State};
use crate::net::{Net, Stage};
use crate::settle::{Settled, settle};

/// A state settled sound and with its faults: nothing that sizes, speed or oil change.
pub(super) struct Settlings<'n> {
    sound: (Stage<'n>, Settled),
    now: Option<(Stage<'n>, Settled)>,
}

impl<'n> Settlings<'n> {
    pub fn of(net: &'n Net<'n>, state: &State, faults: &[Fault]) -> Self {
        let settled = |stage: Stage<'n>| {
            let settled = settle(&stage);
            (stage, settled)
        };
        let sound = Stage::new(net, state, &[]);
        let now = (!faults.is_empty()).then(|| settled(sound.with(faults)));
        Settlings {
            sound: settled(sound),
            now,
        }
    }
}

/// A state measured sound and with its faults.
pub(super) struct Sides<'n> {
    pub sound: Vec<Case<'n>>,
    pub now: Option<Vec<Case<'n>>>,
}

impl Bench<'_> {
    /// Measures a state, sound and with its faults; begun from the pressures of another measurement
    /// that differs little, if there is one.
    pub fn sides<'n>(
        &self,
        settlings: &Settlings<'n>,
        near: Option<&Sides<'n>>,
        book: &mut Book,
    ) -> Sides<'n> {
        let sound = Bench {
            faults: &[],
            ..*self
        };
        let (stage, settled) = &settlings.sound;
        let from = near.map(|near| Near::once(&near.sound));
        let sound = sound.cases(stage, settled, from.unwrap_or_default(), book);
        let now = settlings.now.as_ref().map(|(stage, settled)| {
            let from = near.and_then(|near| near.now.as_deref()).map(Near::once);
            self.cases(stage, settled, from.unwrap_or_default(), book)
        });
        Sides { sound, now }
    }
}

impl<'n> Sides<'n> {
    /// The cases that hold now: those with the faults, if there are any.
    pub fn present(&self) -> &[Case<'n>] {
        self.now.as_ref().unwrap_or(&self.sound)
    }
}
