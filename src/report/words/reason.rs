//! Why an outlet suffers, in words.

use super::Words;
use crate::answer::Reason;
use crate::circuit::{Level, PartName};
use crate::report::page::Line;
use crate::settle::Push;

/// Parts of a way that are still told with their labels.
const MANY: usize = 6;

impl Words<'_> {
    /// Where oil runs off, from a cavity on: ` through port a, valve b and out at ball c`.
    fn way_out(&self, through: &[PartName]) -> Line {
        match through {
            [] => Line::default(),
            [last] => Line::from(" through ") + self.part(last),
            [before @ .., last] => {
                let before = before.iter().map(|p| self.part(p));
                let mut through = Line::list(before.clone().take(1), "");
                for part in before.skip(1) {
                    through = through + ", " + part;
                }
                Line::from(" through ") + through + " and out at " + self.part(last)
            }
        }
    }

    /// Why an outlet has its verdict, as a clause.
    pub(crate) fn reason(&self, reason: &Reason) -> Line {
        match reason {
            Reason::CutOff { cavity } => {
                Line::from("no supply reaches ") + self.cavity(cavity) + " any more"
            }
            Reason::RunsOff { cavity, through } => {
                self.cavity(cavity)
                    + " runs off to the sump"
                    + self.way_out(through)
                    + ", harder than it is fed"
            }
            Reason::Contested { cavity, through } => {
                self.cavity(cavity)
                    + " is fed, and runs off just as hard"
                    + self.way_out(through)
                    + ": what pressure is left cannot be said"
            }
            Reason::Narrower { cavity, supply } => {
                Line::from("all that still feeds ") + self.cavity(cavity) + " is " + push(*supply)
            }
            Reason::Loses { cavity, through } => {
                self.cavity(cavity) + " is still fed, but now loses oil" + self.way_out(through)
            }
            Reason::Fed { cavity, through } if through.is_empty() => {
                Line::from("a source feeds ") + self.cavity(cavity)
            }
            Reason::Fed { cavity, through } => {
                // A long way is told by ids alone.
                let through = match through.len() {
                    0..=MANY => self.parts(through),
                    _ => Line::list(through.iter().map(|part| self.typed(part)), "and"),
                };
                Line::from("oil gets to ") + self.cavity(cavity) + " through " + through
            }
            Reason::ReleaseLost { cavity } => {
                Line::from("the oil in ") + self.cavity(cavity) + " that should hold it off is gone"
            }
            Reason::Released { cavity } => {
                Line::from("oil in ") + self.cavity(cavity) + " holds it off"
            }
            Reason::Lower { cavity, level } => {
                self.cavity(cavity) + " now has " + words_of_level(*level)
            }
            Reason::Robbed { regulator } => {
                Line::from("what now runs off elsewhere is taken from what ")
                    + self.part(regulator)
                    + " has left over for it"
            }
            Reason::ShutIn { cavity, drain } => {
                let out = match drain {
                    Push::None => "has no way out when it lets go".to_owned(),
                    drain => format!("gets out only through {} when it lets go", push(*drain)),
                };
                Line::from("the oil in ") + self.cavity(cavity) + " " + out
            }
            Reason::Wider { cavity, supply } => {
                self.cavity(cavity) + " now fills through " + push(*supply) + ", wider than before"
            }
            Reason::Higher { cavity } => {
                Line::from("the pressure in ") + self.cavity(cavity) + " stands higher"
            }
            Reason::Uncushioned { accumulator } => {
                self.part(accumulator) + " no longer takes up the first of its oil"
            }
            Reason::Depends { on } if on.is_empty() => "it can end in several ways".into(),
            Reason::Depends { on } => {
                Line::from("it hangs on where ") + self.parts(on) + " ends up"
            }
            Reason::Blocked => "nothing passes through it".into(),
            Reason::Stands { behind } => {
                Line::from("oil stands there and does not go round: none leaves by ")
                    + self.cavity(behind)
            }
            Reason::Unknown { cavity } => {
                Line::from("whether ") + self.cavity(cavity) + " has pressure cannot be said"
            }
        }
    }

    /// Why several outlets, or one in several ways, have their verdict: what their reasons, one
    /// of which is given, have in common.
    pub(in crate::report) fn reasons(&self, one: &Reason, outlets: usize) -> Line {
        let (them, their) = match outlets {
            1 => ("it", "its"),
            _ => ("them", "their"),
        };
        match one {
            Reason::CutOff { .. } => format!("no supply reaches {them} any more").into(),
            Reason::RunsOff { through, .. } => {
                Line::from(format!("{their} oil runs off to the sump"))
                    + self.last(through)
                    + ", harder than it comes"
            }
            Reason::Contested { through, .. } => {
                Line::from(format!("{their} oil runs off"))
                    + self.last(through)
                    + ", just as hard as it comes: what pressure is left cannot be said"
            }
            Reason::Narrower { supply, .. } => {
                format!("all that still feeds {them} is {}", push(*supply)).into()
            }
            Reason::Loses { through, .. } => {
                Line::from(format!("oil still feeds {them}, but some now runs off"))
                    + self.last(through)
            }
            Reason::Fed { cavity, .. } => {
                let cavity = self.cavity(cavity);
                Line::from("oil gets to ") + cavity + ", by ways that change with the state"
            }
            same => self.reason(same),
        }
    }

    fn last(&self, through: &[PartName]) -> Line {
        let last = through
            .last()
            .map(|last| Line::from(" at ") + self.part(last));
        last.unwrap_or_default()
    }
}

fn words_of_level(level: Level) -> &'static str {
    match level {
        Level::Off => "none to be sure of",
        Level::Fill => "only enough to fill",
        Level::Low => "low pressure instead of full",
        Level::Full => "full pressure",
    }
}

/// Whether two reasons can be told as one: the same thing happens at the same part.
pub(in crate::report) fn common(a: &Reason, b: &Reason) -> bool {
    match (a, b) {
        (Reason::CutOff { .. }, Reason::CutOff { .. }) => true,
        (Reason::RunsOff { through: a, .. }, Reason::RunsOff { through: b, .. })
        | (Reason::Contested { through: a, .. }, Reason::Contested { through: b, .. })
        | (Reason::Loses { through: a, .. }, Reason::Loses { through: b, .. }) => {
            a.last() == b.last()
        }
        (Reason::Narrower { supply: a, .. }, Reason::Narrower { supply: b, .. }) => a == b,
        (Reason::Fed { cavity: a, .. }, Reason::Fed { cavity: b, .. }) => a == b,
        (a, b) => a == b,
    }
}

/// How oil reaches a cavity at best.
fn push(push: Push) -> &'static str {
    match push {
        Push::None => "nothing",
        Push::Leak => "a leak",
        Push::Metered => "a metering hole",
        Push::Open => "an open way",
        Push::Rail => "a source",
    }
}
