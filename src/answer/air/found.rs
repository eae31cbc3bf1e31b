//! What air at one place of a block does.

use serde::Serialize;

use crate::circuit::PartName;
use crate::net::Strength;

/// What air at one place does.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct AirFound {
    /// Clutches, brakes, servos and lock-ups that surely stroke, in file order.
    pub strokes: Vec<PartName>,
    /// Those of which it cannot be said.
    pub may_stroke: Vec<PartName>,
    /// Valves that the air moves, or may move, in file order.
    pub clicks: Vec<PartName>,
    /// Where the air comes out, the loudest first.
    pub escapes: Vec<AirEscape>,
}

/// Where air comes out.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct AirEscape {
    /// The last cavity it passes.
    pub at: String,
    /// What it comes out by: a way to the sump, a way whose hole stands open in a face, what
    /// consumes oil there, or a standing pump.
    pub by: PartName,
    /// The narrowest kind of way it passes.
    pub how: Strength,
    /// Whether it surely comes out there.
    pub surely: bool,
}

impl AirFound {
    /// Whether nothing is heard but what is as quiet as a leak.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.escapes.iter().all(|e| e.how == Strength::Leak)
    }

    /// Whether air goes off wide open, so that it does not build.
    #[must_use]
    pub fn goes_off(&self) -> bool {
        self.escapes.iter().any(|e| e.how == Strength::Open)
    }

    /// Whether air goes off at once and strokes nothing, so that nothing can be told by it.
    pub(crate) fn tests_nothing(&self) -> bool {
        self.goes_off() && self.strokes.is_empty()
    }
}
