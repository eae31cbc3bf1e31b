//! Reach against a naive search, and against reference graphs.

mod support;

use std::collections::{BTreeMap, BTreeSet};

use oilpath::circuit::{Circuit, Fault, Kind, Level, State};
use oilpath::net::{Held, Net, SUMP_CAVITY, Scene, Stage};
use oilpath::reach::{self, Dominators, Needs};
use proptest::prelude::*;
use serde_json::Value as Json;
use support::{LINE, SUMP, Sketch, name, net, read, sketches};

/// The first state with some faults, no valve's position known.
fn scene<'n>(net: &'n Net<'n>, faults: &[Fault]) -> Scene<'n> {
    let default = State::default();
    let state = net.circuit().states.values().next().unwrap_or(&default);
    let stage = Stage::new(net, state, faults);
    stage.scene(&stage.fix(Held::unknown(net)), Level::Low)
}

fn supplied(net: &Net<'_>, faults: &[Fault]) -> BTreeSet<String> {
    let fed = reach::supplied(&scene(net, faults));
    let fed = net.cavities().filter(|c| reach::has(&fed, *c));
    fed.map(|c| net.name(c).to_owned()).collect()
}

/// Cavities fed, by relaxing every edge as often as there are cavities.
fn naive(sketch: &Sketch, shut: &[usize]) -> BTreeSet<String> {
    let mut fed = vec![false; sketch.cavities];
    fed[LINE] = true;
    for _ in 0..sketch.cavities {
        for (i, edge) in sketch.edges.iter().enumerate() {
            if shut.contains(&i) {
                continue;
            }
            fed[edge.to] |= fed[edge.from] && edge.from != SUMP;
            fed[edge.from] |= fed[edge.to] && edge.to != SUMP && edge.kind.two_way();
        }
    }
    (1..sketch.cavities).filter(|c| fed[*c]).map(name).collect()
}

/// Faults that stop everything a single part lets through.
fn stoppers(circuit: &Circuit) -> Vec<Fault> {
    let stops = |fault: &Fault| matches!(fault.condition.word(), "plugged" | "stuck-seated");
    circuit.faults().into_iter().filter(stops).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn reach_equals_a_naive_search(sketch in sketches(10, 3)) {
        let circuit = sketch.circuit(None);
        prop_assert_eq!(supplied(&net(&circuit), &[]), naive(&sketch, &[]));
    }

    #[test]
    fn shutting_a_way_equals_a_naive_search_without_it(sketch in sketches(10, 0), pick in any::<prop::sample::Index>()) {
        let circuit = sketch.circuit(None);
        let at = pick.index(sketch.edges.len());
        let part = circuit.find(&format!("e{at}"), Kind::ALL).unwrap();
        let fault = stoppers(&circuit).into_iter().find(|f| f.part == part);
        // A clearance cannot be plugged.
        let Some(fault) = fault else { return Ok(()); };
        prop_assert_eq!(supplied(&net(&circuit), &[fault]), naive(&sketch, &[at]));
    }

    #[test]
    fn a_removal_never_adds_supply(sketch in sketches(10, 3), picks in prop::collection::vec(any::<prop::sample::Index>(), 1..4)) {
        let circuit = sketch.circuit(None);
        let net = net(&circuit);
        let all = stoppers(&circuit);
        let mut faults: Vec<Fault> = Vec::new();
        let mut fed = supplied(&net, &[]);
        for pick in picks {
            faults.push(all[pick.index(all.len())].clone());
            let now = supplied(&net, &faults);
            prop_assert!(now.is_subset(&fed));
            fed = now;
        }
    }

    #[test]
    fn a_part_every_path_needs_is_one_whose_loss_cuts_the_cavity_off(sketch in sketches(9, 0), pick in 2usize..9) {
        let circuit = sketch.circuit(None);
        let net = net(&circuit);
        let to = name(pick.min(sketch.cavities - 1));
        let sound = scene(&net, &[]);
        let needed = Needs::new(&sound).of(net.cavity(&to).unwrap());
        let fed = supplied(&net, &[]);
        let needed: BTreeSet<String> = needed.iter().map(ToString::to_string).collect();
        for fault in stoppers(&circuit) {
            let cuts = fed.contains(&to) && !supplied(&net, std::slice::from_ref(&fault)).contains(&to);
            prop_assert_eq!(needed.contains(&fault.part.to_string()), cuts, "{}", fault);
        }
    }

    #[test]
    fn one_pass_counts_what_every_single_loss_costs(sketch in sketches(10, 0)) {
        let circuit = sketch.circuit(None);
        let net = net(&circuit);
        let scene = scene(&net, &[]);
        let tree = Dominators::of_pressure(&scene);
        let all: Vec<_> = net.cavities().collect();
        let lost = tree.lost_with(&all);
        let fed = supplied(&net, &[]);
        for (cavity, lost) in all.iter().zip(lost) {
            let id = net.name(*cavity);
            let Ok(fault) = circuit.fault(&format!("{id}:plugged")) else { continue };
            let now = supplied(&net, &[fault]);
            prop_assert_eq!(lost as usize, fed.difference(&now).count(), "{}", id);
        }
    }

    #[test]
    fn the_least_restricted_path_is_as_wide_as_any_simple_path(sketch in sketches(7, 0), pick in 2usize..7) {
        let circuit = sketch.circuit(None);
        let net = net(&circuit);
        let scene = scene(&net, &[]);
        let to = net.cavity(&name(pick.min(sketch.cavities - 1))).unwrap();
        let width = |path: &reach::Path| {
            path.steps.iter().filter_map(|(way, _)| scene.setting(*way).strength()).min()
        };
        let (all, more) = reach::all_paths(&scene, to, 100_000);
        prop_assert!(!more);
        let best = all.iter().map(|p| width(p).map_or(4, |s| s as u8)).max();
        let found = reach::least_restricted(&scene, to);
        prop_assert_eq!(found.map(|p| width(&p).map_or(4, |s| s as u8)), best);
        let fewest = all.iter().map(|p| p.steps.len()).min();
        prop_assert_eq!(reach::shortest(&scene, to).map(|p| p.steps.len()), fewest);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Ways out against turning every drop back: where a cavity can empty to, by relaxing.
    #[test]
    fn there_is_a_way_out_where_a_naive_search_finds_the_sump(sketch in sketches(9, 0), pick in 1usize..9) {
        let circuit = sketch.circuit(None);
        let net = net(&circuit);
        let scene = scene(&net, &[]);
        let from = pick.min(sketch.cavities - 1);
        let mut wet = vec![false; sketch.cavities];
        wet[from] = true;
        for _ in 0..sketch.cavities {
            // What only lets excess by drains nothing.
            for edge in sketch.edges.iter().filter(|e| e.kind != support::Kind::Sprung || e.to == SUMP) {
                wet[edge.to] |= wet[edge.from] && edge.from != SUMP;
                wet[edge.from] |= wet[edge.to] && edge.to != SUMP && edge.kind.two_way();
            }
        }
        let start = net.cavity(&name(from)).unwrap();
        let found = reach::way_out(&scene, start, |_| true);
        // A sprung ball to the sump is shut below what it leaves behind: it has its own test.
        let sprung = sketch.edges.iter().any(|e| e.kind == support::Kind::Sprung && e.to == SUMP);
        if !sprung {
            prop_assert_eq!(found.is_some(), wet[SUMP]);
        }
        if let Some(path) = found {
            let mut at = path.start;
            prop_assert_eq!(at, start);
            for (way, to) in path.steps {
                let link = scene.onward(at).find(|l| l.way == way && l.to == to);
                prop_assert!(link.is_some_and(|l| l.drains()));
                at = to;
            }
            prop_assert_eq!(at, SUMP_CAVITY);
        }
    }
}

fn numbers(json: &Json) -> Vec<u64> {
    json.as_array()
        .unwrap()
        .iter()
        .map(|n| n.as_u64().unwrap())
        .collect()
}

/// Sources: `tests/reference/graph/07_random_*.json`, computed with networkx 3.6.1, single
/// failures brute-forced.
#[test]
fn ten_random_graphs_of_the_reference() {
    for case in 0..10 {
        let path = format!("tests/reference/graph/07_random_0{case}.json");
        let file: Json = match std::fs::read_to_string(&path) {
            Ok(text) => serde_json::from_str(&text).unwrap(),
            Err(e) => panic!("{path}: {e}"),
        };
        let mut text = String::from("[casting]\nblock = { passages = [");
        for node in 0..file["node_count"].as_u64().unwrap() {
            text += &format!("'n{node}', ");
        }
        text += "] }\n[source]\n";
        for node in numbers(&file["sources"]) {
            text += &format!("s{node} = {{ feeds = 'n{node}' }}\n");
        }
        text += "[ball]\n";
        for (i, edge) in file["edges"].as_array().unwrap().iter().enumerate() {
            let [a, b] = numbers(edge)[..] else { panic!() };
            text += &format!("e{i} = {{ from = 'n{a}', to = 'n{b}' }}\n");
        }
        text += "[outlet]\n";
        let outlets = numbers(&file["outlets"]);
        for node in &outlets {
            text += &format!("o{node} = {{ kind = 'clutch', at = 'n{node}' }}\n");
        }
        let circuit = read(&text);
        let net = net(&circuit);
        let fed = |faults: &[Fault]| -> Vec<u64> {
            let fed = supplied(&net, faults);
            outlets
                .iter()
                .copied()
                .filter(|n| fed.contains(&format!("n{n}")))
                .collect()
        };
        let sound = fed(&[]);
        assert_eq!(sound, numbers(&file["supplied_when_sound"]), "{path}");
        for plate in file["plate"].as_array().unwrap() {
            let nodes = numbers(&plate["remove_nodes"]);
            let nodes = nodes.iter().map(|n| format!("n{n}:plugged"));
            let edges = numbers(&plate["remove_edges"]);
            let edges = edges.iter().map(|e| format!("e{e}:stuck-seated"));
            let faults: Vec<Fault> = nodes
                .chain(edges)
                .map(|f| circuit.fault(&f).unwrap())
                .collect();
            let now = fed(&faults);
            let lost: Vec<u64> = sound.iter().copied().filter(|n| !now.contains(n)).collect();
            assert_eq!(
                lost,
                numbers(&plate["lost_outlets"]),
                "{path} {}",
                plate["id"]
            );
        }
        let scene = scene(&net, &[]);
        let needs = Needs::new(&scene);
        for (outlet, nodes) in file["single_failure_nodes"].as_object().unwrap() {
            let own = format!("n{outlet}");
            let needed = needs.of(net.cavity(&own).unwrap());
            let needed: BTreeSet<u64> = needed
                .iter()
                .filter(|p| p.kind == Kind::Passage && p.id != own)
                .map(|p| p.id[1..].parse().unwrap())
                .collect();
            assert_eq!(
                needed.into_iter().collect::<Vec<_>>(),
                numbers(nodes),
                "{path} {outlet}"
            );
        }
    }
}

/// Source: T. Lengauer, R. E. Tarjan, ACM TOPLAS 1(1), 1979, figures 1 and 2, as
/// `tests/reference/graph/01_lengauer_tarjan_1979.toml` says.
#[test]
fn dominators_of_lengauer_and_tarjan_1979() {
    let file: toml::Table =
        toml::from_str(include_str!("reference/graph/01_lengauer_tarjan_1979.toml")).unwrap();
    let edges: Vec<(&str, &str)> = file["edges"]
        .as_array()
        .unwrap()
        .iter()
        .map(|e| (e[0].as_str().unwrap(), e[1].as_str().unwrap()))
        .collect();
    let nodes: BTreeSet<&str> = edges.iter().flat_map(|(a, b)| [*a, *b]).collect();
    let listed: Vec<String> = nodes.iter().map(|n| format!("'{n}'")).collect();
    let mut text = format!(
        "[casting]\nblock = {{ passages = [{}] }}\n[source]\npump = {{ feeds = 'R' }}\n[ball]\n",
        listed.join(", ")
    );
    for (i, (a, b)) in edges.iter().enumerate() {
        text += &format!("e{i} = {{ from = '{a}', to = '{b}' }}\n");
    }
    let circuit = read(&text);
    let net = net(&circuit);
    let scene = scene(&net, &[]);
    let tree = Dominators::of_pressure(&scene);
    let mut idom = BTreeMap::new();
    let mut lost: BTreeMap<&str, Vec<&str>> = nodes.iter().map(|n| (*n, Vec::new())).collect();
    for node in nodes.iter().filter(|n| **n != "R") {
        let chain = tree.chain(net.cavity(node).unwrap());
        let cavities: Vec<&str> = chain.iter().map(|(_, c)| net.name(*c)).collect();
        idom.insert(*node, cavities[cavities.len() - 2]);
        for above in &cavities[..cavities.len() - 1] {
            lost.entry(above).or_default().push(node);
        }
    }
    let expected = file["idom"].as_table().unwrap();
    let expected: BTreeMap<&str, &str> = expected
        .iter()
        .map(|(k, v)| (k.as_str(), v.as_str().unwrap()))
        .collect();
    assert_eq!(idom, expected);
    for (node, names) in file["lost_if_removed"].as_table().unwrap() {
        let names: Vec<&str> = names
            .as_array()
            .unwrap()
            .iter()
            .map(|n| n.as_str().unwrap())
            .collect();
        assert_eq!(lost[node.as_str()], names, "{node}");
    }
}
