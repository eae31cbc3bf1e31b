//! What is told of a state asked about alone: each cavity, each stream, each thing that opens.

use super::Told;
use crate::answer::{FlowsState, Range};
use crate::flow::law::Stand;
use crate::report::page::{Block, Line};
use crate::report::sizes::marks;
use crate::report::words;

impl Told<'_> {
    pub(super) fn cavities(&self, state: &FlowsState, blocks: &mut Vec<Block>) {
        blocks.push(Block::Heading("Pressures".into()));
        let rows = state.cavities.iter().map(|cavity| {
            let now = match self.faulty() {
                true => self.words.pressures(cavity.now_pa),
                false => Line::default(),
            };
            vec![
                Line::id(&cavity.cavity),
                self.words.pressures(cavity.sound_pa) + marks(&cavity.rests_on, cavity.band),
                now,
            ]
        });
        blocks.push(Block::table(&["cavity", "sound", "now"], rows.collect()));
    }

    pub(super) fn streams(&self, state: &FlowsState, blocks: &mut Vec<Block>) {
        blocks.push(Block::Heading("Flows".into()));
        let seen = |range: Option<Range>| {
            range.is_some_and(|r| r.most.abs().max(r.least.abs()) >= words::SEEN)
        };
        let streams = state.streams.iter();
        let streams = streams.filter(|s| seen(s.sound_m3_per_s) || seen(s.now_m3_per_s));
        let rows = streams.map(|stream| {
            let shown = |range: Option<Range>| match range {
                Some(range) => self.words.flows(Some(range)),
                None => "-".into(),
            };
            let now = match self.faulty() {
                true => shown(stream.now_m3_per_s),
                false => Line::default(),
            };
            vec![
                self.words.typed(&stream.part),
                Line::id(&stream.from),
                Line::id(&stream.to),
                shown(stream.sound_m3_per_s) + marks(&stream.rests_on, stream.band),
                now,
            ]
        });
        blocks.push(Block::table(
            &["by", "from", "to", "sound", "now"],
            rows.collect(),
        ));
    }

    /// Balls, reliefs and regulators that are not just shut.
    pub(super) fn stands(&self, state: &FlowsState, blocks: &mut Vec<Block>) {
        let shut = |stands: &[Stand]| stands.iter().all(|stand| *stand == Stand::Shut);
        let moves = state
            .stands
            .iter()
            .filter(|s| !shut(&s.sound) || !shut(&s.now));
        let rows = moves.map(|part| {
            let told =
                |stands: &[Stand]| Line::list(stands.iter().map(|s| s.to_string().into()), "or");
            vec![
                self.words.typed(&part.part),
                Line::id(&part.from),
                Line::id(&part.to),
                told(&part.sound),
                if self.faulty() {
                    told(&part.now)
                } else {
                    Line::default()
                },
            ]
        });
        let rows: Vec<Vec<Line>> = rows.collect();
        if !rows.is_empty() {
            blocks.push(Block::Heading("Balls, reliefs and regulators".into()));
            blocks.push(Block::table(&["part", "from", "to", "sound", "now"], rows));
        }
    }
}
