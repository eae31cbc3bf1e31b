//! Source: US Army TM 9-8000, Principles of Automotive Vehicles (October 1985), chapter 23,
//! paragraphs 23-13 and 23-14: a hypothetical two-speed automatic. The reverse step is from memory.

use oilpath::answer::Status;
use oilpath::circuit::Level;
use oilpath::net::Stage;
use oilpath::settle::{Value, settle};

use crate::ask::{ask, circuit, cold, expect, on, walk};
use crate::support::net;

const TM_9_8000: &str = "published/two-speed-training";
const FILE: &str = "circuits/published/two-speed-training.toml";
const STATES: [&str; 6] = [
    "neutral",
    "low",
    "reverse",
    "drive-standing",
    "drive-moving",
    "drive-forced-down",
];

/// What the manual says gets oil, step by step; everything else named there has none.
#[test]
fn tm_9_8000_what_gets_oil_in_each_state() {
    let circuit = circuit(FILE);
    let net = net(&circuit);
    let listed: [(&str, &[&str]); 6] = [
        // Line is blocked at the manual valve.
        ("neutral", &[]),
        ("low", &["low-apply"]),
        ("reverse", &["reverse-apply"]),
        // To the low band and to the governor, which gives no pressure yet.
        ("drive-standing", &["low-apply", "drive"]),
        // The release side too; the apply side is still under pressure.
        (
            "drive-moving",
            &[
                "low-apply",
                "drive",
                "governor",
                "high-feed",
                "servo-release",
            ],
        ),
        // Direct clutch and release side are cut off; the road still turns the governor.
        ("drive-forced-down", &["low-apply", "drive", "governor"]),
    ];
    for (state, fed) in listed {
        let settled = settle(&Stage::new(&net, &circuit.states[state], &[]));
        for cavity in [
            "low-apply",
            "reverse-apply",
            "drive",
            "governor",
            "high-feed",
            "servo-release",
        ] {
            let value = settled.at_least(Level::Low, net.cavity(cavity).unwrap());
            let expected = match fed.contains(&cavity) {
                true => Value::Fed,
                false => Value::Drained,
            };
            assert_eq!(value, expected, "{cavity} in {state}");
        }
    }
}

/// Oil leaving the cooler runs to the rear in every state.
#[test]
fn tm_9_8000_rear_lube_in_every_state() {
    let sound = ask(TM_9_8000, &[]);
    assert_eq!(sound.states.len(), STATES.len());
    for state in &sound.states {
        for id in [
            "planetary-gears",
            "output-bearings",
            "converter",
            "oil-cooler",
        ] {
            let outlet = state.outlets.iter().find(|o| o.outlet.id == id).unwrap();
            assert_eq!(outlet.sound, Status::On, "{id} in {:?}", state.state);
        }
    }
}

/// From standing to moving, forced down and back, as the road goes: each step as from cold.
#[test]
fn tm_9_8000_walking_up_and_down() {
    let circuit = circuit(FILE);
    let net = net(&circuit);
    let mut point = cold(&net, "neutral", &[]);
    for (state, applied) in [
        ("drive-standing", "low-band"),
        ("drive-moving", "direct-clutch"),
        ("drive-forced-down", "low-band"),
        ("drive-moving", "direct-clutch"),
        ("drive-standing", "low-band"),
        ("reverse", "reverse-band"),
        ("low", "low-band"),
    ] {
        point = walk(&net, &point, state, &[]);
        assert_eq!(on(&net, &point), [applied], "{state}");
    }
    point = walk(&net, &point, "neutral", &[]);
    assert_eq!(on(&net, &point), [""; 0]);
}

/// Oil leaving the cooler runs to the rear, to planetary gearsets and output shaft bearings.
/// Without the passage both starve in every state, and so do converter and cooler, whose oil leaves
/// that way; no band or clutch changes.
#[test]
fn tm_9_8000_cooler_return_plugged() {
    let plugged = ask(TM_9_8000, &["cooler-return:plugged"]);
    let rear =
        "converter starved, oil-cooler starved, planetary-gears starved, output-bearings starved";
    expect(&plugged, &[(&STATES, rear)]);
}

/// The band lets go in high because its release side is fed, its apply side still being under
/// pressure. Without release oil: a tie-up.
#[test]
fn tm_9_8000_servo_release_plugged() {
    let plugged = ask(TM_9_8000, &["servo-release:plugged"]);
    expect(&plugged, &[(&["drive-moving"], "low-band on")]);
}

/// The shift valve sends line to the direct clutch and to the release side. Stuck there, high
/// comes as soon as D is chosen.
#[test]
fn tm_9_8000_shift_valve_stuck_in_high() {
    let stuck = ask(TM_9_8000, &["shift:stuck=high"]);
    let high = "low-band starved, direct-clutch on";
    expect(&stuck, &[(&["drive-standing", "drive-forced-down"], high)]);
    assert_eq!(from_neutral("shift:stuck=high"), ["direct-clutch"; 3]);
}

/// The governor moves the shift valve. Without it the gearbox never leaves low in D; N, L and R
/// are as before.
#[test]
fn tm_9_8000_governor_passage_plugged() {
    let plugged = ask(TM_9_8000, &["governor:plugged"]);
    let stays = "direct-clutch starved, low-band on";
    expect(&plugged, &[(&["drive-moving"], stays)]);
    for state in &plugged.states {
        let moved: Vec<&str> = state.moved.iter().map(|m| m.valve.id.as_str()).collect();
        let expected: &[&str] = match state.state.as_deref() {
            Some("drive-moving") => &["shift"],
            _ => &[],
        };
        assert_eq!(moved, expected, "{:?}", state.state);
    }
    assert_eq!(from_neutral("governor:plugged"), ["low-band"; 3]);
}

/// What is on in D standing, moving and forced down, walked from neutral with a fault in.
fn from_neutral(fault: &str) -> [String; 3] {
    let circuit = circuit(FILE);
    let net = net(&circuit);
    let faults = [circuit.fault(fault).unwrap()];
    let mut point = cold(&net, "neutral", &faults);
    ["drive-standing", "drive-moving", "drive-forced-down"].map(|state| {
        point = walk(&net, &point, state, &faults);
        on(&net, &point).join(" ")
    })
}
