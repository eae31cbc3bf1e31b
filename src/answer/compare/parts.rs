//! Two circuits part by part and key by key.

use std::collections::BTreeSet;

use serde::Serialize;

use super::Names;
use super::facts::facts;
use crate::circuit::{Kind, Part, PartName};

/// A part that differs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PartChange {
    /// The part, by its name in the first; in the second where the first has none.
    pub part: PartName,
    /// Its name in the second, where that is another.
    pub there: Option<PartName>,
    /// Whether only one of the two has it.
    pub change: ChangeKind,
    /// Whether it lies in another casting, at other cavities, or on other plates.
    pub moved: bool,
    /// Whether it can be taken over from the other block.
    pub fit: Fit,
    /// The keys that differ.
    pub keys: Vec<KeyChange>,
}

/// Whether only one of the two has a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum ChangeKind {
    /// The second alone.
    Added,
    /// The first alone.
    Gone,
    /// Both, and it differs.
    Changed,
}

/// Whether a part can be taken over from one block to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Fit {
    /// It is cast, drilled or ground: it stays with its block.
    Fixed,
    /// It is a piece that comes loose.
    Loose,
    /// Another size, and yet every outlet of both gets the same, within the tolerance.
    Near,
    /// It is no part of the block: how it is driven, its oil, what is read of it.
    Around,
}

/// A key of a part that differs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct KeyChange {
    /// The key, as the circuit file has it; within a position or a table, after a dot.
    pub key: String,
    /// What the first says; none where it says nothing.
    pub here: Option<String>,
    /// What the second says, parts by the names of the first.
    pub there: Option<String>,
}

/// Keys that say where a part lies.
const PLACES: [&str; 15] = [
    "casting", "between", "from", "to", "inlets", "outlet", "through", "under", "at", "apply",
    "release", "on", "holds", "feeds", "roofs",
];
/// Keys of a valve that belong to its spring, plug and clip.
const VALVE_PIECES: [&str; 5] = ["moves-at", "plug", "clip", "sleeve", "spring"];
/// Keys of a regulator or relief that belong to its spring.
const SPRING: [&str; 4] = ["at", "band", "rise", "boost"];

/// Keys that are sizes.
const SIZES: [&str; 27] = [
    "bore",
    "width",
    "depth",
    "length",
    "bends",
    "volume",
    "thickness",
    "gap",
    "wall",
    "diameter",
    "wear",
    "clearance",
    "land",
    "opening",
    "driven",
    "rise",
    "band",
    "displacement",
    "speed",
    "leakage",
    "leaks-at",
    "worn-leakage",
    "passes",
    "drop",
    "passes-at",
    "needs",
    "pressure",
];

/// The parts that differ: what stays with its block first, then kind by kind, in file order.
/// `alike`: whether every outlet of both gets the same.
pub(super) fn differing(names: &Names<'_>, alike: bool) -> Vec<PartChange> {
    let [ours, theirs] = [names.ours.circuit(), names.theirs.circuit()];
    let here = facts(ours, &PartName::clone, &PartName::to_string);
    let back = |name: &PartName| names.here(name);
    let there = facts(theirs, &back, &|name| names.here(name).to_string());
    let nothing = Default::default();
    let all = ours.parts().map(|(name, _)| name);
    let added = theirs.parts().map(|(name, _)| back(&name));
    let added = added.filter(|name| !here.contains_key(name));
    let mut changes: Vec<PartChange> = Vec::new();
    for name in all.chain(added) {
        let [a, b] = [here.get(&name), there.get(&name)];
        let change = match (a, b) {
            (Some(a), Some(b)) if a == b => continue,
            (Some(_), Some(_)) => ChangeKind::Changed,
            (Some(_), None) => ChangeKind::Gone,
            (None, _) => ChangeKind::Added,
        };
        let (a, b) = (a.unwrap_or(&nothing), b.unwrap_or(&nothing));
        let keys: BTreeSet<&String> = a.keys().chain(b.keys()).collect();
        let keys = keys.into_iter().filter(|key| a.get(*key) != b.get(*key));
        let keys: Vec<KeyChange> = keys
            .map(|key| KeyChange {
                key: key.clone(),
                here: a.get(key).cloned(),
                there: b.get(key).cloned(),
            })
            .collect();
        let other = names.there(&name);
        let pressure = matches!(name.kind, Kind::Regulator | Kind::Relief);
        let place = |key: &str| PLACES.contains(&key) && !(pressure && key == "at");
        let whole = change == ChangeKind::Changed;
        // The bore of a valve is the order of its ports.
        let size = |key: &str| SIZES.contains(&key) && !(name.kind == Kind::Valve && key == "bore");
        let near = whole && alike && keys.iter().all(|k| size(&k.key));
        let fit = match fit(names, &name, whole.then_some(&keys)) {
            Fit::Fixed | Fit::Loose if near => Fit::Near,
            fit => fit,
        };
        changes.push(PartChange {
            there: (whole && other != name).then_some(other),
            moved: whole && !turned(&keys) && keys.iter().any(|k| place(&k.key)),
            fit,
            change,
            keys,
            part: name,
        });
    }
    changes.sort_by_key(|change| (change.fit, change.part.kind));
    changes
}

/// Whether a ball lies at the same two cavities and lets oil by the other way.
fn turned(keys: &[KeyChange]) -> bool {
    let key = |wanted: &str| keys.iter().find(|k| k.key == wanted);
    match (key("from"), key("to")) {
        (Some(from), Some(to)) => from.here == to.there && from.there == to.here,
        _ => false,
    }
}

/// Whether a part, or what differs of it, can be taken over.
fn fit(names: &Names<'_>, name: &PartName, keys: Option<&Vec<KeyChange>>) -> Fit {
    let only = |loose: &[&str]| {
        let all = |keys: &Vec<KeyChange>| keys.iter().all(|k| loose.contains(&k.key.as_str()));
        keys.is_some_and(all)
    };
    let part = [names.ours, names.theirs].into_iter().find_map(|net| {
        let name = if std::ptr::eq(net, names.ours) {
            name.clone()
        } else {
            names.there(name)
        };
        net.circuit().get(name.kind, &name.id)
    });
    match name.kind {
        Kind::Plate | Kind::Seal | Kind::Solenoid | Kind::Accumulator | Kind::Filter => Fit::Loose,
        // Drilled in a plate, it goes with the plate, as does the seat of a ball; the ball itself
        // and its spring come loose always.
        Kind::Ball => match part {
            Some(Part::Ball(p)) if p.through.is_empty() && !only(&["lifts-at"]) => Fit::Fixed,
            _ => Fit::Loose,
        },
        Kind::Port | Kind::Orifice => match part {
            Some(Part::Port(p)) if !p.through.is_empty() && only(&["bore", "thickness"]) => {
                Fit::Loose
            }
            Some(Part::Orifice(p)) if !p.through.is_empty() => Fit::Loose,
            _ => Fit::Fixed,
        },
        Kind::Valve if only(&VALVE_PIECES) => Fit::Loose,
        Kind::Regulator | Kind::Relief if only(&SPRING) => Fit::Loose,
        Kind::Casting
        | Kind::Passage
        | Kind::Valve
        | Kind::Regulator
        | Kind::Relief
        | Kind::Clearance
        | Kind::Source
        | Kind::Converter
        | Kind::Cooler
        | Kind::Outlet => Fit::Fixed,
        Kind::Oil | Kind::Tap | Kind::Switch | Kind::Input | Kind::State => Fit::Around,
    }
}
