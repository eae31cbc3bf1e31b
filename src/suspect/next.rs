//! What to check next, and the whole plan.

use serde::Serialize;

use super::check::Check;
use super::effort::Efforts;
use super::inquiry::Inquiry;
use super::plan::{PlanStep, left};
use super::suspects::{SeenTold, SuspectSet};
use crate::answer::{Answer, Depth};
use crate::circuit::Access;

/// Which check to make next, what each outcome leaves, and the whole plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Next {
    /// How deep the answer looks.
    pub depth: Depth,
    /// What was seen, in the order given.
    pub seen: Vec<SeenTold>,
    /// What checks cost.
    pub efforts: Efforts,
    /// The suspects that the plan tells apart, the likeliest first; each is the sets of faults that
    /// no check tells apart.
    pub suspects: Vec<Vec<SuspectSet>>,
    /// The share of the chance that they have.
    pub share: f64,
    /// The checks that tell most for their effort, the best first.
    pub checks: Vec<NextCheck>,
    /// The plan: what the best check is after each outcome.
    pub plan: PlanStep,
    /// What it is expected to cost to look at the parts one after the other instead, those first
    /// that are likeliest for what they cost.
    pub one_by_one: f64,
}

impl Answer for Next {
    const NAME: &'static str = "next";
    const VERSION: u32 = 1;

    /// It says what to do, not what is.
    fn wrong(&self) -> bool {
        false
    }
}

/// A check that tells something.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct NextCheck {
    /// The check.
    pub check: Check,
    /// How many bits it is expected to tell.
    pub bits: f64,
    /// What it can show, the likeliest first.
    pub outcomes: Vec<NextOutcome>,
}

/// What a check can show, and what that leaves.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct NextOutcome {
    /// What is seen, as a reader would type it.
    pub seen: String,
    /// How likely that is.
    pub chance: f64,
    /// The suspects that are left, by number, the likeliest first.
    pub left: Vec<usize>,
}

/// Checks told at most.
const CHECKS: usize = 5;
/// An outcome less likely than this is not told.
const SELDOM: f64 = 0.03;

impl Inquiry<'_> {
    /// What to check next.
    #[must_use]
    pub fn next(&self) -> Next {
        let whole = self.whole().max(f64::MIN_POSITIVE);
        let (planner, checks) = (self.planner(), self.checks());
        let weights = planner.weights();
        let worth = planner.worth(&weights, Access::Outside).into_iter();
        let worth = worth.take(CHECKS).map(|(ask, bits, outcomes)| {
            let mut told: Vec<NextOutcome> = outcomes
                .iter()
                .enumerate()
                .filter(|(_, chance)| **chance >= SELDOM)
                .map(|(outcome, chance)| NextOutcome {
                    seen: checks.typed(ask, outcome),
                    chance: *chance,
                    left: left(&planner.after(&weights, ask, outcome)),
                })
                .collect();
            told.sort_by(|a, b| b.chance.total_cmp(&a.chance));
            NextCheck {
                check: checks.told(ask, &self.question.efforts),
                bits,
                outcomes: told,
            }
        });
        let members = self.groups().iter();
        Next {
            depth: self.depth(),
            seen: self.seen(),
            efforts: self.question.efforts,
            suspects: members
                .clone()
                .map(|group| group.members.iter().map(|h| self.set(h, whole)).collect())
                .collect(),
            share: members.map(|group| group.weight).sum::<f64>() / whole,
            checks: worth.collect(),
            plan: planner.tree(),
            one_by_one: planner.one_by_one(&weights, Access::Outside),
        }
    }
}
