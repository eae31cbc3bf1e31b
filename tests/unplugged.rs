//! What remains without current, reasoned out beside each check.

mod support;

use oilpath::answer::{DrivesAs, Remains, Unplugged, unplugged};
use oilpath::circuit::{Circuit, Fault, Kind};
use oilpath::net::Stage;
use oilpath::settle::settle;
use support::{every_circuit, net, open};

fn state<'a>(answer: &'a Unplugged, id: &str) -> &'a oilpath::answer::UnpluggedState {
    let found = answer
        .states
        .iter()
        .find(|s| s.state.as_deref() == Some(id));
    found.unwrap()
}

fn drives(remains: &Remains) -> (DrivesAs, &str) {
    (remains.drives, remains.like.as_deref().unwrap_or("-"))
}

fn ids(parts: &[oilpath::circuit::PartName]) -> Vec<&str> {
    parts.iter().map(|part| part.id.as_str()).collect()
}

/// No current: both bleeds are open, so both pilots are empty, the range valve rests in low and
/// the power take-off is off; the front-drive solenoid is shut and its clutch bleeds off.
#[test]
fn the_tractor_falls_back_to_low_without_power_take_off() {
    let answer = unplugged(&net(&open("circuits/tractor-powershift.toml")));
    let high = state(&answer, "forward-high-pto");
    assert_eq!(ids(&high.lost_current), ["pto-on", "range-shift"]);
    for remains in [&high.cold, &high.running] {
        assert_eq!(drives(remains), (DrivesAs::Like, "forward-low"));
        assert_eq!(ids(&remains.lost), ["high-clutch", "pto-clutch"]);
        assert_eq!(ids(&remains.gained), ["low-clutch", "pto-brake"]);
    }
    let reverse = state(&answer, "reverse-high");
    assert_eq!(drives(&reverse.cold), (DrivesAs::Like, "reverse-low"));
    let front = state(&answer, "forward-low-front");
    assert_eq!(drives(&front.running), (DrivesAs::Like, "forward-low"));
    assert_eq!(ids(&front.running.lost), ["front-clutch"]);
    for same in ["neutral", "forward-low", "reverse-low", "pedal-down"] {
        assert_eq!(drives(&state(&answer, same).cold), (DrivesAs::Same, same));
    }
}

/// In high the front pilot empties and the front valve lets the front clutch go; in low, low oil
/// holds it over whatever the solenoid does.
#[test]
fn the_transfer_box_loses_its_front_axle_in_high_alone() {
    let answer = unplugged(&net(&open("circuits/transfer-box.toml")));
    let high = state(&answer, "four-wheel");
    assert_eq!(drives(&high.cold), (DrivesAs::Like, "two-wheel"));
    assert_eq!(ids(&high.cold.lost), ["front-clutch"]);
    let low = state(&answer, "low-four-wheel");
    assert_eq!(drives(&low.running), (DrivesAs::Same, "low-four-wheel"));
}

/// The circuit's own note: third in D, second in L, reverse in R; and fifth if it was running in
/// fifth or sixth when the current failed, for the limp relay keeps itself set.
#[test]
fn the_six_speed_remembers_fifth_when_the_plug_is_pulled_at_speed() {
    let answer = unplugged(&net(&open("circuits/six-speed-bus.toml")));
    for gear in ["first", "second", "fourth", "fifth", "sixth"] {
        let cold = &state(&answer, gear).cold;
        assert_eq!(drives(cold), (DrivesAs::Like, "third"), "{gear}");
    }
    assert_eq!(
        drives(&state(&answer, "fifth").running),
        (DrivesAs::Same, "fifth")
    );
    assert_eq!(
        drives(&state(&answer, "sixth").running),
        (DrivesAs::Like, "fifth")
    );
    assert_eq!(
        drives(&state(&answer, "fourth").running),
        (DrivesAs::Like, "third")
    );
    assert_eq!(
        drives(&state(&answer, "low-first").cold),
        (DrivesAs::Like, "low-second")
    );
    assert_eq!(
        drives(&state(&answer, "reverse").cold),
        (DrivesAs::Same, "reverse")
    );
    assert_eq!(ids(&state(&answer, "third-locked").cold.lost), ["lock-up"]);
}

/// A small box in which each way of driving wrong comes up.
#[test]
fn none_flare_bind_and_creep_are_told_apart() {
    let circuit = support::read(
        r#"
        [casting]
        block = { passages = ["line", "a-feed", "b-feed", "c-feed"] }
        [source]
        pump = { feeds = "line" }
        [orifice]
        a-bleed = { between = ["a-feed", "sump"] }
        b-bleed = { between = ["b-feed", "sump"] }
        c-bleed = { between = ["c-feed", "sump"] }
        [solenoid]
        a-on = { kind = "two-way", between = ["line", "a-feed"], normally = "closed" }
        b-on = { kind = "two-way", between = ["line", "b-feed"], normally = "closed" }
        c-off = { kind = "two-way", between = ["line", "c-feed"], normally = "open" }
        [outlet]
        a = { kind = "clutch", at = "a-feed" }
        b = { kind = "clutch", at = "b-feed" }
        c = { kind = "clutch", at = "c-feed" }
        [state]
        only-a = { on = ["a-on", "c-off"], applies = ["a"] }
        a-and-c = { on = ["a-on"], applies = ["a", "c"] }
        idle = { on = ["c-off"] }
        "#,
    );
    // Without current c alone is on: no state declares that.
    let answer = unplugged(&net(&circuit));
    assert_eq!(
        drives(&state(&answer, "only-a").cold),
        (DrivesAs::Unlike, "-")
    );
    assert_eq!(
        drives(&state(&answer, "a-and-c").cold),
        (DrivesAs::Flare, "-")
    );
    assert_eq!(
        drives(&state(&answer, "idle").cold),
        (DrivesAs::Creeps, "-")
    );
    // With c's solenoid shut without current nothing at all is on.
    let mut circuit = circuit;
    circuit.solenoids["c-off"].normally_open = false;
    let answer = unplugged(&net(&circuit));
    assert_eq!(
        drives(&state(&answer, "only-a").cold),
        (DrivesAs::None, "-")
    );
    // A clutch that needs no current beside one that takes none away is a bind.
    circuit.solenoids["c-off"].normally_open = true;
    circuit.solenoids["a-on"].normally_open = true;
    circuit.states["only-a"].on = vec!["c-off".to_owned()];
    circuit.states.shift_remove("a-and-c");
    let answer = unplugged(&net(&circuit));
    assert_eq!(
        drives(&state(&answer, "only-a").cold),
        (DrivesAs::Bind, "-")
    );
}

fn every_plug_pulled(circuit: &Circuit) -> Vec<Fault> {
    let solenoids = circuit.ids(Kind::Solenoid);
    let faults = solenoids.map(|id| circuit.fault(&format!("solenoid.{id}:no-current")));
    faults.map(Result::unwrap).collect()
}

/// From cold a pulled plug is every solenoid without current, each a fault of the catalogue; where
/// no solenoid has current nothing changes.
#[test]
fn from_cold_it_is_every_solenoid_without_current() {
    for (path, circuit) in every_circuit() {
        let net = net(&circuit);
        let faults = every_plug_pulled(&circuit);
        for state in &unplugged(&net).states {
            let id = state.state.as_deref().unwrap();
            let settled = settle(&Stage::new(&net, &circuit.states[id], &faults));
            for outlet in net.outlets().iter().filter(|o| o.by_pressure) {
                let status = settled.ends[0].pressures.status(outlet.user, true);
                let on = state.cold.applied.contains(&outlet.name);
                assert_eq!(on, status == oilpath::answer::Status::On, "{path} {id}");
            }
            if state.lost_current.is_empty() {
                assert_eq!(drives(&state.cold), (DrivesAs::Same, id), "{path}");
                assert_eq!(drives(&state.running), (DrivesAs::Same, id), "{path}");
            }
        }
    }
}
