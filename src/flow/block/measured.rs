//! Pressures and flows of a block, as they were measured.

use std::sync::Arc;

use fixedbitset::FixedBitSet;

use crate::circuit::{Kind, PartName};
use crate::flow::Doubt;
use crate::flow::law::Stand;
use crate::flow::lists::Lists;
use crate::net::{Cavity, SUMP_CAVITY};

/// What goes by one part from one cavity to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Stream {
    /// The part.
    pub part: PartName,
    /// The cavities; the sump for what a bearing uses up.
    pub ends: [Cavity; 2],
    /// Flow from the first to the second, in m³/s.
    pub flow: f64,
    /// Where a ball, a relief or a regulator stands; none of what does not move by itself.
    pub stand: Option<Stand>,
    /// Where its law is outside what it was made for.
    pub doubts: Vec<Doubt>,
}

/// Pressures and flows of a block.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Pressure of each cavity by number, in Pa; none where nothing sets it (trapped).
    pub pressures: Vec<Option<f64>>,
    /// What goes by each part.
    pub streams: Vec<Stream>,
    /// Pumps left out, since what they move cannot leave: the pressure there rises until something
    /// gives.
    pub dead_ended: Vec<PartName>,
    /// By cavity, the streams that meet there.
    pub(super) meeting: Arc<Lists<u32>>,
    /// Cavities that ways lead to from a source.
    pub(super) reached: FixedBitSet,
    /// By stream, the pressures at its two mouths, in Pa.
    pub(super) mouths: Vec<[f64; 2]>,
    /// The most that any cavity is out of balance by, in m³/s.
    pub imbalance: f64,
    /// Newton steps taken.
    pub steps: usize,
    /// Whether it balances. If not, these are the best pressures found, no answer.
    pub converged: bool,
}

impl Measured {
    /// What goes by a part at a cavity.
    pub fn streams_at<'m>(
        &'m self,
        cavity: Cavity,
        part: &'m PartName,
    ) -> impl Iterator<Item = &'m Stream> {
        let here = self.meeting.of(cavity.number()).iter();
        let here = here.map(|i| &self.streams[*i as usize]);
        here.filter(move |stream| stream.part == *part)
    }

    /// Whether ways lead from a source to a cavity, a ball on its seat only as it passes oil.
    #[must_use]
    pub fn reaches(&self, cavity: Cavity) -> bool {
        self.reached.contains(cavity.number())
    }
}

/// Cavities that ways lead to from where sources feed; not on through the sump.
pub(super) fn reached(fed: &[Cavity], meeting: &Lists<u32>, streams: &[Stream]) -> FixedBitSet {
    let mut reached = FixedBitSet::with_capacity(meeting.count());
    let mut open = Vec::from(fed);
    reached.extend(fed.iter().map(|cavity| cavity.number()));
    while let Some(at) = open.pop() {
        for stream in meeting
            .of(at.number())
            .iter()
            .map(|i| &streams[*i as usize])
        {
            let [from, to] = stream.ends;
            let one_way = stream.part.kind == Kind::Ball && stream.stand.is_some();
            let beyond = match at {
                at if at == from => to,
                _ if one_way => continue,
                _ => from,
            };
            if beyond != SUMP_CAVITY && !reached.put(beyond.number()) {
                open.push(beyond);
            }
        }
    }
    reached
}
