//! Whether one outlet has its oil in each of many scenes side by side: of what a verdict looks at,
//! the part that takes little time.

use crate::circuit::Level;
use crate::net::{Cavity, Lanes, NetOutlet, Pack, Tide, User, WayId};
use crate::settle::{
    PackedBalance, PackedSettle, Push, Status, Value, at_root, balance_packed, goes_round_packed,
};

/// Whether an outlet has its oil in each scene that came to rest in one place.
pub(super) struct Oil<'p> {
    settled: &'p PackedSettle<'p>,
    outlet: &'p NetOutlet,
    pack: Pack<'p>,
    beyond: Option<Beyond>,
    /// Scenes of which it can say anything.
    told: Lanes,
}

/// A filter, converter or cooler with its own way shut.
pub(super) struct Beyond {
    /// Scenes in which the way is open to begin with.
    pub open: Lanes,
    /// Supply weighed against drain with it shut.
    pub oil: PackedBalance,
    /// Scenes in which its inlet is fed then and what passes the way surely goes round, and those in
    /// which it may.
    pub round: [Lanes; 2],
}

impl Beyond {
    /// `packs` are the scenes as they look at each level, `pack` as they look at low.
    pub fn of(
        settled: &PackedSettle<'_>,
        pack: &Pack<'_>,
        packs: &[Pack<'_>],
        inlet: Cavity,
        way: WayId,
    ) -> Self {
        let oil = balance_packed(&pack.without(way), Some(settled.values(Level::Low)));
        let open = pack.opens(way);
        let [fed, _] = oil.values_at(inlet);
        Beyond {
            round: goes_round_packed(packs, fed & open, inlet, way),
            open,
            oil,
        }
    }
}

impl<'p> Oil<'p> {
    pub fn of(settled: &'p PackedSettle<'p>, outlet: &'p NetOutlet) -> Self {
        let told = settled.steady();
        let pack = settled.at_rest(told);
        let beyond = match outlet.user {
            User::Through { inlet, way } => {
                let packs = settled.at_each_level(told);
                Some(Beyond::of(settled, &pack, &packs, inlet, way))
            }
            _ => None,
        };
        Oil {
            settled,
            outlet,
            pack,
            beyond,
            told,
        }
    }

    /// Whether the outlet has its oil in a scene, where that can be told.
    pub fn status(&self, lane: usize) -> Option<Status> {
        if !self.told.contains(lane) {
            return None;
        }
        let cavity = self.outlet.user.feed();
        let supply = match at_root(self.pack.rails(), cavity).contains(lane) {
            true => Push::Rail,
            false => self.settled.oil().arrives(lane, Tide::Supply, cavity),
        };
        let beyond = self.beyond.as_ref().filter(|b| b.open.contains(lane));
        Some(oil(self.settled, lane, self.outlet, supply, beyond))
    }
}

/// Whether an outlet has its oil in a scene that supply reaches it in so hard. `beyond` is what
/// it is with its own way shut, where it is passed through and open.
pub(super) fn oil(
    settled: &PackedSettle<'_>,
    lane: usize,
    outlet: &NetOutlet,
    supply: Push,
    beyond: Option<&Beyond>,
) -> Status {
    let least = match outlet.by_pressure {
        true => Level::Low,
        false => Level::Fill,
    };
    let values = settled.values(least);
    let at = |cavity| Status::from(values.value(lane, cavity));
    let status = match outlet.user {
        User::TwoSided { apply, release } => Status::two_sided(at(apply), at(release)),
        user => at(user.feed()),
    };
    match (outlet.user, beyond) {
        (User::Through { .. }, None) => Status::Off,
        (User::Through { inlet, .. }, Some(beyond)) => {
            let round = beyond.round.map(|round| round.contains(lane));
            match (beyond.oil.value(lane, inlet), round) {
                (Value::Fed, [true, _]) => Status::On,
                (Value::Fed, [_, false]) => Status::Off,
                (Value::Fed, [false, true]) => Status::Unsure,
                _ => status,
            }
        }
        // Trapped oil lets go in time; it keeps nothing on.
        _ if supply == Push::None && status == Status::On => Status::Off,
        _ => status,
    }
}
