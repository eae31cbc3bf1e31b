//! What an author may have left out, each thing left out of a circuit that has it.

use oilpath::answer::{self, Unchecked};
use oilpath::net::Net;
use oilpath::sheet;

/// A valve with everything it wants: pilot with its bleed, spring pocket with its vent.
const WHOLE: &str = r#"
    lever = ["N", "D"]
    [casting]
    block = { passages = ["line", "pilot", "pocket", "feed"] }
    [source]
    pump = { feeds = "line" }
    [regulator]
    main = { holds = "line", spills = ["sump"] }
    [orifice]
    pilot-feed = { between = ["line", "pilot"] }
    [port]
    vent = { between = ["pocket", "sump"] }
    [solenoid]
    shift = { kind = "bleed", on = "pilot" }
    [valve.relay]
    bore = ["pilot", "line", "feed", "sump", "pocket"]
    rest = { joins = [["feed", "sump"]], otherwise = true }
    over = { joins = [["line", "feed"]], when = "pilot" }
    [outlet]
    clutch = { kind = "clutch", at = "feed", needs = "9 bar" }
    [state]
    neutral = { lever = "N" }
    drive = { lever = "D", on = ["shift"], applies = ["clutch"] }
"#;

/// What is listed of a circuit.
fn listed(text: &str) -> Vec<(Unchecked, String)> {
    let circuit = sheet::read(text).unwrap().circuit;
    let list = answer::checklist(&Net::new(&circuit).unwrap());
    let items = list.items.into_iter();
    items
        .map(|item| (item.what, circuit.short(&item.part)))
        .collect()
}

#[track_caller]
fn without(taken: &str, put: &str, expected: &[(Unchecked, &str)]) {
    assert!(WHOLE.contains(taken), "{taken}");
    let found = listed(&WHOLE.replace(taken, put));
    let found: Vec<(Unchecked, &str)> = found.iter().map(|(w, p)| (*w, p.as_str())).collect();
    assert_eq!(found, expected);
}

#[test]
fn nothing_is_listed_of_a_circuit_that_has_everything() {
    assert_eq!(listed(WHOLE), []);
}

/// The exhaust of the clutch is forgotten: at rest the valve joins its feed to nothing, so what
/// is in the clutch stays there.
#[test]
fn a_forgotten_exhaust() {
    without(
        r#"[["feed", "sump"]]"#,
        "[]",
        &[(Unchecked::NoDrain, "clutch")],
    );
}

/// The vent of the spring pocket is forgotten: the oil there has nowhere to go, and the spool
/// stays at rest; so the other position is never taken and the clutch never applied.
#[test]
fn a_forgotten_vent() {
    without(
        r#"vent = { between = ["pocket", "sump"] }"#,
        "",
        &[
            (Unchecked::NoWayBack, "relay"),
            (Unchecked::NeverStands, "relay"),
            (Unchecked::NeverFed, "feed"),
            (Unchecked::NeverApplied, "clutch"),
        ],
    );
}

/// Without the state that gives current nothing is ever shifted.
#[test]
fn a_forgotten_state() {
    without(
        r#"drive = { lever = "D", on = ["shift"], applies = ["clutch"] }"#,
        "",
        &[
            (Unchecked::NeverStands, "relay"),
            (Unchecked::NeverFed, "feed"),
            (Unchecked::NeverFed, "pilot"),
            (Unchecked::NeverSwitched, "shift"),
            (Unchecked::NeverApplied, "clutch"),
        ],
    );
}

#[test]
fn a_forgotten_regulator() {
    let main = r#"[regulator]
    main = { holds = "line", spills = ["sump"] }"#;
    without(main, "", &[(Unchecked::NoLimit, "pump")]);
}

/// A ball drawn the wrong way round never passes oil.
#[test]
fn a_ball_the_wrong_way_round() {
    let text = WHOLE.replace(
        "[solenoid]",
        "[ball]\nquick = { from = \"sump\", to = \"feed\" }\n[solenoid]",
    );
    assert_eq!(
        listed(&text),
        [(Unchecked::NeverPassed, "quick".to_owned())]
    );
}
