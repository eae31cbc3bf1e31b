//! Cavities that supply and drain reach equally hard through metering holes, decided by bores in many
//! scenes at once: the same as a single balance is refined.

use crate::net::{Cavity, Lanes, LanesAt, Pack, Tide, Width};
use crate::settle::contest::decided_by;

/// A way into a cavity that a tide first reaches through metering holes.
struct Hole {
    from: usize,
    to: usize,
    /// Its bore, m; none where that is not known.
    bore: Option<f64>,
    lanes: Lanes,
}

/// Of one tide the scenes in which the widest bottleneck to each cavity is as wide, m, from the widest
/// on.
type Bottlenecks = Vec<(f64, Vec<Lanes>)>;

/// For each cavity the scenes in which bores decide that it is drained, and that it is fed. `reached`
/// is what each tide has reached through open ways, then through metered ones; only some scenes,
/// without a way in doubt, are `asked` about.
pub(super) fn decided(
    pack: &Pack<'_>,
    reached: [&[LanesAt; 2]; 2],
    asked: Lanes,
) -> Vec<(Cavity, [Lanes; 2])> {
    let [open, metered] = reached.map(|reached| {
        let rows = |at: &LanesAt| pack.net().cavities().map(|c| at.at(c)).collect();
        reached.each_ref().map(rows)
    });
    let first = |tide: Tide| -> Vec<Lanes> {
        let (open, metered): (&Vec<Lanes>, &Vec<Lanes>) =
            (&open[tide as usize], &metered[tide as usize]);
        let rows = metered.iter().zip(open);
        rows.map(|(metered, open)| *metered & !*open & asked)
            .collect()
    };
    let tides = [Tide::Drain, Tide::Supply];
    let [drain, supply] = tides.map(first);
    let contested = drain.iter().zip(&supply).enumerate();
    let contested = contested.map(|(at, (drain, supply))| (at, *drain & *supply));
    let contested: Vec<(usize, Lanes)> = contested.filter(|(_, lanes)| lanes.any()).collect();
    let any = contested
        .iter()
        .fold(Lanes::NONE, |any, (_, lanes)| any | *lanes);
    let [drained, fed] = [(Tide::Drain, drain), (Tide::Supply, supply)].map(|(tide, within)| {
        let within: Vec<Lanes> = within.into_iter().map(|lanes| lanes & any).collect();
        known(&holes(pack, tide, &within), &open[tide as usize], &within)
    });
    let decide = |(at, lanes): (usize, Lanes)| {
        let mut decided = [Lanes::NONE; 2];
        for (drain, drained) in &drained {
            for (supply, fed) in &fed {
                let here = drained[at] & fed[at] & lanes;
                match decided_by(*supply, *drain) {
                    Some(fed) if here.any() => decided[usize::from(fed)] |= here,
                    _ => {}
                }
            }
        }
        (Cavity(at as u32), decided)
    };
    contested.into_iter().map(decide).collect()
}

/// The ways into cavities, each in the scenes in which a tide first reaches it through metering holes.
fn holes(pack: &Pack<'_>, tide: Tide, within: &[Lanes]) -> Vec<Hole> {
    let mut holes = Vec::new();
    for (at, here) in within.iter().enumerate().filter(|(_, lanes)| lanes.any()) {
        pack.comes_by(tide, Cavity(at as u32), |from, width, lanes| {
            let lanes = lanes & *here;
            if lanes.any() {
                holes.push(Hole {
                    from: from.number(),
                    to: at,
                    bore: match width {
                        Width::Open => Some(f64::INFINITY),
                        Width::Metered(bore) => bore.map(|bore| bore.m()),
                    },
                    lanes,
                });
            }
        });
    }
    holes
}

/// The bottlenecks of a tide that are known: those that holes of unknown bore cannot matter to.
fn known(holes: &[Hole], from: &[Lanes], within: &[Lanes]) -> Bottlenecks {
    let mut known = widest(holes, from, within, Some(f64::INFINITY));
    if holes.iter().any(|hole| hole.bore.is_none()) {
        let least = widest(holes, from, within, None);
        for (bore, most) in &mut known {
            let same = least.iter().find(|(least, _)| least == bore);
            for (at, lanes) in most.iter_mut().enumerate() {
                *lanes &= same.map_or(Lanes::NONE, |(_, least)| least[at]);
            }
        }
    }
    known.retain(|(bore, _)| bore.is_finite());
    known
}

/// The widest bottlenecks with holes of unknown bore taken for as wide, or for shut: from the widest
/// bore on, each lets on what the wider ones have let to it.
fn widest(holes: &[Hole], from: &[Lanes], within: &[Lanes], unknown: Option<f64>) -> Bottlenecks {
    let mut holes: Vec<(f64, &Hole)> = holes
        .iter()
        .filter_map(|hole| Some((hole.bore.or(unknown)?, hole)))
        .collect();
    holes.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    let mut reached: Vec<Lanes> = from.to_vec();
    let mut bottlenecks = Bottlenecks::new();
    for upto in 1..=holes.len() {
        let bore = holes[upto - 1].0;
        if holes.get(upto).is_some_and(|(next, _)| *next == bore) {
            continue;
        }
        let mut found = vec![Lanes::NONE; within.len()];
        let mut more = true;
        while std::mem::take(&mut more) {
            for (_, hole) in &holes[..upto] {
                let new = reached[hole.from] & hole.lanes & !reached[hole.to];
                if new.any() {
                    reached[hole.to] |= new;
                    found[hole.to] |= new;
                    more = true;
                }
            }
        }
        bottlenecks.push((bore, found));
    }
    bottlenecks
}
