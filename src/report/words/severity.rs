//! How bad an effect is, in words.

use crate::answer::Severity;
use crate::report::page::{Line, Role};

/// The words for how bad the worst of an effect is.
pub(crate) fn severity(severity: Severity) -> Line {
    let (role, words) = match severity {
        Severity::WillNotBuild => (Role::Drained, "no pressure builds"),
        Severity::NoGears => (Role::Drained, "no gear at all"),
        Severity::None => (Role::Drained, "none"),
        Severity::WrongState => (Role::Stray, "works as another state"),
        Severity::Bind => (Role::Stray, "bind"),
        Severity::Flare => (Role::Drained, "flare"),
        Severity::Creeps => (Role::Stray, "creeps or drags"),
        Severity::Slips => (Role::Contested, "slips or late"),
        Severity::RunsDry => (Role::Drained, "runs dry"),
        Severity::StandsHigh => (Role::Contested, "stands high"),
        Severity::LetsGoLate => (Role::Trapped, "lets go late"),
        Severity::Harsh => (Role::Contested, "harsh"),
        Severity::RunsShort => (Role::Contested, "runs short"),
        Severity::Undecided => (Role::Unsure, "cannot be said"),
        Severity::Nothing => (Role::Supplied, "nothing"),
    };
    Line::role(role, words)
}
