//! What to check next, in words.

use super::page::{Block, Line, Page, Role};
use super::sought::{brief, check, notes, percent, seen, sets, typed};
use super::words::{self, Words};
use crate::suspect::{Next, NextCheck, PlanStep};

/// Sets of faults named in one place at most; the rest is counted.
const NAMED: usize = 5;
/// Suspects named after one outcome at most; the rest is counted.
const LEFT: usize = 5;

/// The report of what to check next: the best check in one sentence, the suspects by number, the
/// checks that tell most with what each outcome leaves, the plan as a tree, and what it costs held
/// against looking at one part after the other.
#[must_use]
pub fn next(answer: &Next, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    blocks.push(Block::Heading("What was seen".into()));
    blocks.push(seen(&answer.seen, words));
    told.suspects(&mut blocks);
    told.checks(&mut blocks);
    told.plan(&mut blocks);
    told.efforts(&mut blocks);
    let on_bench = answer.checks.iter().any(|next| next.check.on_bench());
    let on_bench = on_bench || answer.plan.on_bench();
    blocks.extend(notes(&answer.seen, answer.depth, on_bench));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Next,
    words: &'a Words<'a>,
}

impl Told<'_> {
    fn lead(&self) -> Line {
        match (&self.answer.suspects[..], &self.answer.plan.check) {
            ([], _) => "No fault that was tried fits everything that was seen: there is nothing \
                 to tell apart."
                .into(),
            ([one], _) => {
                sets(one, NAMED, self.words).capital()
                    + ": the only suspect. No check is needed; look at it."
            }
            (_, Some(first)) => {
                let line = Line::role(Role::Strong, "Next: ") + check(first, self.words) + ".";
                line + format!(
                    " The whole plan is expected to cost {}, looking at the parts one after the \
                     other {}.",
                    effort(self.answer.plan.effort),
                    effort(self.answer.one_by_one)
                )
            }
            (suspects, None) if self.answer.checks.is_empty() => {
                sets(&suspects[0], NAMED, self.words).capital()
                    + ": look at that first. No check that can still be made tells the suspects \
                       apart."
            }
            (suspects, None) => {
                sets(&suspects[0], NAMED, self.words).capital()
                    + format!(
                        ": look at that first. No check is worth what it costs; looking at the \
                         parts one after the other is expected to cost {}.",
                        effort(self.answer.one_by_one)
                    )
            }
        }
    }

    fn suspects(&self, blocks: &mut Vec<Block>) {
        if self.answer.suspects.is_empty() {
            return;
        }
        blocks.push(Block::Heading("The suspects".into()));
        let rows = self.answer.suspects.iter().zip(1..).map(|(sets, number)| {
            let share: f64 = sets.iter().map(|set| set.share).sum();
            vec![
                number.to_string().into(),
                percent(share).into(),
                typed(sets, NAMED),
            ]
        });
        blocks.push(Block::table(&["", "chance", "suspect"], rows.collect()));
    }

    fn checks(&self, blocks: &mut Vec<Block>) {
        if self.answer.checks.is_empty() {
            return;
        }
        blocks.push(Block::Heading(
            "Checks that tell most for their effort".into(),
        ));
        let items = self.answer.checks.iter().map(|next| self.outcome(next));
        blocks.push(Block::Steps(items.collect()));
    }

    fn outcome(&self, next: &NextCheck) -> Line {
        let line = check(&next.check, self.words).capital();
        let line = line + format!(" (effort {}). ", effort(next.check.effort));
        let outcomes = next.outcomes.iter().map(|outcome| {
            let line = Line::id(&outcome.seen) + " (" + percent(outcome.chance) + "): ";
            line + numbers(&outcome.left)
        });
        let mut outcomes = outcomes;
        let first = outcomes.next().unwrap_or_default();
        outcomes.fold(line + first, |line, next| line + "; " + next) + "."
    }

    fn efforts(&self, blocks: &mut Vec<Block>) {
        if self.answer.checks.is_empty() && self.answer.plan.check.is_none() {
            return;
        }
        let efforts = &self.answer.efforts;
        let told = format!(
            "Efforts, against each other: drive a state {}, a gauge outside {}, the pan off {} \
             once, onto the bench {} once, there air {} a place and vacuum {} a bore, look at one \
             part {} (assumptions; change them with --effort).",
            efforts.drive,
            efforts.outside,
            efforts.pan_off,
            efforts.bench,
            efforts.air,
            efforts.vacuum,
            efforts.look
        );
        blocks.push(Block::Text(told.into()));
    }

    fn plan(&self, blocks: &mut Vec<Block>) {
        if self.answer.plan.check.is_none() {
            return;
        }
        blocks.push(Block::Heading("The plan".into()));
        let mut lines = Vec::new();
        self.step(&self.answer.plan, "", &mut lines);
        blocks.push(Block::Tree(lines));
        if self.answer.plan.on_bench() {
            blocks.push(Block::Text(words::quoted(
                "Air checks are numbered as on the sheet that `bench --only air` makes: it says by \
                 which hole, with the lever where and what has to be closed.",
            )));
        }
    }

    fn step(&self, step: &PlanStep, before: &str, lines: &mut Vec<Line>) {
        let Some(made) = &step.check else {
            return;
        };
        lines.push(Line::from(before.to_owned()) + brief(made, self.words));
        for outcome in &step.outcomes {
            let line = Line::from(format!("{before}  ")) + Line::id(&outcome.seen);
            let line = line + format!(" ({})", percent(outcome.chance));
            match outcome.next.check {
                Some(_) => {
                    lines.push(line);
                    self.step(&outcome.next, &format!("{before}    "), lines);
                }
                None => lines.push(line + ": look at " + numbers(&outcome.next.left)),
            }
        }
    }
}

/// Suspects by number: `1, 2 or 5`.
fn numbers(left: &[usize]) -> Line {
    if left.is_empty() {
        return "none of the suspects".into();
    }
    let numbers = left.iter().map(|n| Line::from((n + 1).to_string()));
    Line::few(numbers, LEFT, "or")
}

/// An effort: a number without a unit.
fn effort(effort: f64) -> String {
    match effort {
        whole if whole.fract().abs() < 0.05 => format!("{whole:.0}"),
        part => format!("{part:.1}"),
    }
}
