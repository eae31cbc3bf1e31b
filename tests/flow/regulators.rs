//! Regulators between cavities whose pressures are all sought.

use oilpath::flow::law::{
    Bleed, Boost, OneWay, Opening, Orifice, Reducing, SEATED_LEAK, Stand, TwoTerm,
};
use oilpath::flow::{Flows, Network, Node, Way};

use crate::bench::{fluid, orifice, pa};

fn hole(bore: f64) -> Orifice {
    orifice(bore, 1e-3, 0.65, fluid(830.0, 0.01))
}

fn solved(network: &Network) -> Flows {
    let flows = network.solve();
    assert!(flows.converged, "{flows:?}");
    flows
}

/// A pumped line held at 8 bar that spills first to the converter, then to the lube, then to the
/// sump.
struct Held {
    network: Network,
    sump: Node,
    line: Node,
    converter: Node,
    lube: Node,
    spills: Vec<Way>,
}

fn held(pumped: f64, boosts: &[(f64, Boost)]) -> Held {
    let mut network = Network::default();
    let (sump, line) = (network.fixed(0.0), network.free(pumped));
    let [converter, lube] = [(); 2].map(|()| network.free(0.0));
    network.way(converter, sump, hole(2e-3));
    network.way(lube, sump, hole(2.5e-3));
    let opening = Opening::new(pa(8e5), pa(0.6e5)).unwrap();
    let edges = Bleed::in_order(opening, &[hole(5e-3); 3], SEATED_LEAK).unwrap();
    let boosts: Vec<_> = (boosts.iter())
        .map(|(pressure, boost)| (network.fixed(*pressure), *boost))
        .collect();
    let targets = [converter, lube, sump];
    let spills = edges.into_iter().zip(targets);
    let spills = spills.map(|(edge, to)| network.regulator(line, to, edge, &boosts));
    let spills = spills.collect();
    Held {
        network,
        sump,
        line,
        converter,
        lube,
        spills,
    }
}

/// What a worn block takes from the line, the last in line loses first.
#[test]
fn the_last_in_line_is_robbed_first() {
    let stands = |flows: &Flows, held: &Held| -> Vec<Stand> {
        let stands = held.spills.iter().map(|way| flows.stand(*way));
        stands.map(|stand| stand.expect("it moves")).collect()
    };
    use Stand::{Shut, WideOpen, Working};
    for (leak, expected) in [
        (None, [WideOpen, WideOpen, Working]),
        (Some(2.2e-3), [WideOpen, Working, Shut]),
        (Some(3e-3), [Working, Shut, Shut]),
        (Some(6e-3), [Shut, Shut, Shut]),
    ] {
        let mut held = held(2.6e-4, &[]);
        if let Some(bore) = leak {
            held.network.way(held.line, held.sump, hole(bore));
        }
        let flows = solved(&held.network);
        assert_eq!(stands(&flows, &held), expected, "{leak:?}: {flows:?}");
        let pressure = |node| flows.pressure(node).unwrap();
        let works = expected != [Shut; 3];
        assert_eq!(works, (8e5..8.6e5).contains(&pressure(held.line)));
        assert_eq!(expected[1] == Shut, pressure(held.lube) < 1e3);
        assert_eq!(expected[0] == Shut, pressure(held.converter) < 1e3);
    }
}

#[test]
fn boost_raises_the_line_by_what_it_says() {
    let line = |boosts: &[(f64, Boost)]| {
        let held = held(6e-4, boosts);
        solved(&held.network).pressure(held.line).unwrap()
    };
    let plain = line(&[]);
    let reverse = Boost::when_up(pa(4e5), pa(6e5)).unwrap();
    let pilot = Boost::pilot(0.5).unwrap();
    // More pressure drives more through the same edges, so they open a little less.
    let near = |got: f64, rise: f64| assert!((-0.2e5..=0.0).contains(&(got - plain - rise)));
    near(line(&[(0.0, reverse)]), 0.0);
    near(line(&[(9e5, reverse)]), 4e5);
    near(line(&[(2e5, pilot)]), 1e5);
    near(line(&[(9e5, reverse), (2e5, pilot)]), 5e5);
}

/// A boost cavity that the line itself feeds: the two are found together.
#[test]
fn boost_comes_from_a_cavity_that_is_sought() {
    let line = |feed: f64| {
        let mut network = Network::default();
        let (sump, line) = (network.fixed(0.0), network.free(4e-4));
        let reverse = network.free(0.0);
        network.way(line, reverse, hole(feed));
        network.way(reverse, sump, hole(1e-3));
        let opening = Opening::new(pa(8e5), pa(0.4e5)).unwrap();
        let main = Bleed::new(opening, hole(6e-3), SEATED_LEAK).unwrap();
        let boost = [(reverse, Boost::when_up(pa(4e5), pa(6e5)).unwrap())];
        network.regulator(line, sump, main, &boost);
        let flows = solved(&network);
        [line, reverse].map(|node| flows.pressure(node).unwrap())
    };
    let [with, reverse] = line(3e-3);
    assert!((12e5..12.4e5).contains(&with) && reverse > 6e5);
    let [without, reverse] = line(0.3e-3);
    assert!((8e5..8.4e5).contains(&without) && reverse < 0.5e5);
}

/// Fed from a sought line into a sought cavity: held, then starved, then overrun.
#[test]
fn a_reducing_regulator_holds_what_it_feeds() {
    let held = |line: f64, load: f64| {
        let mut network = Network::default();
        let (sump, pump) = (network.fixed(0.0), network.fixed(line));
        let [feed, held] = [(); 2].map(|()| network.free(0.0));
        network.way(pump, feed, hole(5e-3));
        let opening = Opening::new(pa(5e5), pa(0.25e5)).unwrap();
        let law = Reducing::new(opening, hole(4e-3), SEATED_LEAK).unwrap();
        let way = network.regulator(feed, held, law, &[]);
        network.way(held, sump, hole(load));
        let flows = solved(&network);
        (flows.pressure(held).unwrap(), flows.stand(way).unwrap())
    };
    let (pressure, stand) = held(9e5, 1e-3);
    assert!((4.75e5..5e5).contains(&pressure) && stand == Stand::Working);
    let (pressure, stand) = held(3e5, 1e-3);
    assert!((2.9e5..3e5).contains(&pressure) && stand == Stand::WideOpen);
    let (pressure, stand) = held(9e5, 5e-3);
    assert!(pressure < 4.75e5 && stand == Stand::WideOpen);
}

/// What is trapped has no pressure to boost with, and spoils no answer.
#[test]
fn a_trapped_cavity_boosts_nothing() {
    let mut network = Network::default();
    let (sump, line, shut_off) = (network.fixed(0.0), network.free(4e-4), network.free(0.0));
    let opening = Opening::new(pa(8e5), pa(0.4e5)).unwrap();
    let main = Bleed::new(opening, hole(6e-3), SEATED_LEAK).unwrap();
    let boost = Boost::pilot(1.0).unwrap();
    network.regulator(line, sump, main, &[(shut_off, boost)]);
    let flows = solved(&network);
    assert_eq!(flows.pressure(shut_off), None);
    assert!((8e5..8.4e5).contains(&flows.pressure(line).unwrap()));
}

#[test]
fn an_answer_near_by_saves_steps() {
    let (one, mut other) = (held(2.6e-4, &[]), held(2.6e-4, &[]));
    let near = solved(&one.network);
    other.network.way(other.line, other.sump, hole(0.5e-3));
    let far = solved(&other.network);
    let again = other
        .network
        .solve_from(|node| near.pressure(node).unwrap());
    assert!(again.converged && again.steps < far.steps);
    let [a, b] = [&far, &again].map(|flows| flows.pressure(other.line).unwrap());
    assert!((a - b).abs() < 1e-3);
}

#[test]
fn balls_say_whether_they_are_lifted_and_holes_what_is_unsure() {
    let mut network = Network::default();
    let (line, sump) = (network.fixed(3e5), network.fixed(0.0));
    let ball = OneWay::new(hole(3e-3), pa(2e5), SEATED_LEAK).unwrap();
    let [with, against] = [(line, sump), (sump, line)].map(|(a, b)| network.way(a, b, ball));
    let plain = network.way(line, sump, hole(3e-3));
    let flows = solved(&network);
    let stands = [with, against, plain].map(|way| flows.stand(way));
    assert_eq!(stands, [Some(Stand::Lifted), Some(Stand::Shut), None]);
    // A hole in which viscosity and inertia take like shares of the drop.
    let TwoTerm { viscous, inertial } = hole(0.4e-3).terms();
    let alike = network.fixed(viscous * viscous / inertial);
    let blended = network.way(alike, sump, hole(0.4e-3));
    let flows = solved(&network);
    assert_eq!(network.doubts(blended, &flows).len(), 1);
    assert!(network.doubts(plain, &flows).is_empty());
}
