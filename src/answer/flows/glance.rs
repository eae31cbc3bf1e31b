//! What outlets get and gauges read with many sets of faults, the sound circuit measured once.

use super::cases::{Base, Bench, Book, Case, Near};
use super::gathered::kept;
use super::ranges::{gets, measured, pressures, reaching, users};
use super::{FlowsError, FlowsQuestion, Gets, Range, oil, running};
use crate::answer::batch::{Batch, each};
use crate::answer::states;
use crate::circuit::{Fault, PartName};
use crate::flow::Running;
use crate::net::{Cavity, Net, SUMP_CAVITY, Stage};
use crate::settle::{Settled, settle};

/// A circuit measured sound in some states, to be measured with faults.
///
/// The size of a fault, such as how large a cut ring's leak is, is never in a file: a usual one
/// stands in for it.
pub struct Glances<'n> {
    net: &'n Net<'n>,
    question: FlowsQuestion,
    states: Vec<SoundCase<'n>>,
    sized: bool,
}

/// One state of the sound circuit, measured.
struct SoundCase<'n> {
    stage: Stage<'n>,
    running: Running,
    base: Base<'n>,
}

/// What outlets get and gauges read in one state.
#[derive(Clone, Debug, PartialEq)]
pub struct Glance {
    /// Every outlet that takes oil under pressure, in file order.
    pub outlets: Vec<GlanceOutlet>,
    /// Of each cavity asked about the pressure when sound and now, in Pa; none where its oil is
    /// trapped.
    pub cavities: Vec<[Option<Range>; 2]>,
}

/// What one outlet gets.
#[derive(Clone, Debug, PartialEq)]
pub struct GlanceOutlet {
    /// The outlet, filter, converter or cooler.
    pub outlet: PartName,
    /// When sound.
    pub sound: Gets,
    /// Now.
    pub now: Gets,
    /// What it keeps of what it gets when sound, sealed off nothing; none where it gets nothing then.
    pub share: Option<Range>,
}

impl<'n> Glances<'n> {
    /// Measures the sound circuit in these states, in all where none is named.
    ///
    /// # Errors
    /// As [`super::flows`], but that sizes may be missing: see [`Glances::sized`].
    pub fn new(
        net: &'n Net<'n>,
        wanted: &[String],
        question: &FlowsQuestion,
    ) -> Result<Self, FlowsError> {
        let (oil, _) = oil(net.circuit(), question)?;
        let mut book = Book::default();
        let mut measured = Vec::new();
        let asked = states(net.circuit(), None).into_iter();
        let asked = asked.filter(|(id, _)| {
            wanted.is_empty() || id.is_some_and(|id| wanted.iter().any(|wanted| wanted == id))
        });
        for (_, state) in asked {
            let running = running(state, &oil, question)?;
            let bench = Bench {
                running: &running,
                sizes: &question.sizes,
                faults: &[],
            };
            let stage = Stage::new(net, state, &[]);
            let cases = bench.cases(&stage, &settle(&stage), Near::default(), &mut book);
            measured.push(SoundCase {
                stage,
                base: Base::from(cases),
                running,
            });
        }
        let sized = book.stand_ins.is_empty();
        book.settle(&FlowsQuestion {
            assume: true,
            ..question.clone()
        })?;
        Ok(Glances {
            net,
            question: question.clone(),
            states: measured,
            sized,
        })
    }

    /// Whether the file gives every size of the sound circuit.
    #[must_use]
    pub fn sized(&self) -> bool {
        self.sized
    }

    /// The pressures of some cavities of the sound circuit, in Pa.
    #[must_use]
    pub fn sound(&self, state: usize, of: &[Cavity]) -> Vec<Option<Range>> {
        let cases = &self.states[state].base.cases;
        let of = of.iter();
        of.map(|cavity| at(cases, *cavity)).collect()
    }

    /// What outlets get and cavities hold with some faults in a state; none where the figures do
    /// not balance or a size cannot be.
    #[must_use]
    pub fn of(&self, state: usize, faults: &[Fault], cavities: &[Cavity]) -> Option<Glance> {
        let stage = self.states[state].stage.with(faults);
        self.measured(state, faults, &settle(&stage), cavities)
    }

    /// The same, settled already.
    fn measured(
        &self,
        state: usize,
        faults: &[Fault],
        settled: &Settled,
        cavities: &[Cavity],
    ) -> Option<Glance> {
        let sound = &self.states[state];
        let bench = Bench {
            running: &sound.running,
            sizes: &self.question.sizes,
            faults,
        };
        let stage = sound.stage.with(faults);
        let cases = bench.cases(
            &stage,
            settled,
            Near::many(&sound.base),
            &mut Book::default(),
        );
        let balanced = |cases: &[Case<'_>]| measured(cases).all(|m| m.converged);
        if cases.is_empty() || !balanced(&cases) || !balanced(&sound.base.cases) {
            return None;
        }
        let outlets = users(self.net).map(|outlet| {
            let was = gets(measured(&sound.base.cases), outlet);
            let now = gets(measured(&cases), outlet);
            GlanceOutlet {
                outlet: outlet.name.clone(),
                share: kept(reaching(measured(&cases), outlet), was, outlet),
                sound: was,
                now,
            }
        });
        let cavities = cavities.iter();
        Some(Glance {
            outlets: outlets.collect(),
            cavities: cavities
                .map(|cavity| [at(&sound.base.cases, *cavity), at(&cases, *cavity)])
                .collect(),
        })
    }
}

impl Glances<'_> {
    /// As [`Glances::of`] for many sets of faults in one state, settled side by side; on all threads
    /// of the pool this is called in, with the feature `parallel`.
    #[must_use]
    pub fn of_sets(
        &self,
        state: usize,
        sets: &[Vec<Fault>],
        cavities: &[Cavity],
    ) -> Vec<Option<Glance>> {
        let batches = Batch::of(self.net, sets);
        let settled = each(&batches, |batch| {
            batch.each(
                &self.states[state].stage,
                |_, members| members.iter().map(|_| None).collect(),
                |_, settled| settled.clone(),
            )
        });
        let settled: Vec<(usize, Settled)> = settled.into_iter().flatten().collect();
        let mut found = each(&settled, |(set, settled)| {
            let glance = self.measured(state, &sets[*set], settled, cavities);
            (*set, glance)
        });
        found.sort_by_key(|(set, _)| *set);
        found.into_iter().map(|(_, glance)| glance).collect()
    }
}

fn at(cases: &[Case<'_>], cavity: Cavity) -> Option<Range> {
    match cavity {
        SUMP_CAVITY => Range::of([0.0].into_iter()),
        cavity => pressures(measured(cases), cavity),
    }
}
