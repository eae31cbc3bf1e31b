//! Whether one outlet has its oil in each of many scenes side by side: of what a verdict looks at,
//! the part that takes little time.

use super::beside::at_root;
use crate::circuit::Level;
use crate::net::{Lanes, NetOutlet, Pack, Tide, User};
use crate::settle::{PackedBalance, PackedSettle, Push, Status, Value, balance_packed};

/// Whether an outlet has its oil in each scene that came to rest in one place.
pub(super) struct Oil<'p> {
    settled: &'p PackedSettle<'p>,
    outlet: &'p NetOutlet,
    pack: Pack<'p>,
    /// Where it is passed through: the balance with its own way shut.
    beyond: Option<(Lanes, PackedBalance)>,
    /// Scenes of which it can say anything.
    told: Lanes,
}

impl<'p> Oil<'p> {
    pub fn of(settled: &'p PackedSettle<'p>, outlet: &'p NetOutlet) -> Self {
        let mut told = settled.steady();
        let pack = settled.at_rest(told);
        let beyond = match outlet.user {
            User::Through { way, .. } => {
                let low = settled.values(Level::Low);
                let oil = balance_packed(&pack.without(way), Some(low));
                let open = pack.opens(way);
                told &= !(oil.unsure() & open);
                Some((open, oil))
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
            false => self.settled.oil.arrives(lane, Tide::Supply, cavity),
        };
        let beyond = self.beyond.as_ref().filter(|(open, _)| open.contains(lane));
        let beyond = beyond.map(|(_, oil)| oil);
        Some(oil(self.settled, lane, self.outlet, supply, beyond))
    }
}

/// Whether an outlet has its oil in a scene that supply reaches it in so hard. `beyond` is the
/// balance with its own way shut, where it is passed through and open.
pub(super) fn oil(
    settled: &PackedSettle<'_>,
    lane: usize,
    outlet: &NetOutlet,
    supply: Push,
    beyond: Option<&PackedBalance>,
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
            match beyond.value(lane, inlet) == Some(Value::Fed) {
                true => Status::On,
                false => status,
            }
        }
        // Trapped oil lets go in time; it keeps nothing on.
        _ if supply == Push::None && status == Status::On => Status::Off,
        _ => status,
    }
}
