//! Why an outlet has its verdict.

use super::picture::View;
use super::verdict::{Reason, Verdict};
use crate::circuit::PartName;
use crate::net::{Cavity, Net, User, WayId};
use crate::settle::{Push, Status, Value, behind};

/// What lies behind a view of an outlet in one scene.
pub(super) trait Behind {
    fn net(&self) -> &Net<'_>;

    /// What a cavity holds once supply is weighed against drain at low.
    fn value(&self, cavity: Cavity) -> Value;

    /// Whether a way lets anything through.
    fn opens(&self, way: WayId) -> bool;

    /// Whether any route from a source reaches a cavity.
    fn is_supplied(&self, cavity: Cavity) -> bool;

    /// Parts of the shortest route, of the given strength at least, by which a cavity's oil runs
    /// off to the sump.
    fn way_out(&self, cavity: Cavity, least: Push) -> Vec<PartName>;

    /// Parts of the shortest route by which oil comes to a cavity.
    fn way_in(&self, cavity: Cavity) -> Vec<PartName>;
}

/// Why an outlet has its verdict, given what it looked like and looks like `now`; none where
/// nothing is wrong with it.
pub(super) fn why(
    now: &impl Behind,
    user: User,
    verdict: Verdict,
    views: [View; 2],
) -> Option<Reason> {
    match verdict {
        Verdict::Late => Some(Reason::ShutIn {
            cavity: now.net().name(user.feed()).to_owned(),
            drain: views[1].drain,
        }),
        verdict if verdict.is_bad() => Some(reason(now, user, user.feed(), verdict, views)),
        _ => None,
    }
}

fn reason(
    now: &impl Behind,
    user: User,
    at: Cavity,
    verdict: Verdict,
    [before, after]: [View; 2],
) -> Reason {
    let name = |cavity: Cavity| now.net().name(cavity).to_owned();
    let cavity = name(at);
    if let User::TwoSided { release, .. } = user
        && now.value(at) == Value::Fed
    {
        let cavity = name(release);
        match now.value(release) {
            Value::Fed => return Reason::Released { cavity },
            Value::Drained if after.status == Status::On && before.status == Status::Off => {
                return Reason::ReleaseLost { cavity };
            }
            Value::Undecided => return Reason::Unknown { cavity },
            Value::Drained => {}
        }
    }
    if let User::Through { inlet, way } = user {
        if !now.opens(way) {
            return Reason::Blocked;
        }
        if after.stands {
            let behind = name(behind(now.net(), inlet, way));
            return Reason::Stands { behind };
        }
    }
    match (after.status, after.contested) {
        (Status::Off, _) if !now.is_supplied(at) => Reason::CutOff { cavity },
        (Status::Off, _) => Reason::RunsOff {
            through: now.way_out(at, after.drain.min(Push::Open)),
            cavity,
        },
        (Status::Unsure, true) => Reason::Contested {
            through: now.way_out(at, after.drain.min(Push::Open)),
            cavity,
        },
        (Status::Unsure, _) => Reason::Unknown { cavity },
        (Status::On, _) if before.status != Status::On => Reason::Fed {
            through: now.way_in(at),
            cavity,
        },
        (Status::On, _) if after.supply < before.supply => Reason::Narrower {
            cavity,
            supply: after.supply,
        },
        (Status::On, _) if after.span.lowest < before.span.lowest => Reason::Lower {
            cavity,
            level: after.span.lowest,
        },
        (Status::On, _) if verdict == Verdict::Undecided => Reason::Unknown { cavity },
        (Status::On, _) if verdict == Verdict::Harsh && after.supply > before.supply => {
            Reason::Wider {
                cavity,
                supply: after.supply,
            }
        }
        (Status::On, _) if verdict == Verdict::Harsh => Reason::Higher { cavity },
        (Status::On, _) => Reason::Loses {
            through: now.way_out(at, after.new_loss.min(Push::Open)),
            cavity,
        },
    }
}
