//! Levels against thresholds taken singly: what settling says a cavity has at each level is what
//! one balance at that level alone makes of the same positions.

mod support;

use std::collections::BTreeSet;

use oilpath::circuit::Level;
use oilpath::net::Stage;
use oilpath::settle::{Course, Value, balance, settle};
use proptest::prelude::*;
use support::{Sketch, name, net, read, sketches};

/// A sketch and what tells levels apart in it, each as it stands in a circuit file.
#[derive(Clone, Debug)]
struct Levelled {
    sketch: Sketch,
    parts: Vec<String>,
    /// How far each of its solenoids is driven.
    driven: Vec<String>,
}

impl Levelled {
    fn text(&self) -> String {
        let text = self.sketch.text(None);
        let state = format!("[state.s]\nlevels = {{ {} }}\n", self.driven.join(", "));
        text.replace("[state.s]\n", &state) + &self.parts.join("\n")
    }
}

/// One part; `i` keeps its name apart. The highest pressure of all is 10 bar at the source.
fn part(i: usize, kind: u8, [a, b, c]: [usize; 3], pick: usize) -> String {
    let [a, b, c] = [a, b, c].map(name);
    let at = ["1 bar", "4 bar", "9.5 bar"][pick];
    match kind {
        0 => format!("[regulator.p{i}]\nholds = '{a}'\nat = '{at}'\nspills = ['{b}', 'sump']"),
        1 => format!("[regulator.p{i}]\nholds = '{a}'\nat = '{at}'\nreduces = '{b}'"),
        2 => format!("[ball.p{i}]\nfrom = '{a}'\nto = 'sump'\nlifts-at = '{at}'"),
        3 => format!("[ball.p{i}]\nfrom = '{a}'\nto = '{b}'\nlifts-at = '{at}'"),
        4 => format!("[ball.p{i}]\nkind = 'shuttle'\ninlets = ['{a}', '{b}']\noutlet = '{c}'"),
        5 => format!("[solenoid.p{i}]\nkind = 'bleed'\non = '{a}'"),
        6 => format!("[solenoid.p{i}]\nkind = 'two-way'\nbetween = ['{a}', '{b}']"),
        7 => format!("[relief.p{i}]\non = '{a}'\nat = '{at}'"),
        _ => format!(
            "[valve.p{i}]\nbore = ['{a}', '{b}', '{c}', 'sump']\n\
             rest = {{ joins = [['{b}', 'sump']], otherwise = true }}\n\
             over = {{ joins = [['{b}', '{c}']], when = '{a}' }}"
        ),
    }
}

const EVERY_KIND: &[u8] = &[0, 1, 2, 3, 4, 5, 6, 7, 8];

fn levelled(kinds: &'static [u8]) -> impl Strategy<Value = Levelled> {
    sketches(8, 0).prop_flat_map(move |sketch| {
        let cavities: Vec<usize> = (1..sketch.cavities).collect();
        let ends = prop::sample::subsequence(cavities, 3).prop_shuffle();
        let drawn = (prop::sample::select(kinds), ends, 0..3usize);
        let parts = prop::collection::vec(drawn, 1..=6);
        (Just(sketch), parts).prop_map(|(sketch, drawn)| {
            let mut held = BTreeSet::new();
            let (mut parts, mut driven) = (Vec::new(), Vec::new());
            parts.push("[regulator.main]\nholds = 'c1'\nat = '10 bar'\nspills = ['sump']".into());
            for (i, (kind, ends, pick)) in drawn.into_iter().enumerate() {
                let ends = [ends[0], ends[1], ends[2]];
                // One regulator a cavity, and none on line but the main one.
                if kind < 2 && (ends[0] == 1 || !held.insert(ends[0])) {
                    continue;
                }
                if matches!(kind, 5 | 6) {
                    driven.push(format!("p{i} = '{}'", ["fill", "low", "full"][pick]));
                }
                parts.push(part(i, kind, ends, pick));
            }
            Levelled {
                sketch,
                parts,
                driven,
            }
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    /// At every end all levels together are what each level makes of itself, and no more than the
    /// levels below make of it.
    #[test]
    fn levels_agree_with_thresholds_taken_singly(levelled in levelled(EVERY_KIND)) {
        let text = levelled.text();
        let circuit = read(&text);
        let net = net(&circuit);
        let stage = Stage::new(&net, &circuit.states["s"], &[]);
        let settled = settle(&stage);
        for end in &settled.ends {
            let singly: Vec<(Level, Vec<Value>)> = net.levels().iter().map(|level| {
                let before = end.pressures.values(*level);
                let scene = stage.scene(&end.held, *level);
                (*level, balance(&scene, Some(&before)).into_values())
            }).collect();
            let mut singly = singly;
            for i in 1..singly.len() {
                for cavity in 0..net.cavity_count() {
                    let (below, here) = (singly[i - 1].1[cavity], singly[i].1[cavity]);
                    let more_than_below = match here {
                        Value::Fed => below != Value::Fed,
                        Value::Undecided => below == Value::Drained,
                        Value::Drained => false,
                    };
                    if more_than_below {
                        singly[i].1[cavity] = below;
                    }
                }
            }
            // In a lap the boosts and sealed cavities of one point belong to the next.
            if !matches!(settled.course, Course::Oscillation { .. }) {
                for (level, values) in &singly {
                    prop_assert_eq!(end.pressures.values(*level), &values[..], "{:?}\n{}", level, text);
                }
                for cavity in net.cavities() {
                    let with = |wanted: fn(Value) -> bool| {
                        let mut levels = Level::Off;
                        for level in [Level::Fill, Level::Low, Level::Full] {
                            // A level nothing tells apart is the next one up that something does.
                            let at = singly.iter().find(|(l, _)| *l >= level).or(singly.last());
                            if wanted(at.unwrap().1[cavity.number()]) { levels = level; }
                        }
                        levels
                    };
                    let span = end.pressures.span(cavity);
                    prop_assert_eq!(span.lowest, with(|v| v == Value::Fed), "{}\n{}", net.name(cavity), text);
                    prop_assert_eq!(span.highest, with(|v| v != Value::Drained), "{}\n{}", net.name(cavity), text);
                }
            }
        }
    }

    /// What has a level has every lower one, and what lacks one lacks every higher.
    #[test]
    fn what_has_a_level_has_every_lower_one(levelled in levelled(EVERY_KIND)) {
        let text = levelled.text();
        let circuit = read(&text);
        let net = net(&circuit);
        let settled = settle(&Stage::new(&net, &circuit.states["s"], &[]));
        for end in &settled.ends {
            for levels in net.levels().windows(2) {
                for cavity in net.cavities() {
                    let at = |level: Level| end.pressures.at_least(level, cavity);
                    let (less, more) = (at(levels[0]), at(levels[1]));
                    let falls = more == Value::Fed && less != Value::Fed
                        || less == Value::Drained && more != Value::Drained;
                    prop_assert!(!falls, "{} has {levels:?} {less:?} {more:?}\n{}", net.name(cavity), text);
                }
            }
        }
    }
}
