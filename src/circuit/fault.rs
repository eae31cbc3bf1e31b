//! The fault catalogue: what can be wrong with each kind of part.

use std::fmt;

use serde::{Serialize, Serializer};

use super::find::{join_or, nearest};
use super::{Circuit, FindError, Kind, PartName, PlateKind, SUMP};

/// One part in one bad condition. Shown as `kind.id:condition` or `kind.id:condition=argument`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fault {
    /// The part.
    pub part: PartName,
    /// What is wrong with it.
    pub condition: Condition,
}

/// What can be wrong with a part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Condition {
    /// Plate not tight: what it roofs opens to the sump, what it separates runs together.
    Loose,
    /// Part not fitted.
    LeftOut,
    /// Gasket blown or porous between two cavities, or between one and the sump.
    Leaking([String; 2]),
    /// Nothing passes a way or a cavity.
    Plugged,
    /// Metering hole drilled or worn too large to meter.
    Oversize,
    /// Cavity open to the sump.
    Cracked,
    /// Casting leaks between this cavity and a neighbour.
    Porous(String),
    /// Ball held on its seat: nothing passes.
    StuckSeated,
    /// Ball held off its seat: oil passes both ways. Solenoid that works as if it had no current.
    StuckOff,
    /// Seat, seal or running fit worn: it leaks.
    Worn,
    /// Spool land or bore worn: these neighbouring ports leak into each other.
    WornBetween([String; 2]),
    /// Seal cut through.
    Cut,
    /// Valve held in a position.
    StuckIn(String),
    /// Solenoid works as if it had current.
    StuckOn,
    /// Regulator or relief held open.
    StuckOpen,
    /// Regulator or relief held shut.
    StuckShut,
    /// Oil cannot pass a filter, converter, cooler or solenoid screen.
    Blocked,
}

impl Condition {
    /// The word before any `=`.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Condition::Loose => "loose",
            Condition::LeftOut => "left-out",
            Condition::Leaking(_) => "leaking",
            Condition::Plugged => "plugged",
            Condition::Oversize => "oversize",
            Condition::Cracked => "cracked",
            Condition::Porous(_) => "porous",
            Condition::StuckSeated => "stuck-seated",
            Condition::StuckOff => "stuck-off",
            Condition::Worn | Condition::WornBetween(_) => "worn",
            Condition::Cut => "cut",
            Condition::StuckIn(_) => "stuck",
            Condition::StuckOn => "stuck-on",
            Condition::StuckOpen => "stuck-open",
            Condition::StuckShut => "stuck-shut",
            Condition::Blocked => "blocked",
        }
    }

    /// Whether it keeps a valve where it is.
    #[must_use]
    pub fn sticks(&self) -> bool {
        matches!(self, Condition::StuckIn(_))
    }
}

impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())?;
        match self {
            Condition::Leaking([a, b]) | Condition::WornBetween([a, b]) => write!(f, "={a}+{b}"),
            Condition::Porous(one) | Condition::StuckIn(one) => write!(f, "={one}"),
            _ => Ok(()),
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.part, self.condition)
    }
}

impl Serialize for Fault {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// Why a text is no fault of a circuit.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FaultError {
    /// No `part:condition` in it.
    #[error("`{0}` is not a fault: write `part:condition`, such as `hop-cover:loose`")]
    NoCondition(String),
    /// The part cannot be found.
    #[error("{0}")]
    Part(#[from] FindError),
    /// The part cannot be in that condition.
    #[error("{} `{}` {}", .part.kind, .part.id, cannot_be(.typed))]
    Condition {
        /// The part.
        part: PartName,
        /// What was typed after the colon.
        typed: String,
        /// The nearest faults of that part, best first.
        near: Vec<String>,
        /// Every fault the catalogue has for that part.
        can: Vec<String>,
    },
}

fn cannot_be(typed: &str) -> String {
    match typed {
        "" => "alone is no fault: say what is wrong with it".to_owned(),
        typed => format!("cannot be `{typed}`"),
    }
}

impl FaultError {
    /// What to type instead.
    #[must_use]
    pub fn remedy(&self) -> String {
        let quoted = |list: &[String]| list.iter().map(|f| format!("`{f}`")).collect::<Vec<_>>();
        match self {
            FaultError::NoCondition(_) => {
                "list the parts with `oilpath parts FILE --faults`".into()
            }
            FaultError::Part(e) => e.remedy(),
            FaultError::Condition { can, .. } if can.is_empty() => {
                "the catalogue has no fault for this kind of part".into()
            }
            FaultError::Condition { near, can, .. } => {
                let can = format!("it can be {}", join_or(&quoted(can)));
                match near.first() {
                    Some(best) => format!("did you mean `{best}`? {can}"),
                    None => can,
                }
            }
        }
    }
}

impl Circuit {
    /// Reads `part:condition` or `part:condition=argument`; two arguments are joined by `+`.
    ///
    /// # Errors
    /// The part is unknown, or cannot be in that condition; the error lists what it can be.
    ///
    /// ```
    /// let circuit = oilpath::sheet::read(r#"
    ///     [casting]
    ///     block = { passages = ["lube"] }
    ///     [plate]
    ///     hop-cover = { kind = "cover", roofs = ["lube"] }
    /// "#).unwrap().circuit;
    /// let fault = circuit.fault("hop-cover:loose").unwrap();
    /// assert_eq!(fault.to_string(), "plate.hop-cover:loose");
    /// let err = circuit.fault("hop-cover:lose").unwrap_err();
    /// assert!(err.remedy().starts_with("did you mean `hop-cover:loose`?"));
    /// ```
    pub fn fault(&self, text: &str) -> Result<Fault, FaultError> {
        let (part, typed) = match text.split_once(':') {
            Some((part, condition)) => (part.trim(), condition.trim()),
            None => match self.find(text.trim(), Kind::ALL) {
                // A part alone is best answered with what it can be.
                Ok(_) => (text.trim(), ""),
                Err(_) => return Err(FaultError::NoCondition(text.to_owned())),
            },
        };
        let part = self.find(part, Kind::ALL)?;
        let (word, argument) = match typed.split_once('=') {
            Some((word, argument)) => (word.trim(), Some(argument.trim())),
            None => (typed, None),
        };
        let condition = match argument {
            None => self
                .conditions(&part)
                .into_iter()
                .find(|c| c.to_string() == word),
            Some(argument) => self.argued(&part, word, argument),
        };
        condition
            .map(|condition| Fault {
                part: part.clone(),
                condition,
            })
            .ok_or_else(|| {
                let can: Vec<String> = self.faults_of(&part).iter().map(|f| self.say(f)).collect();
                let full = format!("{}:{typed}", self.short(&part));
                FaultError::Condition {
                    near: nearest(&full, can.iter().map(String::as_str)),
                    part,
                    typed: typed.to_owned(),
                    can,
                }
            })
    }

    /// A condition with an argument: any that makes sense, not only those the catalogue lists.
    fn argued(&self, part: &PartName, word: &str, argument: &str) -> Option<Condition> {
        let cavity = |text: &str| -> Option<String> {
            match text.trim() {
                SUMP => Some(SUMP.to_owned()),
                text => Some(self.find(text, &[Kind::Passage]).ok()?.id),
            }
        };
        let pair = || {
            let (a, b) = argument.split_once('+')?;
            let mut pair = [cavity(a)?, cavity(b)?];
            pair.sort();
            (pair[0] != pair[1]).then_some(pair)
        };
        match (part.kind, word) {
            (Kind::Plate, "leaking") if self.plates[&part.id].kind == PlateKind::Gasket => {
                Some(Condition::Leaking(pair()?))
            }
            (Kind::Passage, "porous") => {
                let to = cavity(argument)?;
                (to != part.id).then_some(Condition::Porous(to))
            }
            (Kind::Valve, "worn") => {
                let pair = pair()?;
                let ports = self.neighbours(&part.id);
                ports
                    .contains(&pair)
                    .then_some(Condition::WornBetween(pair))
            }
            (Kind::Valve, "stuck") => {
                let positions = &self.valves[&part.id].positions;
                let known = positions.contains_key(argument);
                known.then(|| Condition::StuckIn(argument.to_owned()))
            }
            _ => None,
        }
    }

    /// Every fault the catalogue has for one part, arguments spelled out.
    #[must_use]
    pub fn faults_of(&self, part: &PartName) -> Vec<Fault> {
        self.conditions(part)
            .into_iter()
            .map(|condition| Fault {
                part: part.clone(),
                condition,
            })
            .collect()
    }

    /// Every single fault of the circuit, part by part.
    #[must_use]
    pub fn faults(&self) -> Vec<Fault> {
        self.parts()
            .flat_map(|(name, _)| self.faults_of(&name))
            .collect()
    }

    /// A fault as its reader would type it.
    #[must_use]
    pub fn say(&self, fault: &Fault) -> String {
        format!("{}:{}", self.short(&fault.part), fault.condition)
    }

    fn conditions(&self, part: &PartName) -> Vec<Condition> {
        use Condition as C;
        match part.kind {
            Kind::Passage => {
                let mut all = vec![C::Plugged, C::Cracked];
                all.extend(self.beside(&part.id).into_iter().map(C::Porous));
                all
            }
            Kind::Plate => {
                let plate = &self.plates[&part.id];
                let mut all = vec![C::Loose, C::LeftOut];
                if plate.kind == PlateKind::Gasket {
                    let runs = plate.separates.iter().flat_map(|run| pairs(run));
                    let outside = plate.roofs.iter().map(|c| sorted([c, SUMP]));
                    let mut leaks: Vec<_> = runs.chain(outside).collect();
                    leaks.sort();
                    leaks.dedup();
                    all.extend(leaks.into_iter().map(C::Leaking));
                }
                all
            }
            Kind::Regulator => vec![C::StuckOpen, C::StuckShut],
            Kind::Relief => vec![C::StuckOpen],
            Kind::Port => vec![C::Plugged],
            Kind::Orifice => vec![C::Plugged, C::Oversize],
            Kind::Ball => vec![C::LeftOut, C::StuckSeated, C::StuckOff, C::Worn],
            Kind::Seal => vec![C::LeftOut, C::Cut, C::Worn],
            Kind::Valve => {
                let positions = self.valves[&part.id].positions.keys().cloned();
                let worn = self.neighbours(&part.id).into_iter();
                positions
                    .map(C::StuckIn)
                    .chain(worn.map(C::WornBetween))
                    .collect()
            }
            Kind::Solenoid => vec![C::StuckOn, C::StuckOff, C::Blocked],
            Kind::Accumulator => vec![C::Worn, C::Cut],
            Kind::Filter | Kind::Converter | Kind::Cooler => vec![C::Blocked],
            Kind::Casting
            | Kind::Source
            | Kind::Clearance
            | Kind::Outlet
            | Kind::Tap
            | Kind::Switch
            | Kind::Input
            | Kind::State => Vec::new(),
        }
    }

    /// Cavities that lie next to one across a plate's rib, in order.
    fn beside(&self, cavity: &str) -> Vec<String> {
        let runs = self.plates.values().flat_map(|p| &p.separates);
        let mut found: Vec<String> = runs
            .flat_map(|run| pairs(run))
            .filter_map(|[a, b]| match cavity {
                c if c == a => Some(b),
                c if c == b => Some(a),
                _ => None,
            })
            .collect();
        found.sort();
        found.dedup();
        found
    }

    /// Neighbouring ports of a valve's bore, each pair once.
    fn neighbours(&self, valve: &str) -> Vec<[String; 2]> {
        let mut found: Vec<_> = pairs(&self.valves[valve].bore).collect();
        found.sort();
        found.dedup();
        found
    }
}

/// Each item of a run with the next, sorted within, none with itself.
fn pairs(run: &[String]) -> impl Iterator<Item = [String; 2]> {
    run.windows(2)
        .filter(|w| w[0] != w[1])
        .map(|w| sorted([&w[0], &w[1]]))
}

fn sorted(mut pair: [&str; 2]) -> [String; 2] {
    pair.sort_unstable();
    pair.map(str::to_owned)
}
