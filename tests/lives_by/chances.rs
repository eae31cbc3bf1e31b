//! Chances and importance against reference cases and sums done by hand.

use std::collections::BTreeMap;

use oilpath::answer::{Likelihoods, LivesByQuestion, LivesByState, Method, lives_by};
use oilpath::circuit::{Circuit, Kind};

use super::support::{net, read};

/// Asks after the outlet `user`, ports alone, with these likelihoods.
fn ask(circuit: &Circuit, likelihoods: &[String], kinds: &[Kind]) -> LivesByState {
    let mut given = Likelihoods::default();
    for text in likelihoods {
        given.give(circuit, text).unwrap();
    }
    let question = LivesByQuestion {
        up_to: 3,
        kinds: kinds.to_vec(),
        likelihoods: given,
        ..LivesByQuestion::default()
    };
    let outlet = circuit.find("user", &[Kind::Outlet]).unwrap();
    let answer = lives_by(&net(circuit), &outlet, &question).unwrap();
    answer.states[0].clone()
}

/// A circuit of ports `id: a-b` between passages.
fn ports(passages: &[&str], ports: &[(String, String, String)], from: &str, to: &str) -> Circuit {
    let passages: Vec<String> = passages.iter().map(|p| format!("'{p}'")).collect();
    let mut text = format!(
        "[casting]\nblock = {{ passages = [{}] }}\n[source]\npump = {{ feeds = '{from}' }}\n\
         [outlet]\nuser = {{ kind = 'bearing', at = '{to}' }}\n[port]\n",
        passages.join(", ")
    );
    for (id, a, b) in ports {
        text += &format!("{id} = {{ between = ['{a}', '{b}'] }}\n");
    }
    read(&text)
}

fn table(name: &str) -> toml::Table {
    let path = format!("tests/reference/graph/{name}.toml");
    toml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// The sets, the plain ids of their parts sorted.
fn parts(state: &LivesByState) -> Vec<Vec<String>> {
    let id = |fault: &String| fault.split(':').next().unwrap().to_owned();
    let sets = state.cut_sets.iter().map(|set| {
        let mut set: Vec<String> = set.faults.iter().map(|alike| id(&alike[0])).collect();
        set.sort();
        set
    });
    let mut sets: Vec<Vec<String>> = sets.collect();
    sets.sort_by_key(|set| (set.len(), set.clone()));
    sets
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-9 * b.abs(), "{a} {b}");
}

fn words(list: &toml::Value) -> Vec<Vec<String>> {
    let word = |value: &toml::Value| match value {
        toml::Value::Integer(number) => number.to_string(),
        other => other.as_str().unwrap().to_owned(),
    };
    let sets = list.as_array().unwrap().iter();
    let mut sets: Vec<Vec<String>> = sets
        .map(|set| set.as_array().unwrap().iter().map(word).collect())
        .collect();
    sets.sort_by_key(|set| (set.len(), set.clone()));
    sets
}

/// Source: `tests/reference/graph/02b_bridge_network.toml` (path and cut sets published, after
/// Barlow and Proschan 1975; polynomial from memory, confirmed there by enumeration of 32 states).
#[test]
fn the_bridge_network() {
    let file = table("02b_bridge_network");
    let edges = file["edges"].as_array().unwrap().iter();
    let edges: Vec<(String, String, String)> = edges
        .map(|edge| {
            let end = |key: &str| edge[key].as_str().unwrap().to_owned();
            (
                edge["id"].as_integer().unwrap().to_string(),
                end("a"),
                end("b"),
            )
        })
        .collect();
    let circuit = ports(&["s", "a", "b", "t"], &edges, "s", "t");
    for at in file["reliability_at_p"].as_array().unwrap() {
        let [p, reliability] = ["p", "R"].map(|key| at[key].as_float().unwrap());
        let bad = format!("port:plugged={}", 1.0 - p);
        let state = ask(&circuit, &[bad], &[Kind::Port]);
        assert_eq!(parts(&state), words(&file["minimal_cut_sets"]));
        assert_eq!(state.method, Method::Exact);
        assert!((1.0 - state.chance - reliability).abs() < 1e-9, "{p}");
    }
    let state = ask(&circuit, &["port:plugged=0.1".to_owned()], &[Kind::Port]);
    let found: BTreeMap<&str, f64> = (state.importance.iter())
        .map(|i| (i.part.id.as_str(), i.birnbaum))
        .collect();
    let expected = file["birnbaum_importance_p09"].as_table().unwrap();
    assert_eq!(found.len(), expected.len());
    for (edge, expected) in expected {
        close(found[edge.as_str()], expected.as_float().unwrap());
    }
    assert!(state.importance.iter().all(|i| !i.assumption));
}

/// Source: `tests/reference/graph/02a_fault_tree_pressure_tank.toml` (reduced tree of NUREG-0492,
/// 1981, ch. VIII, and its probabilities, from memory; exact chance there by enumeration of 64
/// states). The tree as ports that oil passes: T and K2 one after the other, then S beside a
/// branch of S1, K1 and R.
#[test]
fn the_pressure_tank() {
    let file = table("02a_fault_tree_pressure_tank");
    let ways = [
        ("T", "n0", "n1"),
        ("K2", "n1", "n2"),
        ("S", "n2", "n5"),
        ("S1", "n2", "n3"),
        ("K1", "n3", "n4"),
        ("R", "n4", "n5"),
    ];
    // Ids are in small letters.
    let ways = ways.map(|(id, a, b)| (id.to_lowercase(), a.to_owned(), b.to_owned()));
    let circuit = ports(&["n0", "n1", "n2", "n3", "n4", "n5"], &ways, "n0", "n5");
    let likelihoods = file["probability"].as_table().unwrap().iter();
    let likelihoods: Vec<String> = likelihoods
        .map(|(id, p)| format!("{}:plugged={:e}", id.to_lowercase(), p.as_float().unwrap()))
        .collect();
    let state = ask(&circuit, &likelihoods, &[Kind::Port]);
    let mut expected = words(&file["minimal_cut_sets"]);
    for set in &mut expected {
        set.iter_mut().for_each(|id| *id = id.to_lowercase());
        set.sort();
    }
    expected.sort_by_key(|set| (set.len(), set.clone()));
    assert_eq!(parts(&state), expected);
    close(
        state.chance,
        file["top_probability_exact"].as_float().unwrap(),
    );
    // Hand: of 3.5e-5 the share of K2, alone in its set, is 3e-5 to a thousandth.
    let heaviest = &state.importance[0];
    assert_eq!(heaviest.part.id, "k2");
    assert!((heaviest.fussell_vesely - 3.0 / 3.5016).abs() < 1e-3);
}

/// Hand: a port plugged (p) starves alone, as does the passage behind it cracked or plugged.
/// Conditions of one part exclude each other, so with q cracked and r plugged the chance is
/// 1 - (1 - p)(1 - q - r). With the passage bad the chance is 1, with it sound p: Birnbaum
/// 1 - p. Sets with the passage occur with q + r.
#[test]
fn conditions_of_one_part_exclude_each_other() {
    let one = ("feed".to_owned(), "line".to_owned(), "lube".to_owned());
    let circuit = ports(&["line", "lube"], &[one], "line", "lube");
    let (p, q, r) = (0.1, 0.2, 0.3);
    let given = [
        "feed:plugged=0.1",
        "lube:cracked=0.2",
        "passage:plugged=0.3",
        "line:plugged=0",
    ];
    let given = given.map(str::to_owned);
    let state = ask(&circuit, &given, &[Kind::Port, Kind::Passage]);
    // Cracked, the open port and the open crack pull equally: contested, which is not starved.
    let cracked = state
        .cut_sets
        .iter()
        .any(|set| set.faults[0].contains(&"lube:cracked".to_owned()));
    assert!(!cracked && state.undecided.contains(&"lube:cracked".to_owned()));
    let chance = 1.0 - (1.0 - p) * (1.0 - r);
    close(state.chance, chance);
    let lube = state
        .importance
        .iter()
        .find(|i| i.part.id == "lube")
        .unwrap();
    close(lube.likelihood, r);
    close(lube.birnbaum, 1.0 - p);
    close(lube.fussell_vesely, r / chance);
    // Metered, the crack wins.
    let text = oilpath::sheet::write(&circuit).replace("[port", "[orifice");
    let circuit = read(&text);
    let state = ask(&circuit, &given, &[Kind::Orifice, Kind::Passage]);
    let chance = 1.0 - (1.0 - p) * (1.0 - q - r);
    close(state.chance, chance);
    let lube = state
        .importance
        .iter()
        .find(|i| i.part.id == "lube")
        .unwrap();
    close(lube.likelihood, q + r);
    close(lube.birnbaum, 1.0 - p);
    close(lube.fussell_vesely, (q + r) / chance);
    assert_eq!(
        state
            .importance
            .iter()
            .filter(|i| i.likelihood == 0.0)
            .count(),
        1,
        "line"
    );
}

/// Hand: two branches of 25 ports each make 625 pairs, more than are worked out exactly. Of q a
/// port the sum is 625 q², a port bad has 25 pairs with q each, and 1 / 25 of the pairs.
#[test]
fn many_sets_are_summed() {
    let mut ways = Vec::new();
    let mut passages = vec!["s".to_owned(), "t".to_owned()];
    for branch in ["a", "b"] {
        for i in 0..25 {
            let node = |i| format!("{branch}{i}");
            let from = if i == 0 { "s".to_owned() } else { node(i) };
            let to = if i == 24 { "t".to_owned() } else { node(i + 1) };
            if i > 0 {
                passages.push(node(i));
            }
            ways.push((format!("{branch}-{i}"), from, to));
        }
    }
    let passages: Vec<&str> = passages.iter().map(String::as_str).collect();
    let circuit = ports(&passages, &ways, "s", "t");
    let state = ask(&circuit, &["port:plugged=0.001".to_owned()], &[Kind::Port]);
    assert_eq!(
        (state.cut_sets.len(), state.method),
        (625, Method::RareEvent)
    );
    close(state.chance, 625e-6);
    assert_eq!(state.importance.len(), 50);
    for part in &state.importance {
        close(part.birnbaum, 0.025);
        close(part.fussell_vesely, 1.0 / 25.0);
    }
}

#[test]
fn likelihoods_are_given_for_a_fault_a_word_or_a_kind() {
    let circuit = super::support::open("circuits/lessons/check-ball.toml");
    let of = |given: &[&str], fault: &str| {
        let mut likelihoods = Likelihoods::default();
        for text in given {
            likelihoods.give(&circuit, text).unwrap();
        }
        likelihoods.of(&circuit.fault(fault).unwrap())
    };
    let stuck = [
        "lever-valve:stuck=0.5",
        "lever-valve:stuck=free=0.25",
        "valve:stuck=0.75",
    ];
    assert_eq!(of(&stuck, "lever-valve:stuck=free"), 0.25);
    assert_eq!(of(&stuck, "lever-valve:stuck=lift"), 0.5);
    assert_eq!(of(&stuck[2..], "lever-valve:stuck=lift"), 0.75);
    assert_eq!(
        of(&["fill:plugged=0.1", "fill:plugged=1e-3"], "fill:plugged"),
        1e-3
    );
    // Nothing the catalogue knows is without an assumption.
    for fault in circuit.faults() {
        let assumed = Likelihoods::default().of(&fault);
        assert!(0.0 < assumed && assumed < 0.1, "{fault}");
    }
    for wrong in [
        "fill:plugged",
        "fill:plugged=1.5",
        "fill:plugged=-0",
        "fill:plugged=NaN",
    ] {
        let given = Likelihoods::default().give(&circuit, wrong);
        assert_eq!(given.is_err(), wrong != "fill:plugged=-0", "{wrong}");
    }
    let error = |text: &str| {
        Likelihoods::default()
            .give(&circuit, text)
            .unwrap_err()
            .remedy()
    };
    assert!(
        error("fil:plugged=0.1").contains("`fill`"),
        "{}",
        error("fil:plugged=0.1")
    );
    assert!(error("fill:pluged=0.1").contains("`fill:plugged`"));
}
