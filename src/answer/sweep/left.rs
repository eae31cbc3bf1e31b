//! Sets of faults that settled to several ends, or by themselves: their ends are judged side by side.

use super::gauge::span;
use super::{Effect, SweepState, Sweeper};
use crate::answer::batch::MOST;
use crate::answer::beside::Beside;
use crate::answer::effect::StarveState;
use crate::answer::judged::{judged, judged_ends};
use crate::answer::sound::SoundState;
use crate::circuit::Fault;
use crate::net::{PackedFaults, PackedStage};
use crate::settle::{PackedSettle, Point, Settled};

/// With fewer ends than this a pass costs more than it spares.
const FEWEST: usize = 8;

/// A set of faults that is left to be judged.
pub(super) struct Left {
    pub faults: Vec<Fault>,
    pub settled: Settled,
}

impl<'n> Sweeper<'n> {
    /// What sets of faults do in one state, those that are left judged as well.
    pub(super) fn with_the_left(
        &self,
        sound: &SoundState<'n>,
        told: Vec<(usize, Result<Effect, Left>)>,
    ) -> Vec<(usize, Effect)> {
        let left: Vec<&Left> = told.iter().filter_map(|(_, t)| t.as_ref().err()).collect();
        let mut judged = Vec::with_capacity(left.len());
        let mut from = 0;
        while from < left.len() {
            // As many as have room for their ends, and one at least.
            let mut ends = 0;
            let fit = left[from..].iter().take_while(|left| {
                ends += left.settled.ends.len();
                ends <= MOST
            });
            let upto = from + fit.count().max(1);
            judged.extend(self.judged_left(sound, &left[from..upto]));
            from = upto;
        }
        let mut judged = judged.into_iter();
        let told = told.into_iter().map(|(number, told)| {
            let effect = told.unwrap_or_else(|_| judged.next());
            (number, effect)
        });
        told.collect()
    }

    /// What becomes of sets whose ends go into one pass, or of one with more.
    fn judged_left(&self, sound: &SoundState<'n>, left: &[&Left]) -> Vec<SweepState> {
        let ends: Vec<(&Left, &Point)> = left
            .iter()
            .flat_map(|left| left.settled.ends.iter().map(|end| (*left, end)))
            .collect();
        let alone = || left.iter().map(|left| self.judged_alone(sound, left));
        if ends.len() < FEWEST || ends.len() > MOST {
            return alone().collect();
        }
        let faults = ends.iter().map(|(left, _)| left.faults.clone());
        let sets: Vec<Vec<Fault>> = std::iter::once(Vec::new()).chain(faults).collect();
        let points = ends.iter().map(|(_, end)| *end);
        // Where the sound circuit has several ends all is held against the first.
        let at_rest = &sound.settled.ends[0];
        let points: Vec<&Point> = std::iter::once(at_rest).chain(points).collect();
        let laid = PackedFaults::new(self.net, &sets);
        let stage = PackedStage::new(&sound.stage, &laid);
        let settled = PackedSettle::at_ends(&stage, &points);
        let Some(beside) = Beside::of(&settled) else {
            return alone().collect();
        };
        let mut lanes = 1..points.len();
        let told = left.iter().map(|left| {
            let lanes: Vec<usize> = lanes.by_ref().take(left.settled.ends.len()).collect();
            let of = (&left.faults[..], &left.settled);
            let state = judged_ends(sound, &beside, &lanes, of, self.explained);
            self.seen_at_ends(sound, left, state)
        });
        told.collect()
    }

    /// What becomes of one set by itself.
    fn judged_alone(&self, sound: &SoundState<'n>, left: &Left) -> SweepState {
        let stage = sound.stage.with(&left.faults);
        let state = judged(sound, &stage, &left.settled, self.explained);
        self.seen_at_ends(sound, left, state)
    }

    fn seen_at_ends(&self, sound: &SoundState<'n>, left: &Left, state: StarveState) -> SweepState {
        let spans = self.gauges.iter().map(|gauge| {
            let [sound, now] = [&sound.settled, &left.settled].map(|s| span(s, gauge.at));
            (sound, now)
        });
        let seen = self.seen(&state, spans);
        SweepState::of(state, seen)
    }
}
