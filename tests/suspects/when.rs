//! Hot only, cold only: when something shows, held against the leak signatures.

use oilpath::circuit::Circuit;
use oilpath::net::Net;
use oilpath::suspect::{Inquiry, Suspects};

use super::question;
use super::support::{net, open};

fn asked(
    circuit: &Circuit,
    net: &Net<'_>,
    saw: &str,
    measure: bool,
) -> (Suspects, [Option<f64>; 2]) {
    let mut question = question(circuit, &[saw]);
    (question.up_to, question.measure) = (1, measure);
    let inquiry = Inquiry::new(net, question);
    let rank = |fault: &str| inquiry.rank(&[circuit.fault(fault).unwrap()]);
    let ranks = [rank("drive-ring-gap:worn"), rank("forward-fill:plugged")];
    (inquiry.suspects(), ranks)
}

/// The tractor's forward clutch takes its oil through a fill hole and a running gap of its shaft. A
/// plugged hole starves it hot and cold. A worn gap loses more the thinner the oil is: it starves it
/// hot alone (that leakage past a ring grows as oil thins: Merritt, Hydraulic Control Systems, 1967,
/// annular clearance). So a flare hot only turns their order round.
#[test]
fn hot_only_ranks_the_worn_ring_before_the_plugged_feed() {
    let circuit = open("circuits/tractor-powershift.toml");
    let net = net(&circuit);
    let (always, [ring, feed]) = asked(&circuit, &net, "forward-high: flare", true);
    assert!(feed.unwrap() < ring.unwrap(), "{feed:?} {ring:?}");
    assert!(!always.seen[0].narrows && always.suspects[0].shows_when.is_empty());
    let (hot, [ring, feed]) = asked(&circuit, &net, "forward-high: flare, hot only", true);
    assert!(ring.unwrap() < feed.unwrap(), "{ring:?} {feed:?}");
    assert!(hot.seen[0].narrows);
    // The reason is told.
    let first = &hot.suspects[0].shows_when[0];
    assert!(first.fits && first.outlets.iter().any(|outlet| outlet.fits(first.when)));
}

/// Without sizes it narrows nothing, and that is said.
#[test]
fn without_sizes_when_it_shows_narrows_nothing() {
    let circuit = open("circuits/published/two-speed-training.toml");
    let net = net(&circuit);
    let state = circuit.states.keys().next().unwrap();
    let ask = |text: &str| {
        let suspects = Inquiry::new(&net, question(&circuit, &[text])).suspects();
        let shares = suspects
            .suspects
            .iter()
            .map(|s| s.share)
            .collect::<Vec<_>>();
        (suspects.seen[0].narrows, shares)
    };
    let (narrows, hot) = ask(&format!("{state}: flare, hot only"));
    assert!(!narrows);
    assert_eq!(ask(&format!("{state}: flare")).1, hot);
}

/// What is weighed alone narrows nothing either, whatever sizes there are.
#[test]
fn weighing_alone_does_not_narrow() {
    let circuit = open("circuits/tractor-powershift.toml");
    let net = net(&circuit);
    let (told, _) = asked(&circuit, &net, "forward-high: flare, hot only", false);
    assert!(!told.seen[0].narrows);
}
