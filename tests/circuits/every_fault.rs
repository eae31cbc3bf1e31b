//! Every single fault of every circuit in every state: nothing panics, and what cannot be decided
//! says why.

use oilpath::answer::{OutletVerdict, Reason, Verdict, starve};

use crate::ask::{circuit, files};
use crate::support::net;

/// Whether a reason names what keeps an outlet from being decided.
fn names_a_cause(outlet: &OutletVerdict) -> bool {
    match &outlet.reason {
        Some(Reason::Contested { through, .. }) => !through.is_empty(),
        Some(Reason::Depends { on }) => !on.is_empty(),
        Some(Reason::Unknown { cavity }) => !cavity.is_empty(),
        _ => false,
    }
}

#[test]
fn what_is_undecided_names_a_cause() {
    let mut nameless = Vec::new();
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        let (mut asked, mut undecided) = (0, 0);
        let faults = circuit.faults();
        for fault in &faults {
            let answer = starve(&net, std::slice::from_ref(fault), None);
            for state in &answer.states {
                asked += state.outlets.len();
                let outlets = state.outlets.iter();
                for outlet in outlets.filter(|o| o.verdict == Verdict::Undecided) {
                    undecided += 1;
                    if !names_a_cause(outlet) {
                        nameless.push(format!(
                            "{} {} in {:?}: {} {:?}, course {:?}",
                            file.display(),
                            answer.faults[0],
                            state.state,
                            outlet.outlet,
                            outlet.reason,
                            state.course,
                        ));
                    }
                }
            }
        }
        assert!(asked > 0, "{}", file.display());
        println!(
            "{}: {} faults, {asked} verdicts, {undecided} undecided, {:.2} %",
            file.display(),
            faults.len(),
            100.0 * f64::from(undecided) / asked as f64,
        );
    }
    assert!(
        nameless.is_empty(),
        "{} without a cause:\n{}",
        nameless.len(),
        nameless.join("\n")
    );
}
