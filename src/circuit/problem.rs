//! Rules a circuit breaks, said in its own terms.

use super::{FindError, Place, is_id, join_and};
use crate::units::{KinematicViscosity, Temperature};

/// One broken rule, where it shows, and the other place that has a share in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Where it shows.
    pub at: Place,
    /// What it clashes with, if anything.
    pub other: Option<Place>,
    /// What is wrong.
    pub what: Trouble,
}

/// What can be wrong with a circuit whose file could be read.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Trouble {
    /// A mention of a part that cannot be resolved.
    #[error(transparent)]
    Find(#[from] FindError),
    /// An id that cannot be typed in a rule or a fault.
    #[error("`{0}` cannot be an id")]
    BadId(String),
    /// The sump listed as a passage.
    #[error("`sump` always means the sump and cannot name a passage")]
    SumpListed,
    /// A position joins a cavity that has no port in the bore.
    #[error("`{0}` has no port in this valve's bore")]
    OffBore(String),
    /// A spring in the middle of the bore.
    #[error("`{0}` is not an end of this valve's bore")]
    NotAnEnd(String),
    /// A bore with fewer than two ports.
    #[error("a valve needs at least two ports in its bore")]
    ShortBore,
    /// Nothing the valve could do.
    #[error("a valve needs at least one position")]
    NoPosition,
    /// A position joins fewer than two cavities.
    #[error("a join needs at least two cavities")]
    ShortJoin,
    /// Two resting places.
    #[error("two positions both say `otherwise`")]
    TwoRests,
    /// Both a rule and a resting place.
    #[error("a position has a `when` or is the `otherwise`, not both")]
    RuleAtRest,
    /// Two rules of a valve hold at once.
    #[error("{example}, both `{}` and `{}` would hold", .positions[0], .positions[1])]
    RulesOverlap {
        /// The positions, in file order.
        positions: [String; 2],
        /// A combination in which both rules hold, in words.
        example: String,
    },
    /// No rule of a valve holds, and it has no resting place.
    #[error("{example}, no `when` of this valve holds and no position is the `otherwise`")]
    NoRuleHolds {
        /// Such a combination, in words.
        example: String,
    },
    /// Rules with more combinations than can be gone through.
    #[error("the rules of this valve read {names} names: too many combinations to check")]
    TooManyNames {
        /// How many different names they read.
        names: usize,
    },
    /// A state holds a valve where it cannot stand.
    #[error("valve `{valve}` has no position `{position}`")]
    NoSuchPosition {
        /// The valve.
        valve: String,
        /// What was written.
        position: String,
        /// Its positions.
        known: Vec<String>,
    },
    /// The lever has no such detent.
    #[error("the lever has no detent `{detent}`")]
    NoSuchDetent {
        /// What was written.
        detent: String,
        /// Its detents.
        known: Vec<String>,
    },
    /// `hole-at` names a cavity the way does not touch.
    #[error("`{0}` is not an end of this way")]
    HoleElsewhere(String),
    /// `under` names a plate that is no cover.
    #[error(
        "`{0}` is no cover: a way lies under a cover or bridge and through a separator or gasket"
    )]
    NotACover(String),
    /// A run of one.
    #[error("a plate separates at least two cavities")]
    ShortRun,
    /// One cavity twice where two are needed.
    #[error("both ends are `{0}`")]
    SameEnds(String),
    /// A pressure outlet that needs flow, or the other way round.
    #[error("a {outlet} needs {should}, not {is}")]
    NeedsMismatch {
        /// The outlet's kind.
        outlet: &'static str,
        /// What it should state.
        should: &'static str,
        /// What it states.
        is: &'static str,
    },
    /// An oil that does not thin as it warms.
    #[error("{} at {} and {} at {}: no oil thins like this", .0[0].1, .0[0].0, .0[1].1, .0[1].0)]
    NoThinning([(Temperature, KinematicViscosity); 2]),
    /// A pump with a fixed pressure.
    #[error("a source is a pump with a displacement or a fixed pressure, not both")]
    PumpOrPressure,
    /// The same solenoid on and in between.
    #[error("`{0}` is both on and at a level in this state")]
    OnAndLevel(String),
}

impl Trouble {
    /// Every word [`Trouble::code`] can give.
    pub const CODES: [&'static str; 25] = [
        "unknown-id",
        "wrong-kind",
        "shared-id",
        "bad-id",
        "sump-listed",
        "off-bore",
        "not-an-end",
        "short-bore",
        "no-position",
        "short-join",
        "two-rests",
        "rule-at-rest",
        "rules-overlap",
        "no-rule-holds",
        "too-many-names",
        "no-such-position",
        "no-such-detent",
        "hole-elsewhere",
        "not-a-cover",
        "short-run",
        "same-ends",
        "needs-mismatch",
        "no-thinning",
        "pump-or-pressure",
        "on-and-level",
    ];

    /// A stable word for the rule.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Trouble::Find(FindError::Unknown { .. }) => "unknown-id",
            Trouble::Find(FindError::WrongKind { .. }) => "wrong-kind",
            Trouble::Find(FindError::Shared { .. }) => "shared-id",
            Trouble::BadId(_) => "bad-id",
            Trouble::SumpListed => "sump-listed",
            Trouble::OffBore(_) => "off-bore",
            Trouble::NotAnEnd(_) => "not-an-end",
            Trouble::ShortBore => "short-bore",
            Trouble::NoPosition => "no-position",
            Trouble::ShortJoin => "short-join",
            Trouble::TwoRests => "two-rests",
            Trouble::RuleAtRest => "rule-at-rest",
            Trouble::RulesOverlap { .. } => "rules-overlap",
            Trouble::NoRuleHolds { .. } => "no-rule-holds",
            Trouble::TooManyNames { .. } => "too-many-names",
            Trouble::NoSuchPosition { .. } => "no-such-position",
            Trouble::NoSuchDetent { .. } => "no-such-detent",
            Trouble::HoleElsewhere(_) => "hole-elsewhere",
            Trouble::NotACover(_) => "not-a-cover",
            Trouble::ShortRun => "short-run",
            Trouble::SameEnds(_) => "same-ends",
            Trouble::NeedsMismatch { .. } => "needs-mismatch",
            Trouble::NoThinning(_) => "no-thinning",
            Trouble::PumpOrPressure => "pump-or-pressure",
            Trouble::OnAndLevel(_) => "on-and-level",
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> String {
        let known = |known: &[String], what: &str| match known {
            [] => format!("none is declared: add {what}"),
            known => {
                let known: Vec<String> = known.iter().map(|k| format!("`{k}`")).collect();
                format!("it has {}", join_and(&known))
            }
        };
        match self {
            Trouble::Find(e) => e.remedy(),
            Trouble::BadId(id) => {
                let joined = id.split_whitespace().collect::<Vec<_>>().join("-");
                if is_id(&joined) {
                    format!("write `{joined}`; what people call it can be its `label`")
                } else {
                    "use letters, digits, `-` and `_`, starting with a letter or digit; not `and`, `or`, `not`".into()
                }
            }
            Trouble::SumpListed => "leave it out of `passages`: it is always there".into(),
            Trouble::OffBore(_) => {
                "add the port to `bore` in its order, or join a cavity that is there".into()
            }
            Trouble::NotAnEnd(_) => "the first and last cavities of `bore` are its ends".into(),
            Trouble::ShortBore => "list the cavities along the bore in order, ends included".into(),
            Trouble::NoPosition => {
                "add one, such as `low = { joins = [[\"line\", \"low-feed\"]], otherwise = true }`"
                    .into()
            }
            Trouble::ShortJoin => {
                "write the cavities the spool joins, such as [\"line\", \"low-feed\"]".into()
            }
            Trouble::TwoRests => "keep one; give the other a `when`".into(),
            Trouble::RuleAtRest => "remove one of the two".into(),
            Trouble::RulesOverlap { .. } => {
                "a spool stands in one place: add to one rule `and not ...`, so that it gives way"
                    .into()
            }
            Trouble::NoRuleHolds { .. } => {
                "write `otherwise = true` in the position it rests in, or a rule that holds then"
                    .into()
            }
            Trouble::TooManyNames { .. } => {
                "let the rules read fewer names: an `input` can stand for several".into()
            }
            Trouble::NoSuchPosition { known: k, .. } => known(k, "a position"),
            Trouble::NoSuchDetent { known: k, .. } => {
                known(k, "`lever = [...]` at the top of the file")
            }
            Trouble::HoleElsewhere(_) => "name one of the two cavities of `between`".into(),
            Trouble::NotACover(_) => "write `through`, or change the plate's kind".into(),
            Trouble::ShortRun => "list neighbours, such as [\"line\", \"lube-feed\"]".into(),
            Trouble::SameEnds(_) => "name two different cavities".into(),
            Trouble::NeedsMismatch {
                should: "a pressure",
                ..
            } => "say which pressure it needs, such as \"10 bar\"".into(),
            Trouble::NeedsMismatch { .. } => {
                "say how much oil it needs, such as \"0.2 L/min\"".into()
            }
            Trouble::NoThinning(_) => {
                "give it at two temperatures, and less at the hotter of them".into()
            }
            Trouble::PumpOrPressure => "remove `displacement` or `pressure`".into(),
            Trouble::OnAndLevel(_) => "keep it in `on` or in `levels`".into(),
        }
    }
}
