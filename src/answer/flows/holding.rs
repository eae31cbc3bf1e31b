//! One state, in which what settling says of each fault is held against what is measured.

use super::Gets;
use super::cases::{Base, Book};
use super::differ::Differ;
use super::gathered::kept;
use super::ranges::{measured, reaching};
use super::tally::{Says, Share};
use super::tried::Tried;
use crate::answer::{StarveState, Verdict};
use crate::circuit::PartName;
use crate::flow::{Running, Sizes};
use crate::net::{Net, NetOutlet};

/// How far gone faults are looked at to see whether a contradiction hangs on that.
const EXTENTS: [f64; 2] = [0.25, 4.0];

/// One state, against whose sound figures faults are held.
pub(super) struct Holding<'a> {
    pub net: &'a Net<'a>,
    pub tried: &'a Tried<'a>,
    pub running: &'a Running,
    pub sizes: &'a Sizes,
    pub base: &'a Base<'a>,
    /// Every outlet that should have oil, with what reaches it.
    pub outlets: Vec<(&'a NetOutlet, Gets)>,
}

impl Holding<'_> {
    /// What settling says of each outlet; nothing of what is no outlet to it.
    pub fn says(&self, state: &StarveState) -> Vec<Option<Says>> {
        let fails = |source: &PartName| {
            state.will_not_build.contains(source) || state.cannot_draw.contains(source)
        };
        let builds = !self.net.sources().iter().all(|source| fails(&source.name));
        let says = self.outlets.iter().map(|(outlet, _)| {
            let mut verdicts = state.outlets.iter().filter(|v| v.outlet == outlet.name);
            let verdict = verdicts.next()?.verdict;
            Some(Says { verdict, builds })
        });
        says.collect()
    }

    /// What each contradiction comes from.
    pub fn causes(
        &self,
        number: usize,
        says: &[Option<Says>],
        shares: &[Share],
        book: &mut Book,
    ) -> Vec<Option<Differ>> {
        let mut causes = vec![None; shares.len()];
        let differs =
            |i: usize, shares: &[Share]| says[i].is_some_and(|s| s.contradicts(shares[i]));
        let found: Vec<usize> = (0..shares.len()).filter(|i| differs(*i, shares)).collect();
        if found.is_empty() {
            return causes;
        }
        // Gone more and less far; what has no extent is the same again.
        let elsewhere = EXTENTS.map(|extent| self.shares(number, extent, book));
        for i in found {
            let gone = elsewhere.iter().any(|shares| !differs(i, shares));
            let lost = says[i].is_some_and(|says| says.builds && says.verdict != Verdict::Starved);
            let builds = says[i].is_some_and(|says| says.builds);
            causes[i] = Some(match (gone, lost) {
                (true, _) => Differ::Extent,
                (_, true) => Differ::Amounts,
                _ if !builds => Differ::PumpKeepsUp,
                _ => Differ::Unexplained,
            });
        }
        causes
    }

    /// What each outlet keeps with one fault, gone so many times as far as is usual.
    pub fn shares(&self, number: usize, extent: f64, book: &mut Book) -> Vec<Share> {
        let sizes = &self.sizes.gone(extent);
        let faulty = self
            .tried
            .faulty(number, self.running, sizes, self.base, book);
        let solved =
            !faulty.is_empty() && measured(&faulty).all(|m| m.converged && m.dead_ended.is_empty());
        let shares = self.outlets.iter().map(|(outlet, sound)| {
            if kept(*sound, *sound, outlet).is_none() {
                return Share::Nothing;
            }
            let now = reaching(measured(&faulty), outlet);
            match kept(now, *sound, outlet).filter(|_| solved) {
                Some(share) => Share::Of(share),
                None => Share::Unmeasured,
            }
        });
        shares.collect()
    }
}
