//! Held against trying every combination.

use super::super::rule::tests::rules;
use super::super::{Passage, Position, Solenoid, SolenoidKind};
use super::*;
use proptest::prelude::*;

/// Cavities a, b, c, a solenoid s, an input i, a lever with three detents.
fn circuit() -> Circuit {
    let mut circuit = Circuit::default();
    let solenoid = Solenoid {
        kind: SolenoidKind::Plunger,
        normally_open: false,
        driven: None,
        bore: None,
        text: Default::default(),
    };
    for id in ["a", "b", "c"] {
        circuit.passages.insert(id.into(), Passage::default());
    }
    circuit.solenoids.insert("s".into(), solenoid);
    circuit.inputs.insert("i".into(), Default::default());
    circuit.lever = ["N", "D", "R"].map(String::from).to_vec();
    circuit
}

/// A valve whose positions have these rules; `otherwise` stands for itself, nothing for none.
fn valve(rules: &[(&str, &str)]) -> Valve {
    let mut valve = Valve::default();
    for (id, rule) in rules {
        let position = Position {
            when: rule.parse().ok().filter(|_| *rule != "otherwise"),
            otherwise: *rule == "otherwise",
            ..Position::default()
        };
        valve.positions.insert((*id).into(), position);
    }
    valve
}

fn said(rules: &[(&str, &str)]) -> Vec<String> {
    let (circuit, valve) = (circuit(), valve(rules));
    let flaws = flaws(&circuit, &valve);
    let say = |flaw| match flaw {
        Flaw::Overlap { positions, example } => format!("{example}: {}", positions.join(", ")),
        Flaw::Gap { example, .. } => format!("{example}: none"),
        Flaw::TooMany { names } => format!("{names} names"),
    };
    flaws.into_iter().map(say).collect()
}

const SOUND: [String; 0] = [];

#[test]
fn rules_that_leave_one_place_are_sound() {
    assert_eq!(said(&[("low", "otherwise"), ("high", "a")]), SOUND);
    assert_eq!(said(&[("low", "not a"), ("high", "a")]), SOUND);
    // A lever always stands in one of its detents.
    let lever = [("f", "lever.D"), ("n", "lever.N"), ("r", "lever.R")];
    assert_eq!(said(&lever), SOUND);
    assert_eq!(said(&[("f", "lever.D"), ("r", "not lever.D")]), SOUND);
    // A position without any rule is reached by hand or by a fault alone.
    assert_eq!(
        said(&[("low", "otherwise"), ("mid", ""), ("high", "a")]),
        SOUND
    );
    assert_eq!(said(&[("only", "otherwise")]), SOUND);
    // One cavity under two names is one cavity; the sump is never fed.
    assert_eq!(said(&[("x", "a"), ("y", "not passage.a or sump")]), SOUND);
}

#[test]
fn an_example_says_no_more_than_it_takes() {
    let rules = [
        ("rest", "otherwise"),
        ("low", "b and a"),
        ("high", "c or a"),
    ];
    assert_eq!(said(&rules), ["with `b` fed and `a` fed: low, high"]);
    let rules = [("low", "s"), ("high", "not s and not i and lever.D")];
    assert_eq!(said(&rules), ["with no current to `s` and `i` on: none"]);
    let rules = [("low", "a and not a"), ("high", "lever.N or lever.D")];
    let expected = "with `a` fed and the lever in `R`: none";
    assert_eq!(said(&rules), [expected]);
    assert_eq!(said(&[("a", "sump")]), ["whatever holds: none"]);
    let three = [("x", "a"), ("y", "a"), ("z", "not b")];
    assert_eq!(
        said(&three),
        [
            "with `a` fed: x, y",
            "with `a` fed and `b` drained: y, z",
            "with `a` drained and `b` fed: none"
        ]
    );
}

#[test]
fn a_name_that_leads_nowhere_is_left_to_its_own_error() {
    assert_eq!(said(&[("x", "a"), ("y", "zzz")]), SOUND);
    assert_eq!(said(&[("x", "a"), ("y", "lever.P")]), SOUND);
    let mut unread = circuit();
    unread.lever.push(String::new());
    assert_eq!(flaws(&unread, &valve(&[("x", "lever.D")])), []);
}

/// Whether a name holds in one of the 96 combinations.
fn holds(name: &str, combination: usize) -> Truth {
    let bit = |n: usize| combination >> n & 1 == 1;
    let detent = combination / 32;
    match name {
        "a" => bit(0),
        "b" => bit(1),
        "c" => bit(2),
        "s" => bit(3),
        "i" => bit(4),
        "lever.N" => detent == 0,
        "lever.D" => detent == 1,
        _ => detent == 2,
    }
    .into()
}

proptest! {
    #[test]
    fn what_is_said_is_what_trying_every_combination_finds(
        rules in prop::collection::vec(rules("[abcsi]|lever\\.[NDR]"), 1..5), rests: bool,
    ) {
        let mut valve = Valve::default();
        for (n, rule) in rules.iter().enumerate() {
            let position = Position { when: Some(rule.clone()), ..Position::default() };
            valve.positions.insert(n.to_string(), position);
        }
        if rests {
            let rest = Position { otherwise: true, ..Position::default() };
            valve.positions.insert("rest".into(), rest);
        }
        let circuit = circuit();
        let (mut pairs, mut gap) = (Vec::new(), false);
        for flaw in flaws(&circuit, &valve) {
            match flaw {
                Flaw::Overlap { positions, .. } => {
                    pairs.push(positions.map(|p| p.parse::<usize>().unwrap()));
                }
                Flaw::Gap { .. } => gap = true,
                Flaw::TooMany { .. } => prop_assert!(false),
            }
        }
        let mut found_gap = false;
        let mut unsaid = Vec::new();
        let mut both: Vec<[usize; 2]> = Vec::new();
        for combination in 0..96 {
            let here = |r: &usize| rules[*r].truth(&mut |n| holds(n, combination)) == Truth::True;
            let holding: Vec<usize> = (0..rules.len()).filter(here).collect();
            found_gap |= holding.is_empty() && !rests;
            let next = holding.windows(2).map(|w| [w[0], w[1]]);
            unsaid.extend(next.filter(|pair| !pairs.contains(pair)));
            both.extend(pairs.iter().filter(|pair| pair.iter().all(|r| holding.contains(r))));
        }
        prop_assert_eq!(gap, found_gap);
        prop_assert!(unsaid.is_empty(), "{:?}", unsaid);
        prop_assert!(pairs.iter().all(|pair| both.contains(pair)));
    }
}
