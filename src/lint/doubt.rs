//! The suspicions, in words.

/// What looks like a slip.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Doubt {
    /// A circuit of nothing.
    #[error("there is not one part in this file")]
    NoParts,
    /// No source reaches a cavity in any state.
    #[error("nothing feeds `{0}`")]
    UnfedCavity(String),
    /// No state brings oil to an outlet.
    #[error("no state feeds {kind} `{outlet}`")]
    UnfedOutlet {
        /// What it is.
        kind: &'static str,
        /// Its id.
        outlet: String,
    },
    /// A cavity with one way in and nothing that uses it.
    #[error("`{0}` is a dead end: one way leads there, and nothing uses its oil")]
    DeadEnd(String),
    /// A plate that keeps nothing tight.
    #[error("plate `{0}` roofs nothing, separates nothing and no way lies on it")]
    IdlePlate(String),
    /// A ball with one cavity on both sides.
    #[error("ball `{ball}` has `{cavity}` on both sides")]
    SameSides {
        /// The ball.
        ball: String,
        /// The cavity.
        cavity: String,
    },
    /// An id that nothing refers to.
    #[error("nothing refers to {kind} `{id}`")]
    Unreferred {
        /// What it is.
        kind: &'static str,
        /// Its id.
        id: String,
    },
    /// A position in which no state puts its valve.
    #[error("no state puts valve `{valve}` in `{position}`")]
    UnusedPosition {
        /// The valve.
        valve: String,
        /// The position.
        position: String,
    },
    /// A state in which the rules of a valve decide nothing.
    #[error("where valve `{valve}` stands in state `{state}` cannot be said")]
    UndecidedValve {
        /// The valve.
        valve: String,
        /// The state.
        state: String,
    },
    /// An outlet that should be applied and is not.
    #[error("state `{state}` should apply `{outlet}`, but the oil does not reach it")]
    NotApplied {
        /// The state.
        state: String,
        /// The outlet.
        outlet: String,
    },
    /// An outlet that is applied without being listed.
    #[error("state `{state}` applies `{outlet}`, which it does not list")]
    AppliedUnasked {
        /// The state.
        state: String,
        /// The outlet.
        outlet: String,
    },
    /// A regulator that a state should boost and that nothing raises.
    #[error("state `{state}` should boost `{regulator}`, but no oil reaches what raises it")]
    NotBoosted {
        /// The state.
        state: String,
        /// The regulator.
        regulator: String,
    },
}

impl Doubt {
    /// Every word [`Doubt::code`] can give.
    pub const CODES: [&'static str; 12] = [
        "no-parts",
        "unfed-cavity",
        "unfed-outlet",
        "dead-end",
        "idle-plate",
        "same-sides",
        "unreferred",
        "unused-position",
        "undecided-valve",
        "not-applied",
        "applied-unasked",
        "not-boosted",
    ];

    /// A stable word for it.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Doubt::NoParts => "no-parts",
            Doubt::UnfedCavity(_) => "unfed-cavity",
            Doubt::UnfedOutlet { .. } => "unfed-outlet",
            Doubt::DeadEnd(_) => "dead-end",
            Doubt::IdlePlate(_) => "idle-plate",
            Doubt::SameSides { .. } => "same-sides",
            Doubt::Unreferred { .. } => "unreferred",
            Doubt::UnusedPosition { .. } => "unused-position",
            Doubt::UndecidedValve { .. } => "undecided-valve",
            Doubt::NotApplied { .. } => "not-applied",
            Doubt::AppliedUnasked { .. } => "applied-unasked",
            Doubt::NotBoosted { .. } => "not-boosted",
        }
    }

    /// What to look at.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            Doubt::NoParts => "check that it is the right file, or start with its castings",
            Doubt::UnfedCavity(_) => "add the way its oil comes by, or take the cavity out",
            Doubt::UnfedOutlet { .. } => {
                "follow its oil back with `oilpath trace`; a way or a valve's `joins` may be missing"
            }
            Doubt::DeadEnd(_) => "add what it leads to, or take it out",
            Doubt::IdlePlate(_) => {
                "list the cavities it `roofs` or `separates`, or the ways `under` or `through` it"
            }
            Doubt::SameSides { .. } => "name the cavity on the other side",
            Doubt::Unreferred { .. } => "use it or take it out",
            Doubt::UnusedPosition { .. } => "add the state that uses it, or check its rule",
            Doubt::UndecidedValve { .. } => {
                "give every position a `when`, one of them `otherwise = true`, and the state its lever"
            }
            Doubt::NotApplied { .. } => {
                "check the state's lever and solenoids, and the way to the outlet with `oilpath trace`"
            }
            Doubt::NotBoosted { .. } => {
                "check the state's lever and solenoids, and the way to its `boost` cavities with \
                 `oilpath trace`"
            }
            Doubt::AppliedUnasked { .. } => "add it to `applies`, or find why oil gets there",
        }
    }
}
