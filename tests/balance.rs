//! Balance against a slow solver, against every way an unknown can turn out, and against the
//! published worked cases.

mod support;

use oilpath::circuit::{Level, State};
use oilpath::net::{Held, Net, Stage};
use oilpath::settle::{Balance, Course, Pressures, Value, balance, settle_given, surely};
use proptest::prelude::*;
use serde_json::Value as Json;
use support::{Kind, LINE, SUMP, Sketch, net, read, sketches};

fn settled(net: &Net<'_>, before: Option<&[Value]>) -> Balance {
    let default = State::default();
    let state = net.circuit().states.values().next().unwrap_or(&default);
    let stage = Stage::new(net, state, &[]);
    balance(
        &stage.scene(&stage.fix(Held::unknown(net)), Level::Low),
        before,
    )
}

fn values(sketch: &Sketch, resolved: Option<&[bool]>) -> Vec<Value> {
    let circuit = sketch.circuit(resolved);
    settled(&net(&circuit), None).values().to_vec()
}

/// The reference solver: the same equations as plain loops until nothing changes, one strength
/// after another.
fn slow(sketch: &Sketch) -> Vec<Value> {
    let n = sketch.cavities;
    let rails = [(SUMP, 0), (LINE, 1)];
    let mut possible = [vec![0u8; n], vec![0u8; n]];
    let mut definite = possible.clone();
    let mut sure = vec![0u8; n];
    for (cavity, kind) in rails {
        possible[kind][cavity] = 4;
        definite[kind][cavity] = 4;
        sure[cavity] = 4;
    }
    // (from, to, kind of arrival, strength, known, both ways)
    let mut arcs = Vec::new();
    for e in &sketch.edges {
        let (s, known, both) = (e.kind.strength(), !e.unknown, e.kind.two_way());
        arcs.push((e.from, e.to, 1, s, known, both));
        if e.kind != Kind::Sprung {
            arcs.push((e.to, e.from, 0, s, known, both));
        }
        if both {
            arcs.push((e.to, e.from, 1, s, known, both));
            arcs.push((e.from, e.to, 0, s, known, both));
        }
    }
    let is_rail = |c: usize| c == SUMP || c == LINE;
    for s in [3, 2, 1] {
        let harder = sure.clone();
        loop {
            let was = possible.clone();
            for (from, to, kind, strength, _, _) in &arcs {
                let (from, to, kind) = (*from, *to, *kind);
                if *strength >= s
                    && possible[kind][from] >= s
                    && possible[kind][to] < s
                    && harder[to] <= s
                    && !is_rail(to)
                {
                    possible[kind][to] = s;
                }
            }
            if was == possible {
                break;
            }
        }
        loop {
            let was = (definite.clone(), sure.clone());
            for (from, to, kind, strength, known, both) in &arcs {
                let (from, to, kind) = (*from, *to, *kind);
                if !known || *strength < s || is_rail(to) {
                    continue;
                }
                if definite[kind][from] >= s
                    && definite[kind][to] < s
                    && harder[to] <= s
                    && possible[1 - kind][to] <= s
                {
                    definite[kind][to] = s;
                }
                if definite[kind][to] >= s && sure[to] < s {
                    sure[to] = s;
                }
                if *both && sure[from] >= s && sure[to] < s {
                    sure[to] = s;
                }
            }
            if was == (definite.clone(), sure.clone()) {
                break;
            }
        }
    }
    let stands = |kind: usize, i: usize| match possible[kind][i] {
        push if push < sure[i] => 0,
        push => push,
    };
    let mut values: Vec<Value> = (0..n)
        .map(|i| {
            let least = sure[i].max(1);
            let (mut fed, mut drained) = (possible[1][i] >= least, possible[0][i] >= least);
            if sure[i] == 0 {
                (fed, drained) = (true, true);
            }
            match (fed, drained) {
                (true, false) => Value::Fed,
                (false, true) => Value::Drained,
                _ => Value::Undecided,
            }
        })
        .collect();
    // What a contested cavity alone feeds or drains past a one-way ball is in doubt with it.
    let contested = |i: usize| {
        let both = (stands(0, i), stands(1, i));
        values[i] == Value::Undecided && sure[i] > 0 && both == (sure[i], sure[i])
    };
    if !(0..n).any(contested) {
        return values;
    }
    for (kind, value) in [(1, Value::Fed), (0, Value::Drained)] {
        let mut surely: Vec<bool> = (0..n).map(|i| rails.contains(&(i, kind))).collect();
        for _ in 0..n {
            for (from, to, arc, strength, known, _) in &arcs {
                let arrives = stands(kind, *from).min(*strength) >= stands(kind, *to);
                let goes = *arc == kind && *known && surely[*from] && arrives;
                surely[*to] |= goes && values[*to] == value;
            }
        }
        for i in 0..n {
            if values[i] == value && stands(kind, i) > 0 && !surely[i] {
                values[i] = Value::Undecided;
            }
        }
    }
    values
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn fast_equals_slow(sketch in sketches(9, 4)) {
        prop_assert_eq!(values(&sketch, None), slow(&sketch));
    }

    #[test]
    fn every_definite_value_holds_however_the_unknown_ways_turn_out(sketch in sketches(8, 4)) {
        let open = values(&sketch, None);
        let unknowns = sketch.unknowns();
        for bits in 0..1u32 << unknowns {
            let resolved: Vec<bool> = (0..unknowns).map(|i| bits >> i & 1 == 1).collect();
            let closed = values(&sketch, Some(&resolved));
            for (open, closed) in open.iter().zip(closed) {
                prop_assert!(*open == Value::Undecided || *open == closed);
            }
        }
    }

    #[test]
    fn knowing_more_never_takes_an_answer_back(sketch in sketches(8, 3), open in any::<bool>()) {
        let before = values(&sketch, None);
        let mut known = sketch.clone();
        let Some(at) = known.edges.iter().position(|e| e.unknown) else { return Ok(()); };
        if open { known.edges[at].unknown = false } else { known.edges.remove(at); }
        for (before, after) in before.iter().zip(values(&known, None)) {
            prop_assert!(*before == Value::Undecided || *before == after);
        }
    }
}

/// Source: the idea of R. E. Bryant, IEEE Trans. Computers C-33(2), 1984; cases computed with a
/// solver of its own and brute force, as `tests/reference/graph/06_switch_level.json` says.
#[test]
fn published_switch_level_cases_without_valves() {
    let file: Json =
        serde_json::from_str(include_str!("reference/graph/06_switch_level.json")).unwrap();
    let mut checked = Vec::new();
    for (case, body) in file["case"].as_object().unwrap() {
        if !body["valves"].as_array().unwrap().is_empty() || body["verdict"] != "steady" {
            continue;
        }
        let circuit = read(&switch_level_text(body));
        let net = net(&circuit);
        let letter = |key: &str, cavity: &str| body[key][cavity].as_str().unwrap().to_owned();
        let mut before = vec![Value::Undecided; net.cavity_count()];
        for (i, cavity) in net.cavities().enumerate() {
            let name = net.name(cavity);
            if body["start"].get(name).is_some() {
                before[i] = match letter("start", name).as_str() {
                    "1" => Value::Fed,
                    "0" => Value::Drained,
                    _ => Value::Undecided,
                };
            }
        }
        let oil = settled(&net, Some(&before));
        for cavity in ["a", "b", "c", "d", "e"] {
            let is = shown(oil.value(net.cavity(cavity).unwrap()));
            assert_eq!(is, letter("result", cavity), "{case}: {cavity}");
        }
        checked.push(case.as_str());
    }
    assert_eq!(checked, ["check_trap", "check_trap_X", "contest", "ladder"]);
}

/// A circuit of ports, orifices, clearances and balls for one case; a way in doubt is a valve port
/// whose lever nobody set.
fn switch_level_text(case: &Json) -> String {
    let mut tables: [Vec<String>; 4] = Default::default();
    let mut valves = String::new();
    for (i, edge) in case["edges"].as_array().unwrap().iter().enumerate() {
        let end = |key: &str| match edge[key].as_str().unwrap() {
            "vent" => "sump".to_owned(),
            name => name.to_owned(),
        };
        let (a, b) = (end("a"), end("b"));
        let strength = edge["strength"].as_str().unwrap();
        let between = format!("e{i} = {{ between = ['{a}', '{b}']");
        let (table, row) = match (edge["state"].as_str(), edge["kind"].as_str(), strength) {
            (Some("X"), Some("pipe"), "open") => {
                valves += &format!(
                    "[valve.e{i}]\nbore = ['{a}', '{b}']\nshut = {{ otherwise = true }}\n\
                     open = {{ joins = [['{a}', '{b}']], when = 'lever.A' }}\n"
                );
                continue;
            }
            (Some("on"), Some("check"), "open") => {
                (3, format!("e{i} = {{ from = '{a}', to = '{b}' }}"))
            }
            (Some("on"), Some("pipe"), "open") => (0, format!("{between} }}")),
            (Some("on"), Some("pipe"), "metered") => (1, format!("{between} }}")),
            (Some("on"), Some("pipe"), "leak") => (2, format!("{between} }}")),
            other => panic!("no part for {other:?}"),
        };
        tables[table].push(row);
    }
    for (i, valve) in case["valves"].as_array().unwrap().iter().enumerate() {
        let end = |key: &str| match valve[key].as_str().unwrap() {
            "vent" => "sump".to_owned(),
            name => name.to_owned(),
        };
        assert_eq!(
            (valve["kind"].as_str(), valve["strength"].as_str()),
            (Some("pipe"), Some("open"))
        );
        let (a, b, pilot) = (end("a"), end("b"), end("pilot"));
        let (piloted, rest) = match valve["normally_open"].as_bool() {
            Some(true) => ("", format!("joins = [['{a}', '{b}']], ")),
            _ => ("joins", String::new()),
        };
        let piloted = match piloted {
            "joins" => format!("joins = [['{a}', '{b}']], "),
            _ => String::new(),
        };
        valves += &format!(
            "[valve.v{i}]\nbore = ['{pilot}', '{a}', '{b}', 'sump']\n\
             rest = {{ {rest}otherwise = true }}\npiloted = {{ {piloted}when = '{pilot}' }}\n"
        );
    }
    let kinds = ["port", "orifice", "clearance", "ball"].iter().zip(&tables);
    let parts: String = kinds
        .map(|(kind, rows)| format!("[{kind}]\n{}\n", rows.join("\n")))
        .collect();
    format!(
        "lever = ['A', 'B']\n[casting]\nblock = {{ passages = ['supply', 'a', 'b', 'c', 'd', 'e'] }}\n\
         [source]\npump = {{ feeds = 'supply' }}\n{parts}{valves}[state.s]\n"
    )
}

/// The cases with valves: from a known start the same lap or rest, from an unknown one the same
/// values whatever moves first.
#[test]
fn published_switch_level_cases_with_valves() {
    let file: Json =
        serde_json::from_str(include_str!("reference/graph/06_switch_level.json")).unwrap();
    let mut checked = Vec::new();
    for (case, body) in file["case"].as_object().unwrap() {
        if body["valves"].as_array().unwrap().is_empty() {
            continue;
        }
        let circuit = read(&switch_level_text(body));
        let net = net(&circuit);
        let stage = Stage::new(&net, &circuit.states["s"], &[]);
        let cavities = ["a", "b", "c", "d", "e"].map(|c| net.cavity(c).unwrap());
        let letter = |key: &str, at: usize| body[key][net.name(cavities[at])].as_str().unwrap();
        let steady = body["verdict"] == "steady";
        if (0..5).all(|i| letter("start", i) == "X") {
            let surely = surely(&stage);
            for (i, cavity) in cavities.into_iter().enumerate() {
                let value = surely.at_least(Level::Low, cavity);
                assert_eq!(shown(value), letter("result", i), "{case}");
            }
        } else {
            let mut before = vec![Value::Undecided; net.cavity_count()];
            for (i, cavity) in cavities.into_iter().enumerate() {
                before[cavity.number()] = match letter("start", i) {
                    "1" => Value::Fed,
                    "0" => Value::Drained,
                    _ => Value::Undecided,
                };
            }
            let pressures = Pressures::given(&stage, &before);
            let settled = settle_given(&stage, &pressures);
            assert_eq!(
                matches!(settled.course, Course::Steady),
                steady,
                "{case} {:?}",
                settled.course
            );
            for (i, cavity) in cavities.into_iter().enumerate() {
                // What goes round in a lap has no one value to compare.
                if steady {
                    let value = settled.at_least(Level::Low, cavity);
                    assert_eq!(shown(value), letter("result", i), "{case}");
                }
            }
        }
        checked.push(case.as_str());
    }
    assert_eq!(checked, ["latch", "latch_X", "oscillator", "oscillator_X"]);
}

fn shown(value: Value) -> &'static str {
    match value {
        Value::Fed => "1",
        Value::Drained => "0",
        Value::Undecided => "X",
    }
}
