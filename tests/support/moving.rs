//! Small circuits in which oil moves things: sketches with piloted valves, shuttle balls,
//! regulators, a solenoid and seals on top.

use std::fmt::Write;

use proptest::prelude::*;

use super::{Kind, LINE, SUMP, Sketch, name, sketches};

/// What moves, on top of a sketch.
#[derive(Clone, Debug)]
pub struct Moving {
    sketch: Sketch,
    valves: Vec<Valve>,
    /// Inlets and outlet.
    shuttles: Vec<[usize; 3]>,
    regulators: Vec<Regulator>,
    seals: Vec<[usize; 2]>,
    /// What the solenoid's bleed is on.
    bleed: usize,
}

#[derive(Clone, Debug)]
struct Valve {
    /// The ways it joins in each of its places.
    joins: [[usize; 2]; 3],
    pilots: [usize; 2],
    rule: Rule,
    /// Whether it does what a relay does: at rest it lets go of a cavity of its own, over it
    /// feeds that.
    relay: bool,
    /// Whether line or what an earlier valve feeds moves it, so that it hardly hunts.
    follows: bool,
    bore: bool,
}

#[derive(Clone, Copy, Debug)]
enum Rule {
    One,
    Not,
    Both,
    Either,
    Solenoid,
    Three,
    /// No position is its rest.
    Restless,
}

#[derive(Clone, Debug)]
struct Regulator {
    holds: usize,
    other: usize,
    boost: usize,
    reduces: bool,
    low: bool,
}

impl Moving {
    /// The circuit file: states `s` and `t`, the second with the solenoid half driven.
    pub fn text(&self) -> String {
        let mut text = self.sketch.text(None);
        // Parts of one kind share a table with the sketch, so each has a header of its own.
        for (i, valve) in self.valves.iter().enumerate() {
            let [p, q] = valve.pilots.map(name);
            let bore = if valve.bore { ", bore = '1 mm'" } else { "" };
            let joins = valve.joins.map(|ends| {
                let [a, b] = ends.map(name);
                format!("joins = [{{ between = ['{a}', '{b}']{bore} }}]")
            });
            let [rest, over, far] = &joins;
            let ends = valve
                .joins
                .iter()
                .flatten()
                .map(|c| format!("'{}'", name(*c)));
            let ends: Vec<String> = ends.collect();
            writeln!(
                text,
                "[valve.v{i}]\nbore = ['{p}', {}, '{q}']\nspring = '{q}'",
                ends.join(", ")
            )
            .unwrap();
            let (rest_when, when) = match valve.rule {
                Rule::One | Rule::Three => ("otherwise = true".to_owned(), p.clone()),
                Rule::Not => ("otherwise = true".to_owned(), format!("not {p}")),
                Rule::Both => ("otherwise = true".to_owned(), format!("{p} and not {q}")),
                Rule::Either => ("otherwise = true".to_owned(), format!("{p} or {q}")),
                Rule::Solenoid => ("otherwise = true".to_owned(), format!("{p} or coil")),
                Rule::Restless => (format!("when = 'not {p}'"), p.clone()),
            };
            writeln!(text, "rest = {{ {rest}, {rest_when} }}").unwrap();
            match valve.rule {
                Rule::Three => {
                    writeln!(text, "over = {{ {over}, when = '{p} and not {q}' }}").unwrap();
                    writeln!(text, "far = {{ {far}, when = '{q} and not {p}' }}").unwrap();
                }
                _ => writeln!(text, "over = {{ {over}, when = '{when}' }}").unwrap(),
            }
        }
        for (i, cavities) in self.shuttles.iter().enumerate() {
            let [a, b, outlet] = cavities.map(name);
            writeln!(
                text,
                "[ball.s{i}]\nkind = 'shuttle'\ninlets = ['{a}', '{b}']\noutlet = '{outlet}'"
            )
            .unwrap();
        }
        for (i, regulator) in self.regulators.iter().enumerate() {
            let [holds, other] = [regulator.holds, regulator.other].map(name);
            let at = if regulator.low { "5 bar" } else { "12 bar" };
            let work = match regulator.reduces {
                true => format!("reduces = '{other}'"),
                false => format!("spills = ['{other}', 'sump']"),
            };
            writeln!(
                text,
                "[regulator.r{i}]\nholds = '{holds}'\nat = '{at}'\n{work}\nboost = {{ {} = '3 bar' }}",
                name(regulator.boost)
            )
            .unwrap();
        }
        for (i, ends) in self.seals.iter().enumerate() {
            let [a, b] = ends.map(name);
            writeln!(text, "[seal.k{i}]\nkind = 'ring'\nbetween = ['{a}', '{b}']").unwrap();
        }
        writeln!(
            text,
            "[solenoid.coil]\nkind = 'bleed'\non = '{}'\nbore = '1.5 mm'",
            name(self.bleed)
        )
        .unwrap();
        let boosts = match self.regulators.is_empty() {
            true => "",
            false => "boosts = ['r0']\n",
        };
        write!(
            text,
            "[state.t]\nlever = 'A'\nlevels = {{ coil = 'low' }}\n{boosts}"
        )
        .unwrap();
        text
    }
}

/// Circuits of 4 to `most` cavities with one to five valves.
pub fn moving(most: usize) -> impl Strategy<Value = Moving> {
    sketches(most, 0).prop_flat_map(|mut sketch| {
        // Room for a cavity of its own beside each valve.
        sketch.cavities += 4;
        let cavities = sketch.cavities;
        // Few ways that never move, narrower where oil is made and where it ends, or hardly a pilot
        // could be decided.
        sketch.edges.truncate(cavities / 2);
        for edge in &mut sketch.edges {
            edge.kind = match [edge.from, edge.to] {
                ends if ends.contains(&SUMP) => Kind::Leak,
                ends if ends.contains(&LINE) => Kind::Metered,
                _ => edge.kind,
            };
        }
        let pair = move || {
            (0..cavities, 0..cavities - 1).prop_map(move |(a, b)| [a, (a + 1 + b) % cavities])
        };
        let inner = 1..cavities;
        let rule = prop_oneof![
            3 => Just(Rule::One),
            2 => Just(Rule::Not),
            2 => Just(Rule::Both),
            1 => Just(Rule::Either),
            1 => Just(Rule::Solenoid),
            2 => Just(Rule::Three),
            1 => Just(Rule::Restless),
        ];
        let piloted = (inner.clone(), 0..cavities - 2).prop_map(move |(p, q)| {
            let q = (p + q) % (cavities - 1) + 1;
            [p, q]
        });
        let joins = [pair(), pair(), pair()];
        let chances = [0.8, 0.9, 0.1].map(prop::bool::weighted);
        let valve = (joins, piloted, rule, chances);
        let valve = valve.prop_map(|(joins, pilots, rule, [relay, follows, bore])| Valve {
            joins,
            pilots,
            rule,
            relay,
            follows,
            bore,
        });
        let shuttle = Just((1..cavities).collect::<Vec<_>>())
            .prop_shuffle()
            .prop_map(|all| [all[0], all[1], all[2]]);
        let regulator = (
            inner.clone(),
            0..cavities - 2,
            inner.clone(),
            any::<[bool; 2]>(),
        );
        let regulator =
            regulator.prop_map(move |(holds, other, boost, [reduces, low])| Regulator {
                holds,
                other: (holds + other) % (cavities - 1) + 1,
                boost,
                reduces,
                low,
            });
        (
            Just(sketch),
            prop::collection::vec(valve, 1..=5),
            prop::collection::vec(shuttle, 0..=1),
            prop::collection::vec(regulator, 0..=1),
            prop::collection::vec(pair(), 0..=2),
            inner,
        )
            .prop_map(|(sketch, mut valves, shuttles, regulators, seals, bleed)| {
                for (own, valve) in (LINE + 1..).zip(&mut valves) {
                    if valve.relay {
                        valve.joins[0] = [own, SUMP];
                        valve.joins[1] = [LINE, own];
                    }
                    if valve.follows {
                        valve.pilots[0] = LINE + valve.pilots[0] % (own - LINE);
                    }
                }
                Moving {
                    sketch,
                    valves,
                    shuttles,
                    regulators,
                    seals,
                    bleed,
                }
            })
    })
}
