//! Standing overnight, reasoned out beside each check, and against a plain search.

mod support;

use std::collections::HashSet;

use oilpath::answer::{Answer, Overnight, StandingCavity, overnight};
use oilpath::circuit::{Circuit, Kind, State};
use oilpath::net::{Cavity, Net, Passes, SUMP_CAVITY, Scene, Stage, Strength, User};
use oilpath::settle::{settle, settle_from};
use support::{every_circuit, net, open};

fn ask(circuit: &Circuit, faults: &[&str], state: &str) -> Overnight {
    let faults: Vec<_> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    overnight(&net(circuit), &faults, Some(state))
}

fn cavity<'a>(answer: &'a Overnight, id: &str) -> &'a StandingCavity {
    let cavities = &answer.states[0].cavities;
    cavities.iter().find(|c| c.cavity == id).unwrap()
}

/// How a cavity runs off, and through what.
fn way<'a>(answer: &'a Overnight, id: &str) -> Option<(Strength, Vec<&'a str>)> {
    let run_off = cavity(answer, id).runs_off.as_ref()?;
    let through = run_off.through.iter().map(|part| part.id.as_str());
    Some((run_off.how, through.collect()))
}

/// All that stands open to the pump leaks back through it; nothing else is open in lift.
#[test]
fn a_shut_block_leaks_back_through_its_pump() {
    let circuit = open("circuits/lessons/check-ball.toml");
    let answer = ask(&circuit, &[], "lift");
    let leak = |through: &[&'static str]| Some((Strength::Leak, through.to_vec()));
    assert_eq!(way(&answer, "line"), leak(&["pump"]));
    assert_eq!(way(&answer, "lift-feed"), leak(&["lever-valve", "pump"]));
    // The ball lets the clutch out: an open way, so the shorter of the two by which it leaks.
    let apply = cavity(&answer, "lift-apply").runs_off.as_ref().unwrap();
    assert_eq!((apply.how, apply.through.len()), (Strength::Leak, 3));
    // In free the clutch is empty already.
    let free = ask(&circuit, &[], "free");
    let full: Vec<&str> = free.states[0]
        .cavities
        .iter()
        .map(|c| c.cavity.as_str())
        .collect();
    assert_eq!(full, ["line"]);
}

/// Line runs off through the 1.0 mm hole into the far bearing; behind the hole it is the bearing
/// that takes the oil.
#[test]
fn a_bearing_takes_the_oil_that_stands_before_it() {
    let answer = ask(&open("circuits/lessons/metered-feed.toml"), &[], "stop");
    let line = cavity(&answer, "line").runs_off.as_ref().unwrap();
    assert_eq!(line.how, Strength::Metered);
    assert_eq!(line.narrowest.as_ref().unwrap().id, "meter");
    assert_eq!(
        way(&answer, "line").unwrap().1,
        ["meter", "drilling", "far-bearing"]
    );
    assert_eq!(way(&answer, "far-drilling").unwrap().1, ["far-bearing"]);
}

/// Four-wheel: without current the front pilot empties through its open bleed, the front valve
/// goes back and opens the front feed to the sump, and the exhaust ball lets the clutch out beside
/// its hole: all in minutes. Line drains through the pilot's 0.7 mm hole and the bleed.
#[test]
fn the_transfer_box_lets_its_front_clutch_go_at_once_and_line_soon() {
    let circuit = open("circuits/transfer-box.toml");
    let answer = ask(&circuit, &[], "four-wheel");
    assert_eq!(
        way(&answer, "front-drum"),
        Some((Strength::Open, vec!["front-turn", "front-exhaust", "front"]))
    );
    assert_eq!(
        way(&answer, "front-pilot"),
        Some((Strength::Open, vec!["front-on"]))
    );
    assert_eq!(
        way(&answer, "line"),
        Some((Strength::Metered, vec!["front-pilot-feed", "front-on"]))
    );
    // In two-wheel the drum of the high clutch stands openly on line through the range valve.
    let answer = ask(&circuit, &[], "two-wheel");
    let drum = cavity(&answer, "high-drum").runs_off.as_ref().unwrap();
    assert_eq!(drum.how, Strength::Metered);
    assert_eq!(drum.through.last().unwrap().id, "front-on");
    // In the morning the high clutch fills through open ways, before all that is behind a jet.
    let outlets: Vec<&str> = answer.states[0]
        .outlets
        .iter()
        .map(|o| o.outlet.id.as_str())
        .collect();
    assert_eq!(outlets, ["high-clutch", "chain", "rear-bearing"]);
    let high = &answer.states[0].outlets[0];
    assert_eq!(
        high.to_fill,
        ["line", "high-feed", "high-case", "high-drum"]
    );
}

/// The converter of the six-speed lies between the regulator's spill, which lets nothing back, and
/// a sprung ball. Off its seat, the ball lets it run down into the cooler and the lube gallery.
#[test]
fn the_drain_back_ball_keeps_the_converter_full() {
    let circuit = open("circuits/six-speed-bus.toml");
    let sound = ask(&circuit, &[], "park");
    for full in [
        "converter-feed",
        "converter-in",
        "converter-out",
        "cooler-in",
    ] {
        let held = cavity(&sound, full);
        assert_eq!(held.runs_off, None, "{full}");
        assert_eq!(held.held_by.len(), 1);
        assert_eq!(held.held_by[0].id, "drain-back");
    }
    assert!(!sound.wrong());
    let converter = |answer: &Overnight| {
        let outlets = &answer.states[0].outlets;
        outlets
            .iter()
            .find(|o| o.outlet.id == "converter")
            .unwrap()
            .keeps
    };
    assert!(converter(&sound));
    for fault in [
        "drain-back:stuck-off",
        "drain-back:left-out",
        "drain-back:worn",
    ] {
        let answer = ask(&circuit, &[fault], "park");
        assert!(answer.wrong(), "{fault}");
        let emptied = cavity(&answer, "converter-in");
        assert!(emptied.is_worse());
        assert_eq!(emptied.sound, None);
        let how = emptied.runs_off.as_ref().unwrap().how;
        let worn = fault.ends_with("worn");
        assert_eq!(
            how,
            if worn {
                Strength::Leak
            } else {
                Strength::Metered
            },
            "{fault}"
        );
        assert!(!converter(&answer));
        // Line runs off either way, and is no worse for it.
        assert!(!cavity(&answer, "line").is_worse());
    }
    // The weak ball of the exhaust gallery leaves it its filling.
    let first = ask(&circuit, &[], "first");
    assert_eq!(way(&first, "exhaust").unwrap().0, Strength::Leak);
}

/// A cut ring lets a clutch run off at once that leaks when sound.
#[test]
fn a_cut_ring_empties_its_clutch_sooner() {
    let circuit = open("circuits/transfer-box.toml");
    let answer = ask(&circuit, &["servo-ring:worn"], "low");
    // Worn, the apply side reaches the release side, and that empties past its ball.
    let apply = cavity(&answer, "servo-apply");
    assert_eq!(apply.sound, Some(Strength::Metered));
    assert!(
        !apply.is_worse(),
        "a leak is no wider than the hole it empties through anyway"
    );
    let answer = ask(&circuit, &["line:porous=front-feed"], "neutral");
    assert!(!cavity(&answer, "line").is_worse());
}

/// The standing scene of a state: no source, no current, valves where the oil leaves them.
fn standing<'n>(net: &'n Net<'n>, state: &State) -> Scene<'n> {
    let running = settle(&Stage::new(net, state, &[]));
    let mut dead = state.clone();
    dead.on.retain(|id| net.circuit().inputs.contains_key(id));
    dead.levels.clear();
    let stage = Stage::new(net, &dead, &[]).standing();
    let after = settle_from(&stage, &running.ends[0]);
    stage.scene(&after.ends[0].held, net.levels()[0])
}

/// Whether oil gets out of a cavity by ways at least so wide: walked forward, one cavity at a time.
fn gets_out(scene: &Scene<'_>, from: Cavity, least: Strength) -> bool {
    let net = scene.net();
    let mut seen = HashSet::from([from]);
    let mut stack = vec![from];
    while let Some(at) = stack.pop() {
        let consumed = net
            .outlets()
            .iter()
            .any(|o| !o.by_pressure && o.user == User::Leaf(at) && least <= Strength::Metered);
        let pump = net.sources().iter().any(|s| s.feeds == at) && least == Strength::Leak;
        if at == SUMP_CAVITY || consumed || pump {
            return true;
        }
        for link in scene.onward(at) {
            if link.drains() && link.strength >= least && seen.insert(link.to) {
                stack.push(link.to);
            }
        }
    }
    false
}

#[test]
fn every_cavity_runs_off_by_the_widest_way_a_plain_search_finds() {
    let (mut kept, mut gone) = (0, 0);
    for (path, circuit) in every_circuit() {
        let net = net(&circuit);
        let answer = overnight(&net, &[], None);
        assert!(
            !answer.wrong(),
            "{path}: sound, nothing is worse than sound"
        );
        for state in &answer.states {
            let id = state.state.as_deref().unwrap();
            let scene = standing(&net, &circuit.states[id]);
            assert!(scene.rails().is_empty());
            for standing in &state.cavities {
                let at = format!("{path} {id} {}", standing.cavity);
                let cavity = net.cavity(&standing.cavity).unwrap();
                let widest = [Strength::Open, Strength::Metered, Strength::Leak]
                    .into_iter()
                    .find(|least| gets_out(&scene, cavity, *least));
                let Some(run_off) = &standing.runs_off else {
                    kept += 1;
                    assert_eq!(widest, None, "{at}");
                    continue;
                };
                gone += 1;
                if run_off.through.is_empty() {
                    continue;
                }
                assert_eq!(Some(run_off.how), widest, "{at}");
                // Nothing that a seated ball holds empties: a sprung one lets nothing drain.
                for part in run_off.through.iter().filter(|p| p.kind == Kind::Ball) {
                    let mut ways = net.ways_of(part);
                    let sprung = ways.any(|way| scene.way(way).passes == Passes::Excess);
                    assert!(!sprung, "{at} through {part}");
                }
            }
        }
    }
    assert!(kept > 80 && gone > 500, "{kept} {gone}");
}
