//! What faults change on a net, so that two can be compared and placed.

use super::overlay::{Overlay, Spring};
use super::{Cavity, Drive, Net, SUMP_CAVITY, Strength, WayId};
use crate::circuit::Fault;
use crate::units::Length;

/// What a fault, or some together, change on a net, as far as oil is concerned.
///
/// What has equal changes does the same beside any other faults: a scene takes the changes of all
/// its faults as sets, and looks at no more of a fault than these. Equal changes together do what
/// one of them does.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The ways it adds. Which part is blamed for them moves no oil.
    added: Vec<([Cavity; 2], Strength, Option<Length>)>,
    plugged: Vec<Cavity>,
    shut: Vec<usize>,
    bared: Vec<usize>,
    doubtful: Vec<usize>,
    maybe_open: Vec<usize>,
    failed: Vec<usize>,
    /// Regulators that keep their cavity down no more: that moves no oil, but it is felt.
    raised: Vec<usize>,
    weak: Vec<usize>,
    stuck: Vec<(usize, u32)>,
    springs: Vec<(usize, Spring)>,
    drives: Vec<(usize, Drive)>,
    swapped: Vec<[usize; 2]>,
}

impl Change {
    /// What some faults change.
    #[must_use]
    pub fn of(net: &Net<'_>, faults: &[Fault]) -> Self {
        let overlay = Overlay::of(net, faults);
        let sorted = |mut ways: Vec<usize>| {
            ways.sort_unstable();
            ways.dedup();
            ways
        };
        let added = overlay.added.into_iter();
        let mut added: Vec<_> = added.map(|w| (w.ends, w.strength, w.bore)).collect();
        added.dedup();
        Change {
            added,
            plugged: overlay.plugged,
            shut: sorted(overlay.shut),
            bared: sorted(overlay.bared),
            doubtful: sorted(overlay.doubtful),
            maybe_open: sorted(overlay.maybe_open),
            failed: overlay.failed,
            raised: overlay.raised,
            weak: overlay.weak,
            stuck: overlay.stuck,
            springs: overlay.springs,
            drives: overlay.drives,
            swapped: overlay.swapped,
        }
    }

    /// Whether it changes nothing that moves oil, such as an accumulator that no longer cushions.
    #[must_use]
    pub fn is_none(&self) -> bool {
        self.ways().next().is_none()
            && self.added.is_empty()
            && self.plugged.is_empty()
            && self.failed.is_empty()
            && self.weak.is_empty()
            && self.stuck.is_empty()
            && self.springs.is_empty()
            && self.drives.is_empty()
            && self.swapped.is_empty()
    }

    /// Whether it opens a wide way to the sump: that is felt far and wide.
    pub(crate) fn drains(&self) -> bool {
        let mut added = self.added.iter();
        added.any(|(ends, strength, _)| *strength == Strength::Open && ends.contains(&SUMP_CAVITY))
    }

    /// The ends of the ways it adds.
    pub fn joins(&self) -> impl Iterator<Item = [Cavity; 2]> + '_ {
        self.added.iter().map(|(ends, _, _)| *ends)
    }

    /// The ways of the net that it shuts, opens or puts in doubt; those at a cavity that it plugs
    /// are among them.
    pub fn ways(&self) -> impl Iterator<Item = WayId> + '_ {
        let ways = [&self.shut, &self.bared, &self.doubtful, &self.maybe_open];
        ways.into_iter().flatten().map(|way| WayId(*way as u32))
    }

    /// Whether it leaves any way in doubt.
    #[must_use]
    pub fn leaves_doubt(&self) -> bool {
        !(self.doubtful.is_empty() && self.maybe_open.is_empty())
    }

    /// Cavities that nothing passes any more.
    #[must_use]
    pub fn plugged(&self) -> &[Cavity] {
        &self.plugged
    }
}
