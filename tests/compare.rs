//! Do two circuits interchange: a circuit against itself, reordered, renamed, and with one thing
//! made different.

mod support;

use std::collections::BTreeSet;

use oilpath::answer::{
    Answer, ChangeKind, Compare, CompareReason, Fit, Interchange, compare, starve,
};
use oilpath::circuit::{BallKind, Circuit, Kind, PartName, Work};
use oilpath::sheet;
use oilpath::units::{Length, Pressure};
use proptest::prelude::*;
use support::{every_circuit, net, open, read};

const BOX: &str = "circuits/transfer-box.toml";
const LESSON: &str = "circuits/lessons/check-ball.toml";

fn held(ours: &Circuit, theirs: &Circuit, mapped: &[(PartName, PartName)]) -> Compare {
    compare(&net(ours), &net(theirs), mapped)
}

fn part(kind: Kind, id: &str) -> PartName {
    PartName::new(kind, id)
}

#[test]
fn every_circuit_interchanges_with_itself() {
    for (path, circuit) in every_circuit() {
        let answer = held(&circuit, &circuit, &[]);
        assert_eq!(answer.verdict, Interchange::Yes, "{path}");
        assert_eq!((answer.parts.len(), answer.reason), (0, None), "{path}");
        assert_eq!(answer.shared, circuit.parts().count(), "{path}");
        assert!(
            answer.guessed.is_empty() && answer.roles.is_empty(),
            "{path}"
        );
        assert!(!held(&circuit, &circuit, &[]).wrong());
    }
}

/// The lever valve that should feed range oil in low does not: the band gets none there. Every
/// piece lies where it did, so the two look alike.
#[test]
fn two_that_look_alike_and_differ_inside() {
    let ours = open(BOX);
    let mut theirs = ours.clone();
    let low = theirs.valves["range"].positions.get_mut("low").unwrap();
    low.joins
        .retain(|join| !join.cavities.contains(&"range-feed".to_owned()));
    let answer = held(&ours, &theirs, &[]);
    assert!(answer.wrong() && answer.look_alike);
    assert_eq!(answer.verdict, Interchange::No);
    let low = Some(CompareReason::Outlet {
        state: Some("low".to_owned()),
        outlet: part(Kind::Outlet, "low-band"),
    });
    assert_eq!(answer.reason, low);
    let keys: Vec<&str> = answer.parts[0]
        .keys
        .iter()
        .map(|k| k.key.as_str())
        .collect();
    assert_eq!((answer.parts.len(), keys), (1, vec!["low.joins"]));
    // With the ring cut, the sound band of ours is lost and line with it; theirs never had it.
    assert!(
        answer
            .roles
            .iter()
            .any(|role| role.fault == "servo-ring:cut")
    );
}

/// A ball seated the other way round in the gasket: the gasket can be taken over.
#[test]
fn loose_pieces_can_be_taken_over() {
    let ours = open(BOX);
    let mut theirs = ours.clone();
    flip(&mut theirs, "front-exhaust");
    let answer = held(&ours, &theirs, &[]);
    assert_eq!(answer.verdict, Interchange::WithChanges);
    let change = &answer.parts[0];
    assert_eq!((change.fit, change.moved), (Fit::Loose, false));
    assert!(answer.look_alike && answer.wrong());
    // The same in a circuit whose file knows of no plate: its seat is drilled in the block.
    let ours = open(LESSON);
    let mut theirs = ours.clone();
    flip(&mut theirs, "quick-off");
    assert_eq!(held(&ours, &theirs, &[]).verdict, Interchange::No);
}

#[test]
fn a_passage_in_another_casting_has_moved() {
    let ours = open(BOX);
    let mut theirs = ours.clone();
    theirs.passages["lube-rear"].casting = "valve-block".to_owned();
    let answer = held(&ours, &theirs, &[]);
    let change = &answer.parts[0];
    assert_eq!((change.part.id.as_str(), change.moved), ("lube-rear", true));
    assert!(!answer.look_alike);
    assert_eq!(answer.verdict, Interchange::No);
}

/// Without figures another bore in a casting is a reason against; a length that no outlet feels by
/// a twentieth is none where both have sizes.
#[test]
fn a_size_that_no_outlet_feels_is_no_reason() {
    let ours = open(BOX);
    let mut theirs = ours.clone();
    theirs.passages["line"].length = Some(Length::from_m(0.072));
    let answer = held(&ours, &theirs, &[]);
    assert_eq!(answer.verdict, Interchange::Yes);
    assert_eq!((answer.parts.len(), answer.parts[0].fit), (1, Fit::Near));
    // Half the bore is a quarter of the area: the bearing gets far less.
    theirs.orifices["rear-jet"].bore = Some(Length::from_m(0.000_75));
    let answer = held(&ours, &theirs, &[]);
    assert_eq!(answer.verdict, Interchange::No);
    let differ = answer.figures.unwrap().differ;
    let outlets: BTreeSet<&str> = differ.iter().map(|f| f.outlet.id.as_str()).collect();
    assert!(outlets.contains("rear-bearing"), "{outlets:?}");
}

/// Parts that only their ids tell apart are proposed, and named they interchange.
#[test]
fn renamed_parts_are_guessed() {
    let ours = open(BOX);
    let text = sheet::write(&ours);
    let text = ["lube-chain", "high-ring", "rear-jet"]
        .iter()
        .fold(text, |text, id| replaced(&text, id, &format!("{id}-b")));
    let theirs = read(&text);
    let answer = held(&ours, &theirs, &[]);
    assert_eq!(answer.verdict, Interchange::No);
    let guessed: Vec<(PartName, PartName)> = answer
        .guessed
        .iter()
        .map(|[a, b]| (a.clone(), b.clone()))
        .collect();
    let ids: Vec<&str> = guessed.iter().map(|(_, b)| b.id.as_str()).collect();
    assert_eq!(ids, ["lube-chain-b", "rear-jet-b", "high-ring-b"]);
    let answer = held(&ours, &theirs, &guessed);
    assert_eq!((answer.verdict, answer.parts.len()), (Interchange::Yes, 0));
    // Two that are the same to the last key cannot be told apart, and no one is guessed.
    let twins = |names: [&str; 2]| {
        read(&format!(
            "[casting]\nblock = {{ passages = ['line', 'lube'] }}\n[source]\npump = {{ feeds = 'line' }}\n\
             [orifice]\n{} = {{ between = ['line', 'lube'] }}\n{} = {{ between = ['line', 'lube'] }}\n",
            names[0], names[1]
        ))
    };
    let answer = held(&twins(["a", "b"]), &twins(["c", "d"]), &[]);
    assert_eq!(answer.guessed.len(), 0);
}

#[test]
fn states_of_one_alone_are_named() {
    let ours = open(BOX);
    let mut theirs = ours.clone();
    theirs.states.shift_remove("low");
    let answer = held(&ours, &theirs, &[]);
    assert_eq!(answer.states_apart, ["low"]);
    assert_eq!(answer.states.len(), ours.states.len() - 1);
    assert_eq!(answer.parts[0].change, ChangeKind::Gone);
}

fn flip(circuit: &mut Circuit, ball: &str) {
    if let BallKind::OneWay { from, to, .. } = &mut circuit.balls[ball].kind {
        std::mem::swap(from, to);
    }
}

/// A text with every word that is `old` replaced; words are made of what ids are made of.
fn replaced(text: &str, old: &str, new: &str) -> String {
    let part_of_id = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    let mut out = String::new();
    let mut word = String::new();
    for c in text.chars().chain(['\n']) {
        if part_of_id(c) {
            word.push(c);
            continue;
        }
        out += if word == old { new } else { &word };
        word.clear();
        out.push(c);
    }
    out
}

/// Every table turned round, and every list whose order says nothing.
fn reordered(circuit: &Circuit) -> Circuit {
    let mut other = circuit.clone();
    other.castings.reverse();
    other.passages.reverse();
    other.plates.reverse();
    other.ports.reverse();
    other.orifices.reverse();
    other.balls.reverse();
    other.seals.reverse();
    other.valves.reverse();
    other.solenoids.reverse();
    other.outlets.reverse();
    other.taps.reverse();
    other.states.reverse();
    other.ports.values_mut().for_each(|p| p.between.reverse());
    other
        .orifices
        .values_mut()
        .for_each(|p| p.between.reverse());
    for plate in other.plates.values_mut() {
        plate.roofs.reverse();
        plate.separates.reverse();
        plate.separates.iter_mut().for_each(|run| run.reverse());
    }
    for position in other
        .valves
        .values_mut()
        .flat_map(|v| v.positions.values_mut())
    {
        position.joins.reverse();
        position
            .joins
            .iter_mut()
            .for_each(|join| join.cavities.reverse());
    }
    for state in other.states.values_mut() {
        state.on.reverse();
        state.applies.reverse();
    }
    other
}

/// What is made different, and at which part; none where this part has no such thing.
fn differ(circuit: &mut Circuit, what: usize, which: usize) -> Option<PartName> {
    fn nth<T>(table: &indexmap::IndexMap<String, T>, which: usize) -> Option<String> {
        let at = which.checked_rem(table.len())?;
        Some(table.get_index(at)?.0.clone())
    }
    Some(match what {
        0 => {
            let id = nth(&circuit.balls, which)?;
            flip(circuit, &id);
            part(Kind::Ball, &id)
        }
        1 => {
            let id = nth(&circuit.orifices, which)?;
            let bore = circuit.orifices[&id].bore.map_or(1e-3, |b| b.m());
            circuit.orifices[&id].bore = Some(Length::from_m(bore * 1.3));
            part(Kind::Orifice, &id)
        }
        2 => {
            let id = nth(&circuit.seals, which)?;
            circuit.seals.shift_remove(&id);
            part(Kind::Seal, &id)
        }
        3 => {
            let id = nth(&circuit.valves, which)?;
            let positions = &mut circuit.valves[&id].positions;
            let at = which % positions.len();
            positions[at].joins.pop()?;
            part(Kind::Valve, &id)
        }
        4 => {
            let id = nth(&circuit.valves, which)?;
            circuit.valves[&id].moves_at = Some(Pressure::from_pa(1.234e5));
            part(Kind::Valve, &id)
        }
        5 => {
            let id = nth(&circuit.plates, which)?;
            circuit.plates[&id].roofs.pop()?;
            part(Kind::Plate, &id)
        }
        6 => {
            let id = nth(&circuit.plates, which)?;
            circuit.plates[&id].separates.pop()?;
            part(Kind::Plate, &id)
        }
        7 => {
            let id = nth(&circuit.regulators, which)?;
            match &mut circuit.regulators[&id].work {
                Work::Spills(to) => to.reverse(),
                Work::Reduces(_) => return None,
            }
            part(Kind::Regulator, &id)
        }
        8 => {
            let id = nth(&circuit.ports, which)?;
            circuit.ports[&id].through.pop()?;
            part(Kind::Port, &id)
        }
        9 => {
            let id = nth(&circuit.taps, which)?;
            circuit.taps.shift_remove(&id);
            part(Kind::Tap, &id)
        }
        10 => {
            let id = nth(&circuit.solenoids, which)?;
            let solenoid = &mut circuit.solenoids[&id];
            solenoid.normally_open = !solenoid.normally_open;
            part(Kind::Solenoid, &id)
        }
        _ => {
            let id = nth(&circuit.valves, which)?;
            circuit.valves[&id].bore.swap(0, 1);
            part(Kind::Valve, &id)
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Reordered and renamed by a map it is the same circuit.
    #[test]
    fn the_same_in_another_order_and_by_other_names(
        lesson in any::<bool>(),
        picks in proptest::collection::btree_set(0usize..60, 1..5),
    ) {
        let ours = open(if lesson { LESSON } else { BOX });
        let mut theirs = reordered(&ours);
        let keys = ["hole-at", "moves-at", "lifts-at", "leaks-at", "worn-leakage", "two-way"];
        // Parts of several kinds may share an id: all of them are renamed.
        let ids: BTreeSet<String> = ours.parts().map(|(name, _)| name.id).collect();
        let ids: Vec<String> = ids
            .into_iter()
            .filter(|id| id.contains('-') && !keys.contains(&id.as_str()))
            .collect();
        let ids: BTreeSet<&String> = picks.iter().map(|pick| &ids[pick % ids.len()]).collect();
        let mut text = sheet::write(&theirs);
        let mut mapped = Vec::new();
        for id in ids {
            let new = format!("{id}-other");
            text = replaced(&text, id, &new);
            let named = ours.parts().filter(|(name, _)| name.id == *id);
            mapped.extend(named.map(|(name, _)| {
                let there = part(name.kind, &new);
                (name, there)
            }));
        }
        theirs = read(&text);
        let answer = held(&ours, &theirs, &mapped);
        prop_assert_eq!(answer.verdict, Interchange::Yes, "{:?}", answer.parts);
        prop_assert!(answer.parts.is_empty(), "{:?}", answer.parts);
        // Seen from the other side it is so too.
        let back: Vec<_> = mapped.iter().map(|(a, b)| (b.clone(), a.clone())).collect();
        prop_assert_eq!(held(&theirs, &ours, &back).verdict, Interchange::Yes);
    }

    /// One thing made different is found, and nothing else is said to differ.
    #[test]
    fn whatever_is_made_different_is_found(
        lesson in any::<bool>(),
        what in 0usize..12,
        which in 0usize..40,
    ) {
        let ours = open(if lesson { LESSON } else { BOX });
        let mut theirs = ours.clone();
        let changed = differ(&mut theirs, what, which);
        prop_assume!(changed.is_some() && theirs != ours && theirs.problems().is_empty());
        let changed = changed.unwrap();
        let answer = held(&ours, &theirs, &[]);
        let found: Vec<&PartName> = answer.parts.iter().map(|change| &change.part).collect();
        prop_assert_eq!(found, [&changed]);
        let fit = answer.parts[0].fit;
        let expected = match fit {
            Fit::Fixed => Interchange::No,
            Fit::Loose => Interchange::WithChanges,
            Fit::Near | Fit::Around => Interchange::Yes,
        };
        prop_assert_eq!(answer.verdict, expected);
        // What it says of the states is what `starve` says of the sound circuits.
        let [here, there] = [&ours, &theirs].map(|c| starve(&net(c), &[], None));
        for state in &answer.states {
            for outlet in &state.outlets {
                let of = |answer: &oilpath::answer::Starve| {
                    let states = answer.states.iter().find(|s| s.state == state.state).unwrap();
                    let found = states.outlets.iter().find(|o| o.outlet == outlet.outlet);
                    found.unwrap().now
                };
                if outlet.outlet.kind == Kind::Outlet {
                    prop_assert_eq!(outlet.here, of(&here));
                    prop_assert_eq!(outlet.there, of(&there));
                }
            }
        }
    }
}
