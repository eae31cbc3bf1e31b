//! What lies behind what an outlet looks like in one of many scenes side by side.

use std::cell::{OnceCell, RefCell};
use std::rc::Rc;

use rustc_hash::FxHashMap;

use super::beside::Beside;
use super::reason::Behind;
use super::route::{parts, search_out, way_in, way_out_at};
use super::sound::SoundState;
use crate::circuit::{Fault, Level, PartName};
use crate::net::{Cavity, LANES, Lanes, LanesAt, Net, Pack, Scene, WayId};
use crate::reach::{Search, supplied_packed};
use crate::settle::{Push, Value};

/// The scene without faults.
const SOUND: usize = 0;

/// What the routes in many scenes are told by, worked out when first asked for.
#[derive(Default)]
pub(super) struct Routes {
    /// Scenes in which any route from a source reaches each cavity.
    supplied: OnceCell<LanesAt>,
    /// By cavity, where there are any, the scenes in which a way at it stands otherwise than in the
    /// sound one.
    altered: OnceCell<FxHashMap<Cavity, Lanes>>,
    ways_out: RefCell<FxHashMap<(Cavity, Push), Rc<WayOut>>>,
}

/// The search in the sound scene for the shortest route by which a cavity's oil runs off.
struct WayOut {
    search: Search,
    /// Parts of that route.
    through: Vec<PartName>,
    /// The first turn at which it may go another way in each scene, if it may.
    differs: Vec<Option<usize>>,
}

impl Routes {
    /// The search in the sound scene for the shortest route, of a strength at least, by which a
    /// cavity's oil runs off. In scenes with the same roots it goes the same way until it comes to what
    /// stands otherwise.
    fn way_out(
        &self,
        pack: &Pack<'_>,
        sound: &Scene<'_>,
        (cavity, least): (Cavity, Push),
    ) -> Rc<WayOut> {
        let mut known = self.ways_out.borrow_mut();
        let found = known.entry((cavity, least)).or_insert_with(|| {
            let search = search_out(sound, cavity, least);
            let mut differs: Vec<Option<usize>> = vec![None; LANES];
            for (at, lanes) in self.altered.get_or_init(|| pack.altered(SOUND)) {
                if let Some(turn) = search.turn(*at) {
                    for lane in lanes.iter() {
                        let earliest = differs[lane].map_or(turn, |known| known.min(turn));
                        differs[lane] = Some(earliest);
                    }
                }
            }
            let through = parts(sound, search.path());
            Rc::new(WayOut {
                search,
                through,
                differs,
            })
        });
        found.clone()
    }
}

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
        let (pack, _) = self.beside.routes();
        pack.opens(way).contains(self.lane)
    }

    fn is_supplied(&self, cavity: Cavity) -> bool {
        let (pack, routes) = self.beside.routes();
        let supplied = routes.supplied.get_or_init(|| supplied_packed(pack));
        supplied.at(cavity).contains(self.lane)
    }

    fn way_out(&self, cavity: Cavity, least: Push) -> Vec<PartName> {
        let (pack, routes) = self.beside.routes();
        let alone = || search_out(self.scene(), cavity, least).path();
        if pack.rooted_otherwise(SOUND).contains(self.lane) {
            return parts(self.scene(), alone());
        }
        let known = routes.way_out(pack, &self.state.picture.scene, (cavity, least));
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
