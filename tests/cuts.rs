//! Double points, and what lies before and beyond, against brute force and reference cases.

#[path = "support/layered.rs"]
mod layered;
#[path = "support/losses.rs"]
mod losses;
#[path = "support/reference.rs"]
mod reference;
mod support;

use std::collections::BTreeSet as Set;

use losses::{brute_pairs, fed_without, scene, spots};
use oilpath::circuit::{Fault, Kind, PartName};
use oilpath::net::{Cavity, SUMP_CAVITY, Scene};
use oilpath::reach::{self, Side, Spot, double_points, hitting_sets};
use proptest::prelude::*;
use reference::{directed, lists, members, minimal, state_chance, subsets, table, word};
use serde_json::Value as Json;
use support::{net, read, sketches};

/// The cavities on one side of a fed cavity, step by step, asking anew at each step whether oil could
/// be here without having passed where it leads.
fn naive_side(scene: &Scene<'_>, start: Cavity, side: Side) -> Set<Cavity> {
    let fed = |cavity| cavity != SUMP_CAVITY && fed_without(scene, cavity, &[]);
    let new = |from, to| fed_without(scene, from, &[Spot::Cavity(to)]);
    let mut met = Set::from([start]);
    let mut look = vec![start];
    while let Some(at) = look.pop() {
        let next: Vec<Cavity> = match side {
            Side::Beyond => scene.onward(at).map(|link| link.to).collect(),
            Side::Before => scene.inward(at).map(|link| link.to).collect(),
        };
        for to in next {
            let [from, onto] = match side {
                Side::Beyond => [at, to],
                Side::Before => [to, at],
            };
            if fed(from) && fed(onto) && new(from, onto) && met.insert(to) {
                look.push(to);
            }
        }
    }
    met
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn sides_equal_a_naive_walk(sketch in sketches(9, 2), pick in any::<prop::sample::Index>()) {
        let circuit = sketch.circuit(None);
        let net = net(&circuit);
        let scene = scene(&net, &[]);
        let cavities: Vec<Cavity> = net.cavities().filter(|c| *c != SUMP_CAVITY).collect();
        let at = cavities[pick.index(cavities.len())];
        let part = PartName::new(Kind::Passage, net.name(at));
        prop_assume!(fed_without(&scene, at, &[]));
        for side in [Side::Before, Side::Beyond] {
            let found = reach::side(&scene, &part, side);
            let found = found.map(|(_, cavities)| {
                let inside = cavities.into_iter().filter(|c| *c != SUMP_CAVITY);
                inside.collect::<Set<_>>()
            });
            prop_assert_eq!(found, Some(naive_side(&scene, at, side)));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn double_points_are_the_pairs_that_cut(
        sketch in sketches(9, 3),
        second in prop::option::of(1usize..9),
        to in 1usize..9,
        picks in prop::collection::vec(any::<prop::sample::Index>(), 0..3),
    ) {
        let second = second.map(|c| format!("[source.second]\nfeeds = 'c{}'\n", c.min(sketch.cavities - 1)));
        let circuit = read(&(sketch.text(None) + &second.unwrap_or_default()));
        let net = net(&circuit);
        let all = circuit.faults();
        let faults: Vec<Fault> = picks.iter().map(|p| all[p.index(all.len())].clone()).collect();
        let scene = scene(&net, &faults);
        let to = net.cavity(&support::name(to.min(sketch.cavities - 1))).unwrap();
        prop_assert_eq!(double_points(&scene, to), brute_pairs(&scene, to, spots(&scene, to)));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn double_points_of_longer_paths(seed in any::<u64>(), to in 20usize..40, mixed in any::<bool>()) {
        let ways = if mixed { layered::Ways::Mixed } else { layered::Ways::Balls };
        let circuit = layered::circuit(40, ways, seed);
        let net = net(&circuit);
        let scene = scene(&net, &[]);
        let to = net.cavity(&format!("c{to}")).unwrap();
        prop_assert_eq!(double_points(&scene, to), brute_pairs(&scene, to, spots(&scene, to)));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Short cuts tempt the first stream, and the second must take over part of its way.
    #[test]
    fn double_points_of_two_runs_with_short_cuts(
        lengths in (1usize..6, 1usize..6),
        cuts in prop::collection::vec(any::<[prop::sample::Index; 2]>(), 0..5),
    ) {
        let count = lengths.0 + lengths.1 + 2;
        let names: Vec<String> = (0..count).map(|i| format!("n{i}")).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let last = count - 1;
        let middle = lengths.0 + 1;
        let mut edges = Vec::new();
        for lane in [1..middle, middle..last] {
            let lane: Vec<usize> = [0].into_iter().chain(lane).chain([last]).collect();
            edges.extend(lane.windows(2).map(|w| (names[w[0]], names[w[1]], 10)));
        }
        let ends = cuts.iter().map(|cut| cut.map(|end| end.index(count)));
        edges.extend(ends.filter(|[a, b]| a != b).map(|[a, b]| (names[a], names[b], 10)));
        let circuit = directed(&names.iter().copied().collect(), &names[..1], &edges);
        let net = net(&circuit);
        let scene = scene(&net, &[]);
        let to = net.cavity(names[last]).unwrap();
        prop_assert_eq!(double_points(&scene, to), brute_pairs(&scene, to, spots(&scene, to)));
    }
}

/// The one shortest path, s-a-b-t, leaves no room for a second beside it.
#[test]
fn the_second_stream_takes_over_part_of_the_first() {
    let nodes = ["s", "a", "b", "t", "k", "l", "m", "n"];
    let ways = [
        "s-a", "a-b", "b-t", "s-k", "k-l", "l-b", "a-m", "m-n", "n-t",
    ];
    let edges = ways.map(|way| {
        let (from, to) = way.split_once('-').unwrap();
        (from, to, 10)
    });
    let circuit = directed(&Set::from(nodes), &["s"], &edges);
    let net = net(&circuit);
    let scene = scene(&net, &[]);
    let to = net.cavity("t").unwrap();
    let pairs = double_points(&scene, to);
    let named = |pair: &[Spot; 2]| pair.map(|s| s.part(&scene).id).join(" ");
    let named: Vec<String> = pairs.iter().map(named).collect();
    assert!(named.contains(&"a b".to_owned()));
    assert!(!named.contains(&"k m".to_owned()));
    assert_eq!(pairs, brute_pairs(&scene, to, spots(&scene, to)));
}

#[test]
fn the_sump_and_what_is_not_fed_have_no_double_points() {
    let circuit = read(
        "[casting]\nblock = { passages = ['line', 'dry'] }\n[source]\npump = { feeds = 'line' }\n\
         [port]\nout = { between = ['line', 'sump'] }\nback = { between = ['dry', 'sump'] }\n",
    );
    let net = net(&circuit);
    let scene = scene(&net, &[]);
    for to in net.cavities() {
        assert!(double_points(&scene, to).is_empty(), "{}", net.name(to));
    }
}

/// Sources: `tests/reference/graph/07_random_*.json`, computed with networkx 3.6.1: pairs of
/// nodes by brute force, listed up to 60 nodes; above that our own brute force stands in.
#[test]
fn double_points_of_ten_random_graphs() {
    let mut listed = 0;
    for case in 0..10 {
        let path = format!("tests/reference/graph/07_random_0{case}.json");
        let file: Json = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
        let node = |n: &Json| format!("n{n}");
        let names: Vec<String> = (0..file["node_count"].as_u64().unwrap())
            .map(|n| format!("n{n}"))
            .collect();
        let all = |key: &str| file[key].as_array().unwrap().clone();
        let sources: Vec<String> = all("sources").iter().map(node).collect();
        let sources: Vec<&str> = sources.iter().map(String::as_str).collect();
        let edges: Vec<[String; 2]> = (all("edges").iter())
            .map(|e| [node(&e[0]), node(&e[1])])
            .collect();
        let edges: Vec<(&str, &str, u64)> = edges
            .iter()
            .map(|[a, b]| (a.as_str(), b.as_str(), 10))
            .collect();
        let nodes = names.iter().map(String::as_str).collect();
        let circuit = directed(&nodes, &sources, &edges);
        let net = net(&circuit);
        let scene = scene(&net, &[]);
        for outlet in all("supplied_when_sound") {
            let to = net.cavity(&node(&outlet)).unwrap();
            let mut found = double_points(&scene, to);
            found.retain(|pair| pair.iter().all(|s| matches!(s, Spot::Cavity(_))));
            let mut expected = match file.get("double_failure_nodes") {
                Some(pairs) => {
                    listed += 1;
                    let pairs = pairs[outlet.to_string()].as_array().unwrap().iter();
                    let spot = |n: &Json| Spot::Cavity(net.cavity(&node(n)).unwrap());
                    let pairs = pairs.map(|p| [spot(&p[0]), spot(&p[1])]);
                    pairs.collect::<Vec<_>>()
                }
                None => {
                    let cavities = net.cavities().filter(|c| *c != SUMP_CAVITY && *c != to);
                    brute_pairs(&scene, to, cavities.map(Spot::Cavity).collect())
                }
            };
            // The file sorts by number, a net by name.
            expected.iter_mut().for_each(|pair| pair.sort_unstable());
            expected.sort_unstable();
            assert_eq!(found, expected, "{path} {outlet}");
        }
    }
    assert_eq!(listed, 18, "outlets whose pairs the files list");
}

/// Source: `02b_bridge_network.toml`: path and cut sets published (after Barlow and Proschan
/// 1975), polynomial from memory, confirmed there by enumeration of 32 states.
#[test]
fn path_sets_cut_sets_and_reliability_of_the_bridge() {
    let file = table("02b_bridge_network");
    let mut text = String::from("[casting]\nblock = { passages = ['s', 'a', 'b', 't'] }\n");
    text += "[source]\npump = { feeds = 's' }\n[port]\n";
    let mut edges = Vec::new();
    for edge in file["edges"].as_array().unwrap() {
        let [id, a, b] = ["id", "a", "b"].map(|key| word(&edge[key]));
        text += &format!("{id} = {{ between = ['{a}', '{b}'] }}\n");
        edges.push(id);
    }
    let circuit = read(&text);
    let net = net(&circuit);
    let to = net.cavity("t").unwrap();
    let sound = scene(&net, &[]);
    let part = |way| net.part(sound.way(way)).id.clone();

    let (paths, more) = reach::all_paths(&sound, to, 100);
    assert!(!more);
    let paths = minimal(
        paths
            .iter()
            .map(|p| p.steps.iter().map(|(w, _)| part(*w)).collect()),
    );
    assert_eq!(paths, lists(&file["minimal_path_sets"]));

    let fed = |working: &Set<String>| {
        let gone = edges.iter().filter(|e| !working.contains(*e));
        let faults: Vec<Fault> = gone
            .map(|e| circuit.fault(&format!("{e}:plugged")).unwrap())
            .collect();
        reach::has(&reach::supplied(&scene(&net, &faults)), to)
    };
    let states: Vec<Set<String>> = subsets(5)
        .map(|bits| members(&edges, bits).collect())
        .collect();
    let lost = states.iter().filter(|s| !fed(s));
    let cuts = minimal(lost.map(|s| edges.iter().filter(|e| !s.contains(*e)).cloned().collect()));
    assert_eq!(cuts, lists(&file["minimal_cut_sets"]));
    assert_eq!(hitting_sets(&paths, 5), (cuts.clone(), false));
    let pairs = double_points(&sound, to).into_iter();
    let pairs: Vec<Vec<String>> = pairs
        .filter(|pair| pair.iter().all(|s| matches!(s, Spot::Way(_))))
        .map(|pair| pair.map(|s| s.part(&sound).id).to_vec())
        .collect();
    assert_eq!(pairs, cuts[..2]);

    // Only the chances differ from one question to the next, so reach answers once a state.
    let fed: Vec<&Set<String>> = states.iter().filter(|s| fed(s)).collect();
    let reliability =
        |of: &dyn Fn(&str) -> f64| -> f64 { fed.iter().map(|s| state_chance(&edges, s, of)).sum() };
    for at in file["reliability_at_p"].as_array().unwrap() {
        let [p, expected] = ["p", "R"].map(|key| at[key].as_float().unwrap());
        assert!((reliability(&|_| p) - expected).abs() < 1e-12, "{p}");
    }
    let importance = file["birnbaum_importance_p09"].as_table().unwrap();
    assert_eq!(importance.len(), 5);
    for (edge, expected) in importance {
        let with = |own: f64| reliability(&|e| if e == edge { own } else { 0.9 });
        let difference = with(1.0) - with(0.0) - expected.as_float().unwrap();
        assert!(difference.abs() < 1e-12, "{edge}");
    }
}
