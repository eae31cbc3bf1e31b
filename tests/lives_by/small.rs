//! Small circuits that have something of everything a search could trip over: pilots that move
//! valves, bores that decide, plates, a suction side, places that nothing switches, filters and
//! coolers wherever they may sit, and what oil goes round to: reliefs, regulators, a second pump.

use oilpath::circuit::{Circuit, PartName};
use oilpath::net::{Net, User};
use proptest::prelude::*;

use super::support::read;

#[derive(Clone, Debug)]
pub struct Small {
    cavities: usize,
    edges: Vec<(usize, usize, u8)>,
    /// Of each valve the two cavities that it joins, the one that moves it, and whether it shuts
    /// what it joins then.
    valves: Vec<(usize, usize, usize, bool)>,
    roofs: Vec<usize>,
    apart: (usize, usize),
    tap: usize,
    outlet: usize,
    release: Option<usize>,
    by_pressure: bool,
    draws: bool,
    /// Of each filter, cooler or converter the cavities before and behind it.
    through: Vec<(usize, usize)>,
    second: Option<usize>,
    relief: Option<usize>,
    /// What a regulator holds, and what it spills to.
    regulated: Option<(usize, usize)>,
    /// Which of the users of oil is asked about.
    asked: prop::sample::Index,
    /// Where among the parts those begin whose faults are tried.
    from: prop::sample::Index,
}

fn name(cavity: usize) -> String {
    match cavity {
        0 => "sump".to_owned(),
        cavity => format!("c{cavity}"),
    }
}

pub fn small() -> impl Strategy<Value = Small> {
    (4usize..8).prop_flat_map(|cavities| {
        let cavity = 1..cavities;
        let other = 2..cavities;
        let edges = prop::collection::vec((0..cavities, other.clone(), 0u8..6), 3..9);
        let valve = (cavity.clone(), other.clone(), cavity.clone(), any::<bool>());
        let things = (
            prop::collection::vec(valve, 0..3),
            prop::collection::vec(other.clone(), 0..3),
            (cavity.clone(), other.clone()),
            cavity,
            other.clone(),
            prop::option::weighted(0.2, other),
        );
        let rest = (any::<bool>(), any::<bool>(), any::<prop::sample::Index>());
        let round = (
            prop::collection::vec((1..cavities, 0..cavities), 0..4),
            prop::option::weighted(0.3, 2..cavities),
            prop::option::weighted(0.3, 1..cavities),
            prop::option::weighted(0.3, (1..cavities, 2..cavities)),
            any::<prop::sample::Index>(),
        );
        (edges, things, rest, round).prop_map(move |(edges, things, rest, round)| {
            let (valves, roofs, apart, tap, outlet, release) = things;
            let (by_pressure, draws, from) = rest;
            let (through, second, relief, regulated, asked) = round;
            Small {
                cavities,
                edges,
                valves,
                roofs,
                apart,
                tap,
                outlet,
                release: release.filter(|r| *r != outlet && by_pressure),
                by_pressure,
                draws,
                through,
                second,
                relief,
                regulated: regulated.filter(|(holds, to)| holds != to),
                asked,
                from,
            }
        })
    })
}

impl Small {
    pub fn circuit(&self) -> Circuit {
        let passages: Vec<String> = (1..self.cavities).map(|c| format!("'c{c}'")).collect();
        let (suction, draws, strainer) = match self.draws {
            true => (
                ", 'suction'",
                ", draws = 'suction'",
                "[filter]\nstrainer = { between = ['sump', 'suction'] }\n",
            ),
            false => ("", "", ""),
        };
        let mut text = format!(
            "[casting]\nblock = {{ passages = [{}{suction}] }}\n\
             [source]\npump = {{ feeds = 'c1'{draws} }}\n{strainer}[state.s]\n\
             [tap]\ngauge = {{ at = 'c{}' }}\n",
            passages.join(", "),
            self.tap
        );
        let roofs: Vec<String> = self.roofs.iter().map(|c| format!("'c{c}'")).collect();
        let apart = match self.apart {
            (a, b) if a != b => format!("[['c{a}', 'c{b}']]"),
            _ => "[]".to_owned(),
        };
        text += &format!(
            "[plate]\ncover = {{ kind = 'gasket', roofs = [{}], separates = {apart} }}\n",
            roofs.join(", ")
        );
        let kinds = ["port", "orifice", "clearance", "ball"];
        for kind in kinds {
            text += &format!("[{kind}]\n");
            for (i, (a, b, what)) in self.edges.iter().enumerate() {
                let (a, b) = (name(*a), name(*b));
                let row = match (kind, what) {
                    _ if a == b => continue,
                    ("port", 0) | ("orifice", 3) => format!("between = ['{a}', '{b}']"),
                    ("orifice", 1) => format!("between = ['{a}', '{b}'], bore = '1 mm'"),
                    ("orifice", 2) => {
                        format!("between = ['{a}', '{b}'], bore = '2 mm', through = ['cover']")
                    }
                    ("clearance", 4) => format!("between = ['{a}', '{b}']"),
                    ("ball", 5) => format!("from = '{a}', to = '{b}'"),
                    _ => continue,
                };
                text += &format!("e{i} = {{ {row} }}\n");
            }
        }
        for (i, (a, b, pilot, shuts)) in self.valves.iter().enumerate() {
            if a == b {
                continue;
            }
            let not = if *shuts { "not " } else { "" };
            text += &format!(
                "[valve.v{i}]\nbore = ['c{a}', 'c{b}', 'sump']\n\
                 open = {{ joins = [['c{a}', 'c{b}']], when = '{not}c{pilot}' }}\n\
                 shut = {{ joins = [['c{b}', 'sump']], otherwise = true }}\n"
            );
        }
        for (i, (before, behind)) in self.through.iter().enumerate() {
            let kind = ["filter", "cooler", "converter"][i % 3];
            let (before, behind) = (name(*before), name(*behind));
            if before != behind {
                text += &format!("[{kind}.t{i}]\nbetween = ['{before}', '{behind}']\n");
            }
        }
        let second = self
            .second
            .map(|c| format!("[source.second]\nfeeds = 'c{c}'\n"));
        let relief = self
            .relief
            .map(|c| format!("[relief.relief]\non = 'c{c}'\n"));
        let regulated = self.regulated.map(|(holds, to)| {
            format!("[regulator.main]\nholds = 'c{holds}'\nspills = ['c{to}', 'sump']\n")
        });
        text.extend([second, relief, regulated].into_iter().flatten());
        let kind = if self.by_pressure {
            "clutch"
        } else {
            "bearing"
        };
        text += &match self.release {
            Some(release) => format!(
                "[outlet]\nuser = {{ kind = 'servo', apply = 'c{}', release = 'c{release}' }}\n",
                self.outlet
            ),
            None => format!(
                "[outlet]\nuser = {{ kind = '{kind}', at = 'c{}' }}\n",
                self.outlet
            ),
        };
        read(&text)
    }

    /// The user of oil that is asked about: the outlet or what oil passes through. What a pump draws
    /// through has no pressure to lose.
    pub fn user(&self, net: &Net<'_>) -> PartName {
        let drawn =
            |user: User| matches!(user, User::Through { inlet, .. } if net.draws_through(inlet));
        let users = net.outlets().iter().filter(|o| !drawn(o.user));
        let users: Vec<&PartName> = users.map(|o| &o.name).collect();
        users[self.asked.index(users.len())].clone()
    }

    /// Parts, one after the other from some part on, that have no more faults than this between
    /// them.
    pub fn parts(&self, circuit: &Circuit, most: usize) -> Vec<PartName> {
        let all: Vec<PartName> = circuit.parts().map(|(name, _)| name).collect();
        let from = self.from.index(all.len());
        let mut left = most;
        let turned = all[from..].iter().chain(&all[..from]);
        let fitting = turned.filter(|part| {
            let faults = circuit.faults_of(part).len();
            let fits = 0 < faults && faults <= left;
            left -= if fits { faults } else { 0 };
            fits
        });
        fitting.cloned().collect()
    }
}
