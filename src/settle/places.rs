//! Where everything that moves stands, as one row of numbers.

use super::point::stands;
use crate::net::{Held, Net};

/// Where everything that moves stands, a number each: valves, then shuttle balls, nought where that is
/// not known and else one more than the place; then which regulators are boosted.
pub(super) type Places = Vec<u32>;

/// The places of what stands as in `held`.
pub(super) fn places(held: &Held) -> Places {
    let movers = held.valves.len() + held.shuttles.len();
    let movers = (0..movers).map(|mover| stands(held, mover).map_or(0, |place| place + 1));
    movers
        .chain(held.boosted.iter().map(|b| u32::from(*b)))
        .collect()
}

/// Where a mover stands.
pub(super) fn stands_in(places: &[u32], mover: usize) -> Option<u32> {
    places[mover].checked_sub(1)
}

/// Has some movers go to their places.
pub(super) fn move_in(places: &mut [u32], moves: &[(usize, u32)], boosted: &[bool]) {
    for (mover, place) in moves {
        places[*mover] = place + 1;
    }
    let movers = places.len() - boosted.len();
    for (stands, boosted) in places[movers..].iter_mut().zip(boosted) {
        *stands = u32::from(*boosted);
    }
}

/// Where everything stands, of places.
pub(super) fn held(net: &Net<'_>, places: &[u32]) -> Held {
    let (valves, rest) = places.split_at(net.valves().len());
    let (shuttles, boosted) = rest.split_at(net.shuttles().len());
    let place = |number: &u32| number.checked_sub(1);
    Held {
        valves: valves.iter().map(place).collect(),
        shuttles: shuttles.iter().map(|s| place(s).map(|s| s as u8)).collect(),
        boosted: boosted.iter().map(|b| *b == 1).collect(),
    }
}
