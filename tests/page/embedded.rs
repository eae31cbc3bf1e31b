//! What a page carries is what a sweep says.

use oilpath::answer::{Scenarios, SweepState, Sweeper};
use oilpath::circuit::{Circuit, PartName};
use oilpath::net::Net;
use oilpath::{draw, sheet};
use scraper::{Html, Selector};
use serde_json::Value;

use super::page_of;

/// The data of a page.
pub fn embedded(page: &str) -> Value {
    let html = Html::parse_document(page);
    let script = html.select(&Selector::parse("script#data").unwrap()).next();
    let text: String = script.unwrap().text().collect();
    serde_json::from_str(&text).unwrap()
}

fn number(value: &Value) -> usize {
    value.as_u64().unwrap() as usize
}

/// Some letters after changes, as the script makes them.
fn repainted(letters: &Value, changes: &Value) -> String {
    let mut letters: Vec<char> = letters.as_str().unwrap().chars().collect();
    let (mut place, mut passed) = (0, 0);
    for one in changes.as_str().unwrap().chars() {
        match one.to_digit(36).filter(|_| !one.is_ascii_uppercase()) {
            Some(digit) => passed = 36 * passed + digit as usize,
            None => {
                place += passed;
                letters[place] = one;
                (place, passed) = (place + 1, 0);
            }
        }
    }
    letters.into_iter().collect()
}

/// A gauge at what stands too high says so: nothing is above full.
#[test]
fn a_gauge_that_shows_too_much_says_so() {
    let page = page_of("circuits/transfer-box.toml");
    assert!(page.contains("high instead of full"));
    assert!(!page.contains(": full instead of full"));
}

/// What each fault makes of the drawing is what is laid over it for a drawing of its own.
#[test]
fn a_fault_repaints_the_drawing_as_it_would_be_drawn() {
    let file = "circuits/transfer-box.toml";
    let circuit = sheet::open(file).unwrap().circuit;
    let net = Net::new(&circuit).unwrap();
    let data = embedded(&page_of(file));
    let picture = draw::picture(&net, &draw::View::default()).unwrap();
    let layer = draw::Layer::of(&net, &picture);
    let mut repaints = 0;
    for fault in data["faults"].as_array().unwrap() {
        let faults = [circuit.fault(fault["typed"].as_str().unwrap()).unwrap()];
        for numbers in fault["effects"].as_array().unwrap() {
            let [state, _, repaint] = [0, 1, 2].map(|i| number(&numbers[i]));
            let id = data["states"][state][0].as_str();
            let laid = layer.lay(id, &faults);
            let roles: String = laid
                .roles
                .iter()
                .map(|r| r.map_or(' ', |r| r.letter()))
                .collect();
            let (sound, changes) = (&data["overlays"][state], &data["repaints"][repaint]);
            assert_eq!(
                repainted(&sound["roles"], &changes["roles"]),
                roles,
                "{fault}"
            );
            let pipes = laid.pipes.iter().map(|p| p.word()[..1].to_uppercase());
            let pipes: String = pipes.collect();
            assert_eq!(
                repainted(&sound["pipes"], &changes["pipes"]),
                pipes,
                "{fault}"
            );
            repaints += usize::from(changes["roles"] != "");
        }
    }
    assert!(repaints > 0);
}

/// The verdicts of an effect as `verdict part`, sorted.
fn told(data: &Value, effect: &Value) -> Vec<String> {
    let verdicts = [
        "starved",
        "on-when-off",
        "weakened",
        "late",
        "harsh",
        "undecided",
    ];
    let outlets = effect[2].as_array().unwrap().iter();
    let told = outlets.map(|one| {
        let part = &data["parts"][number(&one[1])]["name"];
        format!("{} {}", verdicts[number(&one[0])], part.as_str().unwrap())
    });
    let mut told: Vec<String> = told.collect();
    told.sort();
    told
}

fn said(state: &SweepState) -> Vec<String> {
    let undecided: Vec<PartName> = state.undecided.iter().map(|u| u.outlet.clone()).collect();
    let lists = [
        ("starved", &state.starved),
        ("on-when-off", &state.on_when_off),
        ("weakened", &state.weakened),
        ("late", &state.late),
        ("harsh", &state.harsh),
        ("undecided", &undecided),
    ];
    let each = lists.into_iter();
    let each = each.flat_map(|(word, parts)| parts.iter().map(move |p| format!("{word} {p}")));
    let mut said: Vec<String> = each.collect();
    said.sort();
    said
}

fn holds(file: &str) {
    let circuit: Circuit = sheet::open(file).unwrap().circuit;
    let data = embedded(&page_of(file));
    let net = Net::new(&circuit).unwrap();
    let sweeper = Sweeper::new(&net, Scenarios::alone(&circuit, |_| true), &[]);
    let records = sweeper.records(0..sweeper.scenarios().count());
    let faults = data["faults"].as_array().unwrap();
    assert_eq!(faults.len(), records.len());
    assert!(records.iter().any(|r| !r.states.is_empty()));
    for (fault, record) in faults.iter().zip(&records) {
        assert_eq!(fault["typed"], record.faults[0].as_str());
        let effects = fault["effects"].as_array().unwrap();
        assert_eq!(effects.len(), record.states.len(), "{file}: {fault}");
        for (pair, state) in effects.iter().zip(&record.states) {
            let id = data["states"][number(&pair[0])][0].as_str().unwrap();
            assert_eq!(id, state.state.as_deref().unwrap_or_default());
            let effect = &data["effects"][number(&pair[1])];
            assert_eq!(told(&data, effect), said(state), "{file}: {fault} in {id}");
            let count = |i: usize| effect[i].as_array().unwrap().len();
            let supply = state.will_not_build.len() + state.cannot_draw.len();
            assert_eq!(count(1), supply + state.complaints.len());
            assert_eq!(count(3), state.seen.len());
            for outlet in effect[2].as_array().unwrap() {
                assert!(outlet[2].is_u64(), "{file}: {fault} in {id}: no reason");
            }
        }
    }
    // Every fault can be reached by a part that has it.
    let parts = data["parts"].as_array().unwrap().iter();
    let listed = parts.flat_map(|part| part["faults"].as_array().unwrap().iter().map(number));
    let listed: std::collections::BTreeSet<usize> = listed.collect();
    assert_eq!(listed, (0..records.len()).collect());
    // Every state lies over every item and pipe of the drawing.
    let overlays = data["overlays"].as_array().unwrap();
    assert_eq!(overlays.len(), data["states"].as_array().unwrap().len());
    for overlay in overlays {
        let text = |key: &str| overlay[key].as_str().unwrap();
        assert!(!text("items").contains(' '), "{file}: {overlay}");
        assert!(!text("pipes").contains(' '), "{file}: {overlay}");
    }
}

#[test]
fn a_page_carries_what_the_sweep_says_of_the_transfer_box() {
    holds("circuits/transfer-box.toml");
}

#[test]
fn a_page_carries_what_the_sweep_says_of_the_tractor() {
    holds("circuits/tractor-powershift.toml");
}

#[test]
fn a_page_of_a_circuit_without_states_has_one_nameless() {
    holds("circuits/lessons/check-ball.toml");
}

/// The reason of each outlet is the one that `starve` gives.
#[test]
fn reasons_are_those_of_starve() {
    let circuit = sheet::open("circuits/transfer-box.toml").unwrap().circuit;
    let net = Net::new(&circuit).unwrap();
    let scenarios = Scenarios::alone(&circuit, |_| true);
    let faults = scenarios.faults().to_vec();
    let sweeper = Sweeper::new(&net, scenarios, &[]).explaining();
    let mut compared = 0;
    for (fault, record) in faults.iter().zip(sweeper.records(0..faults.len())) {
        let answer = oilpath::answer::starve(&net, std::slice::from_ref(fault), None);
        for state in &record.states {
            let same = answer
                .states
                .iter()
                .find(|s| s.state == state.state)
                .unwrap();
            for why in &state.why {
                let verdict = same
                    .outlets
                    .iter()
                    .find(|o| o.outlet == why.outlet)
                    .unwrap();
                assert_eq!(
                    verdict.reason.as_ref(),
                    Some(&why.reason),
                    "{:?}",
                    record.faults
                );
                compared += 1;
            }
        }
    }
    assert!(compared > 100, "{compared}");
}
