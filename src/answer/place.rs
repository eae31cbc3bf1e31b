//! Where what moves stands, as the circuit file names it.

use crate::circuit::{Kind, PartName};
use crate::net::{Held, Net};

/// The position of a valve or the open inlet of a shuttle ball; none where that is not known.
pub(super) fn place(net: &Net<'_>, held: &Held, part: &PartName) -> Option<String> {
    if part.kind == Kind::Valve {
        let (number, _, _) = net.circuit().valves.get_full(&part.id)?;
        return position(net, part, held.valves[number]?);
    }
    let mut shuttles = net.shuttles().iter().zip(&held.shuttles);
    let (shuttle, open) = shuttles.find(|(s, _)| s.name == *part)?;
    let inlet = shuttle.inlets[usize::from((*open)?)];
    Some(net.name(inlet).to_owned())
}

/// The name of a position of a valve.
pub(super) fn position(net: &Net<'_>, valve: &PartName, place: u32) -> Option<String> {
    let positions = &net.circuit().valves.get(&valve.id)?.positions;
    let (name, _) = positions.get_index(place as usize)?;
    Some(name.clone())
}

/// Positions of a valve by name; none for those not known.
pub(super) fn places(
    net: &Net<'_>,
    valve: &PartName,
    positions: &[Option<u32>],
) -> Vec<Option<String>> {
    let positions = positions.iter();
    positions.map(|p| position(net, valve, (*p)?)).collect()
}
