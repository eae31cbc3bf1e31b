//! Smallest cuts and widest paths of reference networks.
//!
//! Of `tests/reference/graph/04_maxflow_vertexcut.toml` the flow value is no question of this
//! crate: petgraph confirms it, which shows that the file was read right.

#[path = "support/losses.rs"]
mod losses;
#[path = "support/reference.rs"]
mod reference;
mod support;

use std::collections::{BTreeMap, BTreeSet as Set};

use losses::{brute_pairs, fed_without, scene, spots};
use oilpath::circuit::Circuit;
use oilpath::net::{Cavity, Scene};
use oilpath::reach::{self, Dominators, Spot, double_points, hitting_sets};
use reference::{directed, lists, table, word};
use support::net;

/// One case of the files of flow networks.
struct Flow<'f> {
    edges: Vec<(&'f str, &'f str, u64)>,
    nodes: Set<&'f str>,
    s: &'f str,
}

impl<'f> Flow<'f> {
    fn read(case: &'f toml::Value) -> Self {
        let edge = |e: &'f toml::Value| {
            let [a, b] = [0, 1].map(|i| e[i].as_str().unwrap());
            (a, b, e[2].as_integer().unwrap() as u64)
        };
        let edges: Vec<_> = case["edges"].as_array().unwrap().iter().map(edge).collect();
        let s = case["s"].as_str().unwrap();
        let ends = edges.iter().flat_map(|(a, b, _)| [*a, *b]);
        let nodes = ends.chain([s]).collect();
        Flow { edges, nodes, s }
    }

    fn circuit(&self) -> Circuit {
        directed(&self.nodes, &[self.s], &self.edges)
    }

    fn max_flow(&self, t: &str) -> u64 {
        let number = |node: &str| self.nodes.iter().position(|n| *n == node).unwrap() as u32;
        let edges = self
            .edges
            .iter()
            .map(|(a, b, c)| (number(a), number(b), *c));
        let graph = petgraph::graph::DiGraph::<(), u64>::from_edges(edges);
        let [s, t] = [self.s, t].map(|n| number(n).into());
        petgraph::algo::ford_fulkerson(&graph, s, t).0
    }
}

/// The smallest sets of places whose loss cuts a cavity off, two places at most.
fn brute_cuts(scene: &Scene<'_>, to: Cavity, spots: &[Spot]) -> Vec<Vec<Spot>> {
    if !fed_without(scene, to, &[]) {
        return vec![Vec::new()];
    }
    let single = spots.iter().filter(|s| !fed_without(scene, to, &[**s]));
    let single: Vec<Vec<Spot>> = single.map(|s| vec![*s]).collect();
    if single.is_empty() {
        let pairs = brute_pairs(scene, to, spots.to_vec());
        return pairs.into_iter().map(Vec::from).collect();
    }
    single
}

/// Source: `04_maxflow_vertexcut.toml`: one network from memory (Cormen, Leiserson, Rivest, Stein,
/// max-flow chapter), five computed with networkx 3.6.1, vertex cuts there by brute force.
#[test]
fn connectivity_and_smallest_cuts_of_flow_networks() {
    let file = table("04_maxflow_vertexcut");
    for case in file["case"].as_array().unwrap() {
        let name = word(&case["name"]);
        let flow = Flow::read(case);
        let t = case["t"].as_str().unwrap();
        assert_eq!(
            flow.max_flow(t) as i64,
            case["max_flow"].as_integer().unwrap(),
            "{name}"
        );
        let circuit = flow.circuit();
        let net = net(&circuit);
        let scene = scene(&net, &[]);
        let to = net.cavity(t).unwrap();
        let from = net.cavity(flow.s).unwrap();
        // A cut leaves both ends standing.
        let (cavities, ways): (Vec<Spot>, Vec<Spot>) = spots(&scene, to)
            .into_iter()
            .filter(|spot| *spot != Spot::Cavity(from))
            .partition(|spot| matches!(spot, Spot::Cavity(_)));

        let cuts = brute_cuts(&scene, to, &cavities);
        let size = cuts[0].len();
        assert_eq!(
            size as i64,
            case["vertex_connectivity"].as_integer().unwrap(),
            "{name}"
        );
        let named = |cuts: &[Vec<Spot>]| -> Set<Set<String>> {
            let ids = |cut: &Vec<Spot>| cut.iter().map(|s| s.part(&scene).id).collect();
            cuts.iter().filter(|c| !c.is_empty()).map(ids).collect()
        };
        let expected = lists(&case["all_minimum_vertex_cuts"]);
        let expected: Set<Set<String>> = expected.into_iter().map(Set::from_iter).collect();
        assert_eq!(named(&cuts), expected, "{name}");
        let fewest_ways = brute_cuts(&scene, to, &ways)[0].len();
        assert_eq!(
            fewest_ways as i64,
            case["edge_connectivity"].as_integer().unwrap(),
            "{name}"
        );

        // The clever ways give the same.
        let both = |pair: &[Spot; 2]| pair.iter().all(|s| cavities.contains(s));
        let pairs: Vec<Vec<Spot>> = double_points(&scene, to)
            .into_iter()
            .filter(both)
            .map(Vec::from)
            .collect();
        match size {
            2 => assert_eq!(named(&pairs), expected, "{name}"),
            1 => {
                let chain = Dominators::of_pressure(&scene).chain(to);
                let inner = chain.iter().filter(|(_, c)| *c != to && *c != from);
                let inner: Vec<Vec<Spot>> = inner.map(|(_, c)| vec![Spot::Cavity(*c)]).collect();
                assert_eq!(named(&inner), expected, "{name}");
            }
            _ => assert!(pairs.is_empty(), "{name}"),
        }
        let (paths, more) = reach::all_paths(&scene, to, 100_000);
        assert!(!more);
        let between: Vec<Vec<Spot>> = (paths.iter())
            .map(|p| {
                p.steps[..p.steps.len() - 1]
                    .iter()
                    .map(|(_, c)| Spot::Cavity(*c))
                    .collect()
            })
            .collect();
        let (hitting, _) = hitting_sets(&between, size);
        assert_eq!(named(&hitting), expected, "{name}");
    }
}

/// Source: `05_widest_path.toml`: the networks of 04, widths by a search of its maker's own,
/// confirmed by reachability above thresholds in networkx 3.6.1. A width of 7 is a bore of 0.7 mm.
#[test]
fn the_least_restricted_path_is_as_wide_as_the_reference_says() {
    let file = table("05_widest_path");
    for case in file["case"].as_array().unwrap() {
        let mut flow = Flow::read(case);
        let widest: BTreeMap<&str, u64> = (case["widest"].as_table().unwrap().iter())
            .map(|(node, width)| (node.as_str(), width.as_integer().unwrap() as u64))
            .collect();
        flow.nodes.extend(widest.keys());
        let circuit = flow.circuit();
        let net = net(&circuit);
        let scene = scene(&net, &[]);
        for (node, width) in widest {
            let path = reach::least_restricted(&scene, net.cavity(node).unwrap());
            let bore = path.map_or(0, |path| {
                let bores = path
                    .steps
                    .iter()
                    .map(|(way, _)| scene.way(*way).bore.unwrap().m());
                (bores.fold(f64::INFINITY, f64::min) * 1e4).round() as u64
            });
            assert_eq!(bore, width, "{} {node}", word(&case["name"]));
        }
    }
}
