//! How far settling and flow agree, held against asking `starve` and `flows` one fault at a time, and
//! above a floor.

mod support;

use oilpath::answer::{Agreement, Differ, FlowsQuestion, Tally, Verdict, agreement, flows, starve};
use oilpath::circuit::{Circuit, Fault};
use support::{net, open};

fn ask(circuit: &Circuit, faults: &[Fault]) -> Agreement {
    let question = FlowsQuestion {
        assume: true,
        ..FlowsQuestion::default()
    };
    agreement(&net(circuit), faults, &[], &question).unwrap()
}

/// The slow way, for the three rows of settling; undecided, unmeasured and untouched left out.
fn slowly(circuit: &Circuit, faults: &[Fault]) -> Tally {
    let net = net(circuit);
    let question = FlowsQuestion {
        assume: true,
        ..FlowsQuestion::default()
    };
    let mut tally = Tally::default();
    for fault in faults {
        let fault = std::slice::from_ref(fault);
        let measured = flows(&net, fault, None, &question).unwrap();
        let settled = starve(&net, fault, None);
        for (measured, settled) in measured.states.iter().zip(&settled.states) {
            let solved = measured.faulty.as_ref().unwrap();
            let builds = settled.will_not_build.is_empty() && settled.cannot_draw.is_empty();
            let should = measured
                .outlets
                .iter()
                .filter(|o| o.should_apply || !o.by_pressure);
            for outlet in should {
                let (Some(share), Some(verdict)) = (outlet.share, outlet.settled) else {
                    continue;
                };
                if !solved.converged || !solved.dead_ended.is_empty() {
                    continue;
                }
                let row = match verdict {
                    Verdict::Starved => &mut tally.starved,
                    _ if !builds => &mut tally.unbuilt,
                    Verdict::Weakened => &mut tally.weakened,
                    Verdict::Kept | Verdict::Harsh => &mut tally.kept,
                    _ => continue,
                };
                match (share.most < 0.2, share.least > 0.8) {
                    (true, _) => row.lost += 1,
                    (_, true) => row.kept += 1,
                    _ => row.between += 1,
                }
            }
        }
    }
    tally
}

#[test]
fn it_counts_what_asking_one_by_one_does() {
    for (file, step) in [
        ("circuits/transfer-box.toml", 7),
        ("circuits/lessons/regulator.toml", 1),
    ] {
        let circuit = open(file);
        let faults: Vec<Fault> = circuit.faults().into_iter().step_by(step).collect();
        let (quick, slow) = (ask(&circuit, &faults).whole, slowly(&circuit, &faults));
        assert_eq!(
            (quick.starved, quick.weakened, quick.kept, quick.unbuilt),
            (slow.starved, slow.weakened, slow.kept, slow.unbuilt),
            "{file}"
        );
    }
}

/// A floor under what was measured when this was written (in DEVELOPERS.md, with what the rest comes
/// from).
#[test]
fn the_depths_agree() {
    for (file, floor) in [
        ("circuits/transfer-box.toml", 0.99),
        ("circuits/lessons/check-ball.toml", 0.90),
        ("circuits/lessons/metered-feed.toml", 0.92),
        ("circuits/lessons/regulator.toml", 0.95),
        ("circuits/lessons/separator-plate.toml", 1.0),
        ("circuits/lessons/shuttle.toml", 1.0),
    ] {
        let circuit = open(file);
        let answer = ask(&circuit, &circuit.faults());
        let rate = answer.whole.rate().unwrap();
        assert!(rate >= floor, "{file}: {rate}");
        let causes: usize = answer.causes.iter().map(|c| c.count).sum();
        let found = answer.contradictions.len();
        assert_eq!(
            (causes, answer.whole.contradicted()),
            (found, found),
            "{file}"
        );
        let known = answer.causes.iter().all(|c| c.cause != Differ::Unexplained);
        assert!(known, "{file}: {:?}", answer.causes);
    }
}

/// Nothing leaves the converter and the cooler once the hole behind them is plugged: both depths say
/// so. A pump that makes little is weak at both. Where the lube regulator sticks shut in the loader, as
/// much presses from behind the converter as from before, and settling knows no amounts: the
/// contradiction that comes from that is named so.
#[test]
fn a_contradiction_names_what_it_comes_from() {
    let of = |file: &str, fault: &str| {
        let circuit = open(file);
        let fault = circuit.fault(fault).unwrap();
        let told = ask(&circuit, &[fault]).contradictions.into_iter();
        let told = told.map(|c| (c.outlet.id, c.settled, c.cause));
        told.collect::<Vec<_>>()
    };
    let lesson = "circuits/lessons/regulator.toml";
    assert_eq!(of(lesson, "back-hole:plugged"), []);
    assert_eq!(of(lesson, "pump:oil-low"), []);
    let loader = of(
        "circuits/published/loader-control-valve.toml",
        "lube-regulator:stuck-shut",
    );
    for stopped in ["converter", "oil-cooler"] {
        let stopped = (stopped.to_owned(), Verdict::Kept, Differ::Amounts);
        assert_eq!(loader.iter().filter(|c| **c == stopped).count(), 5);
    }
}
