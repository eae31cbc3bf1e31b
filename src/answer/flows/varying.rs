//! A state measured again and again while something is varied.

use super::bands::{self, Off};
use super::cases::{Bench, Book, Case, Near};
use super::gathered::Figures;
use super::need::Need;
use super::ranges::{measured, users};
use super::{
    BandBy, FlowsBands, FlowsError, FlowsQuestion, Gets, SizeBand, SizeUsed, Varied, oil, running,
};
use crate::circuit::{Fault, State};
use crate::flow::{Oil, Sizes};
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
    off: Vec<Off>,
    by: Option<BandBy>,
}

/// What outlets get at some values.
pub(super) struct Got {
    /// By the number of the outlet among those that use oil under pressure; over the tolerances of
    /// sizes if those are asked after.
    pub gets: Vec<Gets>,
    /// What reaches each, nothing where it is sealed off: needs are held against this.
    pub reaches: Vec<Gets>,
    /// Whether all figures balance.
    pub converged: bool,
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
            off: Vec::new(),
            by: None,
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
    pub fn at(&mut self, values: &[(&Varied, f64)]) -> Result<Got, FlowsError> {
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
        self.last = bench.cases(
            &self.stage,
            &self.settled,
            Near::once(&self.last),
            &mut self.book,
        );
        self.book.settle(&question)?;
        let nominal = Figures::of_outlets(self.net, &self.last);
        let mut figures = nominal.clone();
        if let Some(draws) = question.bands {
            self.off = bands::off(self.net.circuit(), &self.book.asked, &question);
            let mut figures_of = |sizes: &Sizes| {
                let mut book = Book::default();
                let bench = Bench { sizes, ..bench };
                let cases = bench.cases(
                    &self.stage,
                    &self.settled,
                    Near::once(&self.last),
                    &mut book,
                );
                book.right().map(|()| Figures::of_outlets(self.net, &cases))
            };
            let sizes = &question.sizes;
            let banded = bands::widen(&nominal, &self.off, sizes, draws, &mut figures_of)?;
            self.by = self.by.max(banded.by.into_values().max());
            figures = banded.figures;
        }
        let outlets = 0..users(self.net).count();
        Ok(Got {
            gets: outlets.clone().map(|n| figures.gets(n, false)).collect(),
            reaches: outlets.map(|n| figures.reaches(n, false)).collect(),
            converged: measured(&self.last).all(|m| m.converged),
        })
    }

    /// The tolerances that were taken, and how what outlets get is known over them.
    pub fn banded(&self) -> (Option<FlowsBands>, Option<BandBy>) {
        let told = self.question.bands.map(|draws| FlowsBands {
            sizes: self.off.iter().map(SizeBand::of).collect(),
            draws,
        });
        (told, self.by)
    }

    /// Sizes that stood in for unknown ones in all that was measured.
    pub fn assumed(&self) -> Vec<SizeUsed> {
        let stand_ins = self.book.stand_ins.iter();
        stand_ins.map(|(of, si)| SizeUsed::of(of, *si)).collect()
    }
}
