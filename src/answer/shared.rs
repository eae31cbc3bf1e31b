//! What the bad states of a chart share that the good ones do not use.

use serde::Serialize;

use super::chart::{ChartPart, ChartState};
use crate::circuit::PartName;

/// What bad states use and good ones do not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Shared {
    /// The bad states.
    pub bad: Vec<String>,
    /// The good states.
    pub good: Vec<String>,
    /// The parts that a greater share of the bad states uses than of the good: first those that
    /// all bad ones use and no good one, then by how many bad ones, then by how few good ones.
    ///
    /// A culprit that the good states use as much as the bad ones cannot stand here, whatever it
    /// does to the bad ones alone: the pump, a gasket over everything, a valve that every state needs somewhere. Nor
    /// can one that harms by doing what it should not, having nothing to do there: a plunger that
    /// pushes without being called.
    pub parts: Vec<SharedPart>,
}

/// How many of the bad and the good states use a part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SharedPart {
    /// The part.
    pub part: PartName,
    /// The kind of use that tells most.
    pub by: UsedBy,
    /// Bad states that use it.
    pub bad: usize,
    /// Good states that use it.
    pub good: usize,
}

/// In which way states use a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum UsedBy {
    /// Oil passes it or it keeps oil where it is, as [`Use`](super::Use) has it.
    Oil,
    /// Oil that must be gone runs off by it.
    LettingGo,
    /// It holds back oil that is used.
    HoldingBack,
    /// It has current, wholly or half.
    Current,
}

impl UsedBy {
    /// All of them.
    pub const ALL: [UsedBy; 4] = [
        UsedBy::Oil,
        UsedBy::LettingGo,
        UsedBy::HoldingBack,
        UsedBy::Current,
    ];
}

impl Shared {
    /// The parts that all bad states use and no good one.
    pub fn exactly(&self) -> impl Iterator<Item = &PartName> {
        let all = |p: &&SharedPart| p.bad == self.bad.len() && p.good == 0;
        self.parts.iter().filter(all).map(|p| &p.part)
    }

    /// Ranks the parts of a chart.
    pub(super) fn of(
        states: &[ChartState],
        parts: &[ChartPart],
        bad: Vec<String>,
        good: Vec<String>,
    ) -> Shared {
        let count = |part: &ChartPart, by: UsedBy, these: &[String]| {
            let used = states.iter().enumerate().filter(|(i, state)| {
                let named = state.state.as_ref().is_some_and(|id| these.contains(id));
                named && part.is_used(*i, by)
            });
            used.count()
        };
        let telling = |p: &SharedPart| (std::cmp::Reverse(p.bad), p.good);
        let mut found: Vec<SharedPart> = parts
            .iter()
            .filter_map(|part| {
                let counted = UsedBy::ALL.map(|by| SharedPart {
                    part: part.part.clone(),
                    by,
                    bad: count(part, by, &bad),
                    good: count(part, by, &good),
                });
                // A greater share of the bad than of the good.
                let shared = counted
                    .into_iter()
                    .filter(|p| p.bad > 0 && p.bad * good.len() >= p.good * bad.len())
                    .filter(|p| p.good == 0 || p.bad * good.len() > p.good * bad.len());
                shared.min_by_key(telling)
            })
            .collect();
        found.sort_by_key(telling);
        Shared {
            bad,
            good,
            parts: found,
        }
    }
}
