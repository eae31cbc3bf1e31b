//! What comes apart on the bench: castings that stay together, what is bolted to them, and the
//! holes that then stand open in their faces.

use std::collections::HashMap;

use crate::circuit::{Circuit, Fault, Kind, Part, PartName, SealKind, SealSeat};
use crate::net::{Cavity, Net, SUMP_CAVITY, Strength, WayId};

/// Castings that stay together when the block comes apart at its faces.
pub(super) struct Body {
    /// The castings, in file order.
    pub castings: Vec<String>,
    /// Plates that have to be bolted on: they roof what lies in it, or keep it apart.
    pub on: Vec<String>,
    /// Plates that come off.
    pub off: Vec<String>,
    /// The holes in its faces.
    pub openings: Vec<Opening>,
}

/// A hole in a face: where a way between two bodies ends.
#[derive(Clone, Copy)]
pub(super) struct Opening {
    pub at: Cavity,
    pub way: WayId,
    pub strength: Strength,
}

/// How a circuit comes apart.
pub(super) struct Bodies<'n> {
    net: &'n Net<'n>,
    /// Ways between two bodies.
    pub apart: Vec<WayId>,
    /// The bodies, in the order of their first casting.
    pub all: Vec<Body>,
    /// The body of each casting, by its id.
    of: HashMap<&'n str, usize>,
    /// The cavities each part lies at.
    cavities: HashMap<PartName, Vec<Cavity>>,
}

impl<'n> Bodies<'n> {
    pub fn of(net: &'n Net<'n>) -> Self {
        let circuit = net.circuit();
        let castings: Vec<&str> = circuit.castings.keys().map(String::as_str).collect();
        let mut label: Vec<usize> = (0..castings.len()).collect();
        let number = |cavity: Cavity| {
            let casting = casting(net, cavity)?;
            castings.iter().position(|c| *c == casting)
        };
        let ways = net.ways().iter().zip(0..).map(|(way, i)| (WayId(i), way));
        let crossing = ways.filter_map(|(id, way)| {
            let [a, b] = way.ends.map(number);
            let (a, b) = (a?, b?);
            (a != b).then_some((id, [a, b]))
        });
        let crossing: Vec<(WayId, [usize; 2])> = crossing.collect();
        for (way, [a, b]) in &crossing {
            if !parts_at(circuit, net.part(&net.ways()[way.at()])) {
                let (from, to) = (label[*a].max(label[*b]), label[*a].min(label[*b]));
                label
                    .iter_mut()
                    .filter(|l| **l == from)
                    .for_each(|l| *l = to);
            }
        }
        let apart = crossing.into_iter();
        let apart = apart.filter(|(_, [a, b])| label[*a] != label[*b]);
        let apart: Vec<WayId> = apart.map(|(way, _)| way).collect();
        let mut firsts = label.clone();
        firsts.sort_unstable();
        firsts.dedup();
        let place = |casting: usize| firsts.iter().position(|f| *f == label[casting]);
        let of = castings.iter().enumerate();
        let of: HashMap<&str, usize> = of.filter_map(|(i, c)| Some((*c, place(i)?))).collect();
        let mut cavities: HashMap<PartName, Vec<Cavity>> = HashMap::new();
        for reference in circuit.references() {
            // What a rule reads may lie far from its valve.
            if let ([Kind::Passage], Some(at), Some(part)) = (
                reference.kinds,
                net.cavity(reference.text),
                reference.place.part,
            ) {
                cavities.entry(part).or_default().push(at);
            }
        }
        let mut bodies = Bodies {
            net,
            apart,
            all: Vec::new(),
            of,
            cavities,
        };
        bodies.all = (0..firsts.len()).map(|body| bodies.body(body)).collect();
        bodies
    }

    fn body(&self, number: usize) -> Body {
        let net = self.net;
        let circuit = net.circuit();
        let castings = circuit.castings.keys();
        let castings = castings.filter(|c| self.of.get(c.as_str()) == Some(&number));
        let mut body = Body {
            castings: castings.cloned().collect(),
            on: Vec::new(),
            off: Vec::new(),
            openings: Vec::new(),
        };
        let ends = self.apart.iter().flat_map(|way| {
            let ends = net.ways()[way.at()].ends.into_iter();
            ends.filter(|end| self.inside(number, *end))
                .map(|end| (*way, end))
        });
        let ends: Vec<(WayId, Cavity)> = ends.collect();
        for (way, at) in ends {
            let part = net.part(&net.ways()[way.at()]);
            let (through, hole_at) = drilled(circuit, part);
            let mut in_plate = false;
            for plate in through {
                let Ok(plate) = circuit.find(plate, &[Kind::Plate]) else {
                    continue;
                };
                let cavities = self.cavities.get(&plate).into_iter().flatten();
                let kept = cavities.into_iter().any(|c| self.inside(number, *c));
                in_plate |= kept;
                let list = if kept { &mut body.on } else { &mut body.off };
                if !list.contains(&plate.id) {
                    list.push(plate.id);
                }
            }
            let own = hole_at.iter().any(|c| net.cavity(c) == Some(at));
            // A ball at the face falls out.
            let strength = match part.kind {
                Kind::Orifice if in_plate || own => Strength::Metered,
                _ => Strength::Open,
            };
            body.openings.push(Opening { at, way, strength });
        }
        // Two sides of a shuttle ball are one hole.
        let same = |a: &Opening, b: &Opening| a.at == b.at && self.part(a.way) == self.part(b.way);
        body.openings.dedup_by(|a, b| same(a, b));
        body.openings
            .sort_by_key(|o| (o.at, std::cmp::Reverse(o.strength)));
        body
    }

    /// The part that a way belongs to.
    pub fn part(&self, way: WayId) -> &'n PartName {
        self.net.part(&self.net.ways()[way.at()])
    }

    /// Whether a cavity lies in a body.
    pub fn inside(&self, body: usize, cavity: Cavity) -> bool {
        casting(self.net, cavity).and_then(|c| self.of.get(c)) == Some(&body)
    }

    /// Whether the part of a fault is there when a body is tested alone, or all together.
    pub fn has(&self, body: Option<usize>, fault: &Fault) -> bool {
        let part = &fault.part;
        let Some(body) = body else {
            return part.kind != Kind::Source;
        };
        let circuit = self.net.circuit();
        let inside = |c: &Cavity| *c == SUMP_CAVITY || self.inside(body, *c);
        let cavities = || self.cavities.get(part).into_iter().flatten();
        match circuit.get(part.kind, &part.id) {
            Some(Part::Passage(_)) => {
                let at = self.net.cavity(&part.to_string());
                at.is_some_and(|at| self.inside(body, at))
            }
            Some(Part::Source(_)) => false,
            // Its ribs and roofs in this body are tested with it.
            Some(Part::Plate(_)) => {
                !self.all[body].off.contains(&part.id) && cavities().any(|c| self.inside(body, *c))
            }
            Some(Part::Seal(seal)) => match &seal.seat {
                SealSeat::Between(_) => cavities().all(inside),
                SealSeat::On(way) => match circuit.find(way, &Kind::WAYS) {
                    Ok(way) => {
                        let mut ways = self.net.ways_of(&way);
                        ways.all(|w| self.net.ways()[w.at()].ends.iter().all(inside))
                    }
                    Err(_) => false,
                },
            },
            _ => cavities().next().is_some() && cavities().all(inside),
        }
    }
}

/// The casting a cavity lies in.
fn casting<'c>(net: &Net<'c>, cavity: Cavity) -> Option<&'c str> {
    let number = cavity.number().checked_sub(1)?;
    let (_, passage) = net.circuit().passages.get_index(number)?;
    Some(&passage.casting)
}

/// Whether castings come apart at a part that oil crosses between them by. A turning joint, which
/// a ring or a lip seals, stays together, as does whatever is no mere hole in a face.
fn parts_at(circuit: &Circuit, part: &PartName) -> bool {
    let (through, _) = drilled(circuit, part);
    let turns = circuit.seals.values().any(|seal| {
        let ring = matches!(seal.kind, SealKind::Ring | SealKind::Lip);
        let on = |way: &str| {
            circuit
                .find(way, &Kind::WAYS)
                .is_ok_and(|name| name == *part)
        };
        ring && matches!(&seal.seat, SealSeat::On(way) if on(way))
    });
    match part.kind {
        Kind::Port | Kind::Orifice => !through.is_empty() || !turns,
        Kind::Ball | Kind::Filter | Kind::Converter | Kind::Cooler => true,
        _ => false,
    }
}

/// The plates a way passes through, and the cavities at whose end its own hole is.
fn drilled<'c>(circuit: &'c Circuit, part: &PartName) -> (&'c [String], &'c [String]) {
    match circuit.get(part.kind, &part.id) {
        Some(Part::Port(p)) => (&p.through, &p.hole_at),
        Some(Part::Orifice(p)) => (&p.through, &p.hole_at),
        Some(Part::Ball(p)) => (&p.through, &[]),
        _ => (&[], &[]),
    }
}
