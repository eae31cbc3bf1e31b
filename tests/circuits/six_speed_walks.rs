//! The six-speed driven from state to state: what a state leaves behind for the next one.

use oilpath::circuit::{Circuit, Level};
use oilpath::net::Net;
use oilpath::settle::{Point, Span};

use crate::ask::{circuit, cold, on, walk};
use crate::support::net;

const OFF: Span = at(Level::Off);
const FILL: Span = at(Level::Fill);
const LOW: Span = at(Level::Low);

const fn at(level: Level) -> Span {
    Span {
        lowest: level,
        highest: level,
    }
}

fn bus() -> Circuit {
    circuit("circuits/six-speed-bus.toml")
}

fn span(net: &Net<'_>, point: &Point, cavity: &str) -> Span {
    point.pressures.span(net.cavity(cavity).unwrap())
}

/// Up through the gears and down again: each applies what it applies from cold.
#[test]
fn up_and_down_through_all_gears() {
    let circuit = bus();
    let net = net(&circuit);
    let mut point = cold(&net, "park", &[]);
    for state in [
        "reverse",
        "neutral",
        "first",
        "second",
        "third",
        "third-locked",
        "fourth-locked",
        "fifth-locked",
        "sixth-locked",
        "sixth",
        "fifth",
        "fourth",
        "third",
        "second",
        "first",
        "low-first",
        "low-second",
        "low-first",
        "neutral-cold",
        "park",
    ] {
        point = walk(&net, &point, state, &[]);
        let mut listed = circuit.states[state].applies.clone();
        listed.sort();
        assert_eq!(on(&net, &point), listed, "{state}");
    }
}

/// A empties past the exhaust-fill ball, whose 0.2 bar stay behind, and so does B from third to
/// second. E empties through shift valve 2 straight to the sump and keeps nothing.
#[test]
fn a_clutch_let_go_stands_at_fill() {
    let circuit = bus();
    let net = net(&circuit);
    let first = cold(&net, "first", &[]);
    let second = walk(&net, &first, "second", &[]);
    assert_eq!(span(&net, &second, "e-piston"), OFF);
    let third = walk(&net, &second, "third", &[]);
    assert_eq!(span(&net, &third, "a-drum"), FILL);
    let second = walk(&net, &third, "second", &[]);
    assert_eq!(span(&net, &second, "b-drum"), FILL);
}

/// With a little current the line-pressure solenoid leaves its pilot low: line is still raised.
/// With all of it the pilot is empty.
#[test]
fn the_line_pressure_solenoid_half_driven() {
    let circuit = bus();
    let net = net(&circuit);
    for (state, pilot) in [("second", LOW), ("third", LOW), ("fourth", OFF)] {
        let point = cold(&net, state, &[]);
        assert_eq!(span(&net, &point, "boost-pilot"), pilot, "{state}");
    }
}

/// The current fails. In fifth and sixth C oil has set the relay: fifth stays, or comes, until the
/// lever leaves D; then third. In third nothing has set it; in fourth A oil has reset it.
#[test]
fn the_plug_pulled_on_the_road() {
    let circuit = bus();
    let net = net(&circuit);
    for from in ["fifth", "sixth"] {
        let running = walk(&net, &cold(&net, from, &[]), "plug-pulled-drive", &[]);
        assert_eq!(on(&net, &running), ["clutch-b", "clutch-c"], "{from}");
        let stopped = walk(&net, &running, "plug-pulled-neutral", &[]);
        assert_eq!(on(&net, &stopped), [""; 0], "{from}");
        let again = walk(&net, &stopped, "plug-pulled-drive", &[]);
        assert_eq!(on(&net, &again), ["brake-d", "clutch-b"], "{from}");
    }
    for from in ["third", "fourth"] {
        let running = walk(&net, &cold(&net, from, &[]), "plug-pulled-drive", &[]);
        assert_eq!(on(&net, &running), ["brake-d", "clutch-b"], "{from}");
    }
}
