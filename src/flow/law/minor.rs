//! Loss coefficients of bends, steps and ends: `K` in `K·ρv²/2`, turbulent flow.
//!
//! `v` is the speed in the smaller bore. They add up in [`Run::fittings`](super::Run::fittings).
//! Formulas of Rennels & Hudson, Pipe Flow, 2012, as open calculators state them, and the classics.

/// From a wide cavity into a passage with a sharp edge (Idelchik; Crane TP-410; Blevins). Rennels
/// gives 0.57.
pub const SHARP_ENTRY: f64 = 0.5;

/// From a passage into a wide cavity: all of its speed is lost.
pub const EXIT: f64 = 1.0;

/// A sudden step from a narrow bore to a wide one, `(1 − β²)²` (Borda and Carnot), for narrow over
/// wide.
///
/// ```
/// use oilpath::flow::law::minor;
/// assert_eq!(minor::expansion(0.5), 0.5625);
/// assert_eq!(minor::expansion(0.0), minor::EXIT);
/// ```
#[must_use]
pub fn expansion(bore_ratio: f64) -> f64 {
    (1.0 - bore_ratio.powi(2)).powi(2)
}

/// A sudden sharp step from a wide bore to a narrow one (Rennels & Hudson), for narrow over wide.
#[must_use]
pub fn contraction(bore_ratio: f64) -> f64 {
    let (squared, fifth) = (bore_ratio.powi(2), bore_ratio.powi(5));
    let jet = 1.0 + 0.622 * (1.0 - 0.215 * squared - 0.785 * fifth);
    0.0696 * (1.0 - fifth) * jet * jet + (jet - 1.0).powi(2)
}

/// A bend without a radius, as drillings that meet make it (Rennels & Hudson), for its angle in
/// radians: 1.2 at a right angle.
#[must_use]
pub fn mitre_bend(angle: f64) -> f64 {
    let sine = (angle / 2.0).sin();
    0.42 * sine + 2.56 * sine.powi(3)
}

/// A bend with a radius (Rennels & Hudson), for its angle in radians, the radius of its middle line
/// in bores, and the friction factor of its wall, which in a block may be taken as 0.03.
#[must_use]
pub fn round_bend(angle: f64, radius_in_bores: f64, friction_factor: f64) -> f64 {
    let sine = (angle / 2.0).sin();
    let tight = radius_in_bores.powf(4.0 * angle / std::f64::consts::PI);
    friction_factor * angle * radius_in_bores
        + (0.10 + 2.4 * friction_factor) * sine
        + 6.6 * friction_factor * (sine.sqrt() + sine) / tight
}
