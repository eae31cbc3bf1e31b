//! What is weighed how: what goes together, what cannot be late, what is sealed off, which pairs.

use oilpath::answer::Glances;
use oilpath::circuit::Circuit;
use oilpath::suspect::{Inquiry, SuspectsQuestion};

use super::support::{net, open, read};
use super::{inquire, question};

fn share(question: SuspectsQuestion, circuit: &Circuit, fault: &str) -> f64 {
    let net = net(circuit);
    let suspects = Inquiry::new(&net, question).suspects().suspects;
    let sets = suspects.iter().flat_map(|suspect| &suspect.sets);
    let own = sets.filter(|set| set.faults == [[fault]]);
    own.map(|set| set.share).sum()
}

/// A clutch whose drum is plugged gets no oil in any state, so that there is none in it to let go
/// late in another: that neutral drives fine speaks against it no more than against a valve that
/// stays shut.
#[test]
fn what_gets_no_oil_lets_none_go_late() {
    let circuit = open("circuits/transfer-box.toml");
    let against = |saw: &[&str]| {
        let asked = |fault: &str| {
            let mut question = question(&circuit, saw);
            question.up_to = 1;
            share(question, &circuit, fault)
        };
        asked("front-drum:plugged") / asked("front:stuck=rear")
    };
    let before = against(&["four-wheel: front-clutch starved"]);
    let after = against(&["four-wheel: front-clutch starved", "neutral: fine"]);
    assert!(before > 0.0 && after > 0.9 * before, "{before} {after}");
}

/// A clutch behind a plugged hole gets nothing from rest, though what seeps by the ball beside it
/// brings a sealed cavity up to the pressure of the line in the end: flow says starved as settling
/// does, in what is weighed as in `flows`.
#[test]
fn what_is_sealed_off_gets_nothing_by_flow_either() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let states = ["four-wheel".to_owned()];
    let glances = Glances::new(&net, &states, &Default::default()).unwrap();
    let set = [circuit.fault("front-fill:plugged").unwrap()];
    let glance = glances.of(0, &set, &[]).unwrap();
    let told = glance
        .outlets
        .iter()
        .find(|o| o.outlet.id == "front-clutch");
    assert!(told.unwrap().share.unwrap().most < 0.2);
}

/// Settled side by side or one by one, sets of faults measure the same.
#[test]
fn many_sets_measure_as_each_does() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let glances = Glances::new(&net, &[], &Default::default()).unwrap();
    let taps = circuit
        .taps
        .values()
        .map(|tap| net.cavity(&tap.at).unwrap());
    let taps: Vec<_> = taps.collect();
    let sets: Vec<_> = circuit
        .faults()
        .into_iter()
        .map(|fault| vec![fault])
        .collect();
    for state in [0, 3] {
        let together = glances.of_sets(state, &sets, &taps);
        assert_eq!(together.len(), sets.len());
        for (set, together) in sets.iter().zip(together) {
            assert_eq!(together, glances.of(state, set, &taps), "{set:?}");
        }
    }
}

/// Where nothing builds pressure, all clutches are lost at once: `none` is as likely with three of
/// them as with one, where it would be half as likely if each of them failed by itself.
#[test]
fn all_is_lost_together() {
    let clutches = |count: usize| {
        let names: Vec<String> = (0..count).map(|i| format!("c{i}")).collect();
        let outlets = names
            .iter()
            .map(|c| format!("{c} = {{ kind = 'clutch', at = 'line' }}\n"));
        read(&format!(
            "[casting]\nblock = {{ passages = ['line'] }}\n\
             [source]\npump = {{ feeds = 'line', pressure = '8 bar' }}\n\
             [outlet]\n{}[state]\ndrive = {{ applies = {names:?} }}\n",
            outlets.collect::<String>(),
        ))
    };
    let none = |count: usize| {
        let circuit = clutches(count);
        let mut question = question(&circuit, &["drive: none"]);
        question.up_to = 1;
        question.measure = false;
        // Held against what settling calls starved.
        share(question.clone(), &circuit, "line:cracked")
            / share(question, &circuit, "line:plugged")
    };
    let (one, three) = (none(1), none(3));
    assert!(
        one > 0.0 && (three / one - 1.0).abs() < 0.05,
        "{one} {three}"
    );
}

/// A crack and a tap left open in one passage change the same on the net and let unlike amounts of
/// oil through: a pair is weighed by the figures of its own fault, and is found by its reading.
#[test]
fn faults_that_let_other_amounts_through_are_tried_apart() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let saw = [
        "two-wheel: bind",
        "four-wheel: flare",
        "low-four-wheel: fine",
        "two-wheel: line-tap 11.41 bar",
        "two-wheel: front-tap 0 bar",
    ];
    let pair = ["release-tap:left-out", "front-on:stuck-off"];
    let pair = pair.map(|said| circuit.fault(said).unwrap());
    assert!(inquire(&net, &saw).rank(&pair).is_some());
}

/// Two clutches with a supply each, and a relay that feeds a third from another where one of them has
/// oil.
const THREE_SUPPLIES: &str = "[casting]\nblock = { passages = ['a-line', 'b-line', 'c-line', 'a', 'b', 'both'] }\n\
    [source]\na-supply = { feeds = 'a-line', pressure = '8 bar' }\n\
    b-supply = { feeds = 'b-line', pressure = '8 bar' }\n\
    c-supply = { feeds = 'c-line', pressure = '8 bar' }\n\
    [orifice]\na-hole = { between = ['a-line', 'a'] }\nb-hole = { between = ['b-line', 'b'] }\n\
    [valve.relay]\nbore = ['sump', 'both', 'c-line', 'sump']\n\
    shut = { joins = [['both', 'sump']], otherwise = true }\n\
    open = { joins = [['c-line', 'both']], when = 'a or b' }\n\
    [outlet]\na-clutch = { kind = 'clutch', at = 'a' }\nb-clutch = { kind = 'clutch', at = 'b' }\n\
    both-clutch = { kind = 'clutch', at = 'both' }\n";

/// A crack lets a supply build nothing, which fails what it feeds, and what its oil lets another
/// supply feed; the clutch that has its own loses nothing.
#[test]
fn a_source_that_builds_nothing_fails_what_hangs_on_it_alone() {
    let circuit = read(THREE_SUPPLIES);
    let net = net(&circuit);
    let cracked = [circuit.fault("a-line:cracked").unwrap()];
    for (outlet, ruled_out) in [
        ("a-clutch", false),
        ("both-clutch", false),
        ("b-clutch", true),
    ] {
        let saw = format!("{outlet} starved");
        let inquiry = Inquiry::new(&net, question(&circuit, &[&saw]));
        assert_eq!(inquiry.rules_out(&cracked), ruled_out, "{outlet}");
    }
}

/// No fault alone foretells more than two of three starved clutches, and what shuts both pilots foretells the
/// third only when settled. However seldom the two holes plug, they are among the pairs tried.
#[test]
fn pairs_that_tell_more_than_any_one_fault_are_tried() {
    let circuit = read(THREE_SUPPLIES);
    let net = net(&circuit);
    let saw = [
        "a-clutch starved",
        "b-clutch starved",
        "both-clutch starved",
    ];
    let mut question = question(&circuit, &saw);
    question.most = 250;
    for hole in ["a-hole", "b-hole"] {
        let seldom = format!("{hole}:plugged=0.0002");
        question.likelihoods.give(&circuit, &seldom).unwrap();
    }
    let inquiry = Inquiry::new(&net, question);
    let tried = &inquiry.suspects().tried[1];
    let pair = ["a-hole:plugged", "b-hole:plugged"].map(|said| circuit.fault(said).unwrap());
    assert!(
        tried.tell_more > 0 && tried.looked_at < tried.sets,
        "{tried:?}"
    );
    assert!(inquiry.rank(&pair).is_some(), "{tried:?}");
}

/// Everything slips and every gauge on line pressure is low. Settling foretells all of that of a worn pump,
/// whose usual wear the regulator makes up for when measured; of two faults that are far less likely
/// nothing is measured. One depth is right of it throughout, so that it stays before them however
/// much of the same is seen.
#[test]
fn what_one_depth_foretells_throughout_is_not_halved_with_each_thing_seen() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let seen = [
        "two-wheel: slips",
        "two-wheel: line-tap low",
        "two-wheel: release-tap low",
        "four-wheel: slips",
        "four-wheel: line-tap low",
        "four-wheel: release-tap low",
        "low: slips",
        "low: line-tap low",
        "low-four-wheel: slips",
        "low-four-wheel: line-tap low",
    ];
    let worn = [circuit.fault("pump:worn").unwrap()];
    for much in [3, seen.len()] {
        let suspects = Inquiry::new(&net, question(&circuit, &seen[..much])).suspects();
        let list = suspects.suspects.iter();
        let place = list.clone().position(|s| {
            let mut sets = s.sets.iter();
            sets.any(|set| set.faults == [[circuit.say(&worn[0])]])
        });
        let pair = list.clone().position(|s| s.sets[0].faults.len() > 1);
        let place = place.expect("it is listed");
        assert!(
            pair.is_none_or(|pair| place < pair),
            "{much}: {place} {pair:?}"
        );
        assert!(place < 3, "{much}: {place}");
    }
}
