//! How often settling and flow say the same.

use serde::Serialize;

use super::Range;
use super::state::{KEPT, LOST};
use crate::answer::Verdict;

/// How often what settling says goes with what is measured. Outlets count that should have oil and
/// have it when sound, one for each fault and state.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Tally {
    /// Those that settling leaves undecided.
    pub undecided: usize,
    /// Those of which no figure can be said: not solved, or a pump runs against a dead end.
    pub unmeasured: usize,
    /// Those that settling calls starved.
    pub starved: Shares,
    /// Those that it calls weakened, which contradicts nothing.
    pub weakened: Shares,
    /// Those that it calls kept, or harsh.
    pub kept: Shares,
    /// Those not starved where it says that no source builds pressure: what it says of all at once.
    pub unbuilt: Shares,
    /// Of those that it calls kept, how many keep all of their oil but a hundredth: most faults do
    /// nothing to most outlets.
    pub untouched: usize,
}

/// How many outlets keep how much of their oil.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Shares {
    /// Less than a fifth.
    pub lost: usize,
    /// In between, or it depends on where valves stand.
    pub between: usize,
    /// More than four fifths.
    pub kept: usize,
}

/// What settling says of an outlet, and whether it says that any source builds pressure.
#[derive(Clone, Copy)]
pub(super) struct Says {
    pub verdict: Verdict,
    pub builds: bool,
}

impl Says {
    /// Whether what an outlet keeps is the contrary.
    pub(super) fn contradicts(self, share: Share) -> bool {
        let mut alone = Tally::default();
        alone.count(self, share);
        alone.contradicted() > 0
    }
}

/// What an outlet keeps of its oil.
#[derive(Clone, Copy)]
pub(super) enum Share {
    /// It has none when sound.
    Nothing,
    /// No figure can be said.
    Unmeasured,
    Of(Range),
}

impl Shares {
    pub(super) fn count(&mut self, share: Range) {
        if share.most < LOST {
            self.lost += 1;
        } else if share.least > KEPT {
            self.kept += 1;
        } else {
            self.between += 1;
        }
    }

    /// All of them.
    #[must_use]
    pub fn all(&self) -> usize {
        self.lost + self.between + self.kept
    }
}

impl Tally {
    /// Outlets that settling decides, calling them starved, kept or without a source that builds
    /// pressure, and that are measured.
    #[must_use]
    pub fn decided(&self) -> usize {
        self.starved.all() + self.kept.all() + self.unbuilt.all()
    }

    /// Of these, those of which flow says the contrary.
    #[must_use]
    pub fn contradicted(&self) -> usize {
        self.starved.kept + self.unbuilt.kept + self.kept.lost
    }

    /// The share of the decided that flow does not contradict; none where none is decided.
    #[must_use]
    pub fn rate(&self) -> Option<f64> {
        rate(self.decided(), self.contradicted())
    }

    /// The same without those that no fault touches.
    #[must_use]
    pub fn touched_rate(&self) -> Option<f64> {
        rate(self.decided() - self.untouched, self.contradicted())
    }

    /// Counts an outlet.
    pub(super) fn count(&mut self, says: Says, share: Share) {
        let share = match share {
            Share::Nothing => return,
            Share::Unmeasured => {
                self.unmeasured += 1;
                return;
            }
            Share::Of(share) => share,
        };
        match says.verdict {
            Verdict::Starved => self.starved.count(share),
            _ if !says.builds => self.unbuilt.count(share),
            Verdict::Weakened => self.weakened.count(share),
            Verdict::Kept | Verdict::Harsh => {
                self.untouched += usize::from(share.least > 0.99 && share.most < 1.01);
                self.kept.count(share);
            }
            _ => self.undecided += 1,
        }
    }

    /// Adds another.
    pub fn add(&mut self, other: &Tally) {
        self.undecided += other.undecided;
        self.unmeasured += other.unmeasured;
        self.untouched += other.untouched;
        for (all, more) in [
            (&mut self.starved, &other.starved),
            (&mut self.weakened, &other.weakened),
            (&mut self.kept, &other.kept),
            (&mut self.unbuilt, &other.unbuilt),
        ] {
            all.lost += more.lost;
            all.between += more.between;
            all.kept += more.kept;
        }
    }
}

fn rate(of: usize, wrong: usize) -> Option<f64> {
    (of > 0).then(|| (of - wrong) as f64 / of as f64)
}
