//! How long clutches take to take hold, each reasoned out by hand.

mod support;

use oilpath::answer::{
    FlowsError, FlowsQuestion, HoldWord, OutletHolds, Range, TakesHold, takes_hold,
};
use oilpath::circuit::{Circuit, Fault};
use oilpath::flow::Oil;
use oilpath::flow::law::{Hole, Law, Orifice};
use oilpath::sheet;
use support::{net, open};

fn read(text: &str) -> Circuit {
    sheet::read(text).expect("a circuit without errors").circuit
}

fn ask(circuit: &Circuit, faults: &[&str], state: Option<&str>) -> TakesHold {
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    takes_hold(&net(circuit), &faults, state, &FlowsQuestion::default()).unwrap()
}

fn outlet<'a>(answer: &'a TakesHold, id: &str) -> &'a OutletHolds {
    assert!(answer.states[0].converged);
    let mut outlets = answer.states[0].outlets.iter();
    outlets.find(|o| o.outlet.id == id).unwrap()
}

fn one(range: Option<Range>) -> f64 {
    let range = range.expect("it does");
    assert_eq!(range.least, range.most, "one figure");
    range.least
}

/// A clutch and its accumulator behind one hole, from a line that is held.
const CUSHIONED: &str = r#"
    [casting]
    block = { passages = ["line", "apply", "drum"] }
    [source]
    supply = { feeds = "line", pressure = "8 bar" }
    [orifice]
    fill = { between = ["line", "apply"], bore = "1.5 mm" }
    [port]
    tube = { between = ["apply", "drum"], bore = "12 mm" }
    [accumulator]
    cushion = { at = "apply", volume = "20 cm³", begins-at = "3 bar", full-at = "3 bar" }
    [outlet.clutch]
    kind = "clutch"
    at = "drum"
    needs = "7 bar"
    volume = "40 cm³"
    spring = "1 bar"
    stroked-at = "1 bar"
    [state]
    on = { applies = ["clutch"] }
"#;

/// What the hole lets by at a drop, in m³/s.
fn hole(bore_mm: f64, drop: f64) -> f64 {
    let oil = Oil::generic().at("80 °C".parse().unwrap()).unwrap();
    let hole = Hole {
        bore: oilpath::units::Length::from_m(bore_mm / 1e3),
        thickness: oilpath::units::Length::from_m(0.0),
        discharge: oilpath::flow::law::SHARP_EDGED,
    };
    Orifice::new(hole, oil).unwrap().rate(drop).flow
}

/// The clutch strokes at 1 bar, so its 40 cm³ come at a drop of 7 bar (t = V/Q). Then the accumulator
/// takes its 20 cm³ at 3 bar, a drop of 5 bar, and only after that has the clutch more. The wide tube
/// costs next to nothing.
#[test]
fn a_clutch_fills_then_its_accumulator_then_it_holds() {
    let answer = ask(&read(CUSHIONED), &[], None);
    let clutch = outlet(&answer, "clutch");
    let touches = 40e-6 / hole(1.5, 7e5);
    let presses = 20e-6 / hole(1.5, 5e5);
    let close = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-3;
    assert!(
        close(one(clutch.sound.touches_s), touches),
        "{clutch:?} {touches}"
    );
    assert!(
        close(one(clutch.sound.presses_s), presses),
        "{clutch:?} {presses}"
    );
    assert!(close(one(clutch.sound.holds_s), touches + presses));
    assert_eq!((clutch.now, clutch.wrong.len()), (None, 0));
    assert!(answer.assumed.is_empty());
}

/// Jammed, the accumulator takes nothing: the clutch touches when it did and holds at once, half
/// a second sooner: early, and harsh. Without
/// its spring it takes its oil first, at no pressure: the clutch touches later, and then holds at
/// once too.
#[test]
fn without_its_accumulator_it_takes_hold_harshly() {
    let circuit = read(CUSHIONED);
    let answer = ask(&circuit, &["cushion:jammed"], None);
    let clutch = outlet(&answer, "clutch");
    let now = clutch.now.unwrap();
    assert!((one(now.touches_s) / one(clutch.sound.touches_s) - 1.0).abs() < 1e-3);
    assert!(one(now.presses_s) < 1e-6);
    assert_eq!(clutch.wrong, [HoldWord::Early, HoldWord::Harsh]);
    let answer = ask(&circuit, &["cushion:spring-broken"], None);
    let clutch = outlet(&answer, "clutch");
    let now = clutch.now.unwrap();
    let later = one(now.touches_s) - one(clutch.sound.touches_s);
    assert!(
        (later / (20e-6 / hole(1.5, 8e5)) - 1.0).abs() < 0.01,
        "{later}"
    );
    assert!(clutch.wrong.contains(&HoldWord::Harsh) && !clutch.wrong.contains(&HoldWord::Early));
}

/// A plugged hole: never. One half as wide again lets more than twice as much by: early. One that is
/// half as wide: late.
#[test]
fn the_hole_sets_the_time() {
    let circuit = read(CUSHIONED);
    let wrong = |faults: &[&str]| outlet(&ask(&circuit, faults, None), "clutch").wrong.clone();
    assert_eq!(wrong(&["fill:plugged"]), [HoldWord::Never]);
    let question = FlowsQuestion {
        assume: true,
        ..FlowsQuestion::default()
    };
    let wide = circuit.fault("fill:oversize").unwrap();
    let answer = takes_hold(&net(&circuit), &[wide], None, &question).unwrap();
    let clutch = outlet(&answer, "clutch");
    let ratio = one(clutch.sound.touches_s) / one(clutch.now.unwrap().touches_s);
    assert!((ratio / 2.25 - 1.0).abs() < 0.05, "{ratio}");
    // All of it in less than half the time: early, and pressed harder.
    assert_eq!(clutch.wrong, [HoldWord::Early, HoldWord::Harsh]);
    let half = read(&CUSHIONED.replace("1.5 mm", "0.75 mm"));
    let slow = ask(&half, &[], None);
    let (slow, usual) = (outlet(&slow, "clutch"), ask(&circuit, &[], None));
    let usual = outlet(&usual, "clutch");
    let ratio = one(slow.sound.touches_s) / one(usual.sound.touches_s);
    assert!((ratio / 4.0 - 1.0).abs() < 0.1, "{ratio}");
}

/// The return spring takes 8 bar, all there is: the piston never comes to its end.
#[test]
fn a_spring_as_strong_as_the_line_never_lets_it_touch() {
    let strong = CUSHIONED.replace(r#"stroked-at = "1 bar""#, r#"stroked-at = "9 bar""#);
    let circuit = read(&strong.replace(r#"spring = "1 bar""#, r#"spring = "8.5 bar""#));
    let answer = ask(&circuit, &[], None);
    let clutch = outlet(&answer, "clutch");
    assert_eq!((clutch.sound.touches_s, clutch.sound.holds_s), (None, None));
}

/// What strokes needs its volume and its springs: they are asked for, never made up in silence.
#[test]
fn sizes_that_lack_are_asked_for() {
    let circuit = read(&CUSHIONED.replace(r#"volume = "40 cm³""#, ""));
    let refused = takes_hold(&net(&circuit), &[], None, &FlowsQuestion::default());
    let Err(FlowsError::Missing(sizes)) = refused else {
        panic!("{refused:?}");
    };
    let named = sizes.iter().map(|s| format!("{}.{}", s.part.id, s.measure));
    assert_eq!(named.collect::<Vec<_>>(), ["clutch.volume"]);
}

/// Everything that is applied takes hold in every state of the sound demo circuits, and what is
/// jammed is felt: second gear's clutch A and brake D each have an accumulator.
#[test]
fn the_six_speed_is_cushioned() {
    let circuit = open("circuits/six-speed-bus.toml");
    for state in ["reverse", "first", "second", "fourth-locked"] {
        let answer = ask(&circuit, &[], Some(state));
        for outlet in &answer.states[0].outlets {
            assert!(outlet.sound.holds_s.is_some(), "{state} {}", outlet.outlet);
        }
    }
    let answer = ask(&circuit, &["a-cushion:jammed"], Some("second"));
    assert!(outlet(&answer, "clutch-a").wrong.contains(&HoldWord::Harsh));
    assert!(!outlet(&answer, "brake-d").wrong.contains(&HoldWord::Harsh));
}
