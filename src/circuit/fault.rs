//! One part in one bad condition, as a reader types it.

use std::fmt;
use std::mem;

use serde::{Serialize, Serializer};

use super::catalogue::{COVERED, ON_PLATES};
use super::find::{join_or, nearest};
use super::{Circuit, Condition, FindError, Kind, PartName, PlateKind, SUMP};

/// One part in one bad condition. Shown as `kind.id:condition` or `kind.id:condition=argument`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fault {
    /// The part. A swap of two parts is a fault of the one whose id sorts first.
    pub part: PartName,
    /// What is wrong with it.
    pub condition: Condition,
}

impl Fault {
    /// The same, a swap told of the part whose id sorts first.
    pub(crate) fn of_first(mut self) -> Self {
        if let Condition::Swapped(other) | Condition::SpringSwapped(other) = &mut self.condition
            && *other < self.part.id
        {
            mem::swap(other, &mut self.part.id);
        }
        self
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
    Part(FindError),
    /// What stands after the `=` cannot be found.
    #[error("{0}")]
    Argument(FindError),
    /// The part cannot be in that condition.
    #[error("{} `{}` {}", .part.kind, .part.id, cannot_be(.typed))]
    Condition {
        /// The part.
        part: PartName,
        /// What was typed after the colon.
        typed: String,
        /// The nearest faults of that part, best first.
        near: Vec<String>,
        /// What it can be: one row a word, every fault of that word; of the typed word alone if
        /// it is one of them.
        can: Vec<Vec<String>>,
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
        match self {
            FaultError::NoCondition(_) => {
                "list the parts with `oilpath parts FILE --faults`".into()
            }
            FaultError::Part(e) | FaultError::Argument(e) => e.remedy(),
            FaultError::Condition { can, .. } if can.is_empty() => {
                "the catalogue has no fault for this kind of part".into()
            }
            FaultError::Condition { near, can, .. } => {
                let can = format!("it can be {}", join_or(&choices(can)));
                match near.first() {
                    Some(best) => format!("did you mean `{best}`? {can}"),
                    None => can,
                }
            }
        }
    }
}

/// Faults of one word beyond which the first stands for all, where there are other words.
const FEW: usize = 4;

fn choices(can: &[Vec<String>]) -> Vec<String> {
    let row = |faults: &Vec<String>| match &faults[..] {
        [first, rest @ ..] if faults.len() > FEW && can.len() > 1 => {
            vec![format!("`{first}` (or {} more like it)", rest.len())]
        }
        faults => faults.iter().map(|f| format!("`{f}`")).collect(),
    };
    can.iter().flat_map(row).collect()
}

impl Circuit {
    /// Reads `part:condition` or `part:condition=argument`; several arguments are joined by `+`.
    ///
    /// # Errors
    /// The part or an argument is unknown, or the part cannot be in that condition; the error
    /// lists what it can be.
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
        let part = self.find(part, Kind::ALL).map_err(FaultError::Part)?;
        let (word, argument) = match typed.split_once('=') {
            Some((word, argument)) => (word.trim(), Some(argument.trim())),
            None => (typed, None),
        };
        let condition = match argument {
            None => self
                .conditions(&part)
                .into_iter()
                .find(|c| c.to_string() == word),
            Some(argument) => self
                .argued(&part, word, argument)
                .map_err(FaultError::Argument)?,
        };
        match condition {
            Some(condition) => Ok(Fault { part, condition }.of_first()),
            None => Err(self.cannot(part, word, typed)),
        }
    }

    fn cannot(&self, part: PartName, word: &str, typed: &str) -> FaultError {
        let listed = self.conditions(&part);
        let mut rows: Vec<(&str, Vec<String>)> = Vec::new();
        for condition in &listed {
            let said = condition.to_string();
            match rows.iter_mut().find(|(word, _)| *word == condition.word()) {
                Some((_, row)) => row.push(said),
                None => rows.push((condition.word(), vec![said])),
            }
        }
        // The catalogue lists arguments that are likely. Where it knows none, others still do.
        if let Some((word, argument)) = self.takes_any(&part)
            && !rows.iter().any(|(listed, _)| *listed == word)
        {
            rows.push((word, vec![format!("{word}={argument}")]));
        }
        let all = rows.iter().flat_map(|(_, row)| row).map(String::as_str);
        let near = nearest(typed, all);
        if rows.iter().any(|(listed, _)| *listed == word) {
            rows.retain(|(listed, _)| *listed == word);
        }
        let name = self.short(&part);
        let full = |said: Vec<String>| said.iter().map(|said| format!("{name}:{said}")).collect();
        FaultError::Condition {
            near: full(near),
            can: rows.into_iter().map(|(_, row)| full(row)).collect(),
            part,
            typed: typed.to_owned(),
        }
    }

    /// The condition of a part whose argument may be more than what the catalogue lists.
    fn takes_any(&self, part: &PartName) -> Option<(&'static str, &'static str)> {
        match part.kind {
            Kind::Plate if self.plates[&part.id].kind == PlateKind::Gasket => {
                Some(("leaking", "CAVITY+CAVITY"))
            }
            Kind::Passage => Some(("porous", "CAVITY")),
            Kind::Ball => Some(("misplaced", "ORIFICE")),
            _ => None,
        }
    }

    /// A condition with an argument: any that makes sense, not only those the catalogue lists.
    fn argued(
        &self,
        part: &PartName,
        word: &str,
        argument: &str,
    ) -> Result<Option<Condition>, FindError> {
        let cavity = |text: &str| match text {
            SUMP => Ok(SUMP.to_owned()),
            text => Ok(self.find(text, &[Kind::Passage])?.id),
        };
        let arguments: Vec<&str> = argument.split('+').map(str::trim).collect();
        let condition = match (part.kind, word, &arguments[..]) {
            (Kind::Plate, "leaking", [a, b]) if self.plates[&part.id].kind == PlateKind::Gasket => {
                two(cavity(a)?, cavity(b)?).map(Condition::Leaking)
            }
            (Kind::Plate, "wrong", ways) => {
                let mut shut = Vec::new();
                for way in ways {
                    shut.push(self.short(&self.find(way, ON_PLATES)?));
                }
                shut.sort();
                shut.dedup();
                let here = self.ways_on(&part.id, ON_PLATES);
                let all_here = shut.iter().all(|way| here.contains(way));
                all_here.then_some(Condition::Wrong(shut))
            }
            (Kind::Passage, "porous", [to]) => {
                let to = cavity(to)?;
                (to != part.id).then_some(Condition::Porous(to))
            }
            (Kind::Ball, "misplaced", [way]) => {
                let way = self.find(way, COVERED)?;
                Some(Condition::Misplaced(self.short(&way)))
            }
            (Kind::Valve, "worn", [a, b]) => two(cavity(a)?, cavity(b)?)
                .filter(|pair| self.neighbours(&part.id).contains(pair))
                .map(Condition::WornBetween),
            (Kind::Valve, "stuck", [position]) => {
                let known = self.valves[&part.id].positions.contains_key(*position);
                known.then(|| Condition::StuckIn((*position).to_owned()))
            }
            (Kind::Valve, "stuck-between", [a, b]) => {
                let positions = &self.valves[&part.id].positions;
                let known = positions.contains_key(*a) && positions.contains_key(*b);
                let between = two((*a).to_owned(), (*b).to_owned());
                between.filter(|_| known).map(Condition::StuckBetween)
            }
            (Kind::Valve, "spring-swapped", [other]) => {
                let swap = Condition::SpringSwapped(self.find(other, &[Kind::Valve])?.id);
                self.conditions(part).contains(&swap).then_some(swap)
            }
            (Kind::Solenoid, "swapped", [other]) => {
                let swap = Condition::Swapped(self.find(other, &[Kind::Solenoid])?.id);
                self.conditions(part).contains(&swap).then_some(swap)
            }
            _ => None,
        };
        Ok(condition)
    }
}

/// Two different texts, sorted.
fn two(a: String, b: String) -> Option<[String; 2]> {
    let mut pair = [a, b];
    pair.sort();
    (pair[0] != pair[1]).then_some(pair)
}
