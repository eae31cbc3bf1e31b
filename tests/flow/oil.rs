//! The oil at every temperature.

use oilpath::flow::{Doubt, Oil, OilError};
use oilpath::units::{Density, KinematicViscosity, Temperature};
use proptest::prelude::*;

use crate::bench::celsius;

fn cst(cst: f64) -> KinematicViscosity {
    KinematicViscosity::from_m2_per_s(cst / 1e6)
}

fn oil(cold: f64, hot: f64) -> Result<Oil, OilError> {
    let points = [(celsius(40.0), cst(cold)), (celsius(100.0), cst(hot))];
    Oil::new(points[0], points[1], Density::from_kg_per_m3(850.0))
}

#[test]
fn the_generic_oil_is_what_it_says() {
    let (generic, same) = (Oil::generic(), oil(30.0, 6.0).unwrap());
    assert!(generic.is_generic() && !same.is_generic());
    for t in [-20.0, 40.0, 100.0, 150.0].map(celsius) {
        let [a, b] = [&generic, &same].map(|oil| oil.kinematic(t).unwrap().m2_per_s());
        assert!((a / b - 1.0).abs() < 1e-10, "{t}: {a:e} and {b:e}");
        assert_eq!(generic.density(t), same.density(t));
        assert_eq!(generic.doubts(t), same.doubts(t));
    }
}

#[test]
fn what_is_no_oil_is_refused() {
    let refused = |cold, hot| matches!(oil(cold, hot), Err(OilError::NoLine(..)));
    assert!(refused(6.0, 30.0), "thicker when hot");
    assert!(refused(6.0, 6.0), "the same when hot");
    assert!(
        refused(0.2, 0.1) && refused(3e7, 6.0),
        "beyond the standard"
    );
    assert!(refused(f64::NAN, 6.0) && refused(f64::INFINITY, 6.0) && refused(-1.0, -2.0));
    let weightless = Oil::new(
        (celsius(40.0), cst(30.0)),
        (celsius(100.0), cst(6.0)),
        Density::from_kg_per_m3(0.0),
    );
    assert!(matches!(weightless, Err(OilError::Size(_))));
}

#[test]
fn where_no_viscosity_can_be_said_none_is() {
    let oil = Oil::generic();
    for kelvin in [0.0, -1.0, 100.0, 190.0, 1500.0, f64::NAN, f64::INFINITY] {
        let there = oil.at(Temperature::from_kelvin(kelvin));
        assert!(matches!(there, Err(OilError::NoViscosity(_))), "{kelvin} K");
    }
}

#[test]
fn doubts_name_what_is_unsure() {
    let thin = oil(4.0, 1.5).unwrap();
    assert_eq!(thin.doubts(celsius(50.0)), []);
    assert_eq!(thin.doubts(celsius(95.0)), [Doubt::Thin]);
    assert_eq!(
        thin.doubts(celsius(120.0)),
        [Doubt::Extrapolated, Doubt::Thin]
    );
}

proptest! {
    /// Oil thins with heat and swells, across the change of form at 2 cSt too.
    #[test]
    fn hotter_is_thinner_and_lighter(
        hot in 1.0..20.0f64, ratio in 1.5..8.0f64, t in -30.0..150.0f64, more in 1e-3..20.0f64,
    ) {
        let oil = oil(hot * ratio, hot).unwrap();
        let [here, there] = [t, t + more].map(celsius);
        if let (Ok(cooler), Ok(hotter)) = (oil.kinematic(here), oil.kinematic(there)) {
            prop_assert!(hotter < cooler);
        }
        prop_assert!(oil.density(there) < oil.density(here));
    }

    /// What went in comes out, whichever point is named first. Below 2 cSt the standard's inverse
    /// is approximate.
    #[test]
    fn the_two_points_are_kept(hot in 0.6..20.0f64, ratio in 1.5..8.0f64) {
        let points = [(celsius(40.0), cst(hot * ratio)), (celsius(100.0), cst(hot))];
        let density = Density::from_kg_per_m3(850.0);
        for [one, other] in [points, [points[1], points[0]]] {
            let oil = Oil::new(one, other, density).unwrap();
            for (t, v) in points {
                let tol = if v < cst(2.0) { 4e-4 } else { 1e-9 };
                let got = oil.kinematic(t).unwrap().m2_per_s();
                prop_assert!((got / v.m2_per_s() - 1.0).abs() < tol, "{} at {}", v, t);
            }
        }
    }
}
