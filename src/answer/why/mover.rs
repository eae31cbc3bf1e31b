//! Why a valve, a shuttle ball or a solenoid stands where it stands.

use indexmap::IndexMap;
use serde::Serialize;

use super::Standing;
use super::end::End;
use crate::answer::place::{place, position};
use crate::circuit::{Condition, Fault, Kind, Level, PartName, Truth};
use crate::net::{Drive, NetValve, Spring};
use crate::settle::leads_anywhere;

/// A valve, shuttle ball or solenoid, where it stands and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Mover {
    /// The part.
    pub part: PartName,
    /// The position of a valve, the open inlet of a shuttle, `open` or `shut` for a solenoid;
    /// none where that is not known.
    pub stands: Option<String>,
    /// Why.
    pub why: Stands,
}

/// Why something stands where it stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum Stands {
    /// A fault holds it.
    Fault {
        /// The fault, as a reader would type it.
        fault: String,
    },
    /// The state says so.
    ByHand,
    /// The rule of that position holds.
    Rule {
        /// The rule.
        rule: RuleRead,
    },
    /// No rule holds: it is at rest.
    AtRest {
        /// The rules that would put it elsewhere.
        rules: Vec<RuleRead>,
    },
    /// No rule holds and it has no resting place: it stays.
    Stays {
        /// The rules that would put it elsewhere.
        rules: Vec<RuleRead>,
    },
    /// It should be elsewhere, and oil shut in at its end keeps it from stroking.
    SealedEnd {
        /// The cavity at that end.
        end: String,
        /// Where it should be.
        wants: String,
    },
    /// Nothing pushes it and its spring is broken: it may stand anywhere.
    SpringBroken,
    /// What should push it over meets a spring that may be too strong.
    SpringWrong {
        /// The rule that holds.
        rule: RuleRead,
    },
    /// Where it goes cannot be said, or it never comes to rest.
    Undecided {
        /// The rules of its positions.
        rules: Vec<RuleRead>,
    },
    /// The higher inlet pushes a shuttle ball across.
    Higher {
        /// That inlet.
        inlet: String,
    },
    /// The inlets of a shuttle ball are equally high: it stays.
    Equal,
    /// How a solenoid is driven.
    Current {
        /// Off, full or between.
        level: Level,
        /// The fault that drives it so.
        fault: Option<String>,
    },
}

/// A rule of a valve and what is known of its names.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct RuleRead {
    /// The position it puts the valve in.
    pub place: String,
    /// The rule as in the circuit file.
    pub rule: String,
    /// Whether it holds; none where that cannot be said.
    pub holds: Option<bool>,
    /// Each of its names, once.
    pub names: Vec<NameRead>,
}

/// A name in a rule.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct NameRead {
    /// A cavity, solenoid, input or lever detent, as in the rule.
    pub name: String,
    /// Whether it is fed, has current, holds or is engaged; none where that cannot be said.
    pub holds: Option<bool>,
    /// Whether the rule hangs on it alone, the others as they are.
    pub decides: bool,
}

impl End<'_, '_> {
    /// Why a part stands where it does, if it moves.
    pub(super) fn mover(&self, part: &PartName) -> Option<Mover> {
        let net = self.net();
        let why = match part.kind {
            Kind::Valve => {
                let mut valves = net.valves().iter().enumerate();
                let (number, valve) = valves.find(|(_, v)| v.name == *part)?;
                self.valve(number, valve)
            }
            Kind::Ball => self.shuttle(part)?,
            Kind::Solenoid => self.solenoid(part)?,
            _ => return None,
        };
        // Held between two places it stands in neither.
        let between =
            |f: &&Fault| f.part == *part && matches!(f.condition, Condition::StuckBetween(_));
        let between = matches!(why, Stands::Fault { .. }) && self.blamed(between).is_some();
        Some(Mover {
            stands: self.place(part).filter(|_| !between),
            part: part.clone(),
            why,
        })
    }

    pub(super) fn standing(&self, part: &PartName) -> Standing {
        Standing {
            place: self.place(part),
            part: part.clone(),
        }
    }

    /// The position of a valve, the open inlet of a shuttle, `open` or `shut` for a solenoid.
    fn place(&self, part: &PartName) -> Option<String> {
        if part.kind != Kind::Solenoid {
            return place(self.net(), &self.point.held, part);
        }
        let way = self.net().ways_of(part).next()?;
        let open = self.scene.setting(way).strength().is_some();
        Some(if open { "open" } else { "shut" }.to_owned())
    }

    fn valve(&self, number: usize, valve: &NetValve) -> Stands {
        let stage = self.asked.stage;
        let stands = self.point.held.valves[number];
        if stage.fixed(number).is_some() {
            let sticks = |f: &&Fault| {
                f.part == valve.name
                    && matches!(
                        f.condition,
                        Condition::StuckIn(_) | Condition::StuckBetween(_)
                    )
            };
            if let Some(fault) = self.blamed(sticks) {
                return Stands::Fault { fault };
            }
            if stage.drives().by_hand[number].is_some() {
                return Stands::ByHand;
            }
        }
        let rules = self.rules(valve);
        let place_of = |read: &RuleRead| {
            let body = self.net().circuit().valves.get(&valve.name.id)?;
            let place = body.positions.get_index_of(&read.place)?;
            Some(place as u32)
        };
        let surely: Vec<&RuleRead> = rules.iter().filter(|r| r.holds == Some(true)).collect();
        let maybe = rules.iter().any(|r| r.holds.is_none());
        let spring = stage.spring(number);
        let (goes, why) = match (&surely[..], spring) {
            ([rule], Some(Spring::Wrong)) => {
                let rule = (*rule).clone();
                return Stands::SpringWrong { rule };
            }
            ([rule], _) => {
                let to = place_of(rule);
                let rule = (*rule).clone();
                (to, Stands::Rule { rule })
            }
            ([], Some(Spring::Broken)) => return Stands::SpringBroken,
            ([], _) if !maybe && valve.rest.is_none() => return Stands::Stays { rules },
            ([], _) if !maybe => (
                valve.rest,
                Stands::AtRest {
                    rules: rules.clone(),
                },
            ),
            _ => (
                None,
                Stands::Undecided {
                    rules: rules.clone(),
                },
            ),
        };
        let sealed = valve
            .ends
            .iter()
            .find(|end| !leads_anywhere(&self.scene, **end));
        match (goes, sealed) {
            (Some(to), Some(end)) if goes != stands => Stands::SealedEnd {
                end: self.net().name(*end).to_owned(),
                wants: position(self.net(), &valve.name, to).unwrap_or_default(),
            },
            (Some(_), _) if goes != stands => Stands::Undecided { rules },
            _ => why,
        }
    }

    fn rules(&self, valve: &NetValve) -> Vec<RuleRead> {
        let drives = self.asked.stage.drives();
        let fed = |cavity| self.point.pressures.fed(cavity);
        let Some(body) = self.net().circuit().valves.get(&valve.name.id) else {
            return Vec::new();
        };
        let rules = body.positions.iter().zip(&valve.rules);
        let read = rules.filter_map(|((place, position), term)| {
            let (rule, term) = (position.when.as_ref()?, term.as_ref()?);
            let leaves = term.leaves().into_iter();
            let truths = leaves.map(|leaf| leaf.truth(drives, &fed));
            let truths: IndexMap<&str, Truth> = rule.names().into_iter().zip(truths).collect();
            let truth = term.truth(drives, &fed);
            let without = |hidden: &str| {
                rule.truth(&mut |name| match name == hidden {
                    true => Truth::Unknown,
                    false => truths.get(name).copied().unwrap_or(Truth::Unknown),
                })
            };
            let names = truths.iter().map(|(name, holds)| NameRead {
                name: (*name).to_owned(),
                holds: known(*holds),
                decides: *holds != Truth::Unknown && without(name) != truth,
            });
            Some(RuleRead {
                place: place.clone(),
                rule: rule.to_string(),
                holds: known(truth),
                names: names.collect(),
            })
        });
        read.collect()
    }

    fn shuttle(&self, part: &PartName) -> Option<Stands> {
        let net = self.net();
        let shuttle = net.shuttles().iter().find(|s| s.name == *part)?;
        if let Some(fault) = self.blamed(|f| f.part == *part && f.condition != Condition::Worn) {
            return Some(Stands::Fault { fault });
        }
        let [a, b] = shuttle.inlets.map(|inlet| self.point.pressures.span(inlet));
        let higher = |inlet: usize| Stands::Higher {
            inlet: net.name(shuttle.inlets[inlet]).to_owned(),
        };
        Some(if a.lowest > b.highest {
            higher(0)
        } else if b.lowest > a.highest {
            higher(1)
        } else if a == b && a.lowest == a.highest {
            Stands::Equal
        } else {
            Stands::Undecided { rules: Vec::new() }
        })
    }

    fn solenoid(&self, part: &PartName) -> Option<Stands> {
        let circuit = self.net().circuit();
        let number = circuit.solenoids.get_index_of(&part.id)?;
        let level = match self.asked.stage.drives().solenoids[number] {
            Drive::Off => Level::Off,
            Drive::On => Level::Full,
            Drive::At(level) => level,
        };
        let is_this = |id: &String| {
            circuit
                .find(id, &[Kind::Solenoid])
                .is_ok_and(|n| n == *part)
        };
        let drives = |f: &&Fault| match &f.condition {
            Condition::NoCurrent | Condition::StuckOn | Condition::StuckOff => f.part == *part,
            Condition::Swapped(other) => f.part == *part || is_this(other),
            _ => false,
        };
        let fault = self.blamed(drives);
        Some(Stands::Current { level, fault })
    }

    /// The first of the faults that does something.
    fn blamed(&self, does: impl Fn(&&Fault) -> bool) -> Option<String> {
        let fault = self.asked.faults.iter().find(does)?;
        Some(self.net().circuit().say(fault))
    }
}

fn known(truth: Truth) -> Option<bool> {
    match truth {
        Truth::True => Some(true),
        Truth::False => Some(false),
        Truth::Unknown => None,
    }
}
