//! Hot only, cold only, at idle only: the pattern in which an outlet falls short.

use crate::circuit::words;

/// How a gearbox runs: cold or hot oil, engine idling or fast.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Corner {
    /// Cold oil, engine idling.
    ColdIdle,
    /// Cold oil, engine fast.
    ColdFast,
    /// Hot oil, engine idling.
    HotIdle,
    /// Hot oil, engine fast.
    HotFast,
}

words! { Corner:
    ColdIdle "cold-idle",
    ColdFast "cold-fast",
    HotIdle "hot-idle",
    HotFast "hot-fast",
}

/// When a complaint shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum When {
    /// With cold oil alone.
    Cold,
    /// With hot oil alone.
    Hot,
    /// With the engine idling alone.
    Idle,
    /// With the engine fast alone.
    Fast,
    /// However it runs.
    Always,
}

words! { When:
    Cold "cold-only",
    Hot "hot-only",
    Idle "idle-only",
    Fast "fast-only",
    Always "always",
}

/// At which corners an outlet falls short.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pattern {
    /// At none.
    Never,
    /// Cold and idling alone.
    ColdIdle,
    /// Cold and fast alone.
    ColdFast,
    /// Hot and idling alone.
    HotIdle,
    /// Hot and fast alone.
    HotFast,
    /// Cold, however fast.
    Cold,
    /// Hot, however fast.
    Hot,
    /// Idling, however warm.
    Idle,
    /// Fast, however warm.
    Fast,
    /// Cold and idling, or hot and fast.
    ColdIdleHotFast,
    /// Cold and fast, or hot and idling.
    ColdFastHotIdle,
    /// At all but cold and idling.
    ButColdIdle,
    /// At all but cold and fast.
    ButColdFast,
    /// At all but hot and idling.
    ButHotIdle,
    /// At all but hot and fast.
    ButHotFast,
    /// At all four.
    Always,
    /// That cannot be said of every corner.
    Unsure,
}

words! { Pattern:
    Never "never",
    ColdIdle "cold-idle-only",
    ColdFast "cold-fast-only",
    HotIdle "hot-idle-only",
    HotFast "hot-fast-only",
    Cold "cold-only",
    Hot "hot-only",
    Idle "idle-only",
    Fast "fast-only",
    ColdIdleHotFast "cold-idle-and-hot-fast",
    ColdFastHotIdle "cold-fast-and-hot-idle",
    ButColdIdle "all-but-cold-idle",
    ButColdFast "all-but-cold-fast",
    ButHotIdle "all-but-hot-idle",
    ButHotFast "all-but-hot-fast",
    Always "always",
    Unsure "unsure",
}

impl Pattern {
    /// The pattern of what fails at each corner, in the order of [`Corner::ALL`]; none for a corner
    /// of which it cannot be said.
    #[must_use]
    pub fn of(fails: [Option<bool>; 4]) -> Pattern {
        let [Some(a), Some(b), Some(c), Some(d)] = fails else {
            return Pattern::Unsure;
        };
        let mut known = Pattern::ALL.iter().copied();
        let found = known.find(|pattern| pattern.corners() == Some([a, b, c, d]));
        found.unwrap_or(Pattern::Unsure)
    }

    /// Whether it fails at each corner, in the order of [`Corner::ALL`].
    #[must_use]
    pub fn corners(self) -> Option<[bool; 4]> {
        let (yes, no) = (true, false);
        Some(match self {
            Pattern::Never => [no, no, no, no],
            Pattern::ColdIdle => [yes, no, no, no],
            Pattern::ColdFast => [no, yes, no, no],
            Pattern::HotIdle => [no, no, yes, no],
            Pattern::HotFast => [no, no, no, yes],
            Pattern::Cold => [yes, yes, no, no],
            Pattern::Hot => [no, no, yes, yes],
            Pattern::Idle => [yes, no, yes, no],
            Pattern::Fast => [no, yes, no, yes],
            Pattern::ColdIdleHotFast => [yes, no, no, yes],
            Pattern::ColdFastHotIdle => [no, yes, yes, no],
            Pattern::ButColdIdle => [no, yes, yes, yes],
            Pattern::ButColdFast => [yes, no, yes, yes],
            Pattern::ButHotIdle => [yes, yes, no, yes],
            Pattern::ButHotFast => [yes, yes, yes, no],
            Pattern::Always => [yes, yes, yes, yes],
            Pattern::Unsure => return None,
        })
    }

    /// Whether whoever sees this pattern may say so of it: "hot only" where it fails at a hot corner
    /// and at no cold one. What is unsure may be anything.
    ///
    /// ```
    /// use oilpath::answer::{Pattern, When};
    /// assert!(Pattern::HotIdle.fits(When::Hot) && Pattern::HotIdle.fits(When::Idle));
    /// assert!(!Pattern::ButColdFast.fits(When::Hot));
    /// ```
    #[must_use]
    pub fn fits(self, seen: When) -> bool {
        let Some([cold_idle, cold_fast, hot_idle, hot_fast]) = self.corners() else {
            return true;
        };
        let (cold, hot) = (cold_idle || cold_fast, hot_idle || hot_fast);
        let (idle, fast) = (cold_idle || hot_idle, cold_fast || hot_fast);
        match seen {
            When::Cold => cold && !hot,
            When::Hot => hot && !cold,
            When::Idle => idle && !fast,
            When::Fast => fast && !idle,
            When::Always => self == Pattern::Always,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_set_of_corners_has_one_pattern() {
        let mut seen = Vec::new();
        for set in 0..16_u8 {
            let fails = [1, 2, 4, 8].map(|bit| Some(set & bit != 0));
            let pattern = Pattern::of(fails);
            assert_eq!(pattern.corners().map(|c| c.map(Some)), Some(fails));
            assert!(!seen.contains(&pattern), "{pattern} twice");
            seen.push(pattern);
        }
        assert_eq!(
            Pattern::of([Some(true), None, Some(false), Some(false)]),
            Pattern::Unsure
        );
    }

    #[test]
    fn what_is_seen_fits_what_fails_there_and_nowhere_else() {
        assert!(Pattern::Hot.fits(When::Hot) && !Pattern::Hot.fits(When::Idle));
        assert!(Pattern::ColdIdle.fits(When::Cold) && Pattern::ColdIdle.fits(When::Idle));
        assert!(Pattern::Fast.fits(When::Fast) && !Pattern::Fast.fits(When::Hot));
        for seen in When::ALL {
            assert!(!Pattern::Never.fits(*seen));
            assert!(Pattern::Unsure.fits(*seen));
            assert_eq!(Pattern::Always.fits(*seen), *seen == When::Always);
        }
    }
}
