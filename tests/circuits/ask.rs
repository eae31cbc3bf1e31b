//! Asking a circuit that comes with the project.

use std::path::{Path, PathBuf};

use oilpath::answer::{Starve, Verdict, starve};
use oilpath::circuit::{Circuit, Fault};
use oilpath::net::{Net, Stage};
use oilpath::settle::{Course, Point, Status, settle, settle_from};
use oilpath::sheet;

use crate::support::files::circuit_files;
use crate::support::net;

pub fn circuit(path: impl AsRef<Path>) -> Circuit {
    match sheet::open(path.as_ref()) {
        Ok(sheet) => sheet.circuit,
        Err(refusal) => panic!("{refusal}"),
    }
}

/// What some faults do to the circuit of that name.
pub fn ask(name: &str, faults: &[&str]) -> Starve {
    let circuit = circuit(format!("circuits/{name}.toml"));
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    starve(&net(&circuit), &faults, None)
}

/// Everything that is wrong in a state: outlets, and sources that will not build.
pub fn wrong<'s>(answer: &'s Starve, state: &str) -> Vec<(&'s str, Option<Verdict>)> {
    let state = answer
        .states
        .iter()
        .find(|s| s.state.as_deref() == Some(state));
    let state = state.unwrap();
    let sources = state.will_not_build.iter().chain(&state.cannot_draw);
    let sources = sources.map(|s| (s.id.as_str(), None));
    let outlets = state.outlets.iter().filter(|o| o.verdict.is_bad());
    sources
        .chain(outlets.map(|o| (o.outlet.id.as_str(), Some(o.verdict))))
        .collect()
}

pub fn starved(id: &str) -> (&str, Option<Verdict>) {
    (id, Some(Verdict::Starved))
}

pub fn on_when_off(id: &str) -> (&str, Option<Verdict>) {
    (id, Some(Verdict::OnWhenOff))
}

/// Every circuit file, the included ones too.
pub fn files() -> Vec<PathBuf> {
    circuit_files("circuits")
}

pub fn late(id: &str) -> (&str, Option<Verdict>) {
    (id, Some(Verdict::Late))
}

/// All that is wrong in each state, in words: sources that will not build, then outlets by verdict.
fn says(answer: &Starve, state: &str) -> String {
    let words = wrong(answer, state)
        .into_iter()
        .map(|(id, verdict)| match verdict {
            None => format!("{id} will not build"),
            Some(Verdict::Starved) => format!("{id} starved"),
            Some(Verdict::OnWhenOff) => format!("{id} on"),
            Some(Verdict::Weakened) => format!("{id} weakened"),
            Some(Verdict::Late) => format!("{id} late"),
            Some(Verdict::Harsh) => format!("{id} harsh"),
            Some(_) => format!("{id} undecided"),
        });
    words.collect::<Vec<_>>().join(", ")
}

/// Asserts what is wrong in each state listed, and that nothing is in the others. All states that
/// differ are shown at once.
pub fn expect(answer: &Starve, listed: &[(&[&str], &str)]) {
    let all: Vec<&str> = answer
        .states
        .iter()
        .flat_map(|s| s.state.as_deref())
        .collect();
    for state in listed.iter().flat_map(|(states, _)| *states) {
        assert!(all.contains(state), "no state {state}");
    }
    let mut differ = Vec::new();
    for state in all {
        let expected = listed.iter().find(|(states, _)| states.contains(&state));
        let expected = expected.map_or("", |(_, words)| *words);
        let got = says(answer, state);
        if got != expected {
            differ.push(format!("{state}: expected [{expected}], got [{got}]"));
        }
    }
    assert!(
        differ.is_empty(),
        "{:?}\n{}",
        answer.faults,
        differ.join("\n")
    );
}

/// The pressure outlets that are on, by id. None may be in doubt.
pub fn on(net: &Net<'_>, point: &Point) -> Vec<String> {
    let mut on = Vec::new();
    for outlet in net.outlets().iter().filter(|o| o.by_pressure) {
        match point.pressures.status(outlet.user, true) {
            Status::On => on.push(outlet.name.id.clone()),
            Status::Off => {}
            Status::Unsure => panic!("{} in doubt", outlet.name),
        }
    }
    on.sort();
    on
}

/// Goes on to a state from where another left things.
pub fn walk(net: &Net<'_>, from: &Point, to: &str, faults: &[Fault]) -> Point {
    let stage = Stage::new(net, &net.circuit().states[to], faults);
    let settled = settle_from(&stage, from);
    assert_eq!(settled.course, Course::Steady, "to {to}");
    settled.ends[0].clone()
}

/// Where a state settles from cold.
pub fn cold(net: &Net<'_>, state: &str, faults: &[Fault]) -> Point {
    let settled = settle(&Stage::new(net, &net.circuit().states[state], faults));
    settled.ends[0].clone()
}

/// The six-speed: its states, and those in which a brake holds.
pub mod bus {
    pub const BUS: &str = "six-speed-bus";
    pub const ALL: [&str; 22] = [
        "park",
        "reverse",
        "neutral",
        "neutral-cold",
        "first",
        "second",
        "third",
        "fourth",
        "fifth",
        "sixth",
        "third-locked",
        "fourth-locked",
        "fifth-locked",
        "sixth-locked",
        "low-first",
        "low-second",
        "plug-pulled-park",
        "plug-pulled-reverse",
        "plug-pulled-neutral",
        "plug-pulled-drive",
        "plug-pulled-running",
        "plug-pulled-low",
    ];
    pub const BRAKE_E: [&str; 4] = ["first", "low-first", "reverse", "plug-pulled-reverse"];
    pub const BRAKE_D: [&str; 8] = [
        "second",
        "third",
        "third-locked",
        "sixth",
        "sixth-locked",
        "low-second",
        "plug-pulled-drive",
        "plug-pulled-low",
    ];

    /// One fault, and what is wrong in the states listed; in all others nothing is.
    pub fn fault(fault: &str, listed: &[(&[&str], &str)]) {
        super::expect(&super::ask(BUS, &[fault]), listed);
    }
}
