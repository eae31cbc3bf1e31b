//! A state measured again and again while something is varied.

use super::cases::{Bench, Book, Case};
use super::need::Need;
use super::ranges::{gets, measured, users};
use super::{FlowsError, FlowsQuestion, Gets, SizeUsed, Varied, oil, running};
use crate::circuit::{Fault, State};
use crate::flow::Oil;
use crate::net::{Net, NetOutlet, Stage};
use crate::settle::{Settled, settle};

/// A state with its faults, settled once: settling reads nothing that can be varied.
pub(super) struct Varying<'a> {
    net: &'a Net<'a>,
    faults: &'a [Fault],
    state: &'a State,
    stage: Stage<'a>,
    settled: Settled,
    oil: Oil,
    question: &'a FlowsQuestion,
    book: Book,
    /// What was measured last.
    last: Vec<Case<'a>>,
}

impl<'a> Varying<'a> {
    pub fn new(
        net: &'a Net<'a>,
        faults: &'a [Fault],
        state: &'a State,
        question: &'a FlowsQuestion,
    ) -> Result<Self, FlowsError> {
        let stage = Stage::new(net, state, faults);
        Ok(Varying {
            net,
            faults,
            state,
            settled: settle(&stage),
            stage,
            oil: oil(net.circuit(), question)?.0,
            question,
            book: Book::default(),
            last: Vec::new(),
        })
    }

    /// Every outlet, with what it needs.
    pub fn needs(&self) -> Vec<(&'a NetOutlet, Need)> {
        let (net, state) = (self.net, self.state);
        users(net)
            .map(|outlet| (outlet, Need::of(net, outlet, state)))
            .collect()
    }

    /// Measures it at these values, in their SI units. It is begun from the pressures found at
    /// the values before, which saves steps if they are near; valves begin where settling puts them
    /// all the same.
    pub fn at(&mut self, values: &[(&Varied, f64)]) -> Result<&[Case<'a>], FlowsError> {
        let mut question = self.question.clone();
        for (varied, value) in values {
            varied.set(*value, &mut question);
        }
        let running = running(self.state, &self.oil, &question)?;
        let bench = Bench {
            running: &running,
            sizes: &question.sizes,
            faults: self.faults,
        };
        self.last = bench.cases(&self.stage, &self.settled, &self.last, &mut self.book);
        self.book.settle(&question)?;
        Ok(&self.last)
    }

    /// Sizes that stood in for unknown ones in all that was measured.
    pub fn assumed(&self) -> Vec<SizeUsed> {
        let stand_ins = self.book.stand_ins.iter();
        stand_ins.map(|(of, si)| SizeUsed::of(of, *si)).collect()
    }
}

/// What an outlet gets in some cases.
pub(super) fn got(cases: &[Case<'_>], outlet: &NetOutlet) -> Gets {
    gets(measured(cases), outlet)
}

/// Whether all cases balance.
pub(super) fn balances(cases: &[Case<'_>]) -> bool {
    measured(cases).all(|m| m.converged)
}
