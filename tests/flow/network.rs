//! Networks: reference solutions, and what must hold of any.

use std::collections::BTreeMap;

use oilpath::flow::law::{
    Bleed, Film, Law, OneWay, Opening, Pump, Reducing, Relief, SEATED_LEAK, Shuttle, Stand,
    TanhOrifice,
};
use oilpath::flow::{Flows, Fluid, Network, Node, Way};
use oilpath::units::{Displacement, Flow, Speed};
use proptest::prelude::*;
use toml::Value;

use crate::bench::{annulus, fluid, hole, m, orifice, pa, passage, round, thick, thin};
use crate::reference::{Case, number};

/// The network a case spells out, solved and compared node by node and way by way.
pub fn compare(case: &Case) {
    let get = |table: &Value, key: &str| number(&table[key]).unwrap();
    let oil = &case.inputs["fluid"];
    let oil = fluid(get(oil, "rho_kg_m3"), get(oil, "mu_Pa_s"));
    let (mut network, mut nodes, mut ways) = (Network::default(), BTreeMap::new(), vec![]);
    for node in case.inputs["nodes"].as_array().unwrap() {
        let known = |key| node.get(key).and_then(number);
        let here = match known("p_fixed_Pa") {
            Some(pressure) => network.fixed(pressure),
            None => network.free(known("q_in_m3_s").unwrap_or(0.0)),
        };
        nodes.insert(node["id"].as_str().unwrap(), here);
    }
    for edge in case.inputs["edges"].as_array().unwrap() {
        let [id, from, to] = ["id", "from", "to"].map(|key| edge[key].as_str().unwrap());
        let way = add(&mut network, nodes[from], nodes[to], edge, oil);
        ways.push((id, way));
    }
    let flows = network.solve();
    assert!(flows.converged, "{}: {flows:?}", case.id);
    println!(
        "{}: {} steps, {:e} m³/s out",
        case.id, flows.steps, flows.imbalance
    );
    let near = |key: &str, id: &str, got: f64, abs_tol: &str| {
        let expected = get(&case.expected[key], id);
        let tol = get(case.whole, "rel_tol") * expected.abs() + get(case.whole, abs_tol);
        assert!(
            (got - expected).abs() <= tol,
            "{} {key} {id}: {got:e}",
            case.id
        );
    };
    for (id, node) in &nodes {
        near("p_Pa", id, flows.pressure(*node).unwrap(), "abs_tol_p_Pa");
    }
    for (id, way) in &ways {
        near("q_m3_s", id, flows.flow(*way), "abs_tol_q_m3_s");
    }
}

fn add(network: &mut Network, from: Node, to: Node, edge: &Value, oil: Fluid) -> Way {
    let get = |key: &str| number(&edge[key]).unwrap();
    let at = |key: &str| m(get(key));
    let thick = thick(oil.viscosity().pa_s());
    match edge["law"].as_str().unwrap() {
        "tube_laminar" => {
            let tube = passage(round(get("d_m")), get("L_m"), 0.0, 0.0, thick);
            network.way(from, to, tube)
        }
        "orifice_two_term" => {
            let law = orifice(get("d_m"), get("L_m"), get("cd_inf"), oil);
            network.way(from, to, law)
        }
        "orifice_tanh" => {
            let shape = hole(get("d_m"), 0.0, get("cd_inf"));
            let law = TanhOrifice::new(shape, get("lambda_crit"), oil).unwrap();
            network.way(from, to, law)
        }
        "gap_plane" => {
            let film = Film::land(at("w_m"), at("h_m"), at("L_m"), oil).unwrap();
            network.way(from, to, film)
        }
        "gap_radial" => {
            let [inner, outer] = ["ri_m", "ro_m"].map(|key| m(2.0 * get(key)));
            network.way(
                from,
                to,
                Film::radial(at("h_m"), inner, outer, oil).unwrap(),
            )
        }
        "annulus_thin" => {
            let [d, c, e, l] = ["d_m", "radial_clearance_m", "eccentricity", "L_m"].map(get);
            network.way(from, to, annulus(d, c, e, l, oil))
        }
        law => panic!("no law {law}"),
    }
}

/// Small networks with a closed answer; ideal orifices, which viscosity does not touch.
pub fn closed(case: &Case) -> Option<Vec<(&'static str, f64)>> {
    let input = |key: &str| case.input(key);
    let list = |key: &str| -> Vec<f64> {
        let list = case.inputs[key].as_array().unwrap();
        list.iter().map(|v| number(v).unwrap()).collect()
    };
    let ideal = |bore: f64| orifice(bore, 0.0, input("cd"), thin(input("rho_kg_m3")));
    // A film with this flow a pressure: 12 μL/(w h³) with w = L and μ = 1.
    let film = |conductance: f64| {
        let gap = (12.0 * conductance).cbrt();
        Film::land(m(1.0), m(gap), m(1.0), fluid(1.0, 1.0)).unwrap()
    };
    let mut network = Network::default();
    let sump = network.fixed(0.0);
    Some(match case.law {
        "orifices_series" => {
            let (supply, mid) = (network.fixed(input("p_supply_Pa")), network.free(0.0));
            let first = network.way(supply, mid, ideal(input("d1_m")));
            network.way(mid, sump, ideal(input("d2_m")));
            let flows = solved(&network);
            vec![
                ("q_m3_s", flows.flow(first)),
                ("p_mid_Pa", flows.pressure(mid).unwrap()),
            ]
        }
        "orifices_parallel" => {
            let supply = network.fixed(input("dp_Pa"));
            for bore in list("d_m") {
                network.way(supply, sump, ideal(bore));
            }
            vec![("q_m3_s", solved(&network).supply(supply))]
        }
        "pump_orifices" => {
            let (line, mid) = (network.free(input("q_pump_m3_s")), network.free(0.0));
            let bleed = network.way(line, sump, ideal(input("d_bleed_m")));
            let series = list("d_series_m");
            let first = network.way(line, mid, ideal(series[0]));
            network.way(mid, sump, ideal(series[1]));
            let flows = solved(&network);
            vec![
                ("p_line_Pa", flows.pressure(line).unwrap()),
                ("q_bleed_m3_s", flows.flow(bleed)),
                ("q_series_m3_s", flows.flow(first)),
            ]
        }
        "pump_relief_linear" => {
            let line = network.free(input("q_pump_m3_s"));
            let load = network.way(line, sump, ideal(input("d_load_m")));
            let at_a_bar = Flow::from_m3_per_s(input("override_m3_s_Pa") * 1e5);
            let relief = Relief::new(pa(input("p_set_Pa")), pa(1e5), at_a_bar, 0.0).unwrap();
            let relief = network.way(line, sump, relief);
            let flows = solved(&network);
            vec![
                ("p_line_Pa", flows.pressure(line).unwrap()),
                ("q_load_m3_s", flows.flow(load)),
                ("q_relief_m3_s", flows.flow(relief)),
            ]
        }
        // Valves without band: ours keep within the narrowest they have, see `tolerance`.
        "pump_relief_ideal" => {
            let line = network.free(input("q_pump_m3_s"));
            let load = network.way(line, sump, ideal(input("d_load_m")));
            let flow = Flow::from_m3_per_s(1.0);
            let relief = Relief::new(pa(input("p_set_Pa")), pa(1.0), flow, 0.0).unwrap();
            let relief = network.way(line, sump, relief);
            let flows = solved(&network);
            vec![
                ("p_line_Pa", flows.pressure(line).unwrap()),
                ("q_load_m3_s", flows.flow(load)),
                ("q_relief_m3_s", flows.flow(relief)),
            ]
        }
        "reducing_regulator_ideal" => {
            // The feed is sought too, so that it is a regulator between two such.
            let (supply, feed) = (network.fixed(input("p_supply_Pa")), network.free(0.0));
            network.way(supply, feed, film(1e-3));
            let out = network.free(0.0);
            let opening = Opening::new(pa(input("p_set_Pa")), pa(200.0)).unwrap();
            let law = Reducing::new(opening, ideal(input("d_full_open_m")), 0.0).unwrap();
            let reducing = network.regulator(feed, out, law, &[]);
            let load = network.way(out, sump, ideal(input("d_load_m")));
            let flows = solved(&network);
            vec![
                ("p_out_Pa", flows.pressure(out).unwrap()),
                ("q_m3_s", flows.flow(load)),
                (
                    "full_open",
                    f64::from(flows.stand(reducing) == Some(Stand::WideOpen)),
                ),
            ]
        }
        "laminar_orifice_series" => {
            let (supply, mid) = (network.fixed(input("p_supply_Pa")), network.free(0.0));
            let first = network.way(supply, mid, film(1.0 / input("r_laminar_Pa_s_m3")));
            network.way(mid, sump, ideal(input("d_m")));
            let flows = solved(&network);
            vec![
                ("q_m3_s", flows.flow(first)),
                ("p_mid_Pa", flows.pressure(mid).unwrap()),
            ]
        }
        "shuttle_ideal" => {
            let [a, b] = ["p_a_Pa", "p_b_Pa"].map(|key| network.fixed(input(key)));
            let out = network.free(0.0);
            let shuttle = Shuttle::new(ideal(input("d_seat_m")), 0.0).unwrap();
            network.way(a, out, shuttle.inlet());
            network.way(b, out, shuttle.inlet());
            let load = network.way(out, sump, ideal(input("d_out_m")));
            let flows = solved(&network);
            vec![
                ("p_out_Pa", flows.pressure(out).unwrap()),
                ("q_m3_s", flows.flow(load)),
            ]
        }
        "linear_bridge" => {
            let supply = network.fixed(input("p_supply_Pa"));
            let (one, two) = (network.free(0.0), network.free(0.0));
            let ends = [
                (supply, one),
                (one, sump),
                (supply, two),
                (two, sump),
                (one, two),
            ];
            let mut bridge = None;
            for ((from, to), g) in ends.into_iter().zip(list("g_m3_s_Pa")) {
                bridge = Some(network.way(from, to, film(g)));
            }
            let flows = solved(&network);
            vec![
                ("p1_Pa", flows.pressure(one).unwrap()),
                ("p2_Pa", flows.pressure(two).unwrap()),
                ("q_bridge_m3_s", flows.flow(bridge?)),
            ]
        }
        _ => return None,
    })
}

fn solved(network: &Network) -> Flows {
    let flows = network.solve();
    assert!(flows.converged, "{flows:?}");
    flows
}

#[test]
fn what_nothing_sets_is_trapped_and_the_rest_is_solved() {
    let oil = fluid(830.0, 0.01);
    let seat = orifice(4e-3, 0.0, 0.6, oil);
    let mut network = Network::default();
    let (line, sump, alone) = (network.fixed(8e5), network.fixed(0.0), network.free(0.0));
    let lube = network.free(0.0);
    network.way(line, lube, seat);
    network.way(lube, sump, seat);
    let trapped = |network: &Network| -> Vec<Vec<Node>> {
        let flows = solved(network);
        assert!((flows.pressure(lube).unwrap() - 4e5).abs() < 1e-3);
        let groups = flows.trapped.iter();
        groups.map(|group| group.nodes.clone()).collect()
    };
    assert_eq!(trapped(&network), [vec![alone]]);
    // A ball that seats perfectly shuts the one way out when the pressure behind it is above.
    let [clutch, behind] = [(); 2].map(|()| network.free(0.0));
    network.way(clutch, behind, seat);
    let tight = OneWay::new(seat, pa(9e5), 0.0).unwrap();
    network.way(line, clutch, tight);
    assert_eq!(trapped(&network), [vec![alone], vec![clutch, behind]]);
    assert_eq!(network.solve().pressure(behind), None);
    // With a leak they have a pressure.
    network.way(
        line,
        clutch,
        OneWay::new(seat, pa(9e5), SEATED_LEAK).unwrap(),
    );
    assert_eq!(trapped(&network), [vec![alone]]);
    assert!((network.solve().pressure(behind).unwrap() - 8e5).abs() < 1e-3);
}

#[test]
fn a_pump_into_a_dead_end_is_said() {
    let hole = orifice(2e-3, 1e-3, 0.65, fluid(830.0, 0.01));
    let mut network = Network::default();
    let (sump, line, end) = (network.fixed(0.0), network.free(2e-5), network.free(1e-5));
    let feed = network.way(line, end, hole);
    let flows = network.solve();
    assert_eq!(flows.trapped.len(), 1);
    assert_eq!(flows.trapped[0].nodes, [line, end]);
    assert!((flows.trapped[0].inflow - 3e-5).abs() < 1e-18);
    network.way(end, sump, hole);
    assert!(network.solve().trapped.is_empty());
    assert!((network.solve().flow(feed) - 2e-5).abs() < 1e-12);
}

#[test]
fn no_answer_is_made_of_no_number() {
    for (pressure, inflow) in [(f64::NAN, 0.0), (8e5, f64::NAN), (8e5, f64::INFINITY)] {
        let mut network = Network::default();
        let (line, lube) = (network.fixed(pressure), network.free(inflow));
        network.way(line, lube, orifice(2e-3, 1e-3, 0.65, fluid(830.0, 0.01)));
        assert!(!network.solve().converged);
    }
}

#[test]
fn a_worn_pump_holds_less_pressure() {
    let oil = fluid(830.0, 0.01);
    let pressure = |leakage: f64| {
        let displacement = Displacement::from_m3_per_rad(2e-6);
        let pump = Pump::new(displacement, Speed::from_rad_per_s(100.0)).unwrap();
        let pump = pump
            .leaking(Flow::from_m3_per_s(leakage), pa(20e5))
            .unwrap();
        let mut network = Network::default();
        let (sump, line) = (network.fixed(0.0), network.free(0.0));
        network.way(sump, line, pump);
        network.way(line, sump, orifice(2.5e-3, 1e-3, 0.65, oil));
        solved(&network).pressure(line).unwrap()
    };
    assert!(pressure(0.0) > pressure(1e-5) && pressure(1e-5) > pressure(1e-4));
}

/// Slow pump or fast, the line stays within the band; the regulator takes what the loads leave.
#[test]
fn a_regulator_holds_the_line() {
    let oil = fluid(830.0, 0.01);
    let line_at = |inflow: f64| {
        let opening = Opening::new(pa(8e5), pa(0.4e5)).unwrap();
        let main = Bleed::new(opening, orifice(5e-3, 1e-3, 0.65, oil), SEATED_LEAK).unwrap();
        let mut network = Network::default();
        let (sump, line) = (network.fixed(0.0), network.free(inflow));
        let load = network.way(line, sump, orifice(1.5e-3, 1e-3, 0.65, oil));
        let spill = network.way(line, sump, main);
        let flows = solved(&network);
        assert!((flows.flow(load) + flows.flow(spill) - inflow).abs() < 1e-12);
        flows.pressure(line).unwrap()
    };
    assert!(line_at(2e-5) < 8e5, "the load takes it all");
    let (slow, fast) = (line_at(1e-4), line_at(4e-4));
    assert!(8e5 < slow && slow < fast && fast < 8.4e5);
}

/// A law for a random way: by kind, bore and a share from 0 to 1.
#[derive(Clone, Debug)]
struct Part {
    kind: u8,
    bore: f64,
    share: f64,
    from: f64,
    to: f64,
}

fn part() -> impl Strategy<Value = Part> {
    let size = ((4e-4f64.ln()..6e-3f64.ln()).prop_map(f64::exp), 0.0..1.0f64);
    (0..8u8, size, 0.0..1.0f64, 0.0..1.0f64).prop_map(|(kind, (bore, share), from, to)| Part {
        kind,
        bore,
        share,
        from,
        to,
    })
}

impl Part {
    fn law(&self, oil: Fluid) -> Box<dyn Law> {
        let (d, s) = (self.bore, self.share);
        match self.kind {
            0 | 1 => Box::new(orifice(d, d * s, 0.65, oil)),
            2 => Box::new(passage(round(d), 0.01 + 0.2 * s, d * 0.01, 2.0 * s, oil)),
            3 => Box::new(Film::plate_hole(m(1e-5 + 1e-4 * s), m(d), m(3.0 * d), oil).unwrap()),
            4 => Box::new(annulus(d, d * 1e-3, s, d, oil)),
            5 => {
                let seat = orifice(d, 0.0, 0.6, oil);
                Box::new(OneWay::new(seat, pa(3e5 * s), SEATED_LEAK).unwrap())
            }
            6 => {
                let opening = Opening::new(pa(8e5 * s), pa(2e4)).unwrap();
                let wide = orifice(d, 0.0, 0.6, oil);
                Box::new(Bleed::new(opening, wide, SEATED_LEAK).unwrap())
            }
            _ => {
                let flow = Flow::from_m3_per_s(1e-4);
                Box::new(Relief::new(pa(8e5 * s), pa(5e4), flow, SEATED_LEAK).unwrap())
            }
        }
    }
}

proptest! {
    /// Any circuit that hangs together, pumped or fed, has an answer, and it balances: every node,
    /// the whole, and the work done in it.
    #[test]
    fn every_network_balances(
        parts in prop::collection::vec(part(), 4..60),
        mu in prop_oneof![Just(5e-3), Just(0.03), Just(1.0)],
        pump in prop_oneof![Just(None), (1e-6..3e-4f64).prop_map(Some)],
        chords in 0..20usize,
    ) {
        let oil = fluid(840.0, mu);
        let mut network = Network::default();
        let mut nodes = vec![network.fixed(0.0)];
        nodes.push(match pump {
            Some(flow) => network.free(flow),
            None => network.fixed(9e5),
        });
        let mut ends = vec![];
        // The line always has an open way out, as a pump must have.
        network.way(nodes[1], nodes[0], orifice(2e-3, 1e-3, 0.65, oil));
        ends.push((1, 0, Box::new(orifice(2e-3, 1e-3, 0.65, oil)) as Box<dyn Law>));
        let pick = |share: f64, of: usize| ((share * of as f64) as usize).min(of - 1);
        for (i, part) in parts.iter().enumerate() {
            let (from, to) = if i + chords < parts.len() {
                nodes.push(network.free(0.0));
                (pick(part.from, nodes.len() - 1), nodes.len() - 1)
            } else {
                (pick(part.from, nodes.len()), pick(part.to, nodes.len()))
            };
            network.way(nodes[from], nodes[to], part.law(oil));
            ends.push((from, to, part.law(oil)));
        }
        let flows = network.solve();
        prop_assert!(flows.converged, "{} steps, {:e}", flows.steps, flows.imbalance);
        let supplied: f64 = nodes.iter().map(|node| flows.supply(*node)).sum();
        prop_assert!(supplied.abs() < 1e-11);
        for (from, to, law) in &ends {
            let at = |node: usize| flows.pressure(nodes[node]).unwrap();
            let drop = at(*from) - at(*to);
            prop_assert!(law.rate(drop).flow * drop >= 0.0);
        }
        if let Some(flow) = pump {
            prop_assert!((flows.supply(nodes[1]) - flow).abs() < 1e-12);
        }
        for node in &nodes[2..] {
            prop_assert!(flows.supply(*node).abs() < 1e-12);
        }
    }
}
