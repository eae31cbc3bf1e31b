//! Source: US Army TM 5-3805-262-34, pages 4-88 to 4-92 ("Transmission theory of operation"): a
//! loader's transmission control valve.

use oilpath::answer::Status;
use oilpath::circuit::Level;
use oilpath::net::Stage;
use oilpath::settle::{Cause, Value, balance, settle, settle_from};

use crate::ask::{ask, circuit, cold, expect, on, walk};
use crate::support::net;

const TM_5_3805_262_34: &str = "published/loader-control-valve";
const FILE: &str = "circuits/published/loader-control-valve.toml";
const STATES: [&str; 5] = ["neutral", "reverse", "low", "high", "low-cutout"];

/// In neutral oil waits at the shifting spool and every clutch circuit is connected to the sump.
/// In reverse the spool joins main, trimmer and reverse clutch; low and high are open to the sump.
#[test]
fn tm_5_3805_262_34_what_each_state_joins() {
    let circuit = circuit(FILE);
    let net = net(&circuit);
    let listed: [(&str, &[&str], &[&str]); 3] = [
        (
            "neutral",
            &["main", "spool-supply"],
            &["low-clutch-feed", "high-clutch-feed", "reverse-clutch-feed"],
        ),
        (
            "reverse",
            &[
                "main",
                "spool-supply",
                "trimmer",
                "plug-end",
                "reverse-clutch-feed",
            ],
            &["low-clutch-feed", "high-clutch-feed"],
        ),
        // The cutout closes the main passage; the lower part of the trimmer circuit opens to the
        // sump and the low clutch drains through it.
        (
            "low-cutout",
            &["main", "clutch-supply"],
            &["trimmer", "spool-supply", "low-clutch-feed"],
        ),
    ];
    for (state, fed, to_sump) in listed {
        let stage = Stage::new(&net, &circuit.states[state], &[]);
        let settled = settle(&stage);
        // Without what was held before, so that drained means connected and not merely cut off.
        let oil = balance(&stage.scene(settled.held(), Level::Low), None);
        for (cavities, expected) in [(fed, Value::Fed), (to_sump, Value::Drained)] {
            for id in cavities {
                let value = oil.value(net.cavity(id).unwrap());
                assert_eq!(value, expected, "{id} in {state}");
            }
        }
    }
}

/// Oil passes from the trimmer circuit through the check valve to the reverse clutch.
#[test]
fn tm_5_3805_262_34_reverse_comes_through_the_check_valve() {
    let shut = ask(TM_5_3805_262_34, &["trimmer-check:stuck-seated"]);
    expect(&shut, &[(&["reverse"], "reverse-clutch starved")]);
}

/// Converter, cooler and lube work as in neutral, whatever is engaged.
#[test]
fn tm_5_3805_262_34_converter_cooler_and_lube_in_all_states() {
    let sound = ask(TM_5_3805_262_34, &[]);
    assert_eq!(sound.states.len(), STATES.len());
    for state in &sound.states {
        for id in ["converter", "oil-cooler", "lube"] {
            let outlet = state.outlets.iter().find(|o| o.outlet.id == id).unwrap();
            assert_eq!(outlet.sound, Status::On, "{id} in {:?}", state.state);
        }
    }
}

/// Lube has two roads, through converter and cooler, and through an orifice from main. Both must
/// be shut to starve it.
#[test]
fn tm_5_3805_262_34_lube_has_two_roads() {
    let orifice = ask(TM_5_3805_262_34, &["lube-orifice:plugged"]);
    expect(&orifice, &[]);
    // Still fed, by the smaller road; before the cooler oil stands in the converter.
    let cooler = ask(TM_5_3805_262_34, &["oil-cooler:blocked"]);
    expect(
        &cooler,
        &[(
            &STATES,
            "converter starved, oil-cooler starved, lube weakened",
        )],
    );
    let both = ["lube-orifice:plugged", "oil-cooler:blocked"];
    let both = ask(TM_5_3805_262_34, &both);
    expect(
        &both,
        &[(
            &STATES,
            "converter starved, oil-cooler starved, lube starved",
        )],
    );
}

/// The second orifice feeds the cutout valve and the shifting spool, and nothing else.
#[test]
fn tm_5_3805_262_34_second_orifice_plugged() {
    let plugged = ask(TM_5_3805_262_34, &["clutch-orifice:plugged"]);
    expect(
        &plugged,
        &[
            (&["reverse"], "reverse-clutch starved"),
            (&["low"], "low-clutch starved"),
            (&["high"], "high-clutch starved"),
        ],
    );
}

/// With the cutout worked in low, oil at the right side of the trimmer plug is held, and the low
/// clutch drains through the lower part of the trimmer circuit. Let go, low comes again.
#[test]
fn tm_5_3805_262_34_cutout_worked_in_low() {
    let circuit = circuit(FILE);
    let net = net(&circuit);
    let low = settle(&Stage::new(&net, &circuit.states["low"], &[]));
    assert_eq!(on(&net, &low.ends[0]), ["low-clutch"]);
    let stage = Stage::new(&net, &circuit.states["low-cutout"], &[]);
    let cutout = settle_from(&stage, &low.ends[0]);
    let plug = net.cavity("plug-end").unwrap();
    assert_eq!(low.at_least(Level::Low, plug), Value::Fed);
    assert_eq!(cutout.at_least(Level::Low, plug), Value::Fed);
    let scene = stage.scene(cutout.held(), Level::Low);
    assert_eq!(balance(&scene, None).cause(plug), Cause::Trapped);
    assert_eq!(on(&net, &cutout.ends[0]), [""; 0]);
    let again = walk(&net, &cutout.ends[0], "low", &[]);
    assert_eq!(on(&net, &again), ["low-clutch"]);
}

/// From neutral through every direction and back: one clutch at a time, none in neutral.
#[test]
fn tm_5_3805_262_34_walking_the_lever() {
    let circuit = circuit(FILE);
    let net = net(&circuit);
    let mut point = cold(&net, "neutral", &[]);
    for (state, applied) in [
        ("low", vec!["low-clutch"]),
        ("high", vec!["high-clutch"]),
        ("low", vec!["low-clutch"]),
        ("low-cutout", vec![]),
        ("neutral", vec![]),
        ("reverse", vec!["reverse-clutch"]),
        ("neutral", vec![]),
    ] {
        point = walk(&net, &point, state, &[]);
        assert_eq!(on(&net, &point), applied, "{state}");
    }
}
