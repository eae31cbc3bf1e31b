//! From a circuit to its compact graph.

use std::collections::HashMap;

use fixedbitset::FixedBitSet;

use super::arcs::Arcs;
use super::movers::Movers;
use super::{
    Cavity, Gate, Net, NetOutlet, NetSource, Passes, SUMP_CAVITY, Strength, User, Way, WayId,
};
use crate::circuit::{
    BallKind, Circuit, Kind, Level, Part, PartName, Problem, SUMP, Seat, SolenoidKind, Work,
};

/// A circuit that breaks its own rules has no graph.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("the circuit has {} problem(s), the first: {}", .0.len(), .0[0].what)]
pub struct NetError(pub Vec<Problem>);

impl<'c> Net<'c> {
    /// Builds the graph of a circuit.
    ///
    /// # Errors
    /// All [problems](Circuit::problems) of a circuit that has any.
    pub fn new(circuit: &'c Circuit) -> Result<Self, NetError> {
        let problems = circuit.problems();
        if !problems.is_empty() {
            return Err(NetError(problems));
        }
        let mut names = vec![SUMP];
        names.extend(circuit.passages.keys().map(String::as_str));
        let index = names
            .iter()
            .enumerate()
            .map(|(i, name)| (*name, Cavity(i as u32)))
            .collect();
        let mut net = Net {
            circuit,
            names,
            index,
            parts: Vec::new(),
            ways: Vec::new(),
            numbers: HashMap::new(),
            owns: Vec::new(),
            lying: HashMap::new(),
            onward: Arcs::default(),
            inward: Arcs::default(),
            one_way: Vec::new(),
            ungated: Vec::new(),
            gated: Vec::new(),
            highest: super::movers::highest(circuit),
            movers: Movers::default(),
            levels: vec![Level::Low],
            orders: Default::default(),
            sources: Vec::new(),
            outlets: Vec::new(),
            suction: FixedBitSet::new(),
            consumed: FixedBitSet::new(),
        };
        for (name, part) in circuit.parts() {
            net.lay(&name, part);
            net.add(name, part);
        }
        net.link();
        net.movers = Movers::of(&net);
        net.levels = net.distinct_levels();
        net.suction = net.suction_side();
        net.consumed = net.consumed();
        Ok(net)
    }

    fn at(&self, cavity: &str) -> Cavity {
        // The circuit has no problems, so every mention resolves.
        self.cavity(cavity).unwrap_or(SUMP_CAVITY)
    }

    fn add(&mut self, name: PartName, part: Part<'_>) {
        let mut ways = Vec::new();
        let open = |ends| Way {
            ends,
            passes: Passes::Both,
            strength: Strength::Open,
            bore: None,
            part: self.parts.len() as u32,
            gate: Gate::Always,
        };
        match part {
            Part::Port(p) => ways.push(Way {
                bore: p.bore,
                ..open(self.pair(&p.between))
            }),
            Part::Orifice(p) => ways.push(Way {
                strength: Strength::Metered,
                bore: p.bore,
                ..open(self.pair(&p.between))
            }),
            Part::Clearance(p) => ways.push(Way {
                strength: Strength::Leak,
                ..open(self.pair(&p.between))
            }),
            Part::Ball(p) => match &p.kind {
                BallKind::OneWay { from, to, lifts_at } => {
                    let ends = [self.at(from), self.at(to)];
                    let (passes, gate) = match lifts_at {
                        None => (Passes::Forward, Gate::Always),
                        // To the sump it is what a cavity empties past.
                        Some(at) if ends[1] == SUMP_CAVITY => {
                            let leaves = self.left_behind(*at);
                            (Passes::Forward, Gate::Above { leaves })
                        }
                        Some(_) => (Passes::Excess, Gate::Always),
                    };
                    ways.push(Way {
                        passes,
                        gate,
                        bore: p.bore,
                        ..open(ends)
                    });
                }
                BallKind::Shuttle { inlets, outlet } => {
                    let shuttle = self.shuttle_number(&name.id);
                    for (side, inlet) in (0..).zip(inlets) {
                        ways.push(Way {
                            passes: Passes::Forward,
                            gate: Gate::Shuttle { shuttle, side },
                            bore: p.bore,
                            ..open([self.at(inlet), self.at(outlet)])
                        });
                    }
                }
            },
            Part::Regulator(p) => match &p.work {
                Work::Spills(to) => {
                    for cavity in to {
                        ways.push(Way {
                            passes: Passes::Excess,
                            ..open([self.at(&p.holds), self.at(cavity)])
                        });
                    }
                }
                Work::Reduces(from) => {
                    let most = self.working_level(p.at);
                    ways.push(Way {
                        gate: Gate::UpTo { most },
                        ..open([self.at(from), self.at(&p.holds)])
                    });
                }
            },
            Part::Valve(p) => {
                let valve = self.number(Kind::Valve, &name.id);
                for (position, place) in p.positions.values().enumerate() {
                    let gate = Gate::Valve {
                        valve,
                        position: position as u32,
                    };
                    for join in &place.joins {
                        let strength = match join.bore {
                            Some(_) => Strength::Metered,
                            None => Strength::Open,
                        };
                        for pair in join.cavities.windows(2) {
                            ways.push(Way {
                                strength,
                                bore: join.bore,
                                gate,
                                ..open([self.at(&pair[0]), self.at(&pair[1])])
                            });
                        }
                    }
                }
            }
            Part::Solenoid(p) => {
                let open_when_on = !p.normally_open;
                let gate = Gate::Solenoid {
                    solenoid: self.number(Kind::Solenoid, &name.id),
                    open_when_on,
                    // A bleed that current opens lowers what it is on.
                    raises: open_when_on != matches!(p.kind, SolenoidKind::Bleed { .. }),
                };
                let ends = match &p.kind {
                    SolenoidKind::Bleed { on } => Some([self.at(on), SUMP_CAVITY]),
                    SolenoidKind::TwoWay { between } => Some(self.pair(between)),
                    SolenoidKind::Plunger => None,
                };
                ways.extend(ends.map(|ends| Way {
                    bore: p.bore,
                    gate,
                    ..open(ends)
                }));
            }
            Part::Through(p) => {
                let way = WayId(self.ways.len() as u32);
                ways.push(Way {
                    bore: p.bore,
                    ..open(self.pair(&p.between))
                });
                let inlet = self.at(&p.between[0]);
                self.outlets.push(NetOutlet {
                    name: name.clone(),
                    user: User::Through { inlet, way },
                    by_pressure: false,
                });
            }
            Part::Outlet(p) => {
                let user = match &p.seat {
                    Seat::At(at) => User::Leaf(self.at(at)),
                    Seat::TwoSided { apply, release } => User::TwoSided {
                        apply: self.at(apply),
                        release: self.at(release),
                    },
                };
                self.outlets.push(NetOutlet {
                    name: name.clone(),
                    user,
                    by_pressure: p.kind.by_pressure(),
                });
            }
            Part::Source(p) => {
                let draws = p.draws.as_deref().map_or(SUMP_CAVITY, |d| self.at(d));
                self.sources.push(NetSource {
                    name: name.clone(),
                    feeds: self.at(&p.feeds),
                    draws,
                    level: self.working_level(p.pressure),
                });
            }
            // A relief is shut unless something is wrong; the rest are no ways.
            Part::Relief(_)
            | Part::Casting(_)
            | Part::Passage(_)
            | Part::Oil(_)
            | Part::Plate(_)
            | Part::Seal(_)
            | Part::Accumulator(_)
            | Part::Tap(_)
            | Part::Switch(_)
            | Part::Input(_)
            | Part::State(_) => {}
        }
        let start = self.ways.len() as u32;
        // A way from a cavity to itself moves no oil.
        let moving = ways.into_iter().filter(|w| w.ends[0] != w.ends[1]);
        self.ways.extend(moving);
        self.owns.push(start..self.ways.len() as u32);
        self.numbers.insert(name.clone(), self.parts.len() as u32);
        self.parts.push(name);
    }

    fn shuttle_number(&self, id: &str) -> u32 {
        let shuttles = self.circuit.balls.iter();
        let mut shuttles = shuttles.filter(|(_, b)| matches!(b.kind, BallKind::Shuttle { .. }));
        shuttles
            .position(|(ball, _)| ball == id)
            .unwrap_or_default() as u32
    }

    /// Notes on which plates a part lies.
    fn lay(&mut self, name: &PartName, part: Part<'c>) {
        let (through, under, hole_at): (_, _, &[String]) = match part {
            Part::Port(p) => (&p.through, &p.under, &p.hole_at),
            Part::Orifice(p) => (&p.through, &p.under, &p.hole_at),
            Part::Ball(p) => (&p.through, &p.under, &[]),
            _ => return,
        };
        for plate in through.iter().chain(under) {
            if let Ok(plate) = self.circuit.find(plate, &[Kind::Plate]) {
                let lying = self.lying.entry(plate).or_default();
                lying.push((name.clone(), hole_at));
            }
        }
    }

    fn pair(&self, between: &[String; 2]) -> [Cavity; 2] {
        [self.at(&between[0]), self.at(&between[1])]
    }

    fn number(&self, kind: Kind, id: &str) -> u32 {
        let table = match kind {
            Kind::Valve => self.circuit.valves.get_index_of(id),
            _ => self.circuit.solenoids.get_index_of(id),
        };
        table.unwrap_or_default() as u32
    }
}
