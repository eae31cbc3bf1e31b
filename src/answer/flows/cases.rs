//! A state measured in every place its valves can stand.

use std::collections::{BTreeMap, BTreeSet};

use crate::circuit::{Fault, Level, Truth};
use crate::flow::{Block, BlockError, Known, Measured, Running, SizeOf, Sizes, Standing};
use crate::net::{Cavity, Held, Stage};
use crate::settle::{Settled, can_stroke, settle};

/// One way in which everything that moves can stand, measured.
pub(super) struct Case<'s> {
    placed: Placed<'s>,
    pub measured: Measured,
    /// Valves that the pressures found put elsewhere than settling did.
    pub overruled: Vec<Overruled>,
    /// Whether the valves stand as these pressures put them.
    pub agrees: bool,
}

/// A valve that a pilot's pressure puts elsewhere than settling did.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Overruled {
    pub valve: usize,
    pub from: Option<u32>,
    pub to: u32,
    /// The cavities its rule reads, with their pressure in Pa.
    pub pilots: Vec<(Cavity, f64)>,
}

/// What the sizes were asked for, over all that was laid.
#[derive(Clone, Default)]
pub(super) struct Book {
    /// With the size that was used, in its SI unit; none where there is none.
    pub asked: BTreeMap<SizeOf, Option<f64>>,
    pub stand_ins: BTreeMap<SizeOf, f64>,
    pub wrong: Vec<BlockError>,
}

impl Book {
    pub fn add(&mut self, other: Book) {
        self.asked.extend(other.asked);
        self.stand_ins.extend(other.stand_ins);
        self.wrong.extend(other.wrong);
    }
}

/// Cases, and the networks that were solved beginning from their pressures.
pub(super) struct Base<'s> {
    pub cases: Vec<Case<'s>>,
    known: Known,
}

impl<'s> From<Vec<Case<'s>>> for Base<'s> {
    fn from(cases: Vec<Case<'s>>) -> Self {
        Base {
            cases,
            known: Known::default(),
        }
    }
}

/// Where a measurement begins: at the first of some cases of a bench that differs little, if there is
/// one.
#[derive(Clone, Copy, Default)]
pub(super) struct Near<'a> {
    first: Option<&'a Measured>,
    known: Option<&'a Known>,
}

impl<'a> Near<'a> {
    /// What is not much like anything measured after it.
    pub fn once(cases: &'a [Case<'_>]) -> Self {
        Near {
            first: cases.first().map(|case| &case.measured),
            known: None,
        }
    }

    /// What many are measured beginning from, some of which turn out to be the same network.
    pub fn many(base: &'a Base<'_>) -> Self {
        Near {
            known: Some(&base.known),
            ..Near::once(&base.cases)
        }
    }
}

/// Rounds in which pressures may put valves elsewhere.
const ROUNDS: usize = 8;

/// How a state is measured.
pub(super) struct Bench<'b> {
    pub running: &'b Running,
    pub sizes: &'b Sizes,
    pub faults: &'b [Fault],
}

impl Bench<'_> {
    /// Measures a state with its faults at every end of its settling, ways that may be open or shut
    /// taken as both. Without one where a size is wrong: the book says which. Begun from the
    /// pressures of the cases of a bench that differs little, if there are any: that saves steps.
    pub fn cases<'s>(
        &self,
        stage: &Stage<'s>,
        settled: &Settled,
        near: Near<'_>,
        book: &mut Book,
    ) -> Vec<Case<'s>> {
        let mut cases = Vec::new();
        for end in &settled.ends {
            let certain = stage.scene(&end.held, Level::Low).is_certain();
            let ways: &[bool] = if certain { &[true] } else { &[true, false] };
            for doubtful_open in ways {
                let placed = Placed {
                    stage: stage.clone(),
                    held: end.held.clone(),
                    doubtful_open: *doubtful_open,
                };
                cases.extend(self.agreed(stage, placed, near, book));
            }
        }
        cases
    }

    /// Measures until the valves stand where the pressures put them, as far as springs are known.
    fn agreed<'s>(
        &self,
        stage: &Stage<'s>,
        mut placed: Placed<'s>,
        near: Near<'_>,
        book: &mut Book,
    ) -> Option<Case<'s>> {
        let mut overruled: Vec<Overruled> = Vec::new();
        for round in 0.. {
            let measured = self.measure(&placed, near, book)?;
            let moved = moved(stage, &placed.held, &measured);
            let again =
                |m: &Overruled| overruled.iter().any(|o| (o.valve, o.to) == (m.valve, m.to));
            let turns = moved.iter().any(again);
            if moved.is_empty() || turns || round == ROUNDS {
                return Some(Case {
                    placed,
                    agrees: moved.is_empty(),
                    measured,
                    overruled,
                });
            }
            for valve in &moved {
                placed.stage = placed.stage.holding(valve.valve, valve.to);
            }
            placed.held = settle(&placed.stage).ends[0].held.clone();
            overruled.extend(moved);
        }
        None
    }

    /// A case measured again with the sizes of this bench, valves standing as they did.
    pub fn again(&self, case: &Case<'_>) -> Option<Measured> {
        let near = Near::once(std::slice::from_ref(case));
        self.measure(&case.placed, near, &mut Book::default())
    }

    /// The block of a case, valves standing as they did.
    pub fn block(&self, case: &Case<'_>) -> Option<Block> {
        self.lay(&case.placed, &mut Book::default())
    }

    fn measure(&self, placed: &Placed<'_>, near: Near<'_>, book: &mut Book) -> Option<Measured> {
        let block = self.lay(placed, book)?;
        Some(match (near.first, near.known) {
            (Some(first), Some(known)) => block.measure_among(first, known),
            (first, _) => block.measure(first),
        })
    }

    fn lay(&self, placed: &Placed<'_>, book: &mut Book) -> Option<Block> {
        let standing = Standing {
            stage: &placed.stage,
            faults: self.faults,
            held: &placed.held,
            doubtful_open: placed.doubtful_open,
        };
        match Block::lay(standing, self.running, self.sizes) {
            Ok(mut block) => {
                book.asked.append(&mut block.asked);
                book.stand_ins.append(&mut block.stand_ins);
                Some(block)
            }
            Err(wrong) => {
                book.wrong.extend(wrong);
                None
            }
        }
    }
}

struct Placed<'s> {
    stage: Stage<'s>,
    held: Held,
    doubtful_open: bool,
}

/// Valves that the pressures put elsewhere than they stand: those whose spring is known by the
/// pressure it moves at, that can stroke, and that nothing else holds.
fn moved(stage: &Stage<'_>, held: &Held, measured: &Measured) -> Vec<Overruled> {
    let net = stage.net();
    let scene = stage.scene(held, Level::Low);
    let mut moved = Vec::new();
    for (number, valve) in net.valves().iter().enumerate() {
        let body = &net.circuit().valves[number];
        let Some(moves_at) = body.moves_at else {
            continue;
        };
        if stage.fixed(number).is_some() || stage.spring(number).is_some() {
            continue;
        }
        let fed = |cavity: Cavity| match measured.pressures[cavity.number()] {
            Some(pressure) => Truth::from(pressure >= moves_at.pa()),
            None => Truth::Unknown,
        };
        let truths = valve.rules.iter().map(|rule| {
            let rule = rule.as_ref();
            rule.map_or(Truth::False, |rule| rule.truth(stage.drives(), &fed))
        });
        let truths: Vec<Truth> = truths.collect();
        let put = truths.iter().position(|t| *t == Truth::True);
        let sure = truths.iter().all(|t| *t != Truth::Unknown);
        let to = match put {
            Some(place) => Some(place as u32),
            None if sure => valve.rest,
            None => None,
        };
        if let Some(to) = to
            && held.valves[number] != Some(to)
            && (held.valves[number].is_none() || can_stroke(&scene, valve))
        {
            let read = valve
                .rules
                .iter()
                .flatten()
                .flat_map(|rule| rule.cavities());
            let read: BTreeSet<Cavity> = read.collect();
            let pressure = |c: Cavity| Some((c, measured.pressures[c.number()]?));
            moved.push(Overruled {
                valve: number,
                from: held.valves[number],
                to,
                pilots: read.into_iter().filter_map(pressure).collect(),
            });
        }
    }
    moved
}
