//! Chance that falls alike on every machine.

/// A seeded sequence of numbers: the same seed gives the same sequence on every machine and with
/// every version of this crate.
///
/// SplitMix64: G. L. Steele, D. Lea and C. H. Flood, *Fast splittable pseudorandom number
/// generators*, OOPSLA 2014. Good enough to shuffle a quiz; no secret is safe with it.
///
/// ```
/// // Values: from memory, the usual check of SplitMix64.
/// let mut dice = oilpath::answer::Dice::new(1_234_567);
/// assert_eq!(dice.roll(), 6_457_827_717_110_365_317);
/// assert_eq!(dice.roll(), 3_203_168_211_198_807_973);
/// ```
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// Starts the sequence of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Dice(seed)
    }

    /// The next number, any of 64 bits.
    pub fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `n`; 0 where there is none. The high half of a product, which leans to none
    /// of so few numbers by more than one part in 2³².
    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.roll()) * n as u128) >> 64) as usize
    }

    /// A share of one: from 0 to just below 1.
    pub fn share(&mut self) -> f64 {
        (self.roll() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Puts some items in an order of chance (R. A. Fisher and F. Yates).
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}
