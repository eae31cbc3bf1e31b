//! One kind of question, drawn from the circuit one after the other.

use std::collections::{BTreeSet, VecDeque};

use super::facts::Facts;
use super::{LeftOut, QuizKind, QuizLevel, QuizQuestion, culprit, gauge, order, starves};
use crate::circuit::PartName;
use crate::teach::Dice;

/// So many are made in search of one that is just hard enough, once an easier one is at hand.
const TRIES: usize = 24;

/// So many states take turns: to look into one means to settle it with every fault.
const OPEN: usize = 3;

/// What a question can be made of.
#[derive(Clone, Copy, Debug)]
pub(super) enum Case {
    /// A fault, by number.
    Fault(usize),
    /// Two.
    Pair(usize, usize),
    /// An outlet, by number in the net.
    Outlet(usize),
}

/// What comes of a case.
pub(super) enum Made {
    /// A question that is not too hard.
    Question(Box<QuizQuestion>),
    /// One of this level, which is.
    Harder(QuizLevel),
    /// Nothing that can be asked.
    Nothing,
}

/// Questions of one kind that are yet to come.
pub(super) struct Draw<'f, 'n> {
    facts: &'f Facts<'n>,
    kind: QuizKind,
    level: QuizLevel,
    dice: Dice,
    /// States not yet looked into; the next is last.
    states: Vec<usize>,
    /// States that take turns, each with its cases; the next case is last.
    open: VecDeque<(usize, Vec<Case>)>,
    /// What was asked about already: no two questions are about the same part.
    asked: BTreeSet<PartName>,
    /// Questions that are easier than wanted.
    easier: Vec<(QuizQuestion, Vec<PartName>)>,
    /// The easiest of those that are too hard.
    harder: Option<QuizLevel>,
    given: usize,
    told: bool,
}

impl<'f, 'n> Draw<'f, 'n> {
    /// From these states, the last first.
    pub fn new(
        facts: &'f Facts<'n>,
        kind: QuizKind,
        level: QuizLevel,
        states: Vec<usize>,
        seed: u64,
    ) -> Self {
        Draw {
            facts,
            kind,
            level,
            dice: Dice::new(seed),
            states,
            open: VecDeque::new(),
            asked: BTreeSet::new(),
            easier: Vec::new(),
            harder: None,
            given: 0,
            told: false,
        }
    }

    /// How many questions came of it.
    pub fn given(&self) -> usize {
        self.given
    }

    /// Whether it was said that there is none.
    pub fn is_told(&self) -> bool {
        self.told
    }

    /// That there is none.
    pub fn left_out(&mut self) -> LeftOut {
        self.told = true;
        LeftOut {
            kind: self.kind,
            from: self.harder,
        }
    }

    /// The next question: of the wanted level if one is found soon, else an easier one.
    pub fn next(&mut self) -> Option<QuizQuestion> {
        let mut tries = 0;
        while self.easier.is_empty() || tries < TRIES {
            let Some((state, case)) = self.case() else {
                break;
            };
            let subject = self.subject(case);
            if subject.iter().any(|part| self.asked.contains(part)) {
                continue;
            }
            match self.question(state, case) {
                Made::Nothing => continue,
                Made::Harder(level) => {
                    self.harder = Some(self.harder.unwrap_or(level).min(level));
                }
                Made::Question(question) if question.level == self.level => {
                    return Some(self.give(*question, subject));
                }
                Made::Question(question) => self.easier.push((*question, subject)),
            }
            tries += 1;
        }
        // The hardest of them, and of those the first found.
        let asked = &self.asked;
        self.easier
            .retain(|(_, subject)| subject.iter().all(|part| !asked.contains(part)));
        let hardest = self.easier.iter().map(|(q, _)| q.level).max()?;
        let at = self.easier.iter().position(|(q, _)| q.level == hardest)?;
        let (question, subject) = self.easier.remove(at);
        Some(self.give(question, subject))
    }

    fn give(&mut self, question: QuizQuestion, subject: Vec<PartName>) -> QuizQuestion {
        self.asked.extend(subject);
        self.given += 1;
        question
    }

    /// The next case, with its state.
    fn case(&mut self) -> Option<(usize, Case)> {
        loop {
            while self.open.len() < OPEN
                && let Some(state) = self.states.pop()
            {
                let cases = self.cases(state);
                self.open.push_back((state, cases));
            }
            let (state, mut cases) = self.open.pop_front()?;
            if let Some(case) = cases.pop() {
                self.open.push_back((state, cases));
                return Some((state, case));
            }
        }
    }

    fn cases(&mut self, state: usize) -> Vec<Case> {
        let dice = &mut self.dice;
        match self.kind {
            QuizKind::Starves => starves::cases(self.facts, state, dice),
            QuizKind::Culprit => culprit::cases(self.facts, state, dice),
            QuizKind::Order => order::cases(self.facts, dice),
            QuizKind::Gauge => gauge::cases(self.facts, state, dice),
        }
    }

    fn question(&mut self, state: usize, case: Case) -> Made {
        let (facts, most, dice) = (self.facts, self.level, &mut self.dice);
        let made = match (self.kind, case) {
            (QuizKind::Starves, Case::Fault(fault)) => {
                starves::question(facts, state, fault, most, dice)
            }
            (QuizKind::Culprit, Case::Fault(fault)) => {
                culprit::question(facts, state, fault, most, dice)
            }
            (QuizKind::Order, Case::Outlet(outlet)) => {
                order::question(facts, state, outlet, most, dice)
            }
            (QuizKind::Gauge, Case::Pair(a, b)) => {
                gauge::question(facts, state, [a, b], most, dice)
            }
            _ => None,
        };
        made.unwrap_or(Made::Nothing)
    }

    /// What a case is about.
    fn subject(&self, case: Case) -> Vec<PartName> {
        let part = |fault: usize| self.facts.faults[fault].part.clone();
        match case {
            Case::Fault(fault) => vec![part(fault)],
            Case::Pair(a, b) => vec![part(a), part(b)],
            Case::Outlet(outlet) => vec![self.facts.net.outlets()[outlet].name.clone()],
        }
    }
}
