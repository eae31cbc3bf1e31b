//! The order of checks: a tree that asks what tells most for its effort, held against looking at
//! one part after the other.

use serde::Serialize;

use super::check::{Ask, Check, Checks};
use super::effort::{Efforts, access};
use super::group::{Group, worth};
use crate::circuit::{Access, Circuit};

/// A step of the plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PlanStep {
    /// Suspects that are left here, by their number in the list, the likeliest first.
    pub left: Vec<usize>,
    /// What this step and all that may follow it are expected to cost.
    pub effort: f64,
    /// The check to make; none where the parts of what is left are looked at one after the other.
    pub check: Option<Check>,
    /// What each outcome of the check leads to, the likeliest first.
    pub outcomes: Vec<PlanOutcome>,
}

/// One outcome of a check.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PlanOutcome {
    /// What is seen, as a reader would type it.
    pub seen: String,
    /// How likely it is here.
    pub chance: f64,
    /// What comes next.
    pub next: PlanStep,
}

impl PlanStep {
    /// Whether it, or a step that may follow, needs the block on the bench.
    #[must_use]
    pub fn on_bench(&self) -> bool {
        let own = self.check.as_ref().is_some_and(Check::on_bench);
        own || self.outcomes.iter().any(|outcome| outcome.next.on_bench())
    }
}

/// Checks one after the other at most.
const DEEPEST: usize = 4;

/// A suspect less likely than this, here, is left out of what is left.
const UNLIKELY: f64 = 0.03;

/// An outcome less likely than this, here, is left out.
const SELDOM: f64 = 0.03;

/// Some suspect has to show an outcome so often for it to be planned.
const EXPECTED: f64 = 0.25;

/// A check has to spare so much of what it would cost to look at one part after the other.
const SPARES: f64 = 0.05;

/// From this chance on a suspect is taken for found.
const FOUND: f64 = 0.9;

/// What a plan is made with.
pub(super) struct Planner<'p, 'n> {
    pub circuit: &'p Circuit,
    pub checks: Checks<'p, 'n>,
    pub groups: &'p [Group],
    pub efforts: Efforts,
    /// The checks, and which were made already.
    asks: Vec<Ask>,
    made: Vec<bool>,
}

impl<'p, 'n> Planner<'p, 'n> {
    pub fn new(
        circuit: &'p Circuit,
        checks: Checks<'p, 'n>,
        groups: &'p [Group],
        efforts: Efforts,
        made: impl Fn(Ask) -> bool,
    ) -> Self {
        let asks = checks.all();
        Planner {
            circuit,
            checks,
            groups,
            efforts,
            made: asks.iter().map(|ask| made(*ask)).collect(),
            asks,
        }
    }

    /// Whether a check, by its number among all, was not made yet.
    pub fn is_open(&self, check: usize) -> bool {
        !self.made[check]
    }

    /// The likelihoods of the groups, which add up to one.
    pub fn weights(&self) -> Vec<f64> {
        normal(self.groups.iter().map(|group| group.weight).collect())
    }

    /// The checks worth making where suspects are so likely, most for their effort first.
    pub fn worth(&self, weights: &[f64], opened: Access) -> Vec<(Ask, f64, Vec<f64>)> {
        self.worth_of(weights, opened, &self.made)
    }

    fn worth_of(
        &self,
        weights: &[f64],
        opened: Access,
        made: &[bool],
    ) -> Vec<(Ask, f64, Vec<f64>)> {
        let effort = |ask: Ask| self.checks.effort(ask, &self.efforts, opened);
        let worth = worth(&self.asks, weights, self.groups, effort);
        let open = worth.into_iter().filter(|(i, ..)| !made[*i]);
        open.map(|(i, bits, outcomes)| (self.asks[i], bits, outcomes))
            .collect()
    }

    /// How likely the groups are once a check showed this.
    pub fn after(&self, weights: &[f64], ask: Ask, outcome: usize) -> Vec<f64> {
        let i = self.asks.iter().position(|known| *known == ask);
        let chances = self
            .groups
            .iter()
            .map(|group| i.map_or(1.0, |i| group.chances[i][outcome]));
        normal(weights.iter().zip(chances).map(|(w, c)| w * c).collect())
    }

    /// The whole plan.
    pub fn tree(&self) -> PlanStep {
        let mut made = self.made.clone();
        self.step(&self.weights(), Access::Outside, &mut made, 0)
    }

    fn step(&self, weights: &[f64], opened: Access, made: &mut [bool], depth: usize) -> PlanStep {
        let by_likelihood = self.one_by_one(weights, opened);
        let last = PlanStep {
            left: left(weights),
            effort: by_likelihood,
            check: None,
            outcomes: Vec::new(),
        };
        let surest = weights.iter().copied().fold(0.0, f64::max);
        if depth == DEEPEST || surest >= FOUND {
            return last;
        }
        let worth = self.worth_of(weights, opened, made);
        // What tells most for its effort; and the best on the bench, which pays once the block is
        // out, however dear that was.
        let on_bench = |(ask, ..): &&(Ask, f64, Vec<f64>)| ask.on_bench();
        let best = worth.first().filter(|best| !on_bench(best));
        let tried = best.into_iter().chain(worth.iter().find(on_bench));
        let tried = tried
            .map(|(ask, _, outcomes)| self.checked(*ask, outcomes, weights, opened, made, depth));
        let cheapest = tried.min_by(|a, b| a.effort.total_cmp(&b.effort));
        match cheapest {
            Some(step) if step.effort <= (1.0 - SPARES) * by_likelihood => step,
            _ => last,
        }
    }

    /// A step that makes a check.
    fn checked(
        &self,
        ask: Ask,
        outcomes: &[f64],
        weights: &[f64],
        opened: Access,
        made: &mut [bool],
        depth: usize,
    ) -> PlanStep {
        let place = self.asks.iter().position(|known| *known == ask);
        let mut effort = self.checks.effort(ask, &self.efforts, opened);
        if let Some(place) = place {
            made[place] = true;
        }
        let opened = self.checks.opened(ask, opened);
        let mut next = Vec::new();
        for (outcome, chance) in outcomes.iter().enumerate().filter(|(_, c)| **c > 1e-9) {
            let after = self.after(weights, ask, outcome);
            // What hardly ever comes is not planned, and costs what looking costs.
            let expected = |(group, weight): (&Group, &f64)| {
                place.is_some_and(|i| group.chances[i][outcome] >= EXPECTED) && *weight >= UNLIKELY
            };
            let expected = self.groups.iter().zip(weights).any(expected);
            if *chance < SELDOM || !expected {
                effort += chance * self.one_by_one(&after, opened);
                continue;
            }
            let step = self.step(&after, opened, made, depth + 1);
            effort += chance * step.effort;
            next.push(PlanOutcome {
                seen: self.checks.typed(ask, outcome),
                chance: *chance,
                next: step,
            });
        }
        if let Some(place) = place {
            made[place] = false;
        }
        next.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        PlanStep {
            left: left(weights),
            effort,
            check: Some(self.checks.told(ask, &self.efforts)),
            outcomes: next,
        }
    }

    /// What it is expected to cost to look at the parts of one suspect after the other, those first
    /// that are likeliest for what they cost.
    pub fn one_by_one(&self, weights: &[f64], opened: Access) -> f64 {
        let mut order: Vec<(f64, f64, Access)> = Vec::new();
        for (weight, group) in weights.iter().zip(self.groups) {
            let whole: f64 = group.members.iter().map(|m| m.weight).sum();
            for member in &group.members {
                let faults = member.rows.iter().filter_map(|row| row.first());
                let reach = faults.map(|fault| access(self.circuit, fault)).max();
                let share = weight * member.weight / whole;
                let looks = self.efforts.look * member.rows.len() as f64;
                order.push((share, looks, reach.unwrap_or(Access::Bench)));
            }
        }
        let cost =
            |(_, looks, reach): &(f64, f64, Access)| looks + self.efforts.reach(*reach, opened);
        order.sort_by(|a, b| {
            let rate = |o: &(f64, f64, Access)| o.0 / cost(o).max(1e-9);
            rate(b).total_cmp(&rate(a))
        });
        let mut spent = 0.0;
        let mut opened = opened;
        let mut expected = 0.0;
        for (share, looks, reach) in order {
            spent += looks + self.efforts.reach(reach, opened);
            opened = opened.max(reach);
            expected += share * spent;
        }
        expected
    }
}

fn normal(weights: Vec<f64>) -> Vec<f64> {
    let sum: f64 = weights.iter().sum();
    match sum > 0.0 {
        true => weights.into_iter().map(|weight| weight / sum).collect(),
        false => weights,
    }
}

/// The suspects that are left, the likeliest first.
pub(super) fn left(weights: &[f64]) -> Vec<usize> {
    let mut left: Vec<usize> = (0..weights.len())
        .filter(|i| weights[*i] >= UNLIKELY)
        .collect();
    left.sort_by(|a, b| weights[*b].total_cmp(&weights[*a]));
    left
}
