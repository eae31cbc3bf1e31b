//! What starves on the compact tractor and the lesson circuits, reasoned out beside each check.

mod support;

use std::path::Path;

use oilpath::answer::{
    Answer, ComplaintWord, CourseWord, Event, Reason, Starve, StarveState, Verdict, starve,
};
use oilpath::circuit::{Circuit, Fault, Kind, PlateKind};
use oilpath::net::Change;
use oilpath::sheet;
use support::{net, read};

fn circuit(path: &str) -> Circuit {
    match sheet::open(Path::new(path)) {
        Ok(sheet) => sheet.circuit,
        Err(refusal) => panic!("{refusal}"),
    }
}

fn tractor() -> Circuit {
    circuit("circuits/tractor-powershift.toml")
}

fn ask(circuit: &Circuit, faults: &[&str]) -> Starve {
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    starve(&net(circuit), &faults, None)
}

fn of(state: &StarveState, verdict: Verdict) -> Vec<&str> {
    let outlets = state.outlets.iter().filter(|o| o.verdict == verdict);
    outlets.map(|o| o.outlet.id.as_str()).collect()
}

fn bad(state: &StarveState) -> Vec<(&str, Verdict)> {
    let outlets = state.outlets.iter().filter(|o| o.verdict.is_bad());
    outlets.map(|o| (o.outlet.id.as_str(), o.verdict)).collect()
}

#[test]
fn the_sound_tractor_starves_nothing() {
    let answer = ask(&tractor(), &[]);
    assert_eq!(answer.states.len(), 13);
    assert!(!answer.wrong());
    for state in &answer.states {
        assert_eq!(bad(state), []);
        assert_eq!(state.moved, []);
        assert_eq!(state.course, CourseWord::Steady);
    }
}

/// common practice, no source: a feed that hops over a casting wall under a small cover lives by
/// that cover; circuits on the supply side of the metering hole keep their oil.
#[test]
fn a_loose_bridge_cover_starves_the_bearing_behind_the_hop_and_nothing_else() {
    let circuit = tractor();
    for fault in ["hop-cover:loose", "hop-cover:left-out", "hop:plugged"] {
        let answer = ask(&circuit, &[fault]);
        assert!(answer.wrong(), "{fault}");
        for state in &answer.states {
            assert_eq!(
                bad(state),
                [("pto-bearing", Verdict::Starved)],
                "{fault} {:?}",
                state.state
            );
            assert!(state.will_not_build.is_empty());
        }
    }
}

#[test]
fn the_reason_names_the_part_the_oil_runs_off_through() {
    let circuit = tractor();
    let reason = |fault| ask(&circuit, &[fault]).states[0].outlets[0].reason.clone();
    match reason("hop-cover:loose") {
        Some(Reason::RunsOff { cavity, through }) => {
            assert_eq!(cavity, "lube-rear");
            let through: Vec<String> = through.iter().map(ToString::to_string).collect();
            assert_eq!(through, ["port.rear-lube", "plate.hop-cover"]);
        }
        other => panic!("{other:?}"),
    }
    let cut = Some(Reason::CutOff {
        cavity: "lube-rear".into(),
    });
    assert_eq!(reason("hop:plugged"), cut);
}

/// A cover left out leaves the hop's own hole in the block metering: line still builds. Were the
/// hole in the cover, line would gape.
#[test]
fn without_a_hole_of_its_own_the_supply_end_gapes() {
    let text = std::fs::read_to_string("circuits/tractor-powershift.toml").unwrap();
    let gaping = text.replace("hole-at = \"line\"\n", "");
    assert_ne!(text, gaping);
    let answer = ask(&read(&gaping), &["hop-cover:left-out"]);
    for state in &answer.states {
        assert_eq!(state.will_not_build.len(), 1, "{:?}", state.state);
    }
}

/// The screen has no bypass: the pump draws nothing and everything that was fed starves.
#[test]
fn a_blocked_suction_screen_starves_everything() {
    for state in ask(&tractor(), &["suction-screen:blocked"]).states {
        assert_eq!(state.cannot_draw.len(), 1);
        assert_eq!(of(&state, Verdict::Kept), [""; 0]);
        assert!(of(&state, Verdict::Starved).contains(&"pto-bearing"));
        assert!(of(&state, Verdict::Starved).contains(&"input-bearing"));
    }
}

/// The bypass ball lifts: lube goes on, uncooled.
#[test]
fn a_blocked_cooler_starves_only_itself() {
    for state in ask(&tractor(), &["oil-cooler:blocked"]).states {
        assert_eq!(bad(&state), [("oil-cooler", Verdict::Starved)]);
    }
    // With the bypass ball held shut as well, nothing behind the cooler gets oil.
    let both = ask(
        &tractor(),
        &["oil-cooler:blocked", "cooler-bypass:stuck-seated"],
    );
    for state in both.states {
        let starved = of(&state, Verdict::Starved);
        for outlet in [
            "input-bearing",
            "pack-lube",
            "gear-mesh",
            "output-bearing",
            "lube-filter",
        ] {
            assert!(starved.contains(&outlet), "{outlet}");
        }
        assert!(of(&state, Verdict::Kept).contains(&"pto-bearing"));
    }
}

/// The separator plate roofs line itself: an open way from line to the sump.
#[test]
fn with_the_separator_plate_loose_line_will_not_build() {
    for state in ask(&tractor(), &["separator:loose"]).states {
        assert_eq!(state.will_not_build.len(), 1);
        assert_eq!(state.will_not_build[0].id, "pump");
        assert!(of(&state, Verdict::Starved).contains(&"pto-bearing"));
    }
}

/// The low clutch's ring opens its drum to the sump; its 2 mm fill hole shields the feed before
/// it. Only the low clutch is lost, and only where it was on.
#[test]
fn a_cut_ring_loses_its_own_clutch_where_it_is_used() {
    for state in ask(&tractor(), &["low-ring:cut"]).states {
        let id = state.state.as_deref().unwrap();
        let used = id.contains("-low");
        let lost: &[_] = if used {
            &[("low-clutch", Verdict::Starved)]
        } else {
            &[]
        };
        assert_eq!(bad(&state), lost, "{id}");
        assert!(state.will_not_build.is_empty(), "{id}");
    }
}

/// The power take-off's ring empties its clutch, and with it the pressure that lets the brake
/// go: the clutch is lost and the brake drags.
#[test]
fn a_cut_power_take_off_ring_loses_the_clutch_and_sets_the_brake() {
    for state in ask(&tractor(), &["pto-ring:cut"]).states {
        let engaged = state.state.as_deref().unwrap().ends_with("-pto");
        let lost: &[_] = if engaged {
            &[
                ("pto-clutch", Verdict::Starved),
                ("pto-brake", Verdict::OnWhenOff),
            ]
        } else {
            &[]
        };
        assert_eq!(bad(&state), lost, "{:?}", state.state);
    }
}

/// The divider between the two ranges: the idle one is open to the sump through its valve, so
/// whichever is engaged runs off into it.
#[test]
fn a_cut_divider_ring_loses_whichever_range_is_engaged() {
    for state in ask(&tractor(), &["range-divider:cut"]).states {
        let id = state.state.as_deref().unwrap();
        let lost = match id {
            id if id.contains("-low") => vec![("low-clutch", Verdict::Starved)],
            id if id.contains("-high") => vec![("high-clutch", Verdict::Starved)],
            _ => vec![],
        };
        assert_eq!(bad(&state), lost, "{id}");
    }
}

/// Both feeds join through the seat, and the idle one is open to the sump at the direction
/// valve: the driven direction is no longer surely held, line is loaded.
#[test]
fn the_shuttle_ball_left_out_is_never_kept() {
    for state in ask(&tractor(), &["drive-shuttle:left-out"]).states {
        let id = state.state.as_deref().unwrap();
        let drives = id.starts_with("forward") || id.starts_with("reverse");
        assert_eq!(state.will_not_build.len(), usize::from(drives), "{id}");
        let direction = if id.starts_with("forward") {
            "forward-clutch"
        } else {
            "reverse-clutch"
        };
        if drives {
            assert!(!of(&state, Verdict::Kept).contains(&direction), "{id}");
        } else {
            assert_eq!(bad(&state), [], "{id}");
        }
    }
}

/// A stuck valve is followed: stuck in high, low is never fed and high gets the oil instead.
#[test]
fn a_range_valve_stuck_in_high_feeds_high_for_low() {
    for state in ask(&tractor(), &["range:stuck=high"]).states {
        let id = state.state.as_deref().unwrap();
        if id.contains("-low") {
            assert_eq!(of(&state, Verdict::Starved), ["low-clutch"], "{id}");
            assert_eq!(of(&state, Verdict::OnWhenOff), ["high-clutch"], "{id}");
        } else {
            assert_eq!(bad(&state), [], "{id}");
        }
    }
}

/// A loose pilot cover empties both pilots: the range valve falls back to low and the
/// power-take-off valve to off, far from the part that failed.
#[test]
fn a_lost_pilot_leaves_both_valves_at_rest() {
    for state in ask(&tractor(), &["pilot-cover:loose"]).states {
        let id = state.state.as_deref().unwrap();
        let moved: Vec<&str> = state.moved.iter().map(|m| m.valve.id.as_str()).collect();
        let (high, pto) = (id.contains("-high"), id.ends_with("-pto"));
        assert_eq!(moved.contains(&"range"), high, "{id}");
        assert_eq!(moved.contains(&"pto"), pto, "{id}");
        assert_eq!(
            of(&state, Verdict::Starved).contains(&"high-clutch"),
            high,
            "{id}"
        );
        assert_eq!(
            of(&state, Verdict::OnWhenOff).contains(&"low-clutch"),
            high,
            "{id}"
        );
        assert_eq!(
            of(&state, Verdict::Starved).contains(&"pto-clutch"),
            pto,
            "{id}"
        );
        assert_eq!(
            of(&state, Verdict::OnWhenOff).contains(&"pto-brake"),
            pto,
            "{id}"
        );
    }
}

/// A spring pocket without a way out holds its spool where it rests.
#[test]
fn a_plugged_spring_pocket_vent_stops_the_stroke() {
    for state in ask(&tractor(), &["range-vent:plugged"]).states {
        let high = state.state.as_deref().unwrap().contains("-high");
        assert_eq!(of(&state, Verdict::Starved).contains(&"high-clutch"), high);
        assert_eq!(of(&state, Verdict::OnWhenOff).contains(&"low-clutch"), high);
    }
}

#[test]
fn a_cracked_clutch_passage_behind_its_metering_hole_leaves_line_alone() {
    for state in ask(&tractor(), &["forward-apply:cracked"]).states {
        let id = state.state.as_deref().unwrap();
        let lost: &[_] = if id.starts_with("forward") {
            &[("forward-clutch", Verdict::Starved)]
        } else {
            &[]
        };
        assert_eq!(bad(&state), lost, "{id}");
    }
}

/// A leak robs without emptying: fed harder than it leaks, the clutch is weakened.
#[test]
fn a_worn_seal_weakens_its_clutch() {
    for state in ask(&tractor(), &["low-ring:worn"]).states {
        let id = state.state.as_deref().unwrap();
        let lost: &[_] = if id.contains("-low") {
            &[("low-clutch", Verdict::Weakened)]
        } else {
            &[]
        };
        assert_eq!(bad(&state), lost, "{id}");
    }
}

#[test]
fn the_order_of_faults_never_matters() {
    let circuit = tractor();
    let faults = [
        "hop-cover:left-out",
        "hop:plugged",
        "separator:left-out",
        "low-ring:cut",
        "line:porous=suction",
    ];
    let mut forward = ask(&circuit, &faults);
    let mut backward: Vec<&str> = faults.to_vec();
    backward.reverse();
    let mut backward = ask(&circuit, &backward);
    forward.faults.clear();
    backward.faults.clear();
    assert_eq!(forward, backward);
}

/// Of what drives solenoids and of what holds and pushes spools one fault can undo or outdo another.
#[test]
fn no_two_faults_change_more_in_one_order_than_in_the_other() {
    for path in ["circuits/six-speed-bus.toml", "circuits/transfer-box.toml"] {
        let circuit = circuit(path);
        let net = net(&circuit);
        let moves = |fault: &Fault| [Kind::Solenoid, Kind::Valve].contains(&fault.part.kind);
        let faults: Vec<Fault> = circuit.faults().into_iter().filter(moves).collect();
        assert!(faults.len() > 30);
        for (i, one) in faults.iter().enumerate() {
            for other in &faults[..i] {
                let [there, back] = [[one, other], [other, one]]
                    .map(|pair| Change::of(&net, &pair.map(Fault::clone)));
                assert_eq!(there, back, "{path}: {one:?} and {other:?}");
            }
        }
    }
}

#[test]
fn two_swaps_with_one_solenoid_in_common_answer_alike_in_either_order() {
    let circuit = circuit("circuits/six-speed-bus.toml");
    let pairs = [
        ["lock-up-on:swapped=s1", "s1:swapped=s3"],
        [
            "lock-up-valve:spring-swapped=shift-2",
            "shift-2:spring-broken",
        ],
        ["shift-2:plug-out", "shift-1:spring-swapped=shift-2"],
    ];
    for [one, other] in pairs {
        let there = ask(&circuit, &[one, other]).states;
        assert_eq!(there, ask(&circuit, &[other, one]).states, "{one} {other}");
    }
    // Two names for one mishap.
    let once = ask(&circuit, &["s1:swapped=s3"]).states;
    assert_eq!(
        ask(&circuit, &["s1:swapped=s3", "s3:swapped=s1"]).states,
        once
    );
}

/// With what it spills to plugged, a regulator stuck shut moves no other oil than one stuck open, but
/// only the one lets its cavity stand high: the two are never taken for one.
#[test]
fn a_regulator_stuck_shut_is_never_one_stuck_open() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["line", "back"] }
        [source]
        pump = { feeds = "line" }
        [regulator]
        main = { holds = "line", spills = ["back"] }
        [outlet]
        lube = { kind = "lube", at = "back" }
        "#,
    );
    let net = net(&circuit);
    let with = |how: &str| {
        let faults = ["back:plugged", how].map(|f| circuit.fault(f).unwrap());
        Change::of(&net, &faults)
    };
    assert_ne!(with("main:stuck-shut"), with("main:stuck-open"));
}

#[test]
fn without_a_gasket_the_faces_gape_and_the_holes_in_the_plate_stay() {
    let circuit = circuit("circuits/six-speed-bus.toml");
    let gaskets = circuit
        .plates
        .iter()
        .filter(|(_, p)| p.kind == PlateKind::Gasket);
    let mut count = 0;
    for (id, _) in gaskets {
        let [out, loose] =
            ["left-out", "loose"].map(|how| ask(&circuit, &[&format!("{id}:{how}")]));
        assert_eq!(out.states, loose.states, "{id}");
        count += 1;
    }
    assert!(count > 3);
}

#[test]
fn the_lesson_of_the_metered_feed() {
    let circuit = circuit("circuits/lessons/metered-feed.toml");
    assert!(!ask(&circuit, &[]).wrong());
    let loose = ask(&circuit, &["small-cover:loose"]);
    for state in &loose.states {
        assert_eq!(of(state, Verdict::Starved).len(), 1);
        let saw = state.state.as_deref() == Some("saw");
        assert_eq!(of(state, Verdict::Kept).contains(&"saw-clutch"), saw);
    }
}

/// Slow on through the hole, quick off through the ball: neither ball fault changes who is fed. On
/// its seat it makes the clutch let go through the hole, late; left out it lets it take hold hard.
#[test]
fn the_lesson_of_the_check_ball() {
    let circuit = circuit("circuits/lessons/check-ball.toml");
    assert!(!ask(&circuit, &[]).wrong());
    let plugged = ask(&circuit, &["fill:plugged"]);
    assert!(
        plugged
            .states
            .iter()
            .any(|s| !of(s, Verdict::Starved).is_empty())
    );
    let seated = ask(&circuit, &["quick-off:stuck-seated"]);
    assert_eq!(seated.with("free", Verdict::Late), ["lift-clutch"]);
    assert_eq!(seated.with("lift", Verdict::Kept), ["lift-clutch"]);
    let out = ask(&circuit, &["quick-off:left-out"]);
    assert_eq!(out.with("free", Verdict::Off), ["lift-clutch"]);
    assert_eq!(out.with("lift", Verdict::Harsh), ["lift-clutch"]);
}

/// With the pilot lost, high is asked for and low is what comes: the driver says it works as the
/// lower range. The chain runs from the pilot to the valve to both clutches.
#[test]
fn a_lost_pilot_is_heard_as_the_wrong_range_and_traced_to_the_pilot() {
    let circuit = tractor();
    let answer = ask(&circuit, &["pilot-cover:loose"]);
    let state = answer
        .states
        .iter()
        .find(|s| s.state.as_deref() == Some("forward-high"))
        .unwrap();
    assert_eq!(state.complaints.len(), 1);
    assert_eq!(state.complaints[0].what, ComplaintWord::WrongState);
    assert_eq!(state.complaints[0].like.as_deref(), Some("forward-low"));
    for id in ["high-clutch", "low-clutch"] {
        let outlet = state.outlets.iter().find(|o| o.outlet.id == id).unwrap();
        match &outlet.chain[..] {
            [Event::Lost { cavity }, Event::Stands { valve, now, sound }] => {
                assert_eq!(cavity, "range-pilot");
                assert_eq!(
                    (valve.id.as_str(), now.as_str(), sound.as_str()),
                    ("range", "low", "high")
                );
            }
            other => panic!("{id}: {other:?}"),
        }
    }
}

/// Farther back: with the pilot screen blocked, the supply behind it is what is lost first.
#[test]
fn the_chain_begins_where_the_oil_is_first_lost() {
    let circuit = tractor();
    let answer = ask(&circuit, &["pilot-screen:blocked"]);
    let state = answer
        .states
        .iter()
        .find(|s| s.state.as_deref() == Some("forward-high"))
        .unwrap();
    let outlet = state
        .outlets
        .iter()
        .find(|o| o.outlet.id == "high-clutch")
        .unwrap();
    assert_eq!(
        outlet.chain[0],
        Event::Lost {
            cavity: "pilot-raw".into()
        }
    );
    assert!(
        matches!(outlet.chain.last(), Some(Event::Stands { valve, .. }) if valve.id == "range")
    );
}

/// A missing on-coming clutch is a flare; one on beside it that must not be is a bind; a bearing
/// without oil runs dry.
#[test]
fn complaints_follow_from_what_is_on() {
    let circuit = tractor();
    let words = |faults: &[&str], state: &str| -> Vec<ComplaintWord> {
        let answer = ask(&circuit, faults);
        let state = answer
            .states
            .iter()
            .find(|s| s.state.as_deref() == Some(state))
            .unwrap()
            .clone();
        state.complaints.iter().map(|c| c.what).collect()
    };
    assert_eq!(
        words(&["low-ring:cut"], "forward-low"),
        [ComplaintWord::Flare]
    );
    assert_eq!(words(&["low-ring:cut"], "forward-high"), []);
    assert_eq!(
        words(&["hop-cover:loose"], "neutral"),
        [ComplaintWord::RunsDry]
    );
    assert_eq!(
        words(&["low-ring:worn"], "forward-low"),
        [ComplaintWord::Slips]
    );
    // The brake's release hole plugged: clutch and brake fight.
    assert_eq!(
        words(&["brake-out:plugged"], "neutral-pto"),
        [ComplaintWord::Bind]
    );
}
