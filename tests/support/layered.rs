//! Large made-up circuits: layers of cavities, each fed from a few layers above it.
//!
//! Seeded, so that a size and a seed always give the same circuit.

use oilpath::circuit::{
    Ball, BallKind, Casting, Circuit, Clearance, Join, Orifice, Outlet, OutletKind, Passage, Port,
    Position, Rule, Seat, Source, Valve,
};

/// What the ways of a layered circuit are.
#[derive(Clone, Copy, PartialEq, Eq)]
#[allow(dead_code)] // each user takes its share
pub enum Ways {
    /// Check balls only: a directed graph.
    Balls,
    /// Ports, orifices, balls and clearances, some open to the sump.
    Mixed,
    /// The same, but to the sump there are clearances only: nearly every cavity is fed.
    Tight,
}

/// A small generator of even numbers (xorshift64*), so that sizes never depend on a library.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    pub fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) as usize % n
    }
}

/// A circuit of `size` cavities in layers of its square root: parents one to three layers up and
/// up to eight lanes aside, 1.47 ways a cavity, one way in a hundred backwards, an outlet at one
/// cavity in twenty.
pub fn circuit(size: usize, ways: Ways, seed: u64) -> Circuit {
    let mut dice = Dice::new(seed);
    let width = (size as f64).sqrt().ceil() as usize;
    let name = |i: usize| format!("c{i}");
    let mut circuit = Circuit {
        title: Some(format!("{size} cavities in layers")),
        ..Circuit::default()
    };
    circuit.castings.insert("block".into(), Casting::default());
    for i in 0..size {
        let passage = Passage {
            casting: "block".into(),
            ..Passage::default()
        };
        circuit.passages.insert(name(i), passage);
    }
    let source = Source {
        feeds: name(0),
        ..Source::default()
    };
    circuit.sources.insert("pump".into(), source);
    for i in 1..size {
        let parents = 1 + usize::from(dice.below(100) < 46);
        for _ in 0..parents {
            let (layer, lane) = (i / width, i % width);
            let up = (layer.saturating_sub(1 + dice.below(3))) * width;
            let aside = (lane + dice.below(17)).saturating_sub(8).min(width - 1);
            let parent = if layer == 0 {
                i - 1
            } else {
                (up + aside).min(i - 1)
            };
            let backwards = dice.below(100) == 0;
            let (from, to) = if backwards { (i, parent) } else { (parent, i) };
            join(&mut circuit, &mut dice, ways, name(from), name(to));
        }
        if ways == Ways::Mixed && dice.below(40) == 0 {
            join(&mut circuit, &mut dice, ways, name(i), "sump".into());
        }
        if ways == Ways::Tight && dice.below(40) == 0 {
            let clearance = Clearance {
                between: [name(i), "sump".into()],
                ..Clearance::default()
            };
            circuit.clearances.insert(format!("leak-{i}"), clearance);
        }
        if dice.below(20) == 0 {
            let outlet = Outlet {
                kind: OutletKind::Clutch,
                seat: Seat::At(name(i)),
                needs: None,
                volume: None,
                spring: None,
                stroked_at: None,
                bore: None,
                text: Default::default(),
            };
            circuit.outlets.insert(format!("o{i}"), outlet);
        }
    }
    circuit
}

/// The same with valves: four that the source's own cavity opens, all in the first round, and four
/// in a row, each opened by what the one before lets through, one a round. Each lets the source's
/// oil to some cavity of the layers.
#[allow(dead_code)] // each user takes its share
pub fn with_valves(size: usize, ways: Ways, seed: u64) -> Circuit {
    let mut circuit = circuit(size, ways, seed);
    for i in 0..8 {
        let out = format!("valve-{i}-out");
        let pilot = match i {
            0..=3 => "c0".to_owned(),
            _ => format!("valve-{}-out", i - 1),
        };
        let passage = Passage {
            casting: "block".into(),
            ..Passage::default()
        };
        circuit.passages.insert(out.clone(), passage);
        let join = |cavities: [&str; 2]| Join {
            cavities: cavities.map(str::to_owned).to_vec(),
            bore: None,
        };
        let position = |joins, when, otherwise| Position {
            joins,
            when,
            otherwise,
            text: Default::default(),
        };
        let opens = vec![join(["c0", &out])];
        let rule = Some(Rule::Name(pilot.clone()));
        let positions = [
            ("shut", position(vec![join([&out, "sump"])], None, true)),
            ("open", position(opens, rule, false)),
        ];
        let positions = positions.map(|(name, position)| (name.to_owned(), position));
        let valve = Valve {
            bore: vec![pilot, "c0".into(), out.clone(), "sump".into()],
            positions: positions.into_iter().collect(),
            ..Valve::default()
        };
        circuit.valves.insert(format!("valve-{i}"), valve);
        let hole = Orifice {
            between: [out, format!("c{}", (i + 1) * size / 9)],
            ..Orifice::default()
        };
        circuit.orifices.insert(format!("valve-{i}-hole"), hole);
    }
    circuit
}

fn join(circuit: &mut Circuit, dice: &mut Dice, ways: Ways, from: String, to: String) {
    let pick = if ways == Ways::Balls {
        99
    } else {
        dice.below(100)
    };
    let between = [from, to];
    let id = format!(
        "w{}",
        circuit.ports.len()
            + circuit.orifices.len()
            + circuit.clearances.len()
            + circuit.balls.len()
    );
    match pick {
        0..50 => {
            let port = Port {
                between,
                ..Port::default()
            };
            circuit.ports.insert(id, port);
        }
        50..75 => {
            let orifice = Orifice {
                between,
                ..Orifice::default()
            };
            circuit.orifices.insert(id, orifice);
        }
        75..80 => {
            let clearance = Clearance {
                between,
                ..Clearance::default()
            };
            circuit.clearances.insert(id, clearance);
        }
        _ => {
            let [from, to] = between;
            let ball = Ball {
                kind: BallKind::OneWay {
                    from,
                    to,
                    lifts_at: None,
                },
                bore: None,
                through: Vec::new(),
                under: None,
                text: Default::default(),
            };
            circuit.balls.insert(id, ball);
        }
    }
}
