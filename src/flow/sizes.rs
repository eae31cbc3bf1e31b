//! Sizes a calculation rests on: what the file gives, what was set by hand, what stands in.

use std::collections::BTreeMap;

use crate::circuit::{Kind, PartName, words};
use crate::units::{
    Displacement, Flow, Length, Pressure, Quantity, Spec, Speed, UnitError, UnitSystem, Volume,
};

/// What of a part can be measured and counts in a calculation. Where the file has a key for it, the
/// word is that key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Diameter of its hole; of a part that is no plain hole, of one that would let as much by.
    Bore,
    /// Length of its hole.
    Thickness,
    /// How far a loose plate stands off; play of a fit on the radius.
    Gap,
    /// Width of the face between a passage and what is beside it.
    Wall,
    /// Play of a spool on the radius.
    Clearance,
    /// How much wider a bore is where it is worn.
    Wear,
    /// Diameter of a spool or a fit.
    Diameter,
    /// Length of a passage, or of a fit along the leak.
    Length,
    /// Width of a rectangular passage.
    Width,
    /// Its depth.
    Depth,
    /// Length of a land between two ports of a valve.
    Land,
    /// Bore of a hole as large as an open port of a valve.
    Opening,
    /// Bore of a hole as large as what a fault opens.
    Leak,
    /// Bore of a hole that a fault has widened.
    Wide,
    /// Bore of a hole as large as the mean opening of a solenoid that is driven in between.
    Driven,
    /// Pressure it holds or opens at.
    At,
    /// Rise of pressure from just working to wide open.
    Band,
    /// The same of a relief.
    Rise,
    /// Pressure that lifts a ball.
    LiftsAt,
    /// By how much a cavity raises a regulator.
    Boost,
    /// Pressure at which a pump's leakage was measured.
    LeaksAt,
    /// Turning speed of a pump.
    Speed,
    /// What a pump moves a turn.
    Displacement,
    /// What a pump that draws air still moves a turn.
    StillMoves,
    /// Oil of a whole stroke.
    Volume,
    /// Pressure that a return spring takes as its piston begins to move.
    Spring,
    /// The same at the end of the stroke.
    StrokedAt,
    /// Pressure at which an accumulator begins to fill.
    BeginsAt,
    /// Pressure at which it is full.
    FullAt,
    /// What leaks back through a pump.
    Leakage,
    /// The same where it is worn.
    WornLeakage,
}

words! { Measure:
    Bore "bore",
    Thickness "thickness",
    Gap "gap",
    Wall "wall",
    Clearance "clearance",
    Wear "wear",
    Diameter "diameter",
    Length "length",
    Width "width",
    Depth "depth",
    Land "land",
    Opening "opening",
    Leak "leak",
    Wide "wide",
    Driven "driven",
    At "at",
    Band "band",
    Rise "rise",
    LiftsAt "lifts-at",
    Boost "boost",
    LeaksAt "leaks-at",
    Speed "speed",
    Displacement "displacement",
    StillMoves "still-moves",
    Volume "volume",
    Spring "spring",
    StrokedAt "stroked-at",
    BeginsAt "begins-at",
    FullAt "full-at",
    Leakage "leakage",
    WornLeakage "worn-leakage",
}

impl Measure {
    pub(crate) fn spec(self) -> &'static Spec {
        match self {
            Measure::At
            | Measure::Band
            | Measure::Rise
            | Measure::LiftsAt
            | Measure::Boost
            | Measure::LeaksAt
            | Measure::Spring
            | Measure::StrokedAt
            | Measure::BeginsAt
            | Measure::FullAt => Pressure::SPEC,
            Measure::Volume => Volume::SPEC,
            Measure::Speed => Speed::SPEC,
            Measure::Displacement | Measure::StillMoves => Displacement::SPEC,
            Measure::Leakage | Measure::WornLeakage => Flow::SPEC,
            _ => Length::SPEC,
        }
    }

    /// Whether this size of a part says how far a fault has gone.
    #[must_use]
    pub fn is_extent(self, of: &PartName) -> bool {
        match self {
            Measure::Gap => of.kind == Kind::Plate,
            Measure::Wear | Measure::Leak | Measure::Wide | Measure::WornLeakage => true,
            _ => false,
        }
    }

    /// Reads a size of this kind; in its SI unit.
    ///
    /// # Errors
    ///
    /// As for every size with its unit.
    pub fn read(self, text: &str) -> Result<f64, UnitError> {
        self.spec().read(text)
    }

    /// The SI unit its sizes are in.
    #[must_use]
    pub fn unit(self) -> &'static str {
        self.spec().si_unit()
    }

    /// A size of this kind, given in its SI unit, for the eye.
    #[must_use]
    pub fn show(self, si: f64, units: UnitSystem) -> String {
        self.spec().show(si, units)
    }
}

/// One size of one part.
pub type SizeOf = (PartName, Measure);

/// Sizes that replace those of the file.
///
/// ```
/// use oilpath::circuit::{Kind, PartName};
/// use oilpath::flow::{Measure, Sizes};
///
/// let cover = PartName::new(Kind::Plate, "hop-cover");
/// let sizes = Sizes::default().with((cover, Measure::Gap), 0.2e-3);
/// assert_eq!(sizes.set().count(), 1);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sizes {
    set: BTreeMap<SizeOf, f64>,
    /// How far faults have gone, in times what is given or stands in.
    extent: Option<f64>,
}

impl Sizes {
    /// The same with one size, in its SI unit, set.
    #[must_use]
    pub fn with(&self, of: SizeOf, si: f64) -> Sizes {
        let mut sizes = self.clone();
        sizes.set.insert(of, si);
        sizes
    }

    /// The same with every fault gone so many times as far as the file says or is usual: gaps, wear
    /// and what leaks multiplied.
    #[must_use]
    pub fn gone(&self, times: f64) -> Sizes {
        Sizes {
            extent: Some(times),
            ..self.clone()
        }
    }

    /// What was set.
    pub fn set(&self) -> impl Iterator<Item = (&SizeOf, f64)> {
        self.set.iter().map(|(of, si)| (of, *si))
    }
}

/// What was asked of the sizes while a block was laid, and what had to stand in.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Asked<'s> {
    sizes: &'s Sizes,
    asked: BTreeMap<SizeOf, Option<f64>>,
    stand_ins: BTreeMap<SizeOf, f64>,
}

impl<'s> Asked<'s> {
    pub fn of(sizes: &'s Sizes) -> Self {
        Asked {
            sizes,
            asked: BTreeMap::new(),
            stand_ins: BTreeMap::new(),
        }
    }

    /// A size that may be left out, which then means that there is none.
    pub fn may<Q: Quantity>(
        &mut self,
        of: &PartName,
        measure: Measure,
        given: Option<Q>,
    ) -> Option<Q> {
        let key = (of.clone(), measure);
        let set = self.sizes.set.get(&key).map(|si| Q::from_si(*si));
        let used = set.or(given);
        let known = self.asked.entry(key).or_default();
        *known = used.map(Quantity::si).or(*known);
        used
    }

    /// A size the calculation cannot do without: where it is not known another stands in, and that
    /// is noted.
    pub fn need<Q: Quantity>(
        &mut self,
        of: &PartName,
        measure: Measure,
        given: Option<Q>,
        stand_in: Q,
    ) -> Q {
        let size = self.may(of, measure, given).unwrap_or_else(|| {
            self.stand_ins.insert((of.clone(), measure), stand_in.si());
            stand_in
        });
        match self.sizes.extent.filter(|_| measure.is_extent(of)) {
            Some(times) => Q::from_si(times * size.si()),
            None => size,
        }
    }

    /// Every size asked for, with what was given, and those that something stands in for, in its SI unit.
    pub fn told(self) -> (BTreeMap<SizeOf, Option<f64>>, BTreeMap<SizeOf, f64>) {
        (self.asked, self.stand_ins)
    }
}
