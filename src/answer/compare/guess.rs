//! Which part of one circuit may be which of another, told by structure where ids differ.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::hash::{DefaultHasher, Hash, Hasher};

use super::facts::facts;
use crate::circuit::{Circuit, Kind, Part, PartName, Step};

/// Rounds in which what a part looks like takes in what lies around it.
const ROUNDS: usize = 8;

/// Pairs of parts that only one of the two circuits has by that name and that look alike: the same
/// keys and sizes, among the same neighbours. Only pairs that are the one choice for each other.
///
/// What a part looks like is refined round by round by what its neighbours look like (colour
/// refinement; B. Weisfeiler and A. Lehman, 1968, from memory), parts of one name being known.
pub(super) fn guess(
    a: &Circuit,
    b: &Circuit,
    mapped: &[(PartName, PartName)],
) -> Vec<(PartName, PartName)> {
    let has = |circuit: &Circuit, name: &PartName| circuit.get(name.kind, &name.id).is_some();
    let renamed: HashMap<&PartName, &PartName> = mapped.iter().map(|(a, b)| (a, b)).collect();
    let taken: HashSet<&PartName> = mapped.iter().map(|(_, b)| b).collect();
    let known_a = |name: &PartName| match renamed.get(name) {
        Some(other) => Some((*other).clone()),
        None => (has(b, name) && !taken.contains(name)).then(|| name.clone()),
    };
    let known: HashSet<PartName> = a.parts().filter_map(|(name, _)| known_a(&name)).collect();
    let known_b = |name: &PartName| known.contains(name).then(|| name.clone());
    let alone = [looks(a, &known_a), looks(b, &known_b)];
    let [ours, theirs] = alone.each_ref().map(|looks| {
        let mut by_look: BTreeMap<u64, Vec<&PartName>> = BTreeMap::new();
        for (name, look) in looks {
            by_look.entry(*look).or_default().push(name);
        }
        by_look
    });
    let pairs = ours
        .iter()
        .filter_map(|(look, ours)| match (&ours[..], theirs.get(look)) {
            ([one], Some(theirs)) if theirs.len() == 1 => Some(((*one).clone(), theirs[0].clone())),
            _ => None,
        });
    let mut pairs: Vec<(PartName, PartName)> = pairs.collect();
    pairs.sort();
    pairs
}

/// What each part looks like that is not known by name.
fn looks(
    circuit: &Circuit,
    known: &dyn Fn(&PartName) -> Option<PartName>,
) -> BTreeMap<PartName, u64> {
    // A key in which several parts are named tells which is which only where its order counts.
    let ordered = |name: &PartName, steps: &[Step]| {
        let key = match steps.first() {
            Some(Step::Key(key)) => key.as_str(),
            _ => "",
        };
        let through = matches!(name.kind, Kind::Filter | Kind::Converter | Kind::Cooler);
        match (key, through) {
            ("bore" | "spills" | "from" | "to" | "outlet" | "inlets", _) | ("between", true) => {
                format!("{steps:?}")
            }
            (key, _) => key.to_owned(),
        }
    };
    let mut links: BTreeMap<PartName, Vec<(String, PartName)>> = BTreeMap::new();
    let mut link = |from: &PartName, key: String, to: &PartName| {
        let back = format!("from {key}");
        links
            .entry(from.clone())
            .or_default()
            .push((key, to.clone()));
        links
            .entry(to.clone())
            .or_default()
            .push((back, from.clone()));
    };
    for reference in circuit.references() {
        let found = circuit.find(reference.text, reference.kinds);
        if let (Some(part), Ok(found)) = (&reference.place.part, found) {
            link(part, ordered(part, &reference.place.steps), &found);
        }
    }
    for (name, part) in circuit.parts() {
        if let Part::Passage(passage) = part {
            let casting = PartName::new(Kind::Casting, &passage.casting);
            link(&name, "casting".to_owned(), &casting);
        }
    }
    // The keys alone, all names in them alike.
    let nameless = facts(circuit, &PartName::clone, &|name| name.kind.to_string());
    let hash = |value: &dyn Fn(&mut DefaultHasher)| {
        let mut hasher = DefaultHasher::new();
        value(&mut hasher);
        hasher.finish()
    };
    let mut look: BTreeMap<PartName, u64> = circuit
        .parts()
        .map(|(name, _)| {
            let own = match known(&name) {
                Some(known) => hash(&|h| known.hash(h)),
                None => hash(&|h| (name.kind, nameless.get(&name)).hash(h)),
            };
            (name, own)
        })
        .collect();
    for _ in 0..ROUNDS {
        let next = look.iter().map(|(name, own)| {
            if known(name).is_some() {
                return (name.clone(), *own);
            }
            let around = links.get(name).into_iter().flatten();
            let around = around.map(|(key, to)| (key.as_str(), look.get(to)));
            let mut around: Vec<_> = around.collect();
            around.sort();
            (name.clone(), hash(&|h| (own, &around).hash(h)))
        });
        look = next.collect();
    }
    look.retain(|name, _| known(name).is_none());
    look
}
