//! The rules every circuit must keep, whatever it came from.

use super::rule_cover::{self, Flaw};
use super::{
    BallKind, Circuit, Kind, Needs, OutletKind, Part, PartName, Place, Problem, SUMP, State,
    Trouble, Valve, is_id,
};

impl Circuit {
    /// Every rule this circuit breaks, in the order of its parts. Empty for a sound circuit.
    #[must_use]
    pub fn problems(&self) -> Vec<Problem> {
        let mut found = Vec::new();
        for (name, part) in self.parts() {
            let mut judge = Judge {
                circuit: self,
                at: Place::of(name.clone()),
                found: &mut found,
            };
            judge.id(&name);
            judge.part(part);
        }
        for reference in self.references() {
            let sump = reference.text == SUMP && reference.kinds.contains(&Kind::Passage);
            if sump {
                continue;
            }
            if let Err(e) = self.find(reference.text, reference.kinds) {
                found.push(Problem {
                    at: reference.place,
                    other: None,
                    what: e.into(),
                });
            }
        }
        found
    }
}

struct Judge<'j> {
    circuit: &'j Circuit,
    at: Place,
    found: &'j mut Vec<Problem>,
}

impl Judge<'_> {
    fn say(&mut self, at: Place, what: Trouble) {
        self.found.push(Problem {
            at,
            other: None,
            what,
        });
    }

    fn clash(&mut self, at: Place, other: Place, what: Trouble) {
        let other = Some(other);
        self.found.push(Problem { at, other, what });
    }

    fn key(&mut self, key: &str, what: Trouble) {
        self.say(self.at.clone().then(key), what);
    }

    fn id(&mut self, name: &PartName) {
        if name.kind == Kind::Passage && name.id == SUMP {
            self.say(self.at.clone(), Trouble::SumpListed);
        } else if !is_id(&name.id) {
            self.say(self.at.clone(), Trouble::BadId(name.id.clone()));
        }
    }

    fn part(&mut self, part: Part<'_>) {
        match part {
            Part::Source(p) if p.displacement.is_some() && p.pressure.is_some() => {
                let other = self.at.clone().then("displacement");
                self.clash(
                    self.at.clone().then("pressure"),
                    other,
                    Trouble::PumpOrPressure,
                );
            }
            Part::Oil(p) if !p.thins() => {
                self.key("viscosity", Trouble::NoThinning(p.viscosity));
            }
            Part::Plate(p) => {
                for (i, run) in p.separates.iter().enumerate() {
                    if run.len() < 2 {
                        let at = self.at.clone().then("separates").then(i);
                        self.say(at, Trouble::ShortRun);
                    }
                }
            }
            Part::Port(p) => {
                self.ends(&p.between);
                self.hole(&p.hole_at, &p.between);
                self.under(p.under.as_deref());
            }
            Part::Orifice(p) => {
                self.ends(&p.between);
                self.hole(&p.hole_at, &p.between);
                self.under(p.under.as_deref());
            }
            Part::Clearance(p) => self.ends(&p.between),
            Part::Through(p) => self.ends(&p.between),
            Part::Ball(p) => {
                self.under(p.under.as_deref());
                if let BallKind::Shuttle { inlets, .. } = &p.kind
                    && inlets[0] == inlets[1]
                    && !inlets[0].is_empty()
                {
                    self.key("inlets", Trouble::SameEnds(inlets[0].clone()));
                }
            }
            Part::Valve(p) => self.valve(p),
            Part::Outlet(p) => match (p.kind.by_pressure(), p.needs) {
                (true, Some(Needs::Flow(_))) => self.needs(p.kind, "a pressure", "a flow"),
                (false, Some(Needs::Pressure(_))) => self.needs(p.kind, "a flow", "a pressure"),
                _ => {}
            },
            Part::State(p) => self.state(p),
            _ => {}
        }
    }

    fn ends(&mut self, between: &[String; 2]) {
        if between[0] == between[1] && !between[0].is_empty() {
            self.key("between", Trouble::SameEnds(between[0].clone()));
        }
    }

    fn hole(&mut self, hole_at: &[String], between: &[String; 2]) {
        if unreadable(between) {
            return;
        }
        for (i, cavity) in hole_at.iter().enumerate() {
            if !between.contains(cavity) {
                let at = self.at.clone().then("hole-at").then(i);
                self.say(at, Trouble::HoleElsewhere(cavity.clone()));
            }
        }
    }

    fn under(&mut self, plate: Option<&str>) {
        let Some(id) = plate else { return };
        let found = self.circuit.find(id, &[Kind::Plate]).ok();
        let plate = found.and_then(|name| self.circuit.plates.get(&name.id));
        if plate.is_some_and(|p| !p.kind.is_cover()) {
            self.key("under", Trouble::NotACover(id.to_owned()));
        }
    }

    fn needs(&mut self, outlet: OutletKind, should: &'static str, is: &'static str) {
        let outlet = outlet.word();
        self.key("needs", Trouble::NeedsMismatch { outlet, should, is });
    }

    fn valve(&mut self, valve: &Valve) {
        if valve.bore.len() < 2 {
            self.key("bore", Trouble::ShortBore);
            return;
        }
        if valve.positions.is_empty() {
            self.say(self.at.clone(), Trouble::NoPosition);
        }
        // Where a port could not be read, any cavity may be the one that is missing.
        let bore_known = !unreadable(&valve.bore);
        if let Some(spring) = &valve.spring
            && bore_known
            && Some(spring) != valve.bore.first()
            && Some(spring) != valve.bore.last()
        {
            self.key("spring", Trouble::NotAnEnd(spring.clone()));
        }
        let mut rest: Option<&str> = None;
        for (id, position) in &valve.positions {
            let at = self.at.clone().then(id.as_str());
            if !is_id(id) {
                self.say(at.clone(), Trouble::BadId(id.clone()));
            }
            for (i, join) in position.joins.iter().enumerate() {
                let at = at.clone().then("joins").then(i);
                if join.cavities.len() < 2 {
                    self.say(at.clone(), Trouble::ShortJoin);
                }
                for (j, cavity) in join.cavities.iter().enumerate() {
                    // One that does not exist at all is said by the check of references.
                    let exists =
                        cavity == SUMP || self.circuit.find(cavity, &[Kind::Passage]).is_ok();
                    if exists && bore_known && !valve.bore.contains(cavity) {
                        self.say(at.clone().then(j), Trouble::OffBore(cavity.clone()));
                    }
                }
            }
            for name in position.when.iter().flat_map(super::Rule::names) {
                if let Some(detent) = name.strip_prefix("lever.") {
                    self.detent(at.clone().then("when"), detent);
                }
            }
            if position.otherwise {
                if position.when.is_some() {
                    let other = at.clone().then("when");
                    self.clash(at.clone().then("otherwise"), other, Trouble::RuleAtRest);
                }
                if let Some(first) = rest.replace(id) {
                    let other = self.at.clone().then(first).then("otherwise");
                    self.clash(at.then("otherwise"), other, Trouble::TwoRests);
                }
            }
        }
        self.cover(valve);
    }

    /// Whatever holds, the rules put the spool in one place.
    fn cover(&mut self, valve: &Valve) {
        for flaw in rule_cover::flaws(self.circuit, valve) {
            let at = self.at.clone();
            let when = |position: &str| at.clone().then(position).then("when");
            match flaw {
                Flaw::Overlap { positions, example } => {
                    let [first, second] = positions.map(when);
                    let positions = positions.map(str::to_owned);
                    self.clash(second, first, Trouble::RulesOverlap { positions, example });
                }
                Flaw::Gap {
                    positions: [first, last],
                    example,
                } => {
                    let other = (first != last).then(|| when(first));
                    let (at, what) = (when(last), Trouble::NoRuleHolds { example });
                    self.found.push(Problem { at, other, what });
                }
                Flaw::TooMany { names } => self.say(at, Trouble::TooManyNames { names }),
            }
        }
    }

    fn detent(&mut self, at: Place, detent: &str) {
        let lever = &self.circuit.lever;
        if !unreadable(lever) && !lever.iter().any(|d| d == detent) {
            let (detent, known) = (detent.to_owned(), lever.clone());
            self.say(at, Trouble::NoSuchDetent { detent, known });
        }
    }

    fn state(&mut self, state: &State) {
        if let Some(detent) = &state.lever {
            self.detent(self.at.clone().then("lever"), detent);
        }
        for (i, id) in state.on.iter().enumerate() {
            if state.levels.contains_key(id) {
                let other = self.at.clone().then("levels").then(id.as_str());
                let at = self.at.clone().then("on").then(i);
                self.clash(at, other, Trouble::OnAndLevel(id.clone()));
            }
        }
        for (id, position) in &state.valves {
            let Ok(name) = self.circuit.find(id, &[Kind::Valve]) else {
                continue;
            };
            let Some(valve) = self.circuit.valves.get(&name.id) else {
                continue;
            };
            if !valve.positions.contains_key(position) {
                let what = Trouble::NoSuchPosition {
                    valve: id.clone(),
                    position: position.clone(),
                    known: valve.positions.keys().cloned().collect(),
                };
                self.say(self.at.clone().then("valves").then(id.as_str()), what);
            }
        }
    }
}

/// Whether some mention could not be read: an empty text stands for it.
fn unreadable(mentions: &[String]) -> bool {
    mentions.iter().any(String::is_empty)
}
