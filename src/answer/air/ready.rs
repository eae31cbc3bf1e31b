//! One check by air made ready, so that any faults can be tried in it.

use std::collections::HashSet;

use super::bench::{AirBench, AirSetup};
use super::found::AirFound;
use super::signs::AirSign;
use crate::circuit::{Fault, Kind, PartName};
use crate::net::{Cavity, Change};

/// A check with what a sound block does in it.
#[derive(Clone, Debug)]
pub struct AirReady {
    /// The check.
    pub setup: AirSetup,
    /// What a sound block does.
    pub sound: AirFound,
    /// Where a fault can be felt.
    felt: HashSet<Cavity>,
    /// The cavities the air gets to in a sound block.
    pub(crate) wet: Vec<Cavity>,
}

impl AirBench<'_> {
    /// Makes a check ready.
    #[must_use]
    pub fn ready(&self, setup: &AirSetup) -> AirReady {
        let (sound, wet) = self.found(&self.stage(setup, &[]), setup.at);
        AirReady {
            setup: setup.clone(),
            felt: self.felt(&wet),
            sound,
            wet,
        }
    }

    /// The checks that someone means who blows into a passage, or into an outlet: those that put
    /// air there or stroke it. Where the sheet has none, air goes straight there, all assembled. Those
    /// that tell nothing, since air goes off at once on a sound block and strokes nothing, are left out.
    #[must_use]
    pub fn meant(&self, part: &PartName) -> Vec<AirReady> {
        let net = self.net;
        let at = match part.kind {
            Kind::Passage => net.cavity(&part.to_string()),
            _ => net.outlet(part).map(|outlet| outlet.user.feed()),
        };
        let ready = self.setups().iter().map(|setup| self.ready(setup));
        let means = |r: &AirReady| Some(r.setup.at) == at || r.sound.strokes.contains(part);
        let mut found: Vec<AirReady> = ready.filter(means).collect();
        if let (true, Some(at)) = (found.is_empty(), at) {
            found.push(self.ready(&self.best(None, at, Vec::new())));
        }
        found.retain(|ready| !ready.sound.tests_nothing());
        found
    }

    /// What some faults together show in a check otherwise than a sound block, sorted. It blows
    /// only where one of them can be felt there.
    #[must_use]
    pub fn signs(&self, ready: &AirReady, faults: &[Fault]) -> Vec<AirSign> {
        let found = self.felt_in(ready, faults);
        found.map_or_else(Vec::new, |found| found.signs(&ready.sound))
    }

    /// What air does in a check with some faults; none where none of them can be felt there.
    pub(crate) fn felt_in(&self, ready: &AirReady, faults: &[Fault]) -> Option<AirFound> {
        let felt = |fault: &Fault| {
            let change = || Change::of(self.net, std::slice::from_ref(fault));
            self.has(&ready.setup, fault) && self.may_tell(&ready.felt, fault, &change())
        };
        let any = faults.iter().any(felt);
        any.then(|| self.blow(&ready.setup, faults))
    }
}
