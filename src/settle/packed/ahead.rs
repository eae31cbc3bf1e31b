//! What settling alone will come to, worked out ahead and side by side: of each scene as many stands at
//! a time as there are lanes for.

use super::PackedSettle;
use super::apart::Apart;
use super::driven::PackedDriven;
use super::point::PackedPoint;
use super::together::Ahead;
use crate::circuit::Fault;
use crate::net::{Held, LANES, Lanes, PackedFaults, PackedHeld, PackedStage, Stage};
use crate::settle::course::settle_knowing;
use crate::settle::solver::{Solver, Stand};
use crate::settle::{Course, Settled};

/// So few points are worked out faster alone.
const FEWEST: usize = 24;

impl<'p> PackedSettle<'p> {
    /// Settles the scenes that could not be decided in one pass, of which the sets of faults are given
    /// by number: the same ends as [`settle`](crate::settle::settle) finds, orders of movement followed
    /// only for movers that ever meet. Those with one end stand there with the others from then on.
    pub fn settle_left(&mut self, sets: &[Vec<Fault>]) {
        let sound = self.stage.sound();
        let left = self.alone.iter().filter(|lane| *lane < sets.len());
        let left: Vec<usize> = left.filter(|lane| self.lone(*lane).is_none()).collect();
        if left.is_empty() {
            return;
        }
        let faults: Vec<&[Fault]> = left.iter().map(|lane| &sets[*lane][..]).collect();
        let stages: Vec<Stage<'_>> = faults.iter().map(|faults| sound.with(faults)).collect();
        let mut groups: Vec<Ahead<'_>> = Vec::new();
        for (scene, stage) in stages.iter().enumerate() {
            let own = Ahead::of(stage, scene);
            match groups.iter_mut().find(|group| group.begins_as(&own)) {
                Some(group) => group.scenes.push(scene),
                None => groups.push(own),
            }
        }
        look_ahead(sound, &mut groups, (&stages, &faults));
        let apart = || self.apart.get_or_init(|| Apart::of(self.stage));
        let walk = |solver: &Solver<'_>, scene: usize| {
            settle_knowing(solver, &|movers| apart().meet(left[scene], movers))
        };
        let settled = groups
            .iter()
            .flat_map(|group| group.settled(&stages, &walk));
        let settled = settled.map(|(scene, settled)| (left[scene], settled));
        let settled: Vec<(usize, Settled)> = settled.collect();
        self.lone.extend(settled);
        self.lone.sort_by_key(|(lane, _)| *lane);
        self.stand_at_ends();
    }

    /// Has scenes that settled alone and have one end stand there.
    fn stand_at_ends(&mut self) {
        let lone = self.lone.iter();
        let steady = lone.filter_map(|(lane, settled)| match &settled.ends[..] {
            [end] if settled.course == Course::Steady => Some((*lane, end)),
            _ => None,
        });
        let lanes = steady.clone().map(|(lane, _)| Lanes::one(lane));
        let lanes = lanes.fold(Lanes::NONE, |lanes, lane| lanes | lane);
        let ends = steady.map(|(lane, end)| (lane, (&end.held, &end.pressures)));
        let ends = PackedPoint::at(self.stage.net(), ends);
        self.end.put(lanes, &ends);
        self.alone &= !lanes;
        self.oil = Default::default();
        self.last = None;
    }
}

/// The stages of some scenes, and the faults of each.
type Scenes<'s> = (&'s [Stage<'s>], &'s [&'s [Fault]]);

/// Works out what scenes will come to, a generation of points after the other.
fn look_ahead<'s>(sound: &Stage<'_>, groups: &mut Vec<Ahead<'s>>, scenes: Scenes<'s>) {
    loop {
        let all = std::mem::take(groups).into_iter();
        let (mut open, done): (Vec<_>, Vec<_>) = all.partition(|group| !group.wanted.is_empty());
        let wanted = open
            .iter()
            .map(|group| group.wanted.len() * group.scenes.len());
        let enough = wanted.sum::<usize>() >= FEWEST;
        if enough {
            generations(sound, &mut open, scenes);
        }
        groups.extend(done);
        groups.extend(open);
        if !enough {
            return;
        }
    }
}

/// The same for scenes that go into one pass together, until half of them are through.
fn generations<'s>(sound: &Stage<'_>, groups: &mut Vec<Ahead<'s>>, scenes: Scenes<'s>) {
    let (stages, faults) = scenes;
    let all: Vec<usize> = groups
        .iter()
        .flat_map(|g| g.scenes.iter().copied())
        .collect();
    let each = LANES / all.len();
    let mut first = vec![0; faults.len()];
    for (scene, lane) in all.iter().zip((0..).step_by(each)) {
        first[*scene] = lane;
    }
    let sets = all.iter().map(|scene| faults[*scene].to_vec());
    let sets = sets.flat_map(|set| std::iter::repeat_n(set, each));
    let laid = PackedFaults::new(sound.net(), &sets.collect::<Vec<_>>());
    let stage = PackedStage::new(sound, &laid);
    let nowhere = PackedHeld::all(sound.net(), &Held::unknown(sound.net()), Lanes::NONE);
    loop {
        let mut asked: Vec<Vec<Stand>> = Vec::with_capacity(groups.len());
        let mut lanes = Lanes::NONE;
        let mut held = nowhere.clone();
        for group in groups.iter_mut() {
            let stands = group
                .wanted
                .split_off(group.wanted.len().saturating_sub(each));
            for (nth, stand) in stands.iter().enumerate() {
                let stands = group.solver.held(*stand);
                for lane in group.scenes.iter().map(|scene| first[*scene] + nth) {
                    held.stand(lane, &stands);
                    lanes.insert(lane);
                }
            }
            asked.push(stands);
        }
        if lanes.count() < FEWEST {
            for (group, stands) in groups.iter_mut().zip(asked) {
                group.wanted.extend(stands);
            }
            return;
        }
        let driven = PackedDriven::of(&stage, &held, lanes);
        let learnt = groups
            .iter_mut()
            .zip(&asked)
            .filter(|(_, stands)| !stands.is_empty());
        let own = learnt.flat_map(|(group, stands)| group.learn(stands, &driven, (&first, stages)));
        let own: Vec<Ahead<'_>> = own.collect();
        groups.extend(own);
        let open = groups.iter().filter(|group| !group.wanted.is_empty());
        let open: usize = open.map(|group| group.scenes.len()).sum();
        if open * 2 <= all.len() {
            return;
        }
    }
}
