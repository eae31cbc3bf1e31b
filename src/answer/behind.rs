//! What lies behind what an outlet looks like in one of many scenes side by side.

use std::cell::OnceCell;

use super::beside::Beside;
use super::picture::{parts, search_out, way_in, way_out_at};
use super::reason::Behind;
use super::sound::SoundState;
use crate::circuit::{Fault, Level, PartName};
use crate::net::{Cavity, Net, Scene, WayId};
use crate::settle::{Push, Value};

/// One scene of many. Routes are searched in it alone, and only where they may be others than those
/// of the sound circuit.
pub(super) struct BehindLane<'l> {
    beside: &'l Beside<'l>,
    state: &'l SoundState<'l>,
    faults: &'l [Fault],
    lane: usize,
    scene: OnceCell<Scene<'l>>,
}

impl<'l> BehindLane<'l> {
    pub fn of(
        beside: &'l Beside<'l>,
        state: &'l SoundState<'l>,
        faults: &'l [Fault],
        lane: usize,
    ) -> Self {
        BehindLane {
            beside,
            state,
            faults,
            lane,
            scene: OnceCell::new(),
        }
    }

    fn scene(&self) -> &Scene<'l> {
        self.scene.get_or_init(|| {
            let stage = self.state.stage.with(self.faults);
            stage.scene(&self.beside.settled.held(self.lane), Level::Low)
        })
    }
}

impl Behind for BehindLane<'_> {
    fn net(&self) -> &Net<'_> {
        self.beside.settled.net()
    }

    fn value(&self, cavity: Cavity) -> Value {
        self.beside.settled.oil().value(self.lane, cavity)
    }

    fn opens(&self, way: WayId) -> bool {
        self.beside.opens(way).contains(self.lane)
    }

    fn is_supplied(&self, cavity: Cavity) -> bool {
        self.beside.supplied(cavity).contains(self.lane)
    }

    fn way_out(&self, cavity: Cavity, least: Push) -> Vec<PartName> {
        let alone = || search_out(self.scene(), cavity, least).path();
        if self.beside.rooted_otherwise().contains(self.lane) {
            return parts(self.scene(), alone());
        }
        let sound = &self.state.picture.scene;
        let known = self.beside.sound_way_out(sound, cavity, least);
        let Some(turn) = known.differs[self.lane] else {
            return known.through.clone();
        };
        let found = way_out_at(&known.search, turn, self.scene(), least);
        parts(self.scene(), found.or_else(alone))
    }

    fn way_in(&self, cavity: Cavity) -> Vec<PartName> {
        way_in(self.scene(), cavity)
    }
}
