//! Every fault in every state: the library against `starve`, the command as a process.

mod growing;
mod resumed;
mod written;

#[path = "../support/files.rs"]
mod files;

use std::path::Path;

use assert_cmd::Command;
use files::circuit_files;
use oilpath::answer::{
    self, Reason, Scenarios, Severity, StarveState, SweepRecord, Sweeper, Verdict,
};
use oilpath::circuit::{Circuit, Kind, PartName};
use oilpath::net::Net;
use oilpath::sheet;

const LESSON: &str = "circuits/lessons/check-ball.toml";
const TRANSFER_BOX: &str = "circuits/transfer-box.toml";
const TRACTOR: &str = "circuits/tractor-powershift.toml";
/// The formats that are written line by line.
const LINES: [&str; 2] = ["csv", "json-lines"];

fn circuit(file: &str) -> Circuit {
    sheet::open(Path::new(file)).unwrap().circuit
}

fn sweeper<'n>(net: &'n Net<'n>, pairs: bool) -> Sweeper<'n> {
    let alone = Scenarios::alone(net.circuit(), |_| true);
    Sweeper::new(net, if pairs { alone.pairs() } else { alone }, &[])
}

fn all(sweeper: &Sweeper<'_>) -> Vec<SweepRecord> {
    sweeper.records(0..sweeper.scenarios().count())
}

fn run(arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("oilpath").unwrap();
    command.arg("sweep").args(arguments);
    command
}

fn printed(arguments: &[&str]) -> String {
    let output = run(arguments).assert().code(0).get_output().clone();
    String::from_utf8(output.stdout).unwrap()
}

// The scenarios.

#[test]
fn every_fault_is_tried_once_and_every_pair_of_two_parts() {
    for file in [LESSON, TRANSFER_BOX] {
        let circuit = circuit(file);
        let faults = circuit.faults();
        let alone = Scenarios::alone(&circuit, |_| true);
        let tried: Vec<_> = (0..alone.count()).flat_map(|n| alone.get(n)).collect();
        assert_eq!(tried, faults);
        let mut expected = Vec::new();
        for (i, first) in faults.iter().enumerate() {
            let later = faults[i + 1..].iter().filter(|f| f.part != first.part);
            expected.extend(later.map(|second| vec![first.clone(), second.clone()]));
        }
        let pairs = alone.pairs();
        assert_eq!(pairs.count(), expected.len());
        for (number, pair) in expected.into_iter().enumerate() {
            assert_eq!(pairs.get(number), pair, "{number}");
        }
        assert_eq!(pairs.get(pairs.count()), []);
    }
}

#[test]
fn slices_follow_each_other_and_leave_nothing_out() {
    let circuit = circuit(LESSON);
    let scenarios = Scenarios::alone(&circuit, |_| true);
    for n in 1..=scenarios.count() + 3 {
        let slices: Vec<_> = (1..=n).map(|k| scenarios.slice(k, n)).collect();
        let numbers: Vec<usize> = slices.iter().cloned().flatten().collect();
        assert_eq!(numbers, (0..scenarios.count()).collect::<Vec<_>>(), "{n}");
        let lengths = slices.iter().map(ExactSizeIterator::len);
        assert!(lengths.clone().max().unwrap() - lengths.min().unwrap() <= 1);
    }
}

// What a record says.

/// The slow, obvious rival: each scenario asked alone, state by state.
fn agrees(record: &SweepRecord, net: &Net<'_>, scenarios: &Scenarios) {
    let alone = answer::starve(net, &scenarios.get(record.number), None);
    assert_eq!(record.faults, alone.faults);
    assert_eq!(record.severity, Severity::of(net, &alone));
    for state in &alone.states {
        let with = |verdict: Verdict| -> Vec<PartName> {
            let some = state.outlets.iter().filter(|o| o.verdict == verdict);
            some.map(|o| o.outlet.clone()).collect()
        };
        let Some(found) = record.states.iter().find(|s| s.state == state.state) else {
            assert_eq!(Severity::in_state(state), Severity::Nothing);
            assert!(!state.outlets.iter().any(|o| o.verdict.is_bad()));
            continue;
        };
        assert_eq!(found.severity, Severity::in_state(state));
        let StarveState {
            will_not_build,
            cannot_draw,
            course,
            unsettled,
            complaints,
            ..
        } = state;
        assert_eq!(&found.will_not_build, will_not_build);
        assert_eq!(&found.cannot_draw, cannot_draw);
        assert_eq!(&found.course, course);
        assert_eq!(&found.unsettled, unsettled);
        assert_eq!(&found.complaints, complaints);
        assert_eq!(found.starved, with(Verdict::Starved));
        assert_eq!(found.weakened, with(Verdict::Weakened));
        assert_eq!(found.on_when_off, with(Verdict::OnWhenOff));
        assert_eq!(found.late, with(Verdict::Late));
        assert_eq!(found.harsh, with(Verdict::Harsh));
        let undecided = found.undecided.iter().map(|u| u.outlet.clone());
        assert_eq!(undecided.collect::<Vec<_>>(), with(Verdict::Undecided));
    }
}

#[test]
fn every_record_is_what_starve_answers_alone() {
    for (file, pairs) in [(LESSON, false), (LESSON, true), (TRANSFER_BOX, false)] {
        let circuit = circuit(file);
        let net = Net::new(&circuit).unwrap();
        let sweeper = sweeper(&net, pairs);
        let records = all(&sweeper);
        assert_eq!(records.len(), sweeper.scenarios().count());
        for (number, record) in records.iter().enumerate() {
            assert_eq!(record.number, number);
            agrees(record, &net, sweeper.scenarios());
        }
    }
}

#[test]
fn a_pair_says_what_each_of_its_faults_does_alone() {
    let circuit = circuit(LESSON);
    let net = Net::new(&circuit).unwrap();
    let single = all(&sweeper(&net, false));
    for pair in all(&sweeper(&net, true)) {
        let alone = pair.faults.iter().map(|fault| {
            let found = single.iter().find(|record| record.faults[0] == *fault);
            found.unwrap().severity
        });
        assert_eq!(pair.alone, alone.collect::<Vec<_>>());
        assert_eq!(pair.adds(), pair.alone.iter().all(|a| pair.severity < *a));
    }
}

/// Of each kind of part at most this many faults of a large circuit, spread over all of them.
const OF_A_KIND: usize = 6;

/// In every demo circuit, an outlet that is left open says what it hangs on: valves and balls, or
/// a cavity.
#[test]
fn what_is_undecided_has_a_named_cause() {
    let mut open = 0;
    for file in circuit_files("circuits") {
        let circuit = circuit(file.to_str().unwrap());
        let net = Net::new(&circuit).unwrap();
        let mut chosen = Vec::new();
        for kind in Kind::ALL {
            let faults = circuit.faults();
            let here: Vec<_> = faults.iter().filter(|f| f.part.kind == *kind).collect();
            let step = here.len().div_ceil(OF_A_KIND).max(1);
            chosen.extend(here.into_iter().step_by(step).map(|f| circuit.say(f)));
        }
        let scenarios = Scenarios::alone(&circuit, |_| true);
        let sweeper = Sweeper::new(&net, scenarios, &[]);
        let faults = sweeper.scenarios().faults().iter();
        let wanted = faults.map(|f| chosen.contains(&circuit.say(f)));
        let numbers = wanted.enumerate().filter(|(_, w)| *w).map(|(n, _)| n);
        for record in numbers.flat_map(|n| sweeper.records(n..n + 1)) {
            for (state, outlet) in record
                .states
                .iter()
                .flat_map(|s| s.undecided.iter().map(move |u| (s, u)))
            {
                let what = format!("{file:?} {:?} {:?} {outlet:?}", record.faults, state.state);
                let why = outlet.why.as_ref().expect(&what);
                open += 1;
                if let Reason::Depends { on } = why {
                    assert!(!on.is_empty(), "{what}");
                    assert!(on.iter().all(|p| state.unsettled.contains(p)), "{what}");
                    continue;
                }
                let why = serde_json::to_value(why).unwrap();
                let cavity = why["cavity"].as_str().expect(&what);
                assert!(net.cavity(cavity).is_some(), "{what}");
            }
        }
    }
    assert!(open > 50, "{open}");
}

/// By hand: the fill hole of the lesson is the lift clutch's only way in, the tap sits behind it
/// and has no pressure left. The cracked line is held by the pump alone, which it overloads: a
/// gauge there says so.
#[test]
fn a_gauge_shows_what_it_sits_on() {
    let circuit = circuit(LESSON);
    let net = Net::new(&circuit).unwrap();
    let records = all(&sweeper(&net, false));
    let of = |fault: &str| records.iter().find(|r| r.faults[0] == fault).unwrap();
    let plugged = of("fill:plugged");
    assert!(plugged.is_seen() && plugged.costs_a_gear());
    let seen = &plugged.states[0].seen;
    assert_eq!(plugged.states[0].state.as_deref(), Some("lift"));
    assert_eq!(seen[0].at, PartName::new(Kind::Tap, "lift-tap"));
    assert_eq!(
        (seen[0].sound.lowest.word(), seen[0].now.highest.word()),
        ("full", "off")
    );
    // A worn pump still makes some pressure: all that hangs on it is weaker, and the gauge says so.
    let worn = of("pump:worn");
    assert!(worn.severity == Severity::Slips && worn.is_seen());
    let seen = &worn.states[0].seen;
    assert_eq!(
        (seen[0].sound.lowest.word(), seen[0].now.highest.word()),
        ("full", "low")
    );

    let circuit = self::circuit(TRANSFER_BOX);
    let net = Net::new(&circuit).unwrap();
    let records = all(&sweeper(&net, false));
    let cracked = records.iter().find(|r| r.faults[0] == "line:cracked");
    let states = &cracked.unwrap().states;
    let line = PartName::new(Kind::Tap, "line-tap");
    assert_eq!(states.len(), circuit.states.len());
    assert!(
        states
            .iter()
            .all(|s| s.seen.iter().any(|r| r.at == line && r.is_sure()))
    );
}
