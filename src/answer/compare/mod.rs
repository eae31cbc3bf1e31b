//! Do two circuits interchange: part by part, and by what they do.

mod behave;
mod facts;
mod figures;
mod guess;
mod parts;

use serde::Serialize;

pub use behave::{CompareOutlet, CompareRole, CompareState, CompareTap};
pub use figures::{CompareFigure, CompareFigures};
pub use parts::{ChangeKind, Fit, KeyChange, PartChange};

use super::{Answer, Depth};
use crate::circuit::PartName;
use crate::net::Net;

/// Two circuits held against each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Compare {
    /// How deep the answer looks.
    pub depth: Depth,
    /// Whether one can be fitted for the other.
    pub verdict: Interchange,
    /// The first reason against it; none where there is none.
    pub reason: Option<CompareReason>,
    /// Whether the same pieces lie in the same places and yet something differs inside.
    pub look_alike: bool,
    /// Parts of the first by another name in the second, as they were given.
    pub mapped: Vec<[PartName; 2]>,
    /// Parts that may be such, by what they look like; a guess that nothing here rests on.
    pub guessed: Vec<[PartName; 2]>,
    /// How many parts were found in both, by name or by the map.
    pub shared: usize,
    /// Every part that differs: what fits on no other block first, then kind by kind.
    pub parts: Vec<PartChange>,
    /// States that only one of the two has, by the names of the first where it has them.
    pub states_apart: Vec<String>,
    /// The states of both.
    pub states: Vec<CompareState>,
    /// What the outlets get in figures; none where sizes are missing in either.
    pub figures: Option<CompareFigures>,
    /// Faults that both can have and that do more harm in one than in the other; empty where
    /// nothing differs that oil would feel.
    pub roles: Vec<CompareRole>,
}

/// Whether one block can be fitted for another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Interchange {
    /// As it is.
    Yes,
    /// After its loose pieces have been exchanged.
    WithChanges,
    /// Not at all.
    No,
}

/// Why one block cannot be fitted for another as it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "because")]
pub enum CompareReason {
    /// In a state an outlet has oil in one and not in the other, or another level of it.
    Outlet {
        /// The state; none for circuits that declare none.
        state: Option<String>,
        /// The outlet, by its name in the first.
        outlet: PartName,
    },
    /// A part differs.
    Part {
        /// The part, by its name in the first; in the second where the first has none.
        part: PartName,
    },
}

impl Answer for Compare {
    const NAME: &'static str = "compare";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        self.verdict != Interchange::Yes
    }
}

/// Holds two circuits against each other. `mapped` names parts of the first that have another name
/// in the second; all others are the same part where kind and id are.
///
/// Each part is compared key by key, whatever the order of the files; labels and notes do not
/// count. Then what the sound circuits do in each state of both, settled from rest. Loose pieces
/// (plates, balls, seals, springs, solenoids, metering holes in plates and their like) can be taken
/// over from the old block; whatever is cast, drilled or ground cannot. Where both have sizes, a
/// size that differs alone is no reason as long as no outlet gets more or less by a twentieth.
///
/// ```
/// use oilpath::{answer::{self, Interchange}, net::Net, sheet};
/// let text = r#"
///     [casting]
///     block = { passages = ["line", "apply"] }
///     [source]
///     pump = { feeds = "line" }
///     [ball]
///     hold = { from = "line", to = "apply" }
///     [outlet]
///     clutch = { kind = "clutch", at = "apply" }
/// "#;
/// let ours = sheet::read(text).unwrap().circuit;
/// let turned = r#"hold = { from = "apply", to = "line" }"#;
/// let theirs = text.replace(r#"hold = { from = "line", to = "apply" }"#, turned);
/// let theirs = sheet::read(&theirs).unwrap().circuit;
/// let [ours, theirs] = [&ours, &theirs].map(|c| Net::new(c).unwrap());
/// assert_eq!(answer::compare(&ours, &ours, &[]).verdict, Interchange::Yes);
/// let answer = answer::compare(&ours, &theirs, &[]);
/// // The seat is drilled in the block the other way round: that cannot be taken over.
/// assert_eq!(answer.verdict, Interchange::No);
/// assert!(answer.look_alike);
/// assert_eq!(answer.parts[0].keys[0].key, "from");
/// ```
#[must_use]
pub fn compare(ours: &Net<'_>, theirs: &Net<'_>, mapped: &[(PartName, PartName)]) -> Compare {
    let names = Names::of(ours, theirs, mapped);
    let figures = figures::figures(&names);
    let (states, states_apart) = behave::states(&names);
    let alike = figures.as_ref().is_some_and(|f| f.differ.is_empty()) && states_apart.is_empty();
    let parts = parts::differing(&names, alike);
    let differs = states.iter().find_map(|state| {
        let outlet = state.outlets.iter().find(|o| o.differs())?;
        Some(CompareReason::Outlet {
            state: state.state.clone(),
            outlet: outlet.outlet.clone(),
        })
    });
    let fixed = parts.iter().find(|p| p.fit == Fit::Fixed);
    let loose = parts.iter().find(|p| p.fit == Fit::Loose);
    let verdict = match (fixed, loose, &differs) {
        (Some(_), _, _) | (None, None, Some(_)) => Interchange::No,
        (None, Some(_), _) => Interchange::WithChanges,
        (None, None, None) => Interchange::Yes,
    };
    let part = fixed.or(loose).map(|change| CompareReason::Part {
        part: change.part.clone(),
    });
    // Where oil goes elsewhere, that is the reason; a part is what it comes from.
    let reason = differs.or(part).filter(|_| verdict != Interchange::Yes);
    let felt = parts.iter().any(|p| p.fit <= Fit::Loose);
    let apart = |change: &PartChange| match &change.change {
        ChangeKind::Added | ChangeKind::Gone => true,
        ChangeKind::Changed => change.moved,
    };
    let guessed = guess::guess(ours.circuit(), theirs.circuit(), mapped);
    Compare {
        depth: Depth::Settle,
        verdict,
        reason,
        look_alike: felt && !parts.iter().any(apart),
        mapped: mapped.iter().map(|(a, b)| [a.clone(), b.clone()]).collect(),
        guessed: guessed.into_iter().map(|(a, b)| [a, b]).collect(),
        shared: names.shared(),
        roles: if felt {
            behave::roles(&names)
        } else {
            Vec::new()
        },
        figures,
        parts,
        states_apart,
        states,
    }
}

/// Two circuits, and which part of one is which of the other.
pub(super) struct Names<'n> {
    pub ours: &'n Net<'n>,
    pub theirs: &'n Net<'n>,
    mapped: &'n [(PartName, PartName)],
}

impl<'n> Names<'n> {
    fn of(ours: &'n Net<'n>, theirs: &'n Net<'n>, mapped: &'n [(PartName, PartName)]) -> Self {
        Names {
            ours,
            theirs,
            mapped,
        }
    }

    /// What the second calls a part of the first.
    pub fn there(&self, ours: &PartName) -> PartName {
        let mut mapped = self.mapped.iter();
        let renamed = mapped.find(|(a, _)| a == ours);
        renamed.map_or_else(|| ours.clone(), |(_, b)| b.clone())
    }

    /// What the first calls a part of the second.
    pub fn here(&self, theirs: &PartName) -> PartName {
        let mut mapped = self.mapped.iter();
        let renamed = mapped.find(|(_, b)| b == theirs);
        renamed.map_or_else(|| theirs.clone(), |(a, _)| a.clone())
    }

    fn shared(&self) -> usize {
        let parts = self.ours.circuit().parts();
        let there = parts.map(|(name, _)| self.there(&name));
        let circuit = self.theirs.circuit();
        there
            .filter(|n| circuit.get(n.kind, &n.id).is_some())
            .count()
    }
}
