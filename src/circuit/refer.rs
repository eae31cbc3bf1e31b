//! Which other parts each part names, and where in it.

use super::{BallKind, Circuit, Kind, Part, PartName, Place, SealSeat, Seat, SolenoidKind, Work};

/// One mention of a part inside another.
#[derive(Clone, Debug, PartialEq)]
pub struct Reference<'c> {
    /// Where it stands.
    pub place: Place,
    /// The text as written: an id, or `kind.id`.
    pub text: &'c str,
    /// Kinds it may name. Where a passage may stand, so may the sump.
    pub kinds: &'static [Kind],
}

const CAVITY: &[Kind] = &[Kind::Passage];
const CASTING: &[Kind] = &[Kind::Casting];
const PLATE: &[Kind] = &[Kind::Plate];
const BALL: &[Kind] = &[Kind::Ball];
const VALVE: &[Kind] = &[Kind::Valve];
const OUTLET: &[Kind] = &[Kind::Outlet];
const REGULATOR: &[Kind] = &[Kind::Regulator];
const SOLENOID: &[Kind] = &[Kind::Solenoid];
const SWITCHED: &[Kind] = &[Kind::Solenoid, Kind::Input];

/// Kinds a name in a valve rule may have.
pub(super) const READ_BY_RULES: &[Kind] = &[Kind::Passage, Kind::Solenoid, Kind::Input];

impl Circuit {
    /// Every mention of one part by another, part by part. Names in valve rules are included;
    /// lever detents and valve positions are not parts and are not.
    #[must_use]
    pub fn references(&self) -> Vec<Reference<'_>> {
        let mut out = Vec::new();
        for (name, part) in self.parts() {
            Gather {
                name: &name,
                out: &mut out,
            }
            .part(part);
        }
        out
    }
}

struct Gather<'g, 'c> {
    name: &'g PartName,
    out: &'g mut Vec<Reference<'c>>,
}

impl<'c> Gather<'_, 'c> {
    fn at(&self) -> Place {
        Place::of(self.name.clone())
    }

    fn add(&mut self, place: Place, text: &'c str, kinds: &'static [Kind]) {
        // An empty text stands for a key that was missing or unreadable: said elsewhere.
        if !text.is_empty() {
            self.out.push(Reference { place, text, kinds });
        }
    }

    fn key(&mut self, key: &str, text: &'c str, kinds: &'static [Kind]) {
        self.add(self.at().then(key), text, kinds);
    }

    fn opt(&mut self, key: &str, text: Option<&'c String>, kinds: &'static [Kind]) {
        if let Some(text) = text {
            self.key(key, text, kinds);
        }
    }

    fn list(&mut self, key: &str, texts: &'c [String], kinds: &'static [Kind]) {
        for (i, text) in texts.iter().enumerate() {
            self.add(self.at().then(key).then(i), text, kinds);
        }
    }

    fn keys(&mut self, key: &str, texts: impl Iterator<Item = &'c String>, kinds: &'static [Kind]) {
        for text in texts {
            self.add(self.at().then(key).then(text.as_str()), text, kinds);
        }
    }

    fn part(&mut self, part: Part<'c>) {
        match part {
            Part::Casting(_) | Part::Passage(_) | Part::Oil(_) | Part::Input(_) => {}
            Part::Source(p) => {
                self.key("feeds", &p.feeds, CAVITY);
                self.opt("draws", p.draws.as_ref(), CAVITY);
            }
            Part::Regulator(p) => {
                self.key("holds", &p.holds, CAVITY);
                match &p.work {
                    Work::Spills(to) => self.list("spills", to, CAVITY),
                    Work::Reduces(from) => self.key("reduces", from, CAVITY),
                }
                self.keys("boost", p.boost.keys(), CAVITY);
            }
            Part::Relief(p) => {
                self.key("on", &p.on, CAVITY);
                self.opt("to", p.to.as_ref(), CAVITY);
            }
            Part::Plate(p) => {
                self.list("faces", &p.faces, CASTING);
                self.list("roofs", &p.roofs, CAVITY);
                for (i, run) in p.separates.iter().enumerate() {
                    for (j, cavity) in run.iter().enumerate() {
                        self.add(self.at().then("separates").then(i).then(j), cavity, CAVITY);
                    }
                }
            }
            Part::Port(p) => {
                self.list("between", &p.between, CAVITY);
                self.list("through", &p.through, PLATE);
                self.opt("under", p.under.as_ref(), PLATE);
                self.list("hole-at", &p.hole_at, CAVITY);
            }
            Part::Orifice(p) => {
                self.list("between", &p.between, CAVITY);
                self.list("through", &p.through, PLATE);
                self.opt("under", p.under.as_ref(), PLATE);
                self.list("hole-at", &p.hole_at, CAVITY);
            }
            Part::Clearance(p) => self.list("between", &p.between, CAVITY),
            Part::Ball(p) => {
                match &p.kind {
                    BallKind::OneWay { from, to, .. } => {
                        self.key("from", from, CAVITY);
                        self.key("to", to, CAVITY);
                    }
                    BallKind::Shuttle { inlets, outlet } => {
                        self.list("inlets", inlets, CAVITY);
                        self.key("outlet", outlet, CAVITY);
                    }
                }
                self.list("through", &p.through, PLATE);
                self.opt("under", p.under.as_ref(), PLATE);
            }
            Part::Seal(p) => match &p.seat {
                SealSeat::On(way) => self.key("on", way, &Kind::WAYS),
                SealSeat::Between(between) => self.list("between", between, CAVITY),
            },
            Part::Valve(p) => {
                self.list("bore", &p.bore, CAVITY);
                self.opt("spring", p.spring.as_ref(), CAVITY);
                for (id, position) in &p.positions {
                    for (i, join) in position.joins.iter().enumerate() {
                        for (j, cavity) in join.cavities.iter().enumerate() {
                            let place = self.at().then(id.as_str()).then("joins").then(i).then(j);
                            self.add(place, cavity, CAVITY);
                        }
                    }
                    for name in position.when.iter().flat_map(super::Rule::names) {
                        if !name.starts_with("lever.") {
                            let place = self.at().then(id.as_str()).then("when");
                            self.add(place, name, READ_BY_RULES);
                        }
                    }
                }
            }
            Part::Solenoid(p) => match &p.kind {
                SolenoidKind::Bleed { on } => self.key("on", on, CAVITY),
                SolenoidKind::TwoWay { between } => self.list("between", between, CAVITY),
                SolenoidKind::Plunger => {}
            },
            Part::Accumulator(p) => {
                self.key("at", &p.at, CAVITY);
                self.opt("back", p.back.as_ref(), CAVITY);
            }
            Part::Through(p) => {
                self.list("between", &p.between, CAVITY);
                self.opt("bypass", p.bypass.as_ref(), BALL);
            }
            Part::Outlet(p) => match &p.seat {
                Seat::At(at) => self.key("at", at, CAVITY),
                Seat::TwoSided { apply, release } => {
                    self.key("apply", apply, CAVITY);
                    self.key("release", release, CAVITY);
                }
            },
            Part::Tap(p) => self.key("at", &p.at, CAVITY),
            Part::Switch(p) => self.key("at", &p.at, CAVITY),
            Part::State(p) => {
                self.list("on", &p.on, SWITCHED);
                self.keys("levels", p.levels.keys(), SOLENOID);
                self.keys("valves", p.valves.keys(), VALVE);
                self.list("applies", &p.applies, OUTLET);
                self.list("boosts", &p.boosts, REGULATOR);
            }
        }
    }
}
