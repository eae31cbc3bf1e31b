//! Small circuits made of plain edges, for tests that compare with a slow obvious oracle.
#![allow(dead_code)] // each test file uses its share

pub mod files;
pub mod moving;

use std::fmt::Write;

use oilpath::circuit::Circuit;
use oilpath::net::Net;
use oilpath::sheet;
use proptest::prelude::*;

/// The cavity that stands for the sump in a [`Sketch`].
pub const SUMP: usize = 0;
/// The cavity that the source of a [`Sketch`] feeds.
pub const LINE: usize = 1;

/// What joins two cavities.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Open,
    Metered,
    Leak,
    Check,
    Sprung,
}

impl Kind {
    /// 3 open, 2 metered, 1 leak.
    pub fn strength(self) -> u8 {
        match self {
            Kind::Open | Kind::Check | Kind::Sprung => 3,
            Kind::Metered => 2,
            Kind::Leak => 1,
        }
    }

    pub fn two_way(self) -> bool {
        matches!(self, Kind::Open | Kind::Metered | Kind::Leak)
    }
}

/// One way of a sketch.
#[derive(Clone, Copy, Debug)]
pub struct Edge {
    pub from: usize,
    pub to: usize,
    pub kind: Kind,
    /// Whether it may as well be shut.
    pub unknown: bool,
}

/// A circuit of numbered cavities: 0 the sump, 1 fed by a source.
#[derive(Clone, Debug)]
pub struct Sketch {
    pub cavities: usize,
    pub edges: Vec<Edge>,
}

pub fn name(cavity: usize) -> String {
    if cavity == SUMP {
        "sump".to_owned()
    } else {
        format!("c{cavity}")
    }
}

impl Sketch {
    /// The circuit file. An unknown edge is a valve port whose lever nobody set; `resolved` sets
    /// each unknown edge, in order, open or shut by hand.
    pub fn text(&self, resolved: Option<&[bool]>) -> String {
        let mut tables: [String; 5] = Default::default();
        let mut unknown = Vec::new();
        for (i, edge) in self.edges.iter().enumerate() {
            let (a, b) = (name(edge.from), name(edge.to));
            if edge.unknown {
                let bore = if edge.kind == Kind::Metered {
                    ", bore = '1 mm'"
                } else {
                    ""
                };
                unknown.push(i);
                writeln!(
                    tables[4],
                    "[valve.e{i}]\nbore = ['{a}', '{b}']\n\
                     open = {{ joins = [{{ between = ['{a}', '{b}']{bore} }}], when = 'lever.A' }}\n\
                     shut = {{ joins = [], otherwise = true }}"
                )
                .unwrap();
                continue;
            }
            let (table, row) = match edge.kind {
                Kind::Open => (0, format!("between = ['{a}', '{b}']")),
                Kind::Metered => (1, format!("between = ['{a}', '{b}']")),
                Kind::Leak => (2, format!("between = ['{a}', '{b}']")),
                Kind::Check => (3, format!("from = '{a}', to = '{b}'")),
                Kind::Sprung => (3, format!("from = '{a}', to = '{b}', lifts-at = '2 bar'")),
            };
            writeln!(tables[table], "e{i} = {{ {row} }}").unwrap();
        }
        let names: Vec<String> = (1..self.cavities)
            .map(|c| format!("'{}'", name(c)))
            .collect();
        let mut text = format!(
            "lever = ['A', 'B']\n[casting]\nblock = {{ passages = [{}] }}\n[source]\npump = {{ feeds = 'c1' }}\n[state.s]\n",
            names.join(", ")
        );
        if let Some(open) = resolved {
            for (edge, open) in unknown.iter().zip(open) {
                let position = if *open { "open" } else { "shut" };
                writeln!(text, "valves.e{edge} = '{position}'").unwrap();
            }
        }
        for (kind, table) in ["port", "orifice", "clearance", "ball"].iter().zip(&tables) {
            write!(text, "[{kind}]\n{table}").unwrap();
        }
        text.push_str(&tables[4]);
        text
    }

    pub fn circuit(&self, resolved: Option<&[bool]>) -> Circuit {
        read(&self.text(resolved))
    }

    pub fn unknowns(&self) -> usize {
        self.edges.iter().filter(|e| e.unknown).count()
    }
}

/// Reads a circuit that must be sound.
pub fn read(text: &str) -> Circuit {
    match sheet::read(text) {
        Ok(sheet) => sheet.circuit,
        Err(refusal) => panic!("{refusal}\n{text}"),
    }
}

/// Builds the net of a circuit and has it check itself.
pub fn net(circuit: &Circuit) -> Net<'_> {
    let net = Net::new(circuit).unwrap();
    assert_eq!(net.verify(), Vec::<String>::new());
    net
}

/// Sketches of 4 to `most` cavities; up to `unknown` ways that may be shut, never one-way ones.
pub fn sketches(most: usize, unknown: usize) -> impl Strategy<Value = Sketch> {
    let kind = prop_oneof![
        3 => Just(Kind::Open),
        3 => Just(Kind::Metered),
        2 => Just(Kind::Leak),
        3 => Just(Kind::Check),
        1 => Just(Kind::Sprung),
    ];
    (4..=most).prop_flat_map(move |cavities| {
        let ends =
            (0..cavities, 0..cavities - 1).prop_map(move |(a, b)| (a, (a + 1 + b) % cavities));
        let edge = (ends, kind.clone()).prop_map(|((from, to), kind)| Edge {
            from,
            to,
            kind,
            unknown: false,
        });
        let edges = prop::collection::vec(edge, cavities..=2 * cavities);
        let marks = prop::collection::vec(any::<prop::sample::Index>(), 0..=unknown);
        (edges, marks).prop_map(move |(mut edges, marks)| {
            for mark in marks {
                let at = mark.index(edges.len());
                if edges[at].kind.two_way() {
                    // A valve port with no bore is open, with one metered: it cannot be a leak.
                    if edges[at].kind == Kind::Leak {
                        edges[at].kind = Kind::Open;
                    }
                    edges[at].unknown = true;
                }
            }
            Sketch { cavities, edges }
        })
    })
}

/// The circuit of a file.
pub fn open(path: &str) -> Circuit {
    match sheet::open(std::path::Path::new(path)) {
        Ok(sheet) => sheet.circuit,
        Err(refusal) => panic!("{refusal}"),
    }
}

/// Every circuit that comes with the program, by its path.
pub fn every_circuit() -> Vec<(String, Circuit)> {
    let paths = files::circuit_files("circuits").into_iter();
    let paths: Vec<String> = paths
        .map(|path| path.to_str().unwrap().to_owned())
        .collect();
    assert!(paths.len() >= 10);
    let open = |path: String| {
        let circuit = open(&path);
        (path, circuit)
    };
    paths.into_iter().map(open).collect()
}
