//! Why a valve, shuttle ball or solenoid stands where it stands, in words.

use super::super::words::Words;
use super::Line;
use crate::answer::{Mover, NameRead, RuleRead, Stands};
use crate::circuit::{Kind, Level};
use crate::report::page::Role;

impl Words<'_> {
    /// A part that moves, where it stands and why.
    pub(in crate::report) fn mover(&self, mover: &Mover) -> Line {
        let part = self.part(&mover.part).capital();
        let place = match (&mover.stands, mover.part.kind) {
            (None, _) => part + " stands in no place to be sure of",
            (Some(place), Kind::Valve) => part + " stands in " + Line::id(place),
            (Some(inlet), Kind::Ball) => part + " is open to " + Line::id(inlet),
            (Some(place), _) => part + " is " + &**place,
        };
        place + ": " + self.stands(&mover.why)
    }

    fn stands(&self, why: &Stands) -> Line {
        match why {
            Stands::Fault { fault } => Line::from("held by ") + Line::id(fault),
            Stands::ByHand => "the state says so".into(),
            Stands::Rule { rule } => self.rule(rule),
            Stands::AtRest { rules } => self.no_rule("it rests there", rules),
            Stands::Stays { rules } => self.no_rule("it stays where it was", rules),
            Stands::SealedEnd { end, wants } => {
                let end =
                    self.cavity(end) + " at its end is shut in and holds it; else it would be in ";
                end + Line::id(wants)
            }
            Stands::SpringBroken => {
                "nothing pushes it and its spring is broken, so it may stand anywhere".into()
            }
            Stands::SpringWrong { rule } => {
                self.rule(rule) + "; but the spring may be too strong for that"
            }
            Stands::Undecided { rules } if rules.is_empty() => {
                "which inlet is higher cannot be said".into()
            }
            Stands::Undecided { rules } => {
                Line::from("where it goes cannot be decided; ") + self.names(rules)
            }
            Stands::Higher { inlet } => self.cavity(inlet) + " is the higher of its inlets",
            Stands::Equal => "its inlets are equally high, so it stays".into(),
            Stands::Current { level, fault } => {
                let current = match level {
                    Level::Off => "it has no current",
                    Level::Full => "it has current",
                    Level::Fill | Level::Low => "it is driven in between",
                };
                match fault {
                    Some(fault) => Line::id(fault) + ", so " + current,
                    None => current.into(),
                }
            }
        }
    }

    fn no_rule(&self, rests: &str, rules: &[RuleRead]) -> Line {
        match rules {
            [] => rests.into(),
            rules => Line::from(rests) + ", for " + self.names(rules),
        }
    }

    /// A rule that holds. One of a single name is told by that name.
    fn rule(&self, rule: &RuleRead) -> Line {
        let names = self.names(std::slice::from_ref(rule));
        match &rule.names[..] {
            [_] => names,
            _ => Line::role(Role::Word, &rule.rule) + " holds: " + names,
        }
    }

    /// What is known of the names on which some rules hang; of all, where none decides alone.
    fn names(&self, rules: &[RuleRead]) -> Line {
        let mut names: Vec<&NameRead> = Vec::new();
        for rule in rules {
            let alone = rule.holds.is_some() && rule.names.iter().any(|name| name.decides);
            for name in rule.names.iter().filter(|name| name.decides || !alone) {
                let told = |known: &&NameRead| known.name == name.name;
                if !names.iter().any(told) {
                    names.push(name);
                }
            }
        }
        Line::list(names.into_iter().map(|name| self.read(name)), "and")
    }

    fn read(&self, name: &NameRead) -> Line {
        let said = |yes: &str, no: &str, unsure: &str| match name.holds {
            Some(true) => yes.to_owned(),
            Some(false) => no.to_owned(),
            None => unsure.to_owned(),
        };
        if let Some(detent) = name.name.strip_prefix("lever.") {
            let stands = said(" is in ", " is not in ", " may be in ");
            return Line::from("the lever") + stands + Line::id(detent);
        }
        let kinds = &[Kind::Passage, Kind::Solenoid, Kind::Input];
        let kind = self.circuit.find(&name.name, kinds).map(|found| found.kind);
        let id = Line::id(&name.name);
        id + match kind {
            Ok(Kind::Solenoid) => said(" has current", " has no current", " may have current"),
            Ok(Kind::Input) => said(" holds", " does not hold", " may hold"),
            _ => said(" has pressure", " has no pressure", " may have pressure"),
        }
    }
}
