//! In what scenes differ from one of them.

use rustc_hash::FxHashMap;

use super::{Lanes, Pack, Sureness};
use crate::net::{Cavity, Passes, Strength};

impl Pack<'_> {
    /// By cavity, where there are any, the scenes in which a way at it stands otherwise than in one
    /// scene.
    pub(crate) fn altered(&self, lane: usize) -> FxHashMap<Cavity, Lanes> {
        let mut altered: FxHashMap<Cavity, Lanes> = FxHashMap::default();
        let mut note = |ends: [Cavity; 2], lanes: Lanes| {
            if lanes.any() {
                ends.into_iter()
                    .for_each(|end| *altered.entry(end).or_default() |= lanes);
            }
        };
        for (marked, now) in self.faults.marked.iter().zip(&self.ways) {
            let all = [now.open, now.bare, now.doubtful];
            let lanes = all
                .into_iter()
                .fold(Lanes::NONE, |any, l| any | l.differ_from(lane));
            note(self.net().ways()[marked.way].ends, lanes);
        }
        for (from, link) in self.faults.added.iter() {
            note([from, link.to], link.lanes.differ_from(lane));
        }
        altered
    }

    /// Scenes in which something else than in one scene is fed by a source, kept down or held.
    pub(crate) fn rooted_otherwise(&self, lane: usize) -> Lanes {
        let roots = [&self.rails, &self.vents, &self.held];
        let roots = roots.into_iter().flatten();
        roots.fold(Lanes::NONE, |any, (_, lanes)| any | lanes.differ_from(lane))
    }

    /// Calls `visit` for where oil drains from and to by each way that one scene of another pack
    /// of the same stage and level, the `sound` one, has not or has narrower, with how strong the
    /// way is and the scenes.
    pub fn wider(
        &self,
        sound: &Pack<'_>,
        lane: usize,
        visit: impl FnMut([Cavity; 2], Strength, Lanes),
    ) {
        self.wider_by(Sureness::Possible, sound, lane, visit);
    }

    /// The same of ways that are surely open, or whichever.
    pub(crate) fn wider_by(
        &self,
        sureness: Sureness,
        sound: &Pack<'_>,
        lane: usize,
        mut visit: impl FnMut([Cavity; 2], Strength, Lanes),
    ) {
        for (from, link) in self.faults.added.iter() {
            visit([from, link.to], link.strength, link.lanes & self.lanes);
        }
        let marked = self.faults.marked.iter().zip(&self.ways).zip(&sound.ways);
        for ((marked, now), sound) in marked {
            let way = &self.net().ways()[marked.way];
            let [a, b] = way.ends;
            let counts = match sureness {
                Sureness::Possible => self.lanes,
                Sureness::Sure | Sureness::SureBothWays => self.lanes & !now.doubtful,
            };
            let was_bare = sound.bare.contains(lane);
            let was_open = was_bare || sound.open.contains(lane);
            let gains = way.strength < Strength::Open || way.passes != Passes::Both || !was_open;
            if gains && !was_bare {
                let bare = now.bare & counts;
                visit([a, b], Strength::Open, bare);
                visit([b, a], Strength::Open, bare);
            }
            if !was_open {
                let open = now.open & !now.bare & counts;
                if way.passes != Passes::Excess {
                    visit([a, b], way.strength, open);
                }
                if way.passes == Passes::Both {
                    visit([b, a], way.strength, open);
                }
            }
        }
    }
}
