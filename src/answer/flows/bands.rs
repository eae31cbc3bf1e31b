//! How far figures may be off where sizes are: every figure over the tolerances of all sizes.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::gathered::{Figure, Figures, Of};
use super::{FlowsError, FlowsQuestion, Range};
use crate::answer::dice::Dice;
use crate::circuit::{Circuit, PartName};
use crate::flow::{Measure, SizeOf, Sizes};

/// How often sizes are drawn where corners do not show how far a figure may be off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Draws {
    /// How many times.
    pub count: usize,
    /// What they are drawn with: the same seed gives the same draws.
    pub seed: u64,
}

impl Default for Draws {
    fn default() -> Self {
        Draws {
            count: 200,
            seed: 1,
        }
    }
}

/// What the bands of figures come from.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct FlowsBands {
    /// The sizes that may be off and that something here rests on.
    pub sizes: Vec<SizeBand>,
    /// How sizes were drawn for figures whose band is from draws.
    pub draws: Draws,
}

/// A size that may be off.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SizeBand {
    /// The part.
    pub part: PartName,
    /// What of it is measured.
    pub measure: String,
    /// The SI unit of the size.
    pub unit: String,
    /// The size as written, in that unit.
    pub size: f64,
    /// How far it may be off either way, in that unit.
    pub off: f64,
}

/// How it is known how far a figure may be off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum BandBy {
    /// Each size alone moves it one way, the others as written or each at either end: so it is
    /// least and most where every size is at an end.
    Corners,
    /// It was not shown to move one way: sizes were drawn within their tolerances. It may be off a
    /// little further than any draw.
    Draws,
}

/// Steps of one size over its band at which it is seen which way figures move, in parts of how far
/// it may be off; the middle is the size as written.
const STEPS: [f64; 5] = [-1.0, -0.5, 0.0, 0.5, 1.0];

/// Sizes of which every corner is measured at most: 64 corners.
const CORNERS: usize = 6;

/// A figure that moves by less is still: rounding of what is solved, in parts of it; or by less than
/// is anything of its kind.
const STILL: f64 = 1e-7;

/// A state, its figures widened.
pub(super) struct Banded {
    pub figures: Figures,
    /// How the band of each figure that moves is known.
    pub by: BTreeMap<Figure, BandBy>,
}

/// A size that may be off: which, as written, and by how much, in its SI unit.
pub(super) type Off = (SizeOf, f64, f64);

/// The sizes that may be off, of those a calculation asked for and used.
pub(super) fn off(
    circuit: &Circuit,
    asked: &BTreeMap<SizeOf, Option<f64>>,
    question: &FlowsQuestion,
) -> Vec<Off> {
    let set: BTreeSet<&SizeOf> = question.sizes.set().map(|(of, _)| of).collect();
    let known = circuit.tolerances.iter().filter_map(|((part, key), off)| {
        let measure = match key.as_str() {
            // What a source of fixed pressure holds.
            "pressure" => Measure::At,
            key => key.parse().ok()?,
        };
        let of = (part.clone(), measure);
        let size = (*asked.get(&of)?)?;
        (!set.contains(&of)).then_some((of, size, *off))
    });
    known.collect()
}

impl SizeBand {
    pub(super) fn of(((part, measure), size, off): &Off) -> SizeBand {
        SizeBand {
            part: part.clone(),
            measure: measure.to_string(),
            unit: measure.unit().to_owned(),
            size: *size,
            off: *off,
        }
    }
}

/// Finds every figure over the bands of sizes: from those of the sizes as written, and whatever
/// finds them for other sizes.
pub(super) fn widen(
    nominal: &Figures,
    off: &[Off],
    sizes: &Sizes,
    draws: Draws,
    figures_of: &mut dyn FnMut(&Sizes) -> Result<Figures, FlowsError>,
) -> Result<Banded, FlowsError> {
    // Each size off by a part of its tolerance.
    let mut at = |part: &dyn Fn(usize) -> f64| {
        let numbered = off.iter().enumerate();
        let sizes = numbered.fold(sizes.clone(), |sizes, (number, (of, size, off))| {
            sizes.with(of.clone(), size + part(number) * off)
        });
        figures_of(&sizes)
    };
    let mut figures = nominal.clone();
    // Each size alone.
    let mut ways: BTreeMap<Figure, Vec<Way>> = BTreeMap::new();
    for number in 0..off.len() {
        let mut steps = Vec::new();
        for step in STEPS {
            let part = |i: usize| if i == number { step } else { 0.0 };
            steps.push(match step {
                0.0 => nominal.clone(),
                _ => at(&part)?,
            });
        }
        for step in &steps {
            figures.join(step);
        }
        for (figure, _) in nominal.iter() {
            let over: Option<Vec<Range>> = steps.iter().map(|step| step.at(figure)).collect();
            let way = over.map_or(Way::Turns, |over| way(&figure.of, &over));
            ways.entry(figure.clone()).or_default().push(way);
        }
    }
    let moves = |number: &usize| ways.values().any(|ways| ways[*number] != Way::Still);
    let moving: Vec<usize> = (0..off.len()).filter(moves).collect();
    if moving.len() <= CORNERS {
        let mut corners = Vec::new();
        for corner in 0..1_usize << moving.len() {
            let high = |bit: usize| if corner >> bit & 1 == 1 { 1.0 } else { -1.0 };
            let place = |i: usize| moving.iter().position(|m| *m == i).map_or(0.0, high);
            corners.push(at(&place)?);
        }
        for corner in &corners {
            figures.join(corner);
        }
        for (bit, number) in moving.iter().enumerate() {
            for (low, corner) in corners
                .iter()
                .enumerate()
                .filter(|(c, _)| c >> bit & 1 == 0)
            {
                let high = &corners[low | 1 << bit];
                for (figure, ways) in &mut ways {
                    let pair = corner.at(figure).zip(high.at(figure));
                    let here = pair.map_or(Way::Turns, |(low, high)| way(&figure.of, &[low, high]));
                    ways[*number] = ways[*number].and(here);
                }
            }
        }
    }
    let shown = |ways: &[Way]| moving.len() <= CORNERS && !ways.contains(&Way::Turns);
    let mut by = BTreeMap::new();
    for (figure, ways) in ways {
        if ways.iter().any(|way| *way != Way::Still) {
            let how = if shown(&ways) {
                BandBy::Corners
            } else {
                BandBy::Draws
            };
            by.insert(figure, how);
        }
    }
    if by.values().any(|how| *how == BandBy::Draws) {
        let mut dice = Dice::new(draws.seed);
        for _ in 0..draws.count {
            let drawn: Vec<f64> = off.iter().map(|_| 2.0 * dice.share() - 1.0).collect();
            figures.join(&at(&|i| drawn[i])?);
        }
    }
    Ok(Banded { figures, by })
}

/// Which way a figure goes while one size grows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Still,
    Up,
    Down,
    Turns,
}

impl Way {
    fn and(self, other: Way) -> Way {
        match (self, other) {
            (Way::Still, way) | (way, Way::Still) => way,
            (one, other) if one == other => one,
            _ => Way::Turns,
        }
    }
}

fn way(of: &Of, over: &[Range]) -> Way {
    let most = over
        .iter()
        .map(|range| range.least.abs().max(range.most.abs()));
    let still = (STILL * most.fold(0.0, f64::max)).max(of.nothing());
    let step = |before: f64, after: f64| match after - before {
        by if by > still => Way::Up,
        by if by < -still => Way::Down,
        _ => Way::Still,
    };
    let pairs = over.windows(2);
    let ways = pairs.flat_map(|p| [step(p[0].least, p[1].least), step(p[0].most, p[1].most)]);
    ways.fold(Way::Still, Way::and)
}
