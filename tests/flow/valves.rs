//! Regulators: flows that depend on two pressures, and the ball between two inlets.

use oilpath::flow::law::{
    Between, Bleed, Boost, Law, Opening, Orifice, Reducing, SEATED_LEAK, Shuttle,
};
use proptest::prelude::*;

use crate::bench::{fluid, m, orifice, pa};

fn wide_open() -> Orifice {
    orifice(5e-3, 0.0, 0.611, fluid(840.0, 8e-3))
}

/// Set at 5 bar, working over a quarter of a bar.
fn opening() -> Opening {
    Opening::new(pa(5e5), pa(0.25e5)).unwrap()
}

fn reducing() -> Reducing {
    Reducing::new(opening(), wide_open(), SEATED_LEAK).unwrap()
}

fn bleed() -> Bleed {
    Bleed::new(opening(), wide_open(), SEATED_LEAK).unwrap()
}

/// Pressures around the set pressure and the corners, and far from them.
fn pressures() -> impl Strategy<Value = f64> {
    prop_oneof![0.0..20e5f64, 4.7e5..5.3e5f64]
}

/// Whether flow and slopes of a valve belong together at two pressures and a boost.
fn hangs_together(
    between: impl Fn([f64; 3]) -> Between,
    at: [f64; 3],
) -> Result<(), TestCaseError> {
    let here = between(at);
    prop_assert!(here.by_from > 0.0, "{:?}", here);
    prop_assert!(here.by_to < 0.0, "{:?}", here);
    let step = 0.5;
    let slopes: [fn(&Between) -> f64; 3] = [|b| b.by_from, |b| b.by_to, |b| b.by_boost];
    for (i, slope) in slopes.into_iter().enumerate() {
        let [low, high] = [-step, step].map(|d| {
            let mut near = at;
            near[i] += d;
            between(near)
        });
        let (difference, here_slope) = ((high.flow - low.flow) / (2.0 * step), slope(&here));
        let varies = (slope(&high) - here_slope).abs() + (slope(&low) - here_slope).abs();
        let tol = varies + 1e-6 * here_slope.abs() + 1e-15 * here.flow.abs() / step;
        prop_assert!(
            (difference - here_slope).abs() <= tol,
            "{} against {}",
            difference,
            here_slope
        );
    }
    Ok(())
}

proptest! {
    #[test]
    fn a_reducing_regulator_rises_and_falls(from in pressures(), held in pressures(),
                                            boost in 0.0..2e5f64) {
        hangs_together(|[from, held, boost]| reducing().between(from, held, boost),
                       [from, held, boost])?;
    }

    /// Close to no drop, where throttled forward flow meets unthrottled reverse flow.
    #[test]
    fn also_where_its_flow_turns_round(held in 4.7e5..5.05e5f64, drop in -400.0..400.0f64) {
        hangs_together(|[from, held, boost]| reducing().between(from, held, boost),
                       [held + drop, held, 0.0])?;
    }

    #[test]
    fn a_bleed_regulator_rises_and_falls(held in pressures(), to in 0.0..3e5f64,
                                         boost in 0.0..2e5f64) {
        hangs_together(|[held, to, boost]| bleed().between(held, to, boost), [held, to, boost])?;
    }

    /// More pressure never boosts less, and no step of it jumps.
    #[test]
    fn boost_rises(pressure in -1e5..9e5f64, more in 0.0..10.0f64) {
        let boosts = [Boost::when_up(pa(4e5), pa(6e5)), Boost::pilot(0.6)];
        for boost in boosts {
            let boost = boost.unwrap();
            let rise = boost.rise(pressure + more) - boost.rise(pressure);
            // The steepest of the smooth rise is 1.5 times the mean.
            prop_assert!((-1e-9..=1.01 * more + 1e-9).contains(&rise), "{}", rise);
        }
    }
}

#[test]
fn a_reducing_regulator_is_wide_open_below_its_band_and_shut_above() {
    let flow = |from, held, boost| reducing().between(from, held, boost).flow;
    let wide = |drop| wide_open().rate(drop).flow;
    assert!((flow(9e5, 4e5, 0.0) / wide(5e5) - 1.0).abs() < 1e-6);
    assert!(flow(9e5, 5.1e5, 0.0) < 1e-9);
    assert!(
        (flow(9e5, 5.1e5, 1e5) / wide(3.9e5) - 1.0).abs() < 1e-6,
        "boosted"
    );
    // Half its band is half its way.
    assert!((flow(9e5, 4.875e5, 0.0) / wide(4.125e5) - 0.5).abs() < 1e-6);
    assert!(
        (flow(5.5e5, 6e5, 0.0) / wide(-0.5e5) - 1.0).abs() < 1e-6,
        "back, unthrottled"
    );
}

#[test]
fn a_bleed_regulator_is_shut_below_its_set_pressure_and_wide_open_above() {
    let flow = |held, boost| bleed().between(held, 0.0, boost).flow;
    assert!(flow(5e5, 0.0) < 1e-9);
    assert!((flow(6e5, 0.0) / wide_open().rate(6e5).flow - 1.0).abs() < 1e-6);
    assert!(flow(6e5, 1.5e5) < 1e-9, "boosted");
    assert!(
        bleed().between(6e5, 8e5, 0.0).flow.abs() < 1e-9,
        "nothing comes back"
    );
}

#[test]
fn no_band_and_no_size_are_refused() {
    assert!(Opening::new(pa(5e5), pa(0.0)).is_err());
    assert!(Opening::new(pa(-1.0), pa(1e4)).is_err());
    assert!(Opening::pilot_gain(m(6e-3), m(0.0)).is_err());
    assert!(Bleed::new(opening(), wide_open(), f64::NAN).is_err());
    assert!(Reducing::new(opening(), wide_open(), -1.0).is_err());
    assert!(Boost::pilot(-0.1).is_err());
    assert!(Boost::when_up(pa(1e5), pa(0.0)).is_err());
    assert!(Boost::when_up(pa(f64::NAN), pa(1e5)).is_err());
}

#[test]
fn a_shuttle_feeds_from_the_higher_inlet() {
    let shuttle = Shuttle::new(wide_open(), SEATED_LEAK).unwrap();
    let (high, low, out) = (4e5, 1e5, 3.9e5);
    let fed = shuttle.inlet().rate(high - out).flow;
    assert!((fed / shuttle.open().rate(0.1e5).flow - 1.0).abs() < 1e-6);
    assert!(shuttle.inlet().rate(low - out).flow.abs() < 1e-9);
}
