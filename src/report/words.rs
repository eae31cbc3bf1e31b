//! The words of every report, for all media: what a part, a state, a verdict, a reason and a
//! step of the oil are called.

use super::page::{Line, Role};
use crate::answer::{Depth, Hop, Reason, Verdict};
use crate::circuit::{BallKind, Circuit, Kind, Outlet, Part, PartName, SUMP, Seat, Work};
use crate::net::Strength;
use crate::settle::Push;
use crate::units::{Length, Quantity, UnitSystem};

/// What the words are about and the units they use.
#[derive(Clone, Copy, Debug)]
pub struct Words<'c> {
    /// The circuit the answers are about: its labels are used.
    pub circuit: &'c Circuit,
    /// The units of sizes.
    pub units: UnitSystem,
}

impl Words<'_> {
    /// What the circuit is called.
    pub(super) fn title(&self) -> Line {
        self.circuit
            .title
            .as_deref()
            .unwrap_or("Oil circuit")
            .into()
    }

    /// A part as a reader can type it.
    pub(super) fn typed(&self, part: &PartName) -> Line {
        Line::id(&self.circuit.short(part))
    }

    /// The label of a part, if it has one.
    pub(super) fn label(&self, part: &PartName) -> Line {
        let part = self.circuit.get(part.kind, &part.id);
        let label = part.and_then(|p| p.text().label.as_deref());
        label.unwrap_or_default().into()
    }

    /// A part with its label, to be put in a list: `bridge cover (hop-cover)`.
    pub(super) fn name(&self, part: &PartName) -> Line {
        match self.label(part) {
            label if label.is_empty() => self.typed(part),
            label => label + " (" + self.typed(part) + ")",
        }
    }

    /// A part in a sentence: `the bridge cover (hop-cover)`, `port rear-lube`.
    pub(super) fn part(&self, part: &PartName) -> Line {
        let typed = self.typed(part);
        let label = self.label(part);
        if !label.is_empty() {
            return Line::from("the ") + label + " (" + typed + ")";
        }
        let kind = match self.circuit.get(part.kind, &part.id) {
            Some(Part::Plate(plate)) => plate.kind.word(),
            _ => part.kind.word(),
        };
        match part.kind {
            Kind::Outlet | Kind::Passage => typed,
            // `kind.id`, where kinds share an id, says the kind already.
            _ if self.circuit.short(part) != part.id => typed,
            _ => Line::from(kind) + " " + typed,
        }
    }

    /// A cavity in a sentence.
    pub(super) fn cavity(&self, id: &str) -> Line {
        match id {
            SUMP => "the sump".into(),
            id => self.part(&PartName::new(Kind::Passage, id)),
        }
    }

    /// A body in a sentence.
    pub(super) fn casting(&self, id: &str) -> Line {
        let part = PartName::new(Kind::Casting, id);
        Line::from("the ") + self.circuit.label(&part)
    }

    /// Parts in a sentence: `a, b and c`.
    pub(super) fn parts(&self, parts: &[PartName]) -> Line {
        Line::list(parts.iter().map(|p| self.part(p)), "and")
    }

    /// A diameter.
    pub(super) fn bore(&self, m: f64) -> String {
        Length::from_m(m).show(self.units)
    }

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
    pub(super) fn reason(&self, reason: &Reason) -> Line {
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
                let through = self.parts(through);
                Line::from("oil gets to ") + self.cavity(cavity) + " through " + through
            }
            Reason::ReleaseLost { cavity } => {
                Line::from("the oil in ") + self.cavity(cavity) + " that should hold it off is gone"
            }
            Reason::Released { cavity } => {
                Line::from("oil in ") + self.cavity(cavity) + " holds it off"
            }
            Reason::Blocked => "nothing passes through it".into(),
            Reason::Unknown { cavity } => {
                Line::from("whether ") + self.cavity(cavity) + " has pressure cannot be said"
            }
        }
    }

    /// Why several outlets, or one in several ways, have their verdict: what their reasons, one
    /// of which is given, have [in common](common).
    pub(super) fn reasons(&self, one: &Reason, outlets: usize) -> Line {
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

    /// One step of the oil, as someone with a finger on the chart would tell it.
    pub(super) fn hop(&self, hop: &Hop) -> Line {
        let into = Line::from(" into ") + self.cavity(&hop.to);
        let mut line = self.crossing(hop) + into;
        if hop.to_casting != hop.from_casting
            && let Some(casting) = &hop.to_casting
        {
            line = line + ", in " + self.casting(casting);
        }
        if !hop.sure {
            line = line + ", if it stands open: that cannot be said";
        }
        line.capital()
    }

    /// How the oil passes the part of a hop.
    fn crossing(&self, hop: &Hop) -> Line {
        let part = self.part(&hop.part);
        let bore = hop.bore_m.map(|m| self.bore(m));
        let body = self.circuit.get(hop.part.kind, &hop.part.id);
        let holes = match (&bore, hop.strength) {
            (Some(bore), Strength::Metered) => format!("a {bore} metering hole, "),
            (None, Strength::Metered) => "a metering hole, ".to_owned(),
            (Some(bore), _) => format!("a {bore} hole, "),
            (None, _) => String::new(),
        };
        match body {
            Some(Part::Port(_) | Part::Orifice(_)) => {
                let plates = hop.through.iter().map(|id| PartName::new(Kind::Plate, id));
                let plates: Vec<PartName> = plates.collect();
                let way = match &plates[..] {
                    [] => Line::from("through ") + holes + part,
                    plates => {
                        let crosses = Line::from("crosses ") + self.parts(plates);
                        crosses + (if holes.is_empty() { " at " } else { " by " }) + holes + part
                    }
                };
                match &hop.under {
                    Some(cover) => {
                        way + ", under " + self.part(&PartName::new(Kind::Plate, cover)) + ","
                    }
                    None => way + ",",
                }
            }
            Some(Part::Ball(ball)) => match &ball.kind {
                BallKind::OneWay {
                    lifts_at: Some(at), ..
                } => {
                    let at = at.show(self.units);
                    Line::from("lifts ") + part + " off its seat above " + at + ", and so"
                }
                BallKind::OneWay { .. } => Line::from("lifts ") + part + " off its seat and goes",
                BallKind::Shuttle { .. } => Line::from("pushes ") + part + " across and goes",
            },
            Some(Part::Valve(_)) => match &hop.position {
                Some(position) => {
                    Line::from("through ") + part + " standing in " + Line::id(position) + ","
                }
                None => Line::from("past the worn bore of ") + part,
            },
            Some(Part::Regulator(regulator)) => {
                let spills =
                    regulator.holds == hop.from && matches!(regulator.work, Work::Spills(_));
                part + if spills {
                    " spills what is too much"
                } else {
                    " lets just enough"
                }
            }
            Some(Part::Relief(_)) => part + " opens, and lets oil",
            Some(Part::Clearance(_)) => Line::from("leaks along ") + part,
            Some(Part::Solenoid(_)) => Line::from("through ") + part + ",",
            Some(Part::Plate(_)) => Line::from("through the gap at ") + part,
            Some(Part::Seal(_)) => Line::from("past ") + part,
            Some(Part::Passage(_)) => Line::from("through the wall of ") + part,
            Some(Part::Accumulator(_)) => Line::from("past the piston of ") + part,
            _ => Line::from("through ") + part + ",",
        }
    }

    /// What the oil does where a walk ends.
    pub(super) fn arrives(&self, part: &PartName) -> Option<Line> {
        let name = self.part(part);
        Some(match self.circuit.get(part.kind, &part.id)? {
            Part::Outlet(Outlet {
                seat: Seat::TwoSided { .. },
                ..
            }) => Line::from("It comes to the apply side of ") + name,
            Part::Outlet(outlet) if outlet.kind.by_pressure() => Line::from("It applies ") + name,
            Part::Outlet(_) => Line::from("It reaches ") + name,
            Part::Tap(_) => Line::from("A gauge in ") + name + " shows it",
            Part::Switch(_) => name.capital() + " feels it",
            Part::Through(_) => Line::from("It goes through ") + name,
            Part::Accumulator(_) => Line::from("It fills ") + name,
            _ => return None,
        })
    }
}

/// Whether two reasons can be told as one: the same thing happens at the same part.
pub(super) fn common(a: &Reason, b: &Reason) -> bool {
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

/// States in a sentence, briefly: ` in all 13 states`, ` in neutral`, ` in 6 of 13 states`.
///
/// `all` are those asked about; without any, nothing is said.
pub(super) fn in_states(these: &[&str], all: &[&str]) -> Line {
    if these.len() == all.len() || these.len() <= 2 || all.len() - these.len() <= 2 {
        return in_each(these, all);
    }
    format!(" in {} of {} states", these.len(), all.len()).into()
}

/// States in a sentence, named as by [`states`].
pub(super) fn in_each(these: &[&str], all: &[&str]) -> Line {
    match states(these, all) {
        states if states.is_empty() => states,
        states => Line::from(" in ") + states,
    }
}

/// States in a sentence that denies something: ` in any of the 13 states`, ` in neutral`.
pub(super) fn in_any(these: &[&str], all: &[&str]) -> Line {
    match all {
        [_, _, ..] if these.len() == all.len() => {
            format!(" in any of the {} states", all.len()).into()
        }
        _ => in_each(these, all),
    }
}

/// Every state named, unless that is all of them or nearly.
pub(super) fn states(these: &[&str], all: &[&str]) -> Line {
    let ids = |states: &[&str]| Line::list(states.iter().map(|s| Line::id(s)), "and");
    let others: Vec<&str> = (all.iter().copied())
        .filter(|s| !these.contains(s))
        .collect();
    match (these, &others[..]) {
        ([""], _) => Line::default(),
        ([_, _], []) => "both states".into(),
        ([_, _, ..], []) => format!("all {} states", all.len()).into(),
        ([_, _, _, _, ..], others) if others.len() <= 2 => {
            Line::from("all states but ") + ids(others)
        }
        (these, _) => ids(these),
    }
}

/// A verdict, its letter first.
pub(super) fn verdict(verdict: Verdict) -> Line {
    let (role, words) = match verdict {
        Verdict::Starved => (Role::Drained, "S starved"),
        Verdict::OnWhenOff => (Role::Stray, "O on when off"),
        Verdict::Weakened => (Role::Contested, "W weakened"),
        Verdict::Undecided => (Role::Unsure, "? undecided"),
        Verdict::Kept => (Role::Supplied, "+ kept"),
        Verdict::Off => (Role::Faint, "- off"),
    };
    Line::role(role, words)
}

/// What faults do to outlets, as a verb: before and behind the outlets.
pub(super) fn does(verdict: Verdict, one: bool, outlets: usize) -> (String, &'static str) {
    let s = if one { "s" } else { "" };
    let has = if outlets == 1 {
        " has oil"
    } else {
        " have oil"
    };
    match verdict {
        Verdict::Starved => (format!("starve{s} "), ""),
        Verdict::OnWhenOff => (format!("let{s} oil to "), ", where none should be,"),
        Verdict::Weakened => (format!("weaken{s} "), ""),
        Verdict::Undecided => (format!("leave{s} open whether "), has),
        Verdict::Kept | Verdict::Off => (format!("change{s} nothing at "), ""),
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

/// How deep an answer looks: what it means and what it does not.
pub(super) fn depth(depth: Depth) -> Line {
    match depth {
        Depth::Reach => {
            "How this was found: by connection alone, valves where the sound circuit has them. \
             It says where oil can go, not how much of it does."
        }
        Depth::Balance => {
            "How this was found: open ways, metering holes and leaks weighed against each other, \
             valves held where the sound circuit has them. No pressures, flows or times were \
             computed, so kept does not mean enough."
        }
    }
    .into()
}

/// `1 port`, `2 ports`, `no ports`.
pub(super) fn plural(count: usize, noun: &str) -> String {
    match (count, noun) {
        (1, noun) => format!("1 {noun}"),
        (0, noun) => format!("no {noun}s"),
        (count, noun) if noun.ends_with("ch") => format!("{count} {noun}es"),
        (count, noun) => format!("{count} {noun}s"),
    }
}
