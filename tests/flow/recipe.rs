//! Generated networks: what a person could draw, and worse.

use oilpath::flow::law::{
    Bleed, Boost, Film, OneWay, Opening, Orifice, Passage, Pump, Reducing, Regulator, Relief,
    SEATED_LEAK,
};
use oilpath::flow::{Fluid, Network, Node, Oil, Way};
use oilpath::units::{Displacement, Flow, Speed};

use crate::bench::{celsius, m, orifice, pa, passage, round};

/// A network written down, so that it can be built in any order.
pub struct Recipe {
    /// Fixed pressures, or none where sought.
    pub nodes: Vec<Option<f64>>,
    pub ways: Vec<(usize, usize, Piece)>,
}

#[derive(Clone)]
pub enum Piece {
    Orifice(Orifice),
    Passage(Passage),
    Film(Film),
    Ball(OneWay),
    Relief(Relief),
    Pump(Pump),
    Regulator(Regulator, Vec<(usize, Boost)>),
}

/// Numbers that look random: Steele, Lea & Flood's SplitMix64 (OOPSLA 2014).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    /// From 0 to 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Sizes: as many from 1 to 2 as from 2 to 4.
    fn size(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.share())
    }

    fn chance(&mut self, of: f64) -> bool {
        self.share() < of
    }

    pub fn shuffled(&mut self, count: usize) -> Vec<usize> {
        let mut order: Vec<usize> = (0..count).collect();
        for i in (1..count).rev() {
            order.swap(i, self.below(i + 1));
        }
        order
    }
}

impl Recipe {
    /// A tree from the line outwards with a fifth of chords, oil from −20 to 150 °C; leaves are dead
    /// ends or run to the sump. `regulators` adds such as have no content: they spill to and reduce
    /// for cavities whose pressure is sought, and others boost them.
    pub fn new(dice: &mut Dice, regulators: bool) -> Recipe {
        let oil = Oil::generic()
            .at(celsius(dice.between(-20.0, 150.0)))
            .unwrap();
        let count = dice.size(4.0, 401.0) as usize;
        let mut recipe = Recipe {
            nodes: vec![Some(0.0)],
            ways: Vec::new(),
        };
        let line = 1;
        if dice.chance(0.7) {
            recipe.nodes.push(None);
            recipe.ways.push((0, line, Piece::Pump(pump(dice))));
            let to_sump = match dice.below(3) {
                0 => Piece::Orifice(orifice(dice.size(1e-3, 4e-3), 1e-3, 0.65, oil)),
                1 => Piece::Relief(relief(dice, 20e5)),
                _ => Piece::Regulator(bleed(dice, oil).into(), vec![]),
            };
            recipe.ways.push((line, 0, to_sump));
        } else {
            recipe.nodes.push(Some(dice.between(2e5, 20e5)));
        }
        while recipe.nodes.len() < count {
            let from = 1 + dice.below(recipe.nodes.len() - 1);
            let to = recipe.nodes.len();
            recipe.nodes.push(None);
            let piece = piece(dice, oil);
            recipe.ways.push(turned(dice, from, to, piece));
            if dice.chance(0.2) {
                let (from, piece) = (dice.below(to), self::piece(dice, oil));
                recipe.ways.push(turned(dice, from, to, piece));
            }
            if dice.chance(0.25) {
                let drain = orifice(dice.size(3e-4, 3e-3), 1e-3, 0.65, oil);
                recipe.ways.push((to, 0, Piece::Orifice(drain)));
            }
        }
        if regulators {
            for _ in 0..1 + count / 20 {
                recipe.regulate(dice, oil);
            }
        }
        recipe
    }

    fn regulate(&mut self, dice: &mut Dice, oil: Fluid) {
        let node = |dice: &mut Dice| dice.below(self.nodes.len());
        let boosts: Vec<(usize, Boost)> = (0..dice.below(3))
            .map(|_| {
                let boost = if dice.chance(0.5) {
                    Boost::pilot(dice.between(0.0, 1.0))
                } else {
                    Boost::when_up(pa(dice.between(0.0, 6e5)), pa(dice.size(0.5e5, 6e5)))
                };
                (node(dice), boost.unwrap())
            })
            .collect();
        let [a, b, c] = [(); 3].map(|()| node(dice));
        let edge = |dice: &mut Dice| orifice(dice.size(1e-3, 6e-3), 1e-3, 0.65, oil);
        let opening = opening(dice);
        let leak = if dice.chance(0.5) { SEATED_LEAK } else { 1e-12 };
        if dice.chance(0.5) {
            let law = Reducing::new(opening, edge(dice), leak).unwrap();
            self.ways.push((a, b, Piece::Regulator(law.into(), boosts)));
        } else {
            let edges = [(); 3].map(|()| edge(dice));
            let edges = Bleed::in_order(opening, &edges, leak).unwrap();
            for (edge, to) in edges.into_iter().zip([b, c, 0]) {
                let piece = Piece::Regulator(edge.into(), boosts.clone());
                self.ways.push((a, to, piece));
            }
        }
    }

    /// Builds it with nodes and ways in some order; nodes and ways as numbered here.
    pub fn build(&self, dice: Option<&mut Dice>) -> (Network, Vec<Node>, Vec<Way>) {
        let (by_node, by_way) = match dice {
            Some(dice) => (
                dice.shuffled(self.nodes.len()),
                dice.shuffled(self.ways.len()),
            ),
            None => (
                (0..self.nodes.len()).collect(),
                (0..self.ways.len()).collect::<Vec<_>>(),
            ),
        };
        let mut network = Network::default();
        let mut nodes = vec![None; self.nodes.len()];
        for i in by_node {
            nodes[i] = Some(match self.nodes[i] {
                Some(pressure) => network.fixed(pressure),
                None => network.free(0.0),
            });
        }
        let nodes: Vec<Node> = nodes.into_iter().flatten().collect();
        let mut ways = vec![None; self.ways.len()];
        for i in by_way {
            let (from, to, piece) = &self.ways[i];
            let (from, to) = (nodes[*from], nodes[*to]);
            ways[i] = Some(match piece {
                Piece::Orifice(law) => network.way(from, to, *law),
                Piece::Passage(law) => network.way(from, to, *law),
                Piece::Film(law) => network.way(from, to, *law),
                Piece::Ball(law) => network.way(from, to, *law),
                Piece::Relief(law) => network.way(from, to, *law),
                Piece::Pump(law) => network.way(from, to, *law),
                Piece::Regulator(regulator, boosts) => {
                    let boosts: Vec<_> = boosts.iter().map(|(n, b)| (nodes[*n], *b)).collect();
                    network.regulator(from, to, *regulator, &boosts)
                }
            });
        }
        (network, nodes, ways.into_iter().flatten().collect())
    }
}

impl Piece {
    pub fn is_pump(&self) -> bool {
        matches!(self, Piece::Pump(_))
    }
}

fn turned(dice: &mut Dice, from: usize, to: usize, piece: Piece) -> (usize, usize, Piece) {
    if dice.chance(0.8) {
        (from, to, piece)
    } else {
        (to, from, piece)
    }
}

/// Anything that is a law.
fn piece(dice: &mut Dice, oil: Fluid) -> Piece {
    let (bore, share) = (dice.size(4e-4, 6e-3), dice.share());
    match dice.below(10) {
        0..4 => Piece::Orifice(orifice(bore, bore * share, 0.65, oil)),
        4..6 => {
            let length = 0.01 + 0.2 * share;
            Piece::Passage(passage(round(bore), length, bore * 0.01, 2.0 * share, oil))
        }
        6 => {
            let gap = m(1e-5 + 1e-4 * share);
            Piece::Film(Film::plate_hole(gap, m(bore), m(3.0 * bore), oil).unwrap())
        }
        7 | 8 => {
            let seat = orifice(bore, 0.0, 0.6, oil);
            let lifts_at = if dice.chance(0.5) { 0.0 } else { 3e5 * share };
            Piece::Ball(OneWay::new(seat, pa(lifts_at), SEATED_LEAK).unwrap())
        }
        _ => Piece::Relief(relief(dice, 8e5)),
    }
}

fn relief(dice: &mut Dice, most: f64) -> Relief {
    let flow = Flow::from_m3_per_s(dice.size(1e-5, 1e-3));
    let set = dice.between(0.05, 1.0) * most;
    Relief::new(pa(set), pa(0.05 * set), flow, SEATED_LEAK).unwrap()
}

fn opening(dice: &mut Dice) -> Opening {
    let set = dice.between(1e5, 16e5);
    Opening::new(pa(set), pa(dice.size(0.02, 0.1) * set)).unwrap()
}

fn bleed(dice: &mut Dice, oil: Fluid) -> Bleed {
    let wide = orifice(dice.size(2e-3, 8e-3), 1e-3, 0.65, oil);
    Bleed::new(opening(dice), wide, SEATED_LEAK).unwrap()
}

fn pump(dice: &mut Dice) -> Pump {
    let speed = Speed::from_rad_per_s(dice.between(50.0, 600.0));
    let pump = Pump::new(Displacement::from_m3_per_rad(2e-6), speed).unwrap();
    let leakage = Flow::from_m3_per_s(dice.size(1e-6, 1e-4));
    pump.leaking(leakage, pa(10e5)).unwrap()
}
