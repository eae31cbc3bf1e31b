//! The gear-by-part chart: small circuits reasoned out beside each check, and all circuits against
//! what plugging a part does.

mod support;

use std::collections::BTreeSet;

use oilpath::answer::{Chart, ChartPart, Severity, Status, Use, UsedBy, Verdict, chart, starve};
use oilpath::circuit::{Circuit, Kind, PartName};
use oilpath::net::Stage;
use oilpath::settle::settle;
use support::{every_circuit, net, open};

fn drawn(circuit: &Circuit) -> Chart {
    chart(&net(circuit), &[], &[], &[])
}

/// How the states use a part, one letter a state.
fn uses(chart: &Chart, id: &str) -> String {
    let row = chart.parts.iter().find(|row| row.part.id == id).unwrap();
    let letter = |usage: &Use| match usage {
        Use::Needed => 'n',
        Use::Used => 'u',
        Use::Pilot => 'p',
        Use::Idle => '-',
    };
    row.uses.iter().map(letter).collect()
}

fn stands<'c>(chart: &'c Chart, id: &str) -> Vec<&'c str> {
    let row = chart.parts.iter().find(|row| row.part.id == id).unwrap();
    row.stands
        .iter()
        .map(|s| s.as_deref().unwrap_or("?"))
        .collect()
}

fn states(ids: &[&str]) -> Vec<String> {
    ids.iter().map(|id| (*id).to_owned()).collect()
}

/// In free nothing has oil, so nothing is used. In lift all oil goes pump, line, lever valve,
/// fill, clutch; the ball lets none in, and what it would let out is fed on both sides.
#[test]
fn a_ball_that_only_lets_out_is_not_used_while_its_clutch_is_on() {
    let chart = drawn(&open("circuits/lessons/check-ball.toml"));
    for part in [
        "pump",
        "main",
        "line",
        "lever-valve",
        "fill",
        "lift-apply",
        "lift-clutch",
    ] {
        assert_eq!(uses(&chart, part), "-n", "{part}");
    }
    assert_eq!(uses(&chart, "quick-off"), "--");
    assert_eq!(stands(&chart, "lever-valve"), ["free", "lift"]);
    assert_eq!(chart.states[1].applied[0].id, "lift-clutch");
}

/// The shuttle passes whichever feed is up; the choke and the lever's valve serve the lever alone,
/// the pedal's valve the pedal alone. States: rest, lever, pedal, both. With both up and equal
/// the ball stays where it was and shuts one of them.
#[test]
fn a_shuttle_serves_both_feeds_and_each_valve_its_own() {
    let chart = drawn(&open("circuits/lessons/shuttle.toml"));
    assert!(uses(&chart, "choke").starts_with("-n-"));
    assert!(uses(&chart, "hand-valve").starts_with("-n-"));
    assert!(uses(&chart, "pedal-valve").starts_with("--n"));
    assert_eq!(uses(&chart, "either"), "-nnn");
}

/// In first the pilot of shift valve 1 must be empty, and solenoid 1 has current to empty it: what
/// the gears share that flare without it is the solenoid, its seat and its port (the circuit's own
/// notes say that the spools spell the gear).
#[test]
fn a_solenoid_that_empties_a_pilot_is_of_use() {
    let circuit = open("circuits/six-speed-bus.toml");
    let net = net(&circuit);
    let bad = states(&["first", "second", "fourth", "fourth-locked"]);
    let shared = chart(&net, &[], &bad, &[]).shared.unwrap();
    for part in ["s1", "s1-seat", "s1-port"] {
        let row = shared.parts.iter().find(|row| row.part.id == part);
        let row = row.unwrap_or_else(|| panic!("{part}"));
        assert_eq!((row.bad, row.by), (4, UsedBy::LettingGo), "{part}");
    }
}

/// States: two-wheel, four-wheel, low, low-four-wheel, neutral.
#[test]
fn on_the_transfer_box_pilots_and_the_oil_that_holds_a_band_off_count() {
    let chart = drawn(&open("circuits/transfer-box.toml"));
    // In high the band is held off by oil on its release side; its apply oil then does nothing.
    assert_eq!(uses(&chart, "release-hole"), "nn---");
    assert_eq!(uses(&chart, "apply-out"), "--nn-");
    // In four-wheel only the solenoid's pilot holds the front valve over. In low, low oil does it,
    // and the pilot is empty; with both up neither is needed and both push.
    assert_eq!(uses(&chart, "front-pilot-feed"), "-p-p-");
    assert_eq!(uses(&chart, "front-on"), "-p-p-");
    assert_eq!(uses(&chart, "low-feed"), "--pp-");
    assert_eq!(
        stands(&chart, "front"),
        ["rear", "both", "both", "both", "rear"]
    );
    assert_eq!(
        stands(&chart, "front-on"),
        ["off", "on", "off", "on", "off"]
    );
    // Where the clutch is off, its ball lets it go and so does the valve at rest, beside the empty
    // pilot; where it is on, the ball keeps its oil to the hole beside.
    let flags = |id: &str, of: fn(&ChartPart) -> &Vec<bool>| {
        let row = chart.parts.iter().find(|row| row.part.id == id).unwrap();
        let letter = |used: &bool| if *used { 'x' } else { '-' };
        of(row).iter().map(letter).collect::<String>()
    };
    assert_eq!(flags("front-exhaust", |row| &row.lets_go), "x---x");
    assert_eq!(flags("front-exhaust", |row| &row.holds_back), "-xxx-");
    assert_eq!(flags("front-on", |row| &row.lets_go), "x---x");
    assert_eq!(flags("front-vent", |row| &row.lets_go), "-xxx-");
    assert_eq!(flags("front-pilot-feed", |row| &row.holds_back), "x-x-x");
    // Lube is what the main regulator spills, in every state.
    for part in [
        "lube-out",
        "chain-jet",
        "chain-cover",
        "chain",
        "screen",
        "main",
    ] {
        assert_eq!(uses(&chart, part), "nnnnn", "{part}");
    }
    // A ring keeps tight what turns under pressure.
    assert_eq!(uses(&chart, "high-ring"), "nn---");
}

/// High is bad in both directions with and without power take-off: the culprit lies on the high
/// clutch's feed from the range valve on, or on the pilot that moves that valve. The pilot supply
/// is shared with the power take-off, the direction side with low.
#[test]
fn the_bad_gears_of_the_tractor_share_the_high_clutch_and_its_pilot() {
    let circuit = open("circuits/tractor-powershift.toml");
    let net = net(&circuit);
    let bad = states(&[
        "forward-high",
        "forward-high-pto",
        "reverse-high",
        "reverse-high-pto",
    ]);
    let answer = chart(&net, &[], &bad, &[]);
    let shared = answer.shared.as_ref().unwrap();
    assert_eq!(shared.good.len(), 9);
    let mut exactly: Vec<&str> = shared.exactly().map(|p| p.id.as_str()).collect();
    exactly.sort_unstable();
    assert_eq!(
        exactly,
        [
            "high-apply",
            "high-clutch",
            "high-drum",
            // While the clutch is on, its ball keeps the oil to the fill hole.
            "high-exhaust",
            "high-feed",
            "high-fill",
            "high-out",
            "high-ring",
            "high-tap",
            "range-pilot",
            "range-pilot-feed",
            "range-shift",
            // What the range valve empties from its spring to leave rest.
            "range-spring",
            "range-vent",
        ]
    );
    // They come first; after them what the three states with power take-off alone use too.
    let ranks: Vec<(usize, usize)> = shared.parts.iter().map(|p| (p.bad, p.good)).collect();
    assert_eq!(ranks[..14], [(4, 0); 14]);
    assert_eq!(ranks[14], (4, 3));
    assert!(ranks.is_sorted_by_key(|(bad, good)| (usize::MAX - bad, *good)));
    let pilot = shared.parts.iter().find(|p| p.part.id == "pilot-screen");
    assert_eq!(pilot.map(|p| (p.bad, p.good)), Some((4, 3)));

    // Calling the others good comes to the same, and so does naming both.
    let good = shared.good.clone();
    assert_eq!(chart(&net, &[], &[], &good), answer);
    assert_eq!(chart(&net, &[], &bad, &good), answer);
    // A narrower good list narrows the chart, and a kind narrows the rows.
    let few = chart(&net, &[Kind::Orifice], &bad, &good[..1]);
    assert_eq!(few.states.len(), 5);
    assert!(few.parts.iter().all(|row| row.part.kind == Kind::Orifice));
    let ids: Vec<&str> = few.parts.iter().map(|row| row.part.id.as_str()).collect();
    let all: Vec<&str> = circuit.ids(Kind::Orifice).collect();
    assert_eq!(ids, all);
}

/// In low-first of the six-speed, low-hold oil keeps two valves at rest although a pilot may
/// push: its feed is the manual valve. The half-driven line solenoid in third is no plain on.
#[test]
fn levels_and_oil_that_holds_a_valve_at_rest_are_told() {
    let chart = drawn(&open("circuits/six-speed-bus.toml"));
    let column = |id: &str| {
        let states = chart.states.iter();
        let mut ids = states.map(|s| s.state.as_deref().unwrap());
        ids.position(|state| state == id).unwrap()
    };
    assert_eq!(stands(&chart, "line-pressure")[column("third")], "fill");
    assert_eq!(stands(&chart, "thermal")[column("neutral-cold")], "cold");
    // Without current pilot 1 is full; low-hold oil alone keeps shift valve 1 at rest.
    let low = uses(&chart, "low-hold")
        .chars()
        .nth(column("plug-pulled-low"));
    assert_eq!(low, Some('p'));
    let first = uses(&chart, "low-hold").chars().nth(column("first"));
    assert_eq!(first, Some('-'));
}

#[test]
fn every_outlet_with_oil_is_marked_and_every_solenoid_stands_as_the_state_drives_it() {
    for (path, circuit) in every_circuit() {
        let net = net(&circuit);
        let chart = chart(&net, &[], &[], &[]);
        assert_eq!(chart.states.len(), circuit.states.len().max(1), "{path}");
        for (i, state) in chart.states.iter().enumerate() {
            let id = state.state.as_deref().unwrap();
            let settled = settle(&Stage::new(&net, &circuit.states[id], &[]));
            for row in chart
                .parts
                .iter()
                .filter(|row| row.part.kind == Kind::Outlet)
            {
                let outlet = net.outlet(&row.part).unwrap();
                let status = settled.ends[0]
                    .pressures
                    .status(outlet.user, outlet.by_pressure);
                let marked = row.uses[i] == Use::Needed;
                assert_eq!(marked, status == Status::On, "{path} {id} {}", row.part);
            }
            let mut applied: Vec<&str> = state.applied.iter().map(|p| p.id.as_str()).collect();
            let mut should: Vec<&str> = circuit.states[id]
                .applies
                .iter()
                .map(String::as_str)
                .collect();
            applied.sort_unstable();
            should.sort_unstable();
            assert_eq!(applied, should, "{path} {id}");
            for row in chart
                .parts
                .iter()
                .filter(|row| row.part.kind == Kind::Solenoid)
            {
                let on = row.stands[i].as_deref() == Some("on");
                let driven = circuit.states[id].on.contains(&row.part.id);
                assert_eq!(on, driven, "{path} {id} {}", row.part);
            }
        }
    }
}

/// The slow rival: plug a hole in the state and ask what starves. What is needed costs an outlet
/// its oil; what is only used costs none its own; a hole that is not used at all feeds nothing. A way back feeds nothing either, though what
/// oil passes through, a converter or cooler, lives by it.
#[test]
fn what_is_needed_costs_an_outlet_when_it_is_plugged() {
    let mut needed = 0;
    for (path, circuit) in every_circuit() {
        if path.contains("six-speed") {
            // 22 states of 40 holes take a minute without optimisation.
            continue;
        }
        let net = net(&circuit);
        let chart = chart(&net, &[Kind::Port, Kind::Orifice], &[], &[]);
        for row in &chart.parts {
            let said = format!("{}:plugged", row.part);
            let fault = circuit.fault(&said).unwrap();
            let answer = starve(&net, &[fault], None);
            for (usage, state) in row.uses.iter().zip(&answer.states) {
                let at = format!("{path} {said} in {:?}", state.state);
                if at.contains("choke:plugged in Some(\"both\")") {
                    // Where it stands the ball passes the choked feed alone; plugged, it crosses.
                    assert_eq!(*usage, Use::Needed);
                    continue;
                }
                let bad = state.outlets.iter().any(|o| o.verdict.is_bad());
                let passed = [Kind::Filter, Kind::Converter, Kind::Cooler];
                let fed = state.outlets.iter();
                let mut fed = fed.filter(|o| !passed.contains(&o.outlet.kind));
                let starved = fed.any(|o| o.verdict == Verdict::Starved);
                match usage {
                    Use::Needed => {
                        needed += 1;
                        assert!(bad, "{at}");
                    }
                    Use::Used => assert!(!starved, "{at}"),
                    Use::Pilot => {}
                    // A vent feeds nothing either, but without it a spool may not stroke.
                    Use::Idle => assert!(!starved || row.part.id.ends_with("vent"), "{at}"),
                }
            }
        }
    }
    assert!(needed > 200, "{needed}");
}

/// How many single faults harm some states and not all, and those of them whose part is not among
/// what the bad states share.
fn unnamed(circuit: &Circuit) -> (usize, Vec<(PartName, String)>) {
    let net = net(circuit);
    let (mut asked, mut unnamed) = (0, Vec::new());
    for fault in circuit.faults() {
        let said = circuit.say(&fault);
        let culprit = fault.part.clone();
        let answer = starve(&net, &[fault], None);
        let bad = answer.states.iter();
        let bad = bad.filter(|state| Severity::in_state(state) < Severity::Nothing);
        let bad: Vec<String> = bad.filter_map(|state| state.state.clone()).collect();
        if bad.is_empty() || bad.len() == circuit.states.len() {
            continue;
        }
        asked += 1;
        let shared = chart(&net, &[], &bad, &[]).shared.unwrap();
        if !shared.parts.iter().any(|p| p.part == culprit) {
            unnamed.push((culprit, said));
        }
    }
    (asked, unnamed)
}

/// Whatever harms some states and not all is named, unless the good states use it as much: then it
/// is used in every bad one. Before letting go, holding back and current counted as use, 5 of the
/// transfer box were used in no bad state.
#[test]
fn what_bad_states_share_names_the_culprit_unless_good_ones_use_it_as_much() {
    let circuit = open("circuits/transfer-box.toml");
    let (asked, unnamed) = unnamed(&circuit);
    assert!(asked > 60, "{asked}");
    let parts: BTreeSet<&str> = unnamed.iter().map(|(part, _)| part.id.as_str()).collect();
    let parts: Vec<&str> = parts.into_iter().collect();
    assert_eq!(parts, ["block-gasket", "pump", "range", "suction"]);
    let whole = drawn(&circuit);
    for (part, fault) in &unnamed {
        let row = whole.parts.iter().find(|row| row.part == *part).unwrap();
        let everywhere = (0..whole.states.len())
            .all(|i| row.is_used(i, UsedBy::Oil) || row.is_used(i, UsedBy::LettingGo));
        assert!(everywhere, "{fault}");
    }
}
