//! What strokes: the pistons of clutches and servos, and accumulators.

use std::collections::BTreeMap;

use super::{Block, Measured};
use crate::circuit::{Condition, Fault, Kind, PartName};
use crate::flow::fill::{Comes, Feed, Piston};
use crate::flow::sizes::{Asked, Measure, SizeOf, Sizes};
use crate::net::{Cavity, Net, SUMP_CAVITY, User};
use crate::units::{Pressure, Volume};

/// Stand-ins for sizes that a file does not give (`common practice, no source`).
const STROKE: Volume = cm3(50.0);
const CUSHION: Volume = cm3(25.0);
const SPRING: Pressure = bar(1.2);
const BEGINS: Pressure = bar(2.5);
const FULL: Pressure = bar(6.0);
/// At the end of its stroke a return spring pushes back by so much more than at its begin.
const TIGHTER: f64 = 1.25;

const fn cm3(cm3: f64) -> Volume {
    Volume::from_m3(cm3 * 1e-6)
}

const fn bar(bar: f64) -> Pressure {
    Pressure::from_pa(bar * 1e5)
}

/// A piston and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// The outlet or accumulator it is of.
    pub part: PartName,
    /// The cavity it fills from.
    pub at: Cavity,
    /// The cavity that pushes back: the release side of a servo, what is behind an accumulator.
    pub back: Option<Cavity>,
    /// How it strokes; of an accumulator with what is behind it when sound.
    pub piston: Piston,
}

/// Every piston of a circuit.
#[derive(Clone, Debug, PartialEq)]
pub struct Strokes {
    /// Outlets that work by pressure and accumulators that can move, in file order.
    pub strokes: Vec<Stroke>,
    /// Every size that was looked for, with the one that was used, in its SI unit.
    pub asked: BTreeMap<SizeOf, Option<f64>>,
    /// Sizes that are not known and what stands in for each, in its SI unit.
    pub stand_ins: BTreeMap<SizeOf, f64>,
}

impl Strokes {
    /// The pistons of some outlets and of the accumulators, with some faults: a jammed accumulator
    /// does not move, one without its spring gives way to next to nothing.
    #[must_use]
    pub fn of(net: &Net<'_>, wanted: &[PartName], faults: &[Fault], sizes: &Sizes) -> Strokes {
        let mut asked = Asked::of(sizes);
        let circuit = net.circuit();
        let mut strokes = Vec::new();
        let outlets = net.outlets().iter();
        for outlet in outlets.filter(|o| o.by_pressure && wanted.contains(&o.name)) {
            let (part, body) = (&outlet.name, &circuit.outlets[&outlet.name.id]);
            let volume = asked.need(part, Measure::Volume, body.volume, STROKE);
            let begins = asked.need(part, Measure::Spring, body.spring, SPRING);
            let usual = Pressure::from_pa(TIGHTER * begins.pa());
            let ends = asked.need(part, Measure::StrokedAt, body.stroked_at, usual);
            let back = match outlet.user {
                User::TwoSided { release, .. } => Some(release),
                _ => None,
            };
            let at = outlet.user.feed();
            strokes.push(Stroke::new(part.clone(), at, back, volume, [begins, ends]));
        }
        for (id, body) in &circuit.accumulators {
            let part = PartName::new(Kind::Accumulator, id);
            let is = |condition| {
                faults.contains(&Fault {
                    part: part.clone(),
                    condition,
                })
            };
            if is(Condition::Jammed) {
                continue;
            }
            let volume = asked.need(&part, Measure::Volume, body.volume, CUSHION);
            let begins = asked.need(&part, Measure::BeginsAt, body.begins_at, BEGINS);
            let full = asked.need(&part, Measure::FullAt, body.full_at, FULL);
            let pressures = match is(Condition::SpringBroken) {
                true => [bar(0.0); 2],
                false => [begins, full],
            };
            let cavity = |id: &str| net.cavity(id).unwrap_or(SUMP_CAVITY);
            let back = body.back.as_deref().map(cavity);
            let at = cavity(&body.at);
            strokes.push(Stroke::new(part, at, back, volume, pressures));
        }
        let (asked, stand_ins) = asked.told();
        Strokes {
            strokes,
            asked,
            stand_ins,
        }
    }
}

impl Stroke {
    fn new(
        part: PartName,
        at: Cavity,
        back: Option<Cavity>,
        volume: Volume,
        [begins, ends]: [Pressure; 2],
    ) -> Self {
        let piston = Piston {
            volume: volume.m3(),
            begins: begins.pa(),
            ends: ends.pa().max(begins.pa()),
        };
        Stroke {
            part,
            at,
            back,
            piston,
        }
    }
}

/// A block that fills pistons.
pub struct Filling<'b> {
    block: &'b mut Block,
    cavities: Vec<Cavity>,
    last: Option<Measured>,
}

impl<'b> Filling<'b> {
    /// Pistons in some cavities of a block.
    pub fn new(block: &'b mut Block, cavities: Vec<Cavity>) -> Self {
        Filling {
            block,
            cavities,
            last: None,
        }
    }
}

impl Feed for Filling<'_> {
    /// Of pistons in one cavity the one that gives way first holds it and takes all that comes.
    fn come(&mut self, held: &[Option<f64>]) -> Option<Vec<Comes>> {
        let at = |cavity: Cavity| {
            let all = self.cavities.iter().zip(held);
            let held = all.filter(move |(at, _)| **at == cavity);
            held.filter_map(|(_, pressure)| *pressure)
        };
        let holds = |cavity: Cavity| at(cavity).reduce(f64::min);
        for cavity in &self.cavities {
            self.block.hold(*cavity, holds(*cavity));
        }
        let measured = self.block.measure(self.last.as_ref());
        if !measured.converged {
            return None;
        }
        let comes = self.cavities.iter().zip(held).map(|(cavity, held)| {
            let into = |end: usize| {
                let streams = measured.streams.iter();
                let there = streams.filter(move |s| s.ends[end] == *cavity);
                there.map(|s| s.flow).sum::<f64>()
            };
            let alike = at(*cavity).filter(|pressure| Some(*pressure) == *held);
            Comes {
                pressure: measured.pressures[cavity.number()],
                flow: match (held, *held == holds(*cavity)) {
                    (Some(_), true) => (into(1) - into(0)) / alike.count() as f64,
                    // Another piston gives way before it, or it stands still.
                    _ => 0.0,
                },
            }
        });
        let comes = comes.collect();
        self.last = Some(measured);
        Some(comes)
    }
}
