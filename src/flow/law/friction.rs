//! Friction on the wall of a passage, laminar to turbulent in one curve.

/// `f·Re²` and its slope: what the drop of a passage is proportional to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    /// Darcy friction factor times the square of the Reynolds number.
    pub f_re2: f64,
    /// Its slope to the Reynolds number.
    pub slope: f64,
}

/// Below this Reynolds number the turbulent part is under half a rounding error of the laminar one
/// (their ratio's twelfth power is under 1e-48), and its formula would overflow.
const PURELY_LAMINAR: f64 = 100.0;

/// Churchill's friction factor (Chemical Engineering 84, 1977, p. 91), as `f·Re²`:
/// `f = 8·[(8/Re)¹² + (A + B)^−1.5]^(1/12)`, `A = [2.457·ln(1/((7/Re)^0.9 + 0.27ε/D))]¹⁶`,
/// `B = (37530/Re)¹⁶`.
///
/// `laminar` is `f·Re` of laminar flow: 64 in a round bore, where this is Churchill's own; for other
/// shapes it takes the place of 64 in the first term. `relative_roughness` is `ε/D`, up to 0.05 in
/// the measurements it rests on. `f·Re²` strictly rises with `reynolds`, so a passage has one flow
/// for each drop: the first term rises; of the second, `(A + B)/Re¹⁶` falls as long as the logarithm
/// is above 0.9 wherever `A` counts beside `B`, which it is for any roughness below half a bore.
#[must_use]
pub fn friction(reynolds: f64, relative_roughness: f64, laminar: f64) -> Friction {
    let re = reynolds;
    if re < PURELY_LAMINAR {
        return Friction {
            f_re2: laminar * re,
            slope: laminar,
        };
    }
    let thin = (7.0 / re).powf(0.9);
    let log = -(thin + 0.27 * relative_roughness).ln();
    let a = (2.457 * log).powi(16);
    let b = (37_530.0 / re).powi(16);
    // d(ln A)/d(ln Re) is 16 times this; of B it is −16.
    let log_slope = 0.9 * thin / (thin + 0.27 * relative_roughness) / log;
    // Roots one by one: a general power costs several times as much, and this is asked often.
    let turbulent = re * re / (a + b).sqrt().sqrt().sqrt();
    let turbulent_slope = turbulent / re * (2.0 - 2.0 * (a * log_slope - b) / (a + b));
    let viscous = laminar / 8.0 * re;
    // The twelfth root of a sum of twelfth powers, the larger taken out so that none overflows.
    let top = viscous.max(turbulent);
    let (v, t) = (viscous / top, turbulent / top);
    let sum = v.powi(12) + t.powi(12);
    let slope = v.powi(11) * laminar / 8.0 + t.powi(11) * turbulent_slope;
    let root = sum.sqrt().sqrt().cbrt();
    Friction {
        f_re2: 8.0 * top * root,
        slope: 8.0 * root / sum * slope,
    }
}
