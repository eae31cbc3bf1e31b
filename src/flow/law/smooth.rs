//! Corners made round: C1 pieces that are exact outside the corner.

/// A value and its slope.
pub(in crate::flow) type Curve = (f64, f64);

/// Width of the corner at a pressure where something opens, in Pa: small beside any pressure that
/// moves a part, and wide enough for a solver to see.
pub(super) const CORNER: f64 = 200.0;

/// `max(0, x)` with its corner rounded over [`CORNER`]: nothing up to 0, x itself beyond, the cubic
/// between that meets both with their slopes.
pub(super) fn ramp(x: f64) -> Curve {
    let t = x / CORNER;
    if t <= 0.0 {
        (0.0, 0.0)
    } else if t >= 1.0 {
        (x, 1.0)
    } else {
        (x * t * (2.0 - t), t * (4.0 - 3.0 * t))
    }
}

/// From 0 at 0 to 1 at 1, level at both ends.
pub(super) fn step(t: f64) -> Curve {
    let t = t.clamp(0.0, 1.0);
    (t * t * (3.0 - 2.0 * t), 6.0 * t * (1.0 - t))
}
