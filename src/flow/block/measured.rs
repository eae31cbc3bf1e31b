//! Pressures and flows of a block, as they were measured.

use std::sync::Arc;

use fixedbitset::FixedBitSet;

use super::{Block, Node};
use crate::circuit::{Kind, PartName};
use crate::flow::law::Stand;
use crate::flow::lists::Lists;
use crate::flow::{Doubt, Flows, Known};
use crate::net::{Cavity, SUMP_CAVITY};

/// What goes by one part from one cavity to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Stream {
    /// The part.
    pub part: PartName,
    /// The cavities; the sump for what a bearing uses up.
    pub ends: [Cavity; 2],
    /// Flow from the first to the second, in m³/s.
    pub flow: f64,
    /// Where a ball, a relief or a regulator stands; none of what does not move by itself.
    pub stand: Option<Stand>,
    /// Where its law is outside what it was made for.
    pub doubts: Vec<Doubt>,
}

/// Pressures and flows of a block.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Pressure of each cavity by number, in Pa; none where nothing sets it (trapped).
    pub pressures: Vec<Option<f64>>,
    /// What goes by each part.
    pub streams: Vec<Stream>,
    /// Pumps left out, since what they move cannot leave: the pressure there rises until something
    /// gives.
    pub dead_ended: Vec<PartName>,
    /// By cavity, the streams that meet there.
    meeting: Arc<Lists<u32>>,
    /// Cavities that ways lead to from a source.
    reached: FixedBitSet,
    /// By stream, the pressures at its two mouths, in Pa.
    mouths: Vec<[f64; 2]>,
    /// The most that any cavity is out of balance by, in m³/s.
    pub imbalance: f64,
    /// Newton steps taken.
    pub steps: usize,
    /// Whether it balances. If not, these are the best pressures found, no answer.
    pub converged: bool,
}

impl Measured {
    /// What goes by a part at a cavity.
    pub fn streams_at<'m>(
        &'m self,
        cavity: Cavity,
        part: &'m PartName,
    ) -> impl Iterator<Item = &'m Stream> {
        let here = self.meeting.of(cavity.number()).iter();
        let here = here.map(|i| &self.streams[*i as usize]);
        here.filter(move |stream| stream.part == *part)
    }

    /// Whether ways lead from a source to a cavity, a ball on its seat only as it passes oil.
    #[must_use]
    pub fn reaches(&self, cavity: Cavity) -> bool {
        self.reached.contains(cavity.number())
    }
}

impl Block {
    /// Pressures and flows; found in fewer steps where those of a block that differs little are
    /// known.
    #[must_use]
    pub fn measure(&self, near: Option<&Measured>) -> Measured {
        match near {
            Some(near) => self.told(&self.solve(&self.start(near))),
            None => self.told(&self.network.solve()),
        }
    }

    /// The same among others: what is known of an equal network need not be found again.
    #[must_use]
    pub(crate) fn measure_among(self, near: &Measured, known: &Known) -> Measured {
        let start = self.start(near);
        match known.flows(&self.network, &start) {
            Some(flows) => self.told(&flows),
            None => {
                let flows = self.solve(&start);
                let measured = self.told(&flows);
                known.keep(self.network, start, flows);
                measured
            }
        }
    }

    fn solve(&self, start: &[f64]) -> Flows {
        self.network.solve_from(|node| start[node.0])
    }

    fn told(&self, flows: &Flows) -> Measured {
        let pressure = |node: &Node| flows.pressure(*node);
        let streams = self.runs.iter().map(|run| Stream {
            part: run.part.clone(),
            ends: run.ends,
            flow: flows.flow(run.way),
            stand: flows.stand(run.way),
            doubts: self.network.doubts(run.way, flows),
        });
        let streams: Vec<Stream> = streams.collect();
        Measured {
            reached: reached(&self.fed, &self.meeting, &streams),
            meeting: Arc::clone(&self.meeting),
            streams,
            pressures: self.cores.iter().map(pressure).collect(),
            mouths: self
                .runs
                .iter()
                .map(|run| run.mouths.map(|node| pressure(&node).unwrap_or_default()))
                .collect(),
            dead_ended: self.dead_ended.clone(),
            imbalance: flows.imbalance,
            steps: flows.steps,
            converged: flows.converged,
        }
    }

    /// Pressures of the nodes from those of a block that differs little: a run that both have
    /// begins as it was there, a new one as its cavities.
    fn start(&self, near: &Measured) -> Vec<f64> {
        let core = |cavity: Cavity| near.pressures[cavity.number()].unwrap_or_default();
        let mut start = vec![0.0; self.network.nodes().count()];
        for (number, node) in self.cores.iter().enumerate() {
            start[node.0] = near.pressures[number].unwrap_or_default();
        }
        let mut before = near.streams.iter().zip(&near.mouths);
        for run in &self.runs {
            let mut ahead = before.clone();
            let known =
                ahead.find(|(stream, _)| (&stream.part, stream.ends) == (&run.part, run.ends));
            let mouths = match known {
                Some((_, mouths)) => {
                    before = ahead;
                    *mouths
                }
                None => run.ends.map(core),
            };
            for (node, pressure) in run.mouths.iter().zip(mouths) {
                start[node.0] = pressure;
            }
        }
        start
    }
}

/// Cavities that ways lead to from where sources feed; not on through the sump.
fn reached(fed: &[Cavity], meeting: &Lists<u32>, streams: &[Stream]) -> FixedBitSet {
    let mut reached = FixedBitSet::with_capacity(meeting.count());
    let mut open = Vec::from(fed);
    reached.extend(fed.iter().map(|cavity| cavity.number()));
    while let Some(at) = open.pop() {
        for stream in meeting
            .of(at.number())
            .iter()
            .map(|i| &streams[*i as usize])
        {
            let [from, to] = stream.ends;
            let one_way = stream.part.kind == Kind::Ball && stream.stand.is_some();
            let beyond = match at {
                at if at == from => to,
                _ if one_way => continue,
                _ => from,
            };
            if beyond != SUMP_CAVITY && !reached.put(beyond.number()) {
                open.push(beyond);
            }
        }
    }
    reached
}
