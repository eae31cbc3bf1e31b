//! Each kind of part as an item, and the cavities it joins.

use super::detail::Detail;
use super::{Item, Passing, Shape, Spool, Tank};
use crate::circuit::{
    BallKind, Circuit, Kind, Part, PartName, Seat, SolenoidKind, Through, Valve, Work,
};
use crate::draw::label;
use crate::net::{Cavity, Net, SUMP_CAVITY};

/// Widest line of a label, as a multiple of its size.
const WIDEST: f64 = 9.6;

/// Widest detail, as a multiple of its size.
const WIDEST_DETAIL: f64 = 14.0;
/// Widest tag, as a multiple of its size.
const WIDEST_TAG: f64 = 3.9;

/// Where a part meets a cavity.
#[derive(Clone, Debug)]
pub(super) struct Joint {
    pub cavity: Cavity,
    pub part: usize,
    pub tag: String,
    pub toward: Toward,
    /// Whether it only pushes and passes no oil.
    pub pushes: bool,
}

/// Which way oil goes at a joint by the part's own kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Toward {
    Cavity,
    Part,
    Either,
}

/// Items and joints as they are found.
pub(super) struct Bench<'n> {
    pub net: &'n Net<'n>,
    pub items: Vec<Item>,
    pub joints: Vec<Joint>,
    pub detail: Detail<'n>,
}

impl<'n> Bench<'n> {
    /// An item with nothing known of it but its name and shape.
    pub fn item(&self, name: &PartName, key: String, shape: Shape) -> Item {
        Item {
            name: name.clone(),
            key,
            shape,
            label: label::lines(self.circuit().label(name), WIDEST),
            detail: self
                .detail
                .short(name)
                .map(|d| label::cut(&d, WIDEST_DETAIL)),
            title: self.detail.full(name),
            casting: None,
            role: None,
            tank: None,
            plates: Vec::new(),
            chips: Vec::new(),
            passing: Passing::Open,
            fault: None,
            verdict: None,
            steps: Vec::new(),
            cut: false,
        }
    }

    fn circuit(&self) -> &'n Circuit {
        self.net.circuit()
    }

    fn at(&self, cavity: &str) -> Cavity {
        // The circuit has no problems, so every mention resolves.
        self.net.cavity(cavity).unwrap_or(SUMP_CAVITY)
    }

    /// Joins a part to a cavity; the sump becomes a tank mark of its own.
    pub fn join(&mut self, part: usize, cavity: Cavity, toward: Toward, tag: &str) {
        if cavity == SUMP_CAVITY {
            self.items[part].tank = Some(match toward {
                Toward::Part => Tank::Draws,
                Toward::Cavity | Toward::Either => Tank::Drains,
            });
            return;
        }
        self.joints.push(Joint {
            cavity,
            part,
            tag: tag.to_owned(),
            toward,
            pushes: false,
        });
    }

    fn push(&mut self, part: usize, cavity: Cavity, tag: &str) {
        if cavity != SUMP_CAVITY {
            self.join(part, cavity, Toward::Part, tag);
            if let Some(joint) = self.joints.last_mut() {
                joint.pushes = true;
            }
        }
    }

    /// Adds a part that is drawn as an item of its own.
    pub fn add(&mut self, name: &PartName, part: Part<'n>) {
        let Some(shape) = shape(name.kind, part, self.circuit()) else {
            return;
        };
        let key = match shape {
            Shape::Cavity => format!("cavity-{}", name.id),
            _ => format!("{}-{}", name.kind, name.id),
        };
        let number = self.items.len();
        self.items.push(self.item(name, key, shape));
        match part {
            Part::Port(p) => self.both(number, &p.between),
            Part::Orifice(p) => self.both(number, &p.between),
            Part::Clearance(p) => self.both(number, &p.between),
            Part::Ball(p) => match &p.kind {
                BallKind::OneWay { from, to, .. } => {
                    self.join(number, self.at(from), Toward::Part, "");
                    self.join(number, self.at(to), Toward::Cavity, "");
                }
                BallKind::Shuttle { inlets, outlet } => {
                    for (inlet, tag) in inlets.iter().zip(["1", "2"]) {
                        self.join(number, self.at(inlet), Toward::Part, tag);
                    }
                    self.join(number, self.at(outlet), Toward::Cavity, "");
                }
            },
            Part::Regulator(p) => {
                let holds = self.at(&p.holds);
                match &p.work {
                    Work::Spills(to) => {
                        self.join(number, holds, Toward::Part, "");
                        for (cavity, order) in to.iter().zip(1..) {
                            let tag = if to.len() > 1 {
                                order.to_string()
                            } else {
                                String::new()
                            };
                            self.join(number, self.at(cavity), Toward::Cavity, &tag);
                        }
                    }
                    Work::Reduces(from) => {
                        self.join(number, self.at(from), Toward::Part, "");
                        self.join(number, holds, Toward::Cavity, "");
                    }
                }
                for cavity in p.boost.keys() {
                    self.push(number, self.at(cavity), "+");
                }
            }
            Part::Relief(p) => {
                self.join(number, self.at(&p.on), Toward::Part, "");
                let to = p.to.as_deref().map_or(SUMP_CAVITY, |to| self.at(to));
                self.join(number, to, Toward::Cavity, "");
            }
            Part::Valve(p) => self.valve(number, p),
            Part::Solenoid(p) => match &p.kind {
                SolenoidKind::Bleed { on } => {
                    self.join(number, self.at(on), Toward::Part, "");
                    self.join(number, SUMP_CAVITY, Toward::Cavity, "");
                }
                SolenoidKind::TwoWay { between } => self.both(number, between),
                SolenoidKind::Plunger => {}
            },
            Part::Through(Through { between, .. }) => {
                self.join(number, self.at(&between[0]), Toward::Part, "");
                self.join(number, self.at(&between[1]), Toward::Cavity, "");
            }
            Part::Source(p) => {
                let draws = p.draws.as_deref().map_or(SUMP_CAVITY, |d| self.at(d));
                // A fixed pressure comes from outside.
                if p.pressure.is_none() {
                    self.join(number, draws, Toward::Part, "");
                }
                self.join(number, self.at(&p.feeds), Toward::Cavity, "");
            }
            Part::Accumulator(p) => {
                self.join(number, self.at(&p.at), Toward::Either, "");
                if let Some(back) = &p.back {
                    self.push(number, self.at(back), "");
                }
            }
            Part::Outlet(p) => match &p.seat {
                Seat::At(at) => self.join(number, self.at(at), Toward::Part, ""),
                Seat::TwoSided { apply, release } => {
                    self.join(number, self.at(apply), Toward::Part, "on");
                    self.join(number, self.at(release), Toward::Part, "off");
                }
            },
            _ => {}
        }
    }

    fn both(&mut self, part: usize, between: &[String; 2]) {
        for cavity in between {
            self.join(part, self.at(cavity), Toward::Either, "");
        }
    }

    /// Joins a valve to each cavity of its bore once, tagged with all ports that are that cavity.
    fn valve(&mut self, number: usize, valve: &Valve) {
        let ports: Vec<Cavity> = valve.bore.iter().map(|c| self.at(c)).collect();
        let mut seen: Vec<Cavity> = vec![SUMP_CAVITY];
        for cavity in &ports {
            if seen.contains(cavity) {
                continue;
            }
            seen.push(*cavity);
            let numbers = ports.iter().zip(1..).filter(|(port, _)| *port == cavity);
            let numbers: Vec<String> = numbers.map(|(_, n): (_, usize)| n.to_string()).collect();
            let tag = label::cut(&numbers.join(","), WIDEST_TAG);
            let joins = valve.positions.values().flat_map(|p| &p.joins);
            let mut joined = joins.flat_map(|j| &j.cavities).map(|c| self.at(c));
            if joined.any(|other| other == *cavity) {
                self.join(number, *cavity, Toward::Either, &tag);
            } else {
                self.push(number, *cavity, &tag);
            }
        }
    }
}

/// What a part looks like; none for one that is drawn on others, or not at all.
fn shape(kind: Kind, part: Part<'_>, circuit: &Circuit) -> Option<Shape> {
    Some(match part {
        Part::Passage(_) => Shape::Cavity,
        Part::Port(_) => Shape::Port,
        Part::Orifice(_) => Shape::Orifice,
        Part::Clearance(_) => Shape::Clearance,
        Part::Ball(ball) => match &ball.kind {
            BallKind::OneWay { lifts_at, .. } => Shape::Ball {
                sprung: lifts_at.is_some(),
            },
            BallKind::Shuttle { .. } => Shape::Shuttle,
        },
        Part::Valve(valve) => {
            let sump = |c: &String| circuit.find(c, &[Kind::Passage]).is_err();
            let spring = valve.spring.as_ref();
            Shape::Valve(Spool {
                ports: valve.bore.iter().map(sump).collect(),
                joined: Vec::new(),
                spring: spring.and_then(|s| valve.bore.iter().position(|c| c == s)),
            })
        }
        Part::Regulator(_) => Shape::Regulator,
        Part::Relief(_) => Shape::Relief,
        Part::Solenoid(_) => Shape::Solenoid,
        Part::Source(_) => Shape::Source,
        Part::Accumulator(_) => Shape::Accumulator,
        Part::Through(_) => match kind {
            Kind::Filter => Shape::Filter,
            Kind::Converter => Shape::Converter,
            _ => Shape::Cooler,
        },
        Part::Outlet(outlet) if outlet.kind.by_pressure() => Shape::Pressed,
        Part::Outlet(_) => Shape::Oiled,
        Part::Casting(_)
        | Part::Oil(_)
        | Part::Plate(_)
        | Part::Seal(_)
        | Part::Tap(_)
        | Part::Switch(_)
        | Part::Input(_)
        | Part::State(_) => return None,
    })
}
