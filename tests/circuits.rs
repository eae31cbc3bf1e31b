//! The circuits that come with the project: each holds together, and each answers what its story
//! or its source asks.

mod support;

use std::path::{Path, PathBuf};

use oilpath::answer::{Starve, Verdict, starve};
use oilpath::circuit::{Circuit, Fault, Level};
use oilpath::net::Stage;
use oilpath::settle::{Cause, Course, Settled, Status, Value, balance, settle, settle_from};
use oilpath::{lint, sheet};
use support::net;

fn circuit(path: impl AsRef<Path>) -> Circuit {
    match sheet::open(path.as_ref()) {
        Ok(sheet) => sheet.circuit,
        Err(refusal) => panic!("{refusal}"),
    }
}

/// What some faults do to the circuit of that name.
fn ask(name: &str, faults: &[&str]) -> Starve {
    let circuit = circuit(format!("circuits/{name}.toml"));
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    starve(&net(&circuit), &faults, None)
}

/// Everything that is wrong in a state: outlets, and sources that will not build.
fn wrong<'s>(answer: &'s Starve, state: &str) -> Vec<(&'s str, Option<Verdict>)> {
    let state = answer
        .states
        .iter()
        .find(|s| s.state.as_deref() == Some(state));
    let state = state.unwrap();
    let sources = state.will_not_build.iter().chain(&state.cannot_draw);
    let sources = sources.map(|s| (s.id.as_str(), None));
    let outlets = state.outlets.iter().filter(|o| o.verdict.is_bad());
    sources
        .chain(outlets.map(|o| (o.outlet.id.as_str(), Some(o.verdict))))
        .collect()
}

fn starved(id: &str) -> (&str, Option<Verdict>) {
    (id, Some(Verdict::Starved))
}

fn weakened(id: &str) -> (&str, Option<Verdict>) {
    (id, Some(Verdict::Weakened))
}

fn on_when_off(id: &str) -> (&str, Option<Verdict>) {
    (id, Some(Verdict::OnWhenOff))
}

/// Every circuit file, the included ones too.
fn files() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![PathBuf::from("circuits")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "toml") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

#[test]
fn nothing_looks_wrong_in_any_circuit() {
    let files = files();
    assert!(files.len() >= 10, "{files:?}");
    for file in files {
        let circuit = circuit(&file);
        let warnings = lint::lint(&net(&circuit));
        assert_eq!(warnings, [], "{}", file.display());
        let again = sheet::read(&sheet::write(&circuit));
        assert_eq!(again.unwrap().circuit, circuit, "{}", file.display());
    }
}

/// More than the lint asks: a state that lists nothing applies nothing, and none is in doubt.
#[test]
fn every_state_applies_exactly_what_it_lists() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        for (id, state) in &circuit.states {
            let settled = settle(&Stage::new(&net, state, &[]));
            assert_eq!(settled.course, Course::Steady, "{id} of {}", file.display());
            let oil = &settled.ends[0].pressures;
            let mut listed = state.applies.clone();
            let mut on = Vec::new();
            for outlet in net.outlets().iter().filter(|o| o.by_pressure) {
                match oil.status(outlet.user, true) {
                    Status::On => on.push(outlet.name.id.clone()),
                    Status::Off => {}
                    Status::Unsure => panic!("{} in {id} of {}", outlet.name, file.display()),
                }
            }
            listed.sort();
            on.sort();
            assert_eq!(on, listed, "state {id} of {}", file.display());
        }
    }
}

/// Without a fault nothing is found wrong in any state.
#[test]
fn sound_circuits_starve_nothing() {
    for file in files() {
        let circuit = circuit(&file);
        let answer = starve(&net(&circuit), &[], None);
        for state in circuit.states.keys() {
            assert_eq!(wrong(&answer, state), [], "{state} of {}", file.display());
        }
    }
}

/// The lever's oil meets the pedal valve, wide open to the sump, through its choke: it loses. The
/// pedal's oil meets the lever's valve through that same choke: it wins.
#[test]
fn the_lesson_of_the_shuttle() {
    let out = ask("lessons/shuttle", &["either:left-out"]);
    assert_eq!(wrong(&out, "lever"), [starved("winch-clutch")]);
    for state in ["rest", "pedal", "both"] {
        assert_eq!(wrong(&out, state), [], "{state}");
    }
    // With the choke gone too, line has an open way through the other valve.
    let both = ask("lessons/shuttle", &["either:left-out", "choke:oversize"]);
    for state in ["lever", "pedal"] {
        assert_eq!(wrong(&both, state)[0], ("pump", None), "{state}");
    }
}

/// The fill hole keeps the loss small enough for line to hold. Whom the loss is taken from is
/// left as the question.
#[test]
fn the_lesson_of_the_regulator() {
    let cut = ask("lessons/regulator", &["clutch-ring:cut"]);
    assert_eq!(wrong(&cut, "on")[0], starved("deck-clutch"));
    assert_eq!(wrong(&cut, "off"), []);
    let open = ask("lessons/regulator", &["clutch-ring:cut", "fill:oversize"]);
    assert_eq!(wrong(&open, "on")[0], ("pump", None));
}

/// Two channels run together: filled by the widest way in, emptied by the widest way out.
#[test]
fn the_lesson_of_the_separator_plate() {
    let loose = ask("lessons/separator-plate", &["channel-plate:loose"]);
    assert_eq!(wrong(&loose, "low"), [on_when_off("high-clutch")]);
    assert_eq!(wrong(&loose, "high"), [starved("high-clutch")]);
    assert_eq!(wrong(&loose, "stop"), []);
}

/// The tail cover is the tail bearing's only road, and its hop meters: the gallery keeps.
#[test]
fn bus_tail_cover_loose() {
    let loose = ask("six-speed-bus", &["tail-cover:loose"]);
    assert_eq!(loose.states.len(), 22);
    for state in &loose.states {
        let state = state.state.as_deref().unwrap();
        let expected = [starved("tail-bearing"), starved("tail-bushing")];
        assert_eq!(wrong(&loose, state), expected, "{state}");
    }
}

/// Without the divider each of A and B empties through the other's released circuit; with both on
/// there is nothing to lose.
#[test]
fn bus_divider_between_a_and_b_cut() {
    let cut = ask("six-speed-bus", &["ab-divider:cut"]);
    let lost = |state| wrong(&cut, state);
    for state in ["first", "second", "low-first", "plug-pulled-low"] {
        assert_eq!(lost(state), [starved("clutch-a")], "{state}");
    }
    for state in ["third", "fifth", "plug-pulled-drive", "plug-pulled-running"] {
        assert_eq!(lost(state), [starved("clutch-b")], "{state}");
    }
    for state in ["fourth", "sixth", "reverse", "neutral"] {
        assert_eq!(lost(state), [], "{state}");
    }
}

/// Brake E serves first and reverse: what these two share and the others do not is their shuttle.
#[test]
fn bus_shuttle_of_brake_e_stuck() {
    let stuck = ask("six-speed-bus", &["e-either:stuck-seated"]);
    for state in &stuck.states {
        let state = state.state.as_deref().unwrap();
        let serves = ["first", "low-first", "reverse", "plug-pulled-reverse"].contains(&state);
        // Elsewhere it is off, but what it held could not run off past the ball.
        let off = ("brake-e", Some(Verdict::Late));
        let expected = if serves { starved("brake-e") } else { off };
        assert_eq!(wrong(&stuck, state), [expected], "{state}");
    }
}

/// Plugged, the release hole leaves the band on beside the high clutch: the box locks. The cover
/// over the chain's oil is missed by the chain alone.
#[test]
fn transfer_box_release_hole_and_chain_cover() {
    let plugged = ask("transfer-box", &["release-hole:plugged"]);
    for state in ["two-wheel", "four-wheel"] {
        assert_eq!(wrong(&plugged, state), [on_when_off("low-band")], "{state}");
    }
    for state in ["low", "neutral"] {
        assert_eq!(wrong(&plugged, state), [], "{state}");
    }
    let loose = ask("transfer-box", &["chain-cover:loose"]);
    for state in ["two-wheel", "low", "neutral"] {
        assert_eq!(wrong(&loose, state), [starved("chain")], "{state}");
    }
}

const TM_9_8000: &str = "published/two-speed-training";
const TRAINING_STATES: [&str; 6] = [
    "neutral",
    "low",
    "reverse",
    "drive-standing",
    "drive-moving",
    "drive-forced-down",
];

/// Source: US Army TM 9-8000, Principles of Automotive Vehicles (October 1985), paragraph 23-14:
/// oil leaving the cooler runs to the rear, to planetary gearsets and output shaft bearings.
#[test]
fn tm_9_8000_cooler_return_plugged() {
    let plugged = ask(TM_9_8000, &["cooler-return:plugged"]);
    for state in TRAINING_STATES {
        let expected = ["oil-cooler", "planetary-gears", "output-bearings"].map(starved);
        assert_eq!(wrong(&plugged, state), expected, "{state}");
    }
}

/// Source: US Army TM 9-8000, paragraphs 23-13 and 23-14: the band lets go in high because its
/// release side is fed, its apply side still being under pressure. Without release oil: a tie-up.
#[test]
fn tm_9_8000_servo_release_plugged() {
    let plugged = ask(TM_9_8000, &["servo-release:plugged"]);
    for state in TRAINING_STATES {
        let expected: &[_] = match state {
            "drive-moving" => &[on_when_off("low-band")],
            _ => &[],
        };
        assert_eq!(wrong(&plugged, state), expected, "{state}");
    }
}

/// Source: US Army TM 9-8000, paragraphs 23-13 and 23-14: the shift valve sends line to the
/// direct clutch and to the release side. Stuck there, high comes as soon as D is chosen.
#[test]
fn tm_9_8000_shift_valve_stuck_in_high() {
    let stuck = ask(TM_9_8000, &["shift:stuck=high"]);
    for state in TRAINING_STATES {
        let expected: &[_] = match state {
            "drive-standing" | "drive-forced-down" => {
                &[starved("low-band"), on_when_off("direct-clutch")]
            }
            _ => &[],
        };
        assert_eq!(wrong(&stuck, state), expected, "{state}");
    }
}

const TM_5_3805_262_34: &str = "published/loader-control-valve";
const LOADER_STATES: [&str; 5] = ["neutral", "reverse", "low", "high", "low-cutout"];

/// Source: US Army TM 5-3805-262-34, pages 4-88 to 4-92: lube has two roads, through converter
/// and cooler, and through an orifice from main. Both must be shut to starve it.
#[test]
fn tm_5_3805_262_34_lube_has_two_roads() {
    for state in LOADER_STATES {
        let orifice = ask(TM_5_3805_262_34, &["lube-orifice:plugged"]);
        assert_eq!(wrong(&orifice, state), [], "{state}");
        // Still fed, by the smaller road.
        let cooler = ask(TM_5_3805_262_34, &["oil-cooler:blocked"]);
        let expected = [starved("oil-cooler"), weakened("lube")];
        assert_eq!(wrong(&cooler, state), expected, "{state}");
        let both = ask(
            TM_5_3805_262_34,
            &["lube-orifice:plugged", "oil-cooler:blocked"],
        );
        let expected = [starved("oil-cooler"), starved("lube")];
        assert_eq!(wrong(&both, state), expected, "{state}");
    }
}

/// Source: US Army TM 5-3805-262-34, pages 4-88 to 4-92: the second orifice feeds the cutout
/// valve and the shifting spool, and nothing else.
#[test]
fn tm_5_3805_262_34_second_orifice_plugged() {
    let plugged = ask(TM_5_3805_262_34, &["clutch-orifice:plugged"]);
    for state in LOADER_STATES {
        let lost: &[_] = match state {
            "reverse" => &[starved("reverse-clutch")],
            "low" => &[starved("low-clutch")],
            "high" => &[starved("high-clutch")],
            _ => &[],
        };
        assert_eq!(wrong(&plugged, state), lost, "{state}");
    }
}

/// Source: US Army TM 5-3805-262-34, pages 4-88 to 4-92: with the cutout worked in low, oil at the
/// right side of the trimmer plug is held, and the low clutch drains through the lower part of
/// the trimmer circuit.
#[test]
fn tm_5_3805_262_34_cutout_worked_in_low() {
    let circuit = circuit(format!("circuits/{TM_5_3805_262_34}.toml"));
    let net = net(&circuit);
    let low = settle(&Stage::new(&net, &circuit.states["low"], &[]));
    let stage = Stage::new(&net, &circuit.states["low-cutout"], &[]);
    let cutout = settle_from(&stage, &low.ends[0]);
    let [plug, clutch] = ["plug-end", "low-clutch-feed"].map(|id| net.cavity(id).unwrap());
    let holds = |settled: &Settled, cavity| settled.at_least(Level::Low, cavity);
    assert_eq!([holds(&low, plug), holds(&low, clutch)], [Value::Fed; 2]);
    assert_eq!(holds(&cutout, plug), Value::Fed);
    let scene = stage.scene(cutout.held(), Level::Low);
    assert_eq!(balance(&scene, None).cause(plug), Cause::Trapped);
    assert_eq!(holds(&cutout, clutch), Value::Drained);
}

/// Source: US Army TM 9-8000, paragraphs 23-13 and 23-14: the governor moves the shift valve.
/// Without it the gearbox never leaves low in D; N, L and R are as before.
#[test]
fn tm_9_8000_governor_passage_plugged() {
    let plugged = ask(TM_9_8000, &["governor:plugged"]);
    for state in &plugged.states {
        let id = state.state.as_deref().unwrap();
        let moved: Vec<&str> = state.moved.iter().map(|m| m.valve.id.as_str()).collect();
        if id == "drive-moving" {
            assert_eq!(moved, ["shift"], "{id}");
            assert_eq!(
                wrong(&plugged, id),
                [starved("direct-clutch"), on_when_off("low-band")]
            );
        } else {
            assert_eq!(wrong(&plugged, id), [], "{id}");
            assert_eq!(moved, [""; 0], "{id}");
        }
    }
}
