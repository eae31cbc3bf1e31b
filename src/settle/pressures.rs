//! What every cavity holds, level by level.

use std::hash::{Hash, Hasher};
use std::sync::Arc;

use rustc_hash::FxHasher;

use super::Value;
use super::driven::Driven;
use crate::circuit::{Level, Truth};
use crate::net::{Cavity, Held, Stage, User};
use crate::settle::Status;

/// What every cavity holds: for each level the circuit can tell apart, whether it has at least
/// that.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pressures {
    levels: Arc<[Level]>,
    cavities: usize,
    /// For each level the cavities that have at least that, then those that have not, a bit each.
    rows: Arc<[u64]>,
    /// Whether some cavity keeps what it held.
    keeps: bool,
    /// Told from others at a glance.
    digest: u64,
}

impl Hash for Pressures {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.digest.hash(state);
    }
}

/// How many words a bit for each of some cavities takes.
pub(super) fn words(cavities: usize) -> usize {
    cavities.div_ceil(64)
}

/// Cavities that are fed, then those that are drained, a bit each.
pub(super) fn rows(values: &[Value]) -> Vec<u64> {
    let words = words(values.len());
    let mut rows = vec![0; 2 * words];
    for (at, value) in values.iter().enumerate() {
        let bit = 1 << (at % 64);
        match value {
            Value::Fed => rows[at / 64] |= bit,
            Value::Drained => rows[words + at / 64] |= bit,
            Value::Undecided => {}
        }
    }
    rows
}

/// What lacks a level lacks every higher one, and what may lack it may lack those. Asked above what
/// a half-driven solenoid or a reducing regulator lets by, that is shut, and a drain behind it no
/// longer shows; the lower levels know of it.
fn bound_by_lower(rows: &mut [u64], words: usize) {
    for higher in 2 * words..rows.len() {
        let lower = rows[higher - 2 * words];
        match higher / words % 2 {
            0 => rows[higher] &= lower,
            _ => rows[higher] |= lower,
        }
    }
}

/// The level of a cavity: at least `lowest` and at most `highest`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Span {
    /// What it surely has.
    pub lowest: Level,
    /// What it may have.
    pub highest: Level,
}

impl Span {
    /// Whatever there is.
    pub(crate) const ANY: Span = Span {
        lowest: Level::Off,
        highest: Level::Full,
    };

    /// Between which levels something is of which it is known whether it has at least each.
    pub(crate) fn of(at_least: impl Fn(Level) -> Value) -> Span {
        let levels = [Level::Fill, Level::Low, Level::Full].into_iter();
        let with = |wanted: fn(Value) -> bool| {
            let mut held = levels.clone().filter(|l| wanted(at_least(*l)));
            held.next_back().unwrap_or(Level::Off)
        };
        Span {
            lowest: with(|v| v == Value::Fed),
            highest: with(|v| v != Value::Drained),
        }
    }
}

impl Pressures {
    /// All cavities without pressure.
    #[must_use]
    pub fn cold(stage: &Stage<'_>) -> Self {
        Self::given(stage, &vec![Value::Drained; stage.net().cavity_count()])
    }

    /// What every cavity holds as given, by number, at every level alike.
    #[must_use]
    pub fn given(stage: &Stage<'_>, values: &[Value]) -> Self {
        let levels = stage.net().levels();
        let rows = rows(values).repeat(levels.len());
        Self::of(levels.into(), values.len(), rows, true)
    }

    /// What everything that moves standing as in `held` makes of earlier pressures: one balance
    /// a level.
    #[must_use]
    pub fn solve(stage: &Stage<'_>, held: &Held, before: &Pressures) -> Self {
        Driven::of(stage, held, &before.levels).after(before)
    }

    /// The levels that are told apart.
    pub(super) fn levels(&self) -> &Arc<[Level]> {
        &self.levels
    }

    /// For each level [rows], as they are before the lower levels have had their say.
    pub(super) fn of(
        levels: Arc<[Level]>,
        cavities: usize,
        mut rows: Vec<u64>,
        keeps: bool,
    ) -> Self {
        bound_by_lower(&mut rows, words(cavities));
        let mut digest = FxHasher::default();
        rows.iter().for_each(|row| digest.write_u64(*row));
        Pressures {
            levels,
            cavities,
            rows: rows.into(),
            keeps,
            digest: digest.finish(),
        }
    }

    /// Whether some cavity, at some level, keeps what it held: nothing surely reaches it.
    pub(super) fn keeps(&self) -> bool {
        self.keeps
    }

    /// The cavities that are fed and those that are drained, a bit each, at the level of that place.
    pub(super) fn rows(&self, level: usize) -> [&[u64]; 2] {
        let words = words(self.cavities);
        let (fed, drained) = self.rows[2 * words * level..].split_at(words);
        [fed, &drained[..words]]
    }

    /// Those of all levels.
    pub(super) fn every_row(&self) -> &[u64] {
        &self.rows
    }

    /// The place of a level; nothing tells full from low: what has low has all there is.
    fn place(&self, level: Level) -> usize {
        let known = self.levels.iter().position(|l| *l >= level);
        known.unwrap_or(self.levels.len() - 1)
    }

    /// Whether each cavity has at least a level, by number.
    #[must_use]
    pub fn values(&self, level: Level) -> Vec<Value> {
        let rows = self.rows(self.place(level));
        (0..self.cavities).map(|at| value(rows, at)).collect()
    }

    /// Whether a cavity has at least a level. Levels the circuit cannot tell apart answer alike.
    #[must_use]
    pub fn at_least(&self, level: Level, cavity: Cavity) -> Value {
        value(self.rows(self.place(level)), cavity.number())
    }

    /// Whether a rule that reads a cavity holds: whether it has at least low.
    #[must_use]
    pub fn fed(&self, cavity: Cavity) -> Truth {
        match self.at_least(Level::Low, cavity) {
            Value::Fed => Truth::True,
            Value::Drained => Truth::False,
            Value::Undecided => Truth::Unknown,
        }
    }

    /// Between which levels a cavity is.
    #[must_use]
    pub fn span(&self, cavity: Cavity) -> Span {
        Span::of(|level| self.at_least(level, cavity))
    }

    /// Whether a user of oil has it: at least low for what works by pressure, at least fill for
    /// what consumes oil. A two-sided one is applied when its apply side is up and its release
    /// side is not.
    #[must_use]
    pub fn status(&self, user: User, by_pressure: bool) -> Status {
        let least = if by_pressure { Level::Low } else { Level::Fill };
        let at = |cavity| Status::from(self.at_least(least, cavity));
        match user {
            User::Leaf(cavity) | User::Through { inlet: cavity, .. } => at(cavity),
            User::TwoSided { apply, release } => Status::two_sided(at(apply), at(release)),
        }
    }
}

fn value(rows: [&[u64]; 2], at: usize) -> Value {
    match rows.map(|row| row[at / 64] >> (at % 64) & 1 == 1) {
        [true, _] => Value::Fed,
        [_, true] => Value::Drained,
        _ => Value::Undecided,
    }
}
