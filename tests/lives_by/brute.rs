//! Every set of faults against asking `starve` of each, one after the other.

use std::collections::BTreeSet as Set;

use oilpath::answer::{LivesBy, LivesByQuestion, LivesByState, Status, Verdict, lives_by, starve};
use oilpath::circuit::{Circuit, Fault, Kind, PartName};
use oilpath::net::Net;
use proptest::prelude::*;

use super::small::{Small, small};
use super::support::{net, open};

/// A set of faults as they are typed, sorted.
type Typed = Vec<String>;

/// What the slow rival finds.
#[derive(Debug, Default, PartialEq)]
struct Brute {
    cut_sets: Set<Typed>,
    /// What starves alone, and what gives the oil back.
    masked: Set<(String, String)>,
    undecided: Set<String>,
    unbuilt: Set<String>,
}

fn brute(net: &Net<'_>, outlet: &PartName, of: &[PartName], state: &str, up_to: usize) -> Brute {
    let circuit = net.circuit();
    let mut faults = circuit.faults();
    faults.retain(|f| of.contains(&f.part));
    let mut found = Brute::default();
    for size in 1..=up_to {
        for set in sets(&faults, size) {
            let typed: Typed = set
                .iter()
                .map(|f| circuit.say(f))
                .collect::<Set<_>>()
                .into_iter()
                .collect();
            let answer = starve(net, &set, Some(state));
            let state = &answer.states[0];
            let verdict = state.outlets.iter().find(|o| o.outlet == *outlet).unwrap();
            let starves = verdict.verdict == Verdict::Starved;
            let alone = |fault: &String| found.cut_sets.contains(&vec![fault.clone()]);
            if size == 2 && verdict.now == Status::On {
                let both = [(&typed[0], &typed[1]), (&typed[1], &typed[0])];
                let masked: Vec<_> = both.iter().filter(|(fault, _)| alone(fault)).collect();
                found
                    .masked
                    .extend(masked.iter().map(|(a, b)| ((*a).clone(), (*b).clone())));
            }
            let smaller = (found.cut_sets.iter()).any(|cut| cut.iter().all(|f| typed.contains(f)));
            if size == 1 && verdict.now == Status::Unsure {
                found.undecided.insert(typed[0].clone());
            }
            if size == 1 && !starves && !state.will_not_build.is_empty() {
                found.unbuilt.insert(typed[0].clone());
            }
            if starves && !smaller {
                found.cut_sets.insert(typed);
            }
        }
    }
    found
}

/// Every choice of so many faults of different parts.
fn sets(faults: &[Fault], size: usize) -> Vec<Vec<Fault>> {
    let Some(fewer) = size.checked_sub(1) else {
        return vec![Vec::new()];
    };
    let mut all = Vec::new();
    for (i, first) in faults.iter().enumerate() {
        let later: Vec<Fault> = faults[i + 1..]
            .iter()
            .filter(|f| f.part != first.part)
            .cloned()
            .collect();
        all.extend(
            sets(&later, fewer)
                .into_iter()
                .map(|rest| [vec![first.clone()], rest].concat()),
        );
    }
    all
}

/// An answer in the terms of the rival: alike faults chosen one by one.
fn told(circuit: &Circuit, answer: &LivesByState) -> Brute {
    let part = |typed: &String| circuit.fault(typed).unwrap().part;
    let mut found = Brute {
        undecided: answer.undecided.iter().cloned().collect(),
        unbuilt: answer.unbuilt.iter().cloned().collect(),
        ..Brute::default()
    };
    for set in &answer.cut_sets {
        let mut choices: Vec<Typed> = vec![Vec::new()];
        for alike in &set.faults {
            let longer = choices.iter().flat_map(|chosen| {
                let fitting = alike
                    .iter()
                    .filter(|f| chosen.iter().all(|c| part(c) != part(f)));
                fitting.map(|fault| [&chosen[..], std::slice::from_ref(fault)].concat())
            });
            choices = longer.collect();
        }
        for mut choice in choices {
            choice.sort();
            assert!(found.cut_sets.insert(choice), "twice");
        }
    }
    for pair in &answer.masked {
        for fault in &pair.fault {
            let beside = pair.beside.iter().filter(|b| part(b) != part(fault));
            found
                .masked
                .extend(beside.map(|beside| (fault.clone(), beside.clone())));
        }
    }
    found
}

fn ask(net: &Net<'_>, outlet: &PartName, of: &[PartName], up_to: usize) -> LivesBy {
    let question = LivesByQuestion {
        of: of.to_vec(),
        up_to,
        most: usize::MAX,
        ..LivesByQuestion::default()
    };
    lives_by(net, outlet, &question).unwrap()
}

/// Checks one circuit; says how many sets and masking pairs there were.
fn agrees(circuit: &Circuit, outlet: &PartName, of: &[PartName], up_to: usize) -> [usize; 2] {
    let net = net(circuit);
    let answer = ask(&net, outlet, of, up_to);
    let mut counts = [0; 2];
    for state in &answer.states {
        assert!(state.tried.iter().all(|t| t.stopped_at.is_none()));
        let found = told(circuit, state);
        let slow = brute(&net, outlet, of, state.state.as_deref().unwrap(), up_to);
        counts[0] += slow.cut_sets.len();
        counts[1] += slow.masked.len();
        assert_eq!(found, slow, "{}", oilpath::sheet::write(circuit));
        // Minimal, and one fault a part.
        for set in &found.cut_sets {
            let parts: Set<PartName> = set.iter().map(|f| circuit.fault(f).unwrap().part).collect();
            assert_eq!(parts.len(), set.len());
            let inside = |other: &&Typed| other.iter().all(|f| set.contains(f));
            assert_eq!(found.cut_sets.iter().filter(inside).count(), 1);
        }
    }
    counts
}

fn check(small: &Small, faults: usize, up_to: usize) {
    let circuit = small.circuit();
    let of = small.parts(&circuit, faults);
    if !of.is_empty() {
        let user = small.user(&net(&circuit));
        agrees(&circuit, &user, &of, up_to);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn pairs_of_up_to_forty_faults_are_those_found_by_trying(small in small()) {
        check(&small, 40, 2);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]

    #[test]
    fn threes_are_those_found_by_trying(small in small()) {
        check(&small, 18, 3);
    }
}

/// The lessons whole: between them they have pairs, and faults that hide others.
#[test]
fn lessons_agree_with_trying() {
    let mut counts = [0; 2];
    for (lesson, outlet, up_to) in [
        ("check-ball", "lift-clutch", 3),
        ("metered-feed", "far-bearing", 2),
        ("shuttle", "winch-clutch", 2),
        ("separator-plate", "high-clutch", 2),
        ("regulator", "gear-spray", 2),
        ("regulator", "cooler.cooler", 2),
    ] {
        let circuit = open(&format!("circuits/lessons/{lesson}.toml"));
        let all: Vec<PartName> = circuit.parts().map(|(name, _)| name).collect();
        let outlet = circuit.find(outlet, Kind::ALL).unwrap();
        let found = agrees(&circuit, &outlet, &all, up_to);
        counts = [counts[0] + found[0], counts[1] + found[1]];
    }
    assert!(counts[0] > 60 && counts[1] > 10, "{counts:?}");
}

/// The tractor has faults far from the bearing that cannot matter, gaskets that join its place
/// to others, and alike faults: the pairs of those about the bearing, tried one by one.
#[test]
fn pairs_about_the_tractors_bearing_agree_with_trying() {
    let circuit = open("circuits/tractor-powershift.toml");
    let of = [
        "hop",
        "hop-cover",
        "lube-feed",
        "lube-rear",
        "rear-lube-plug",
        "rear-lube",
        "pto-apply",
        "pto-fill",
        "pto",
        "suction-screen",
        "pump",
        "main",
        "pto-exhaust",
    ];
    let of: Vec<PartName> = of
        .iter()
        .map(|id| circuit.find(id, Kind::ALL).unwrap())
        .collect();
    let net = net(&circuit);
    let bearing = circuit.find("pto-bearing", Kind::ALL).unwrap();
    let answer = ask(&net, &bearing, &of, 2);
    for state in ["neutral", "neutral-pto"] {
        let is = |s: &&LivesByState| s.state.as_deref() == Some(state);
        let found = told(&circuit, answer.states.iter().find(is).unwrap());
        assert_eq!(found, brute(&net, &bearing, &of, state, 2));
    }
}
