//! What is written beside a part, and what is told of it in full.

use crate::circuit::{
    BallKind, Circuit, Kind, Needs, Part, PartName, Seat, SolenoidKind, Valve, Work, join_and,
};
use crate::draw::label::plain;
use crate::units::{Length, Quantity, UnitSystem};

/// Words about parts, in one system of units.
#[derive(Clone, Copy)]
pub(super) struct Detail<'c> {
    pub circuit: &'c Circuit,
    pub units: UnitSystem,
}

impl Detail<'_> {
    /// A size or a pressure, as it stands beside a part.
    pub fn short(&self, name: &PartName) -> Option<String> {
        let bore = |bore: Option<Length>| bore.map(|b| b.show(self.units));
        match self.circuit.get(name.kind, &name.id)? {
            Part::Port(p) => bore(p.bore),
            Part::Orifice(p) => bore(p.bore),
            Part::Ball(p) => match &p.kind {
                BallKind::OneWay {
                    lifts_at: Some(at), ..
                } => Some(at.show(self.units)),
                _ => bore(p.bore),
            },
            Part::Through(p) => bore(p.bore),
            Part::Solenoid(p) => match p.kind {
                SolenoidKind::Plunger => self.pushed(name),
                _ => bore(p.bore),
            },
            Part::Regulator(p) => p.at.map(|at| at.show(self.units)),
            Part::Relief(p) => p.at.map(|at| at.show(self.units)),
            Part::Source(p) => p.pressure.map(|at| at.show(self.units)),
            _ => None,
        }
    }

    /// Everything there is to say of a part.
    pub fn full(&self, name: &PartName) -> String {
        let Some(part) = self.circuit.get(name.kind, &name.id) else {
            return name.to_string();
        };
        let kind = match part {
            Part::Plate(plate) => plate.kind.word(),
            Part::Outlet(outlet) => outlet.kind.word(),
            Part::Seal(seal) => seal.kind.word(),
            Part::Passage(_) => "cavity",
            _ => name.kind.word(),
        };
        let mut text = format!("{kind} {}", name.id);
        if let Some(label) = &part.text().label {
            text += &format!(": {label}");
        }
        for fact in self.facts(part) {
            text += &format!("; {fact}");
        }
        if let Some(note) = &part.text().note {
            text += &format!(". {note}");
        }
        plain(&text)
    }

    /// What a solenoid that passes no oil is there for.
    fn pushed(&self, solenoid: &PartName) -> Option<String> {
        let reads = |valve: &Valve| {
            let rules = valve.positions.values().filter_map(|p| p.when.as_ref());
            let mut names = rules.flat_map(|rule| rule.names());
            names.any(|n| self.circuit.find(n, &[Kind::Solenoid]).as_ref() == Ok(solenoid))
        };
        let valves = self.circuit.valves.iter();
        let pushed: Vec<String> = valves
            .filter(|(_, valve)| reads(valve))
            .map(|(id, _)| id.clone())
            .collect();
        (!pushed.is_empty()).then(|| format!("pushes {}", join_and(&pushed)))
    }

    fn facts(&self, part: Part<'_>) -> Vec<String> {
        let mut facts = Vec::new();
        let between = |ends: &[String; 2]| format!("between {} and {}", ends[0], ends[1]);
        let bore = |bore: Option<Length>| bore.map(|b| format!("bore {}", b.show(self.units)));
        match part {
            Part::Passage(p) => {
                facts.push(format!("in {}", p.casting));
                facts.extend(bore(p.bore));
            }
            Part::Port(p) => {
                facts.push(between(&p.between));
                facts.extend(bore(p.bore));
                facts.extend(plates(&p.through, p.under.as_ref()));
            }
            Part::Orifice(p) => {
                facts.push(between(&p.between));
                facts.extend(bore(p.bore));
                facts.extend(plates(&p.through, p.under.as_ref()));
            }
            Part::Clearance(p) => facts.push(between(&p.between)),
            Part::Ball(p) => {
                facts.push(match &p.kind {
                    BallKind::OneWay { from, to, lifts_at } => match lifts_at {
                        Some(at) => format!("{from} to {to} above {}", at.show(self.units)),
                        None => format!("{from} to {to} only"),
                    },
                    BallKind::Shuttle { inlets, outlet } => format!(
                        "the higher of {} (1) and {} (2) to {outlet}",
                        inlets[0], inlets[1]
                    ),
                });
                facts.extend(bore(p.bore));
                facts.extend(plates(&p.through, p.under.as_ref()));
            }
            Part::Valve(p) => facts.extend(ports_and_rules(p)),
            Part::Regulator(p) => {
                facts.push(match &p.work {
                    Work::Spills(to) => {
                        format!(
                            "holds {} by spilling to {}, in order",
                            p.holds,
                            join_and(to)
                        )
                    }
                    Work::Reduces(from) => format!("holds {} by reducing {from}", p.holds),
                });
                facts.extend(p.at.map(|at| at.show(self.units)));
                let boost: Vec<String> = p.boost.keys().cloned().collect();
                if !boost.is_empty() {
                    facts.push(format!("raised by {}", join_and(&boost)));
                }
            }
            Part::Relief(p) => {
                let to = p.to.as_deref().unwrap_or("the sump");
                facts.push(format!("guards {}, opens to {to}", p.on));
                facts.extend(p.at.map(|at| format!("above {}", at.show(self.units))));
            }
            Part::Solenoid(p) => {
                facts.push(match &p.kind {
                    SolenoidKind::Bleed { on } => format!("dumps {on}"),
                    SolenoidKind::TwoWay { between: ends } => between(ends),
                    SolenoidKind::Plunger => "pushes a valve".to_owned(),
                });
                let open = if p.normally_open { "open" } else { "shut" };
                facts.push(format!("{open} without current"));
            }
            Part::Source(p) => {
                let draws = p.draws.as_deref().unwrap_or("the sump");
                facts.push(match p.pressure {
                    Some(at) => format!("puts {} on {}", at.show(self.units), p.feeds),
                    None => format!("draws from {draws} and feeds {}", p.feeds),
                });
            }
            Part::Accumulator(p) => facts.push(format!("on {}", p.at)),
            Part::Through(p) => facts.push(between(&p.between)),
            Part::Outlet(p) => {
                facts.push(match &p.seat {
                    Seat::At(at) => format!("on {at}"),
                    Seat::TwoSided { apply, release } => {
                        format!("applied by {apply}, released by {release}")
                    }
                });
                facts.extend(p.needs.map(|needs| match needs {
                    Needs::Pressure(at) => format!("needs {}", at.show(self.units)),
                    Needs::Flow(flow) => format!("needs {}", flow.show(self.units)),
                }));
            }
            Part::Tap(p) => facts.push(format!("on {}, reached {}", p.at, p.access)),
            Part::Switch(p) => facts.push(format!("on {}, reached {}", p.at, p.access)),
            Part::Plate(p) => {
                if let Some(bolts) = p.bolts {
                    facts.push(format!("{bolts} bolts"));
                }
            }
            _ => {}
        }
        facts
    }
}

fn plates(through: &[String], under: Option<&String>) -> Vec<String> {
    let mut facts = Vec::new();
    if !through.is_empty() {
        facts.push(format!("through {}", join_and(through)));
    }
    facts.extend(under.map(|cover| format!("under {cover}")));
    facts
}

/// The ports of a bore in order, and what moves the spool.
fn ports_and_rules(valve: &Valve) -> Vec<String> {
    let ports = valve.bore.iter().zip(1..);
    let ports: Vec<String> = ports.map(|(c, n): (_, usize)| format!("{n} {c}")).collect();
    let mut facts = vec![format!("ports {}", ports.join(", "))];
    for (id, position) in &valve.positions {
        facts.push(match &position.when {
            Some(rule) => format!("{id} when {rule}"),
            None => format!("{id} otherwise"),
        });
    }
    facts
}
