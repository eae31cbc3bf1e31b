//! How something drives, held against what the declared states apply.

use serde::Serialize;

use super::{on, states};
use crate::circuit::{PartName, State};
use crate::net::{Net, Stage};
use crate::settle::{Settled, settle};

/// How something drives, held against how it should.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum DrivesAs {
    /// As it should: with its plug pulled, as with current.
    Same,
    /// Like another declared state.
    Like,
    /// Not at all: nothing is applied that was.
    None,
    /// Something of it is missing.
    Flare,
    /// Something more is applied beside it.
    Bind,
    /// Something is applied where nothing should be.
    Creeps,
    /// Like no declared state: something is missing and something else applied.
    Unlike,
    /// It cannot be said.
    Unsure,
}

/// One declared state, sound and settled from cold.
pub(super) struct Settling<'s> {
    pub id: Option<&'s str>,
    pub state: &'s State,
    pub settled: Settled,
    /// What it applies, sorted.
    pub applied: Vec<PartName>,
}

impl<'s> Settling<'s> {
    /// Every declared state; one nameless state for a circuit that declares none.
    pub fn every(net: &'s Net<'_>) -> Vec<Self> {
        let states = states(net.circuit(), None).into_iter();
        states
            .map(|(id, state)| Settling::of(net, id, state))
            .collect()
    }

    fn of(net: &Net<'_>, id: Option<&'s str>, state: &'s State) -> Self {
        let settled = settle(&Stage::new(net, state, &[]));
        Settling {
            id,
            state,
            applied: named(on::applied(net, &settled)),
            settled,
        }
    }
}

pub(super) fn named(parts: Vec<&PartName>) -> Vec<PartName> {
    parts.into_iter().cloned().collect()
}

/// How a state drives that should apply one thing and applies another, and which of all declared
/// states applies the same: itself where that is as it should be, else one with the lever in the
/// same detent before others. `unsure` where it cannot be said what is applied.
pub(super) fn drives(
    own: &Settling<'_>,
    all: &[Settling<'_>],
    should: &[PartName],
    applied: &[PartName],
    unsure: bool,
) -> (DrivesAs, Option<String>) {
    if unsure {
        return (DrivesAs::Unsure, None);
    }
    if applied == should {
        return (DrivesAs::Same, own.id.map(str::to_owned));
    }
    let mut like: Vec<&Settling<'_>> = all.iter().filter(|s| s.applied == applied).collect();
    like.sort_by_key(|s| s.state.lever != own.state.lever);
    let like = like.first().and_then(|s| s.id);
    let missing = should.iter().any(|part| !applied.contains(part));
    let extra = applied.iter().any(|part| !should.contains(part));
    let drives = match like {
        _ if applied.is_empty() => DrivesAs::None,
        Some(_) => DrivesAs::Like,
        None if should.is_empty() => DrivesAs::Creeps,
        None if missing && extra => DrivesAs::Unlike,
        None if missing => DrivesAs::Flare,
        None => DrivesAs::Bind,
    };
    (drives, like.map(str::to_owned))
}
