//! How bad an effect is: the one order in which effects are held against each other.

use serde::Serialize;

use super::{ComplaintWord, Starve, StarveState, Status, Verdict};
use crate::net::Net;

/// How bad the worst of an effect is, the worst first.
///
/// ```
/// use oilpath::answer::{ComplaintWord, Severity};
/// let found = [ComplaintWord::RunsDry, ComplaintWord::Flare, ComplaintWord::Bind];
/// let worst = found.into_iter().map(Severity::from).min();
/// assert_eq!(worst, Some(Severity::Bind));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// A source makes no pressure: it cannot draw, or its own cavity stands open to the sump.
    WillNotBuild,
    /// Every state that applies something applies nothing; of one state alone this is `None`.
    NoGears,
    /// A state applies nothing of what it should.
    None,
    /// Something is applied beside what should be: two fight, and it may lock.
    Bind,
    /// A state drives like another one, or like none.
    WrongState,
    /// Something that should be applied is not.
    Flare,
    /// Something is applied where nothing should be.
    Creeps,
    /// Something runs without its oil.
    RunsDry,
    /// Something that is applied has less behind it.
    Slips,
    /// Something stands under more pressure than it should.
    StandsHigh,
    /// Something runs with less oil.
    RunsShort,
    /// Something lets go late.
    LetsGoLate,
    /// Something takes hold hard.
    Harsh,
    /// Nothing is proved, and nothing is proved sound either.
    Undecided,
    /// Nothing changes.
    Nothing,
}

impl From<ComplaintWord> for Severity {
    fn from(word: ComplaintWord) -> Self {
        match word {
            ComplaintWord::None => Severity::None,
            ComplaintWord::WrongState => Severity::WrongState,
            ComplaintWord::Bind => Severity::Bind,
            ComplaintWord::Flare => Severity::Flare,
            ComplaintWord::Creeps => Severity::Creeps,
            ComplaintWord::Slips => Severity::Slips,
            ComplaintWord::RunsDry | ComplaintWord::PassesNothing => Severity::RunsDry,
            ComplaintWord::StandsHigh => Severity::StandsHigh,
            ComplaintWord::LetsGoLate => Severity::LetsGoLate,
            ComplaintWord::Harsh => Severity::Harsh,
            ComplaintWord::RunsShort => Severity::RunsShort,
        }
    }
}

impl Severity {
    /// The worst in one state.
    #[must_use]
    pub fn in_state(state: &StarveState) -> Self {
        if !state.will_not_build.is_empty() || !state.cannot_draw.is_empty() {
            return Severity::WillNotBuild;
        }
        let complaints = state.complaints.iter().map(|c| Severity::from(c.what));
        let open = state
            .outlets
            .iter()
            .any(|o| o.verdict == Verdict::Undecided);
        let rest = match open {
            true => Severity::Undecided,
            false => Severity::Nothing,
        };
        complaints.min().unwrap_or(rest)
    }

    /// The worst in any state of an answer about this net.
    #[must_use]
    pub fn of(net: &Net<'_>, answer: &Starve) -> Self {
        let states = answer.states.iter();
        Severity::over(states.map(|s| (drives(net, s), Severity::in_state(s))))
    }

    /// The worst in any of some states, each with whether it applies anything when sound.
    pub(super) fn over(states: impl Iterator<Item = (bool, Severity)> + Clone) -> Self {
        let driving = states.clone().filter(|(drives, _)| *drives);
        let mut driving = driving.map(|(_, severity)| severity);
        let none = driving.clone().count() > 1 && driving.all(|s| s == Severity::None);
        let worst = states.map(|(_, severity)| severity).min();
        let worst = worst.unwrap_or(Severity::Nothing);
        match none {
            true => worst.min(Severity::NoGears),
            false => worst,
        }
    }
}

/// Whether a state applies anything when sound.
pub(super) fn drives(net: &Net<'_>, state: &StarveState) -> bool {
    let mut outlets = state.outlets.iter();
    outlets.any(|o| {
        let applied = net.outlet(&o.outlet).is_some_and(|n| n.by_pressure);
        applied && o.sound == Status::On
    })
}
