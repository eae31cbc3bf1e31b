//! What a fault does to one outlet.

use serde::Serialize;

use super::cause::Event;
use super::picture::View;
use crate::circuit::{Level, PartName};
use crate::settle::{Push, Status};

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
