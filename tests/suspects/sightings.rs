//! What was seen, as it is typed.

use oilpath::circuit::{Circuit, Only, Seen, Sighting, Symptom};
use proptest::prelude::*;

use super::support::open;

fn transfer_box() -> Circuit {
    open("circuits/transfer-box.toml")
}

fn one(text: &str) -> Sighting {
    let mut read = transfer_box().sightings(text).unwrap();
    assert_eq!(read.len(), 1);
    read.remove(0)
}

#[test]
fn the_state_what_it_was_when_and_how_sure() {
    let seen = one("low: none");
    assert_eq!(
        (seen.state.as_deref(), seen.seen),
        (Some("low"), Seen::Drives(Symptom::None))
    );
    assert_eq!((seen.only, seen.sure), (None, 1.0));
    let seen = one("  low :flare , hot only,hint ");
    assert_eq!((seen.only, seen.sure), (Some(Only::Hot), 0.6));
    assert_eq!(one("low: flare, 0.75").sure, 0.75);
    assert_eq!(
        one("low: works as two-wheel").seen,
        Seen::WorksAs("two-wheel".to_owned())
    );
    assert_eq!(one("air: front-clutch leaks").state, None);
    let all = transfer_box().sightings("all: fine").unwrap();
    assert_eq!(all.len(), 5);
    let two = transfer_box().sightings("low and neutral: fine").unwrap();
    assert_eq!(
        two.iter()
            .map(|s| s.state.as_deref().unwrap())
            .collect::<Vec<_>>(),
        ["low", "neutral"]
    );
}

/// What is typed again as it is told reads the same.
#[test]
fn what_is_told_reads_back() {
    let circuit = transfer_box();
    for text in [
        "low: none",
        "low: flare, hot only, likely",
        "low: works as two-wheel, hint",
        "low: front-tap low, 0.9",
        "low: line-tap 9 bar",
        "low: low-switch open",
        "low: low-band weak",
        "low: screen starved",
        "neutral: chain starved, after standing",
        "air: front-clutch leaks",
        "air: servo-apply holds, likely",
        "air: low-band dead",
        "vacuum: range leaks, hint",
    ] {
        let seen = circuit.sightings(text).unwrap();
        assert_eq!(seen[0].to_string(), text);
        assert_eq!(circuit.sightings(&seen[0].to_string()).unwrap(), seen);
    }
}

/// What is wrong, where in the text, and what would be right.
#[test]
fn slips_are_shown_where_they_stand() {
    let circuit = transfer_box();
    let of = |text: &str| {
        let error = circuit.sightings(text).unwrap_err();
        format!("{:?}: {error}; {}", &text[error.at.clone()], error.remedy)
    };
    let told = [
        "none",
        "lo: none",
        "low: nun",
        "low: gone wrong",
        "low: front-tap",
        "low: front-tap lo",
        "low: front-tap 9",
        "low: front-tap 9 baar",
        "low: front-tpa low",
        "low: main low",
        "low: low-switch shut",
        "low: low-band dry",
        "low: works as hi",
        "low: none, hot",
        "low: none, 0.3",
        "low: none, perhaps",
        "air: front-clutch",
        "air: front-clutch hisses",
        "vacuum: front-clutch leaks",
        "vacuum: range dead",
        "vacuum: range",
        "low and hihg: none",
        "",
    ]
    .map(of)
    .join("\n");
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("../snapshots/sightings");
    settings.bind(|| insta::assert_snapshot!("slips", told));
}

#[test]
fn a_circuit_without_states_goes_without_them() {
    let circuit = super::support::read(
        "[casting]\nblock = { passages = ['line'] }\n[outlet]\nbearing = { kind = 'bearing', at = 'line' }\n",
    );
    let seen = circuit.sightings("bearing starved").unwrap();
    assert_eq!(seen[0].state, None);
    let error = circuit.sightings("low: bearing starved").unwrap_err();
    assert_eq!(error.to_string(), "this circuit declares no states");
}

proptest! {
    /// Whatever is typed is read or refused with a place within it.
    #[test]
    fn anything_typed_is_read_or_refused(text in "([a-z:, .0-9-]|low|none|front-tap| and |é){0,24}") {
        if let Err(error) = transfer_box().sightings(&text) {
            prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}");
            prop_assert!(!error.remedy.is_empty());
        }
    }
}
