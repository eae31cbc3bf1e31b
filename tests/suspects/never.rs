//! What is wrong is never ruled out by what it does.

use oilpath::answer::{Scenarios, Sweeper, Verdict, starve};
use oilpath::circuit::{Circuit, Fault};
use oilpath::net::Net;
use oilpath::suspect::Inquiry;
use oilpath::teach::Dice;

use super::support::{net, open};
use super::{inquire, question};

/// What a driver and a mechanic see of a fault, as settling has it: outlets and gauges of the first
/// two states in which anything changes.
fn seen(circuit: &Circuit, net: &Net<'_>, faults: &[Fault]) -> Vec<String> {
    let told = starve(net, faults, None);
    let mut saw = Vec::new();
    let changed = |s: &&oilpath::answer::StarveState| {
        s.will_not_build.is_empty() && s.outlets.iter().any(|o| o.verdict.is_bad())
    };
    for state in told.states.iter().filter(changed).take(2) {
        let id = state
            .state
            .as_deref()
            .map_or(String::new(), |id| format!("{id}: "));
        for outlet in &state.outlets {
            let fares = match outlet.verdict {
                Verdict::Starved => "starved",
                Verdict::Weakened => "weak",
                Verdict::OnWhenOff => "on",
                Verdict::Late => "late",
                Verdict::Harsh => "harsh",
                Verdict::Kept | Verdict::Off => "fine",
                Verdict::Undecided => continue,
            };
            saw.push(format!("{id}{} {fares}", circuit.short(&outlet.outlet)));
        }
    }
    saw
}

fn never_ruled_out(path: &str) -> usize {
    let circuit = open(path);
    let net = net(&circuit);
    let mut asked = 0;
    for fault in circuit.faults() {
        let saw = seen(&circuit, &net, std::slice::from_ref(&fault));
        if saw.is_empty() {
            continue;
        }
        let saw: Vec<&str> = saw.iter().map(String::as_str).collect();
        let mut question = question(&circuit, &saw);
        (question.up_to, question.measure) = (1, false);
        let inquiry = Inquiry::new(&net, question);
        let rank = inquiry.rank(std::slice::from_ref(&fault));
        assert!(rank.is_some(), "{path}: {} by {saw:?}", circuit.say(&fault));
        asked += 1;
    }
    asked
}

/// Every single fault of the small demo circuits that does anything.
#[test]
fn no_fault_of_a_small_circuit_is_ruled_out_by_what_it_does() {
    let mut asked = 0;
    for lesson in [
        "check-ball",
        "metered-feed",
        "regulator",
        "separator-plate",
        "shuttle",
    ] {
        asked += never_ruled_out(&format!("circuits/lessons/{lesson}.toml"));
    }
    asked += never_ruled_out("circuits/published/two-speed-training.toml");
    asked += never_ruled_out("circuits/published/loader-control-valve.toml");
    asked += never_ruled_out("circuits/transfer-box.toml");
    assert!(asked > 250, "{asked}");
}

/// What flow alone expects is not ruled out either: each gauge of the transfer box read as it would
/// be with the fault.
#[test]
fn what_pressures_and_flows_expect_is_not_ruled_out() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let states = ["four-wheel", "low"].map(str::to_owned);
    let glances = oilpath::answer::Glances::new(&net, &states, &Default::default()).unwrap();
    let taps = ["line-tap", "front-tap"];
    let at = taps.map(|tap| net.cavity(&circuit.taps[tap].at).unwrap());
    for fault in circuit.faults().iter().step_by(3) {
        let mut saw = Vec::new();
        for (number, state) in states.iter().enumerate() {
            let Some(glance) = glances.of(number, std::slice::from_ref(fault), &at) else {
                continue;
            };
            for (tap, [_, now]) in taps.iter().zip(&glance.cavities) {
                if let Some(now) = now {
                    let bar = ((now.least + now.most) / 2e5).max(0.0);
                    saw.push(format!("{state}: {tap} {bar:.2} bar"));
                }
            }
        }
        let saw: Vec<&str> = saw.iter().map(String::as_str).collect();
        let mut question = question(&circuit, &saw);
        question.up_to = 1;
        let inquiry = Inquiry::new(&net, question);
        let everything_fine = inquiry.suspects().seen.iter().all(|s| !s.abnormal);
        let rank = inquiry.rank(std::slice::from_ref(fault));
        assert!(
            rank.is_some() || everything_fine,
            "{} by {saw:?}",
            circuit.say(fault)
        );
    }
}

/// Two faults at once are not ruled out by what they do together, by settling or by flow.
#[test]
fn no_two_faults_are_ruled_out_by_what_they_do() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let faults = circuit.faults();
    let states = ["four-wheel", "low"].map(str::to_owned);
    let glances = oilpath::answer::Glances::new(&net, &states, &Default::default()).unwrap();
    let at = [net.cavity(&circuit.taps["line-tap"].at).unwrap()];
    let mut dice = Dice::new(3);
    let mut asked = 0;
    for _ in 0..16 {
        let pair = [0, 1].map(|_| faults[dice.below(faults.len())].clone());
        if pair[0].part == pair[1].part {
            continue;
        }
        let by_settling = seen(&circuit, &net, &pair);
        let mut by_flow = Vec::new();
        for (number, state) in states.iter().enumerate() {
            let glance = glances.of(number, &pair, &at);
            if let Some([_, Some(now)]) = glance.map(|glance| glance.cavities[0]) {
                let bar = ((now.least + now.most) / 2e5).max(0.0);
                by_flow.push(format!("{state}: line-tap {bar:.2} bar"));
            }
        }
        for saw in [by_settling, by_flow] {
            let saw: Vec<&str> = saw.iter().map(String::as_str).collect();
            let mut question = question(&circuit, &saw);
            question.up_to = 1;
            let inquiry = Inquiry::new(&net, question);
            let said = pair.each_ref().map(|fault| circuit.say(fault));
            assert!(!inquiry.rules_out(&pair), "{said:?} by {saw:?}");
            asked += 1;
        }
    }
    assert!(asked > 20, "{asked}");
}

/// A sweep's sets in any order are what its records say.
#[test]
fn any_sets_of_faults_do_what_the_sweep_records() {
    let circuit = open("circuits/lessons/check-ball.toml");
    let net = net(&circuit);
    let sweeper = Sweeper::new(&net, Scenarios::alone(&circuit, |_| true), &[]);
    let records = sweeper.records(0..sweeper.scenarios().count());
    let sets: Vec<_> = circuit
        .faults()
        .into_iter()
        .map(|fault| vec![fault])
        .rev()
        .collect();
    let told = sweeper.of_sets(&sets);
    for (record, states) in records.iter().rev().zip(told) {
        let states: Vec<_> = states.into_iter().flatten().collect();
        assert_eq!(record.states, states, "{:?}", record.faults);
    }
}

#[test]
fn nothing_wrong_points_to_nothing() {
    let circuit = open("circuits/lessons/check-ball.toml");
    let net = net(&circuit);
    let suspects = inquire(&net, &["lift: fine", "lift: lift-tap normal"]).suspects();
    assert!(suspects.seen.iter().all(|seen| !seen.abnormal));
    assert!(
        suspects
            .suspects
            .iter()
            .all(|s| s.explains || !s.leaves_open.is_empty())
    );
}
