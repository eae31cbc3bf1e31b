//! What a fault does to one outlet.

use serde::Serialize;

use super::cause::Event;
use super::picture::{Picture, View};
use crate::circuit::{Level, PartName};
use crate::net::{Cavity, User};
use crate::settle::{Push, Status, Value, behind};

/// What became of an outlet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// It had oil and has none.
    Starved,
    /// It has oil that it should not have.
    OnWhenOff,
    /// It still has oil, but with less behind it.
    Weakened,
    /// It is off, but its oil can no longer run off as it did: it would let go late.
    Late,
    /// It is on, with more behind it or nothing to cushion it: it takes hold hard.
    Harsh,
    /// None of the others can be proved.
    Undecided,
    /// As before, with oil.
    Kept,
    /// As before, without.
    Off,
}

impl Verdict {
    /// Those that say something is wrong, the worst first.
    pub const BAD: [Verdict; 6] = [
        Verdict::Starved,
        Verdict::OnWhenOff,
        Verdict::Weakened,
        Verdict::Late,
        Verdict::Harsh,
        Verdict::Undecided,
    ];

    /// Whether something is wrong with the outlet.
    #[must_use]
    pub fn is_bad(self) -> bool {
        !matches!(self, Verdict::Kept | Verdict::Off)
    }
}

/// Why an outlet has its verdict.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum Reason {
    /// No supply reaches its cavity any more.
    CutOff {
        /// The cavity.
        cavity: String,
    },
    /// Its cavity runs off to the sump harder than it is fed.
    RunsOff {
        /// The cavity.
        cavity: String,
        /// The parts that oil runs off through, from the cavity on.
        through: Vec<PartName>,
    },
    /// Its cavity is fed and runs off equally hard.
    Contested {
        /// The cavity.
        cavity: String,
        /// The parts that oil runs off through, from the cavity on.
        through: Vec<PartName>,
    },
    /// Its supply now comes through something narrower.
    Narrower {
        /// The cavity.
        cavity: String,
        /// The narrowest kind of way its supply passes.
        supply: Push,
    },
    /// It is fed, but oil runs off that did not.
    Loses {
        /// The cavity.
        cavity: String,
        /// The parts that oil runs off through, from the cavity on.
        through: Vec<PartName>,
    },
    /// Oil reaches it from a source.
    Fed {
        /// The cavity.
        cavity: String,
        /// The parts that oil comes through, from the source on.
        through: Vec<PartName>,
    },
    /// The oil that should hold it off is gone.
    ReleaseLost {
        /// The release cavity.
        cavity: String,
    },
    /// Oil holds it off.
    Released {
        /// The release cavity.
        cavity: String,
    },
    /// Its pressure is held lower than it was.
    Lower {
        /// The cavity.
        cavity: String,
        /// What it surely still has.
        level: Level,
    },
    /// Its supply now comes through something wider.
    Wider {
        /// The cavity.
        cavity: String,
        /// The narrowest kind of way its supply passes.
        supply: Push,
    },
    /// Its pressure is higher than it was.
    Higher {
        /// The cavity.
        cavity: String,
    },
    /// The accumulator that takes up the first of its oil no longer does.
    Uncushioned {
        /// The accumulator.
        accumulator: PartName,
    },
    /// A loss elsewhere takes what its regulator had left over for it.
    Robbed {
        /// The regulator that spills to it.
        regulator: PartName,
    },
    /// Its oil has no way out when it should let go, or a narrower one.
    ShutIn {
        /// The cavity.
        cavity: String,
        /// How hard its oil still runs off.
        drain: Push,
    },
    /// What becomes of it hangs on where these stand.
    Depends {
        /// Valves and shuttle balls.
        on: Vec<PartName>,
    },
    /// Nothing passes through it.
    Blocked,
    /// Oil stands in it: from where it should leave it goes nowhere.
    Stands {
        /// The cavity behind it.
        behind: String,
    },
    /// It hangs on a way that may be open or shut.
    Unknown {
        /// The cavity.
        cavity: String,
    },
}

/// One outlet, sound and faulty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct OutletVerdict {
    /// The outlet, filter, converter or cooler.
    pub outlet: PartName,
    /// Whether it has oil in the sound circuit.
    pub sound: Status,
    /// Whether it has with the faults.
    pub now: Status,
    /// What that means.
    pub verdict: Verdict,
    /// Why; none where nothing changed.
    pub reason: Option<Reason>,
    /// What leads from the fault to it, the first cause first; empty where nothing moves between.
    pub chain: Vec<Event>,
}

/// What became of an outlet that looked one way and now looks another.
pub(super) fn verdict(before: View, after: View, by_pressure: bool) -> Verdict {
    // A new loss narrower than what the sound circuit loses anyway is not felt.
    let felt = |loss: Push| loss > Push::None && loss >= before.loss;
    let (robbed, maybe_robbed) = (felt(after.sure_new_loss), felt(after.new_loss));
    let weaker = after.supply < before.supply || after.span.lowest < before.span.lowest || robbed;
    // Oil that used to run off when it was let go now has no way out, or a narrower one.
    // Where nothing makes pressure it never came on.
    let shut_in =
        by_pressure && after.drain < before.drain && after.supply == Push::None && after.makes;
    let harder =
        by_pressure && (after.supply > before.supply || after.span.lowest > before.span.highest);
    match (before.status, after.status) {
        // That what stood in it now goes round harms nothing.
        (Status::Off, Status::On | Status::Unsure) if before.stands => Verdict::Kept,
        (Status::On, Status::Off) => Verdict::Starved,
        (Status::On, Status::On) if weaker => Verdict::Weakened,
        (Status::On, Status::On) if maybe_robbed => Verdict::Undecided,
        (Status::On, Status::On) if harder => Verdict::Harsh,
        (Status::On, Status::On) => Verdict::Kept,
        (Status::On, Status::Unsure) if after.contested => Verdict::Weakened,
        (Status::Off, Status::Off) if shut_in => Verdict::Late,
        (Status::Off, Status::Off) => Verdict::Off,
        (Status::Off, Status::On) => Verdict::OnWhenOff,
        _ => Verdict::Undecided,
    }
}

/// Why an outlet has its verdict, given what it looked like and looks like `now`; none where
/// nothing is wrong with it.
pub(super) fn why(
    now: &Picture<'_>,
    user: User,
    verdict: Verdict,
    views: [View; 2],
) -> Option<Reason> {
    match verdict {
        Verdict::Late => Some(Reason::ShutIn {
            cavity: now.scene.net().name(user.feed()).to_owned(),
            drain: views[1].drain,
        }),
        verdict if verdict.is_bad() => Some(reason(now, user, user.feed(), verdict, views)),
        _ => None,
    }
}

fn reason(
    now: &Picture<'_>,
    user: User,
    at: Cavity,
    verdict: Verdict,
    [before, after]: [View; 2],
) -> Reason {
    let name = |cavity: Cavity| now.scene.net().name(cavity).to_owned();
    let cavity = name(at);
    if let User::TwoSided { release, .. } = user
        && now.balance().value(at) == Value::Fed
    {
        let cavity = name(release);
        match now.balance().value(release) {
            Value::Fed => return Reason::Released { cavity },
            Value::Drained if after.status == Status::On && before.status == Status::Off => {
                return Reason::ReleaseLost { cavity };
            }
            Value::Undecided => return Reason::Unknown { cavity },
            Value::Drained => {}
        }
    }
    if let User::Through { inlet, way } = user {
        if now.scene.setting(way).strength().is_none() {
            return Reason::Blocked;
        }
        if after.stands {
            let behind = name(behind(now.scene.net(), inlet, way));
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
