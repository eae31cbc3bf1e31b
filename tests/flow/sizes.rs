//! Sizes that make no part are refused, in words.

use oilpath::flow::law::Law;
use oilpath::flow::law::{Film, OneWay, Orifice, Pump, Rated, Rating, Relief, Section};
use oilpath::flow::law::{Passage, Run, SEATED_LEAK, TanhOrifice};
use oilpath::flow::{Doubt, Fluid, SizeError};
use oilpath::units::{Density, Displacement, DynamicViscosity, Flow, Speed};

use crate::bench::{fluid, hole, m, orifice, pa, passage, rectangular, round};

fn said<T: std::fmt::Debug>(refused: Result<T, SizeError>) -> String {
    refused.unwrap_err().to_string()
}

#[test]
fn no_part_is_made_of_nothing() {
    let oil = fluid(830.0, 0.01);
    let run = |section: Section, length, roughness, fittings| {
        let run = Run {
            section,
            length: m(length),
            roughness: m(roughness),
            fittings,
        };
        said(Passage::new(run, oil))
    };
    let rating = |flow, drop, viscous| {
        let (flow, drop) = (Flow::from_m3_per_s(flow), pa(drop));
        said(Rated::new(
            Rating {
                flow,
                drop,
                with: oil,
                viscous,
            },
            oil,
        ))
    };
    let gap = |gap, hole, out| said(Film::plate_hole(m(gap), m(hole), m(out), oil));
    let seat = orifice(4e-3, 0.0, 0.6, oil);
    let pump = |v, n| Pump::new(Displacement::from_m3_per_rad(v), Speed::from_rad_per_s(n));
    for (words, must) in [
        (
            said(Orifice::new(hole(0.0, 1e-3, 0.6), oil)),
            "the bore must be more than nothing",
        ),
        (
            said(Orifice::new(hole(f64::NAN, 1e-3, 0.6), oil)),
            "the bore must be more than nothing",
        ),
        (
            said(Orifice::new(hole(1e-3, -1e-3, 0.6), oil)),
            "the thickness must be nothing or more",
        ),
        (
            said(Orifice::new(hole(1e-3, 0.0, 1.1), oil)),
            "the discharge coefficient must be at most 1",
        ),
        (
            said(TanhOrifice::new(hole(1e-3, 0.0, 0.6), 0.0, oil)),
            "the critical flow number must be more than nothing",
        ),
        (
            run(round(6e-3), 0.0, 0.0, 0.0),
            "the length must be more than nothing",
        ),
        (
            run(round(6e-3), 0.1, 3e-3, 0.0),
            "the roughness must be under half the bore",
        ),
        (
            run(round(6e-3), 0.1, 0.0, -1.0),
            "the loss of the fittings must be nothing or more",
        ),
        (
            run(rectangular(6e-3, 0.0), 0.1, 0.0, 0.0),
            "the depth must be more than nothing",
        ),
        (gap(0.0, 4e-3, 9e-3), "the gap must be more than nothing"),
        (
            gap(1e-5, 4e-3, 4e-3),
            "the diameter the film ends at must be wider than the hole",
        ),
        (
            said(Film::annulus(m(0.01), m(1e-5), 1.01, m(0.01), oil)),
            "the eccentricity must be from 0 to 1",
        ),
        (
            said(Film::worn_bore(m(0.01), m(1e-5), m(-1e-5), m(0.01), oil)),
            "the wear must be nothing or more",
        ),
        (
            said(OneWay::new(seat, pa(-1.0), 0.0)),
            "the pressure that lifts the ball must be nothing or more",
        ),
        (
            said(Relief::new(
                pa(1e5),
                pa(0.0),
                Flow::from_m3_per_s(1.0),
                SEATED_LEAK,
            )),
            "the rise of the relief must be more than nothing",
        ),
        (
            rating(0.0, 1e4, 1.0),
            "the rated flow must be more than nothing",
        ),
        (
            rating(1e-4, 1e4, 2.0),
            "the viscous part must be from 0 to 1",
        ),
        (
            said(pump(-1.0, 1.0)),
            "the displacement must be nothing or more",
        ),
        (
            said(pump(1.0, f64::INFINITY)),
            "the speed must be nothing or more",
        ),
        (
            said(Fluid::new(
                Density::from_kg_per_m3(0.0),
                DynamicViscosity::from_pa_s(1.0),
            )),
            "the density of the oil must be more than nothing",
        ),
        (
            said(Fluid::new(
                Density::from_kg_per_m3(1.0),
                DynamicViscosity::from_pa_s(-1.0),
            )),
            "the viscosity of the oil must be more than nothing",
        ),
    ] {
        assert_eq!(words, must);
    }
}

/// Each law says where it is outside what it was made for, and is quiet inside.
#[test]
fn laws_own_up() {
    let (hot, cold) = (fluid(800.0, 0.005), fluid(870.0, 1.0));
    let hole = |oil| orifice(1.5e-3, 1e-3, 0.65, oil);
    assert_eq!(hole(hot).doubts(5e5), []);
    assert_eq!(hole(cold).doubts(1e3), []);
    assert_eq!(hole(cold).doubts(5e5), [Doubt::Blended]);

    let gallery =
        |length, roughness, fittings| passage(round(6e-3), length, roughness, fittings, hot);
    let long = gallery(0.2, 5e-5, 0.0);
    let drop_at = |reynolds: f64| long.drop(reynolds / long.reynolds(1.0));
    assert_eq!(long.doubts(drop_at(1500.0)), []);
    assert_eq!(long.doubts(drop_at(3000.0)), [Doubt::Transition]);
    assert_eq!(long.doubts(drop_at(9000.0)), []);
    assert_eq!(gallery(0.05, 5e-5, 0.0).doubts(10.0), [Doubt::Developing]);
    assert_eq!(
        gallery(0.2, 5e-5, 2.0).doubts(10.0),
        [Doubt::LaminarFittings]
    );
    assert_eq!(gallery(0.2, 5e-4, 0.0).doubts(10.0), [Doubt::Rough]);

    let plate = |gap| Film::plate_hole(m(gap), m(6e-3), m(16e-3), hot).unwrap();
    assert_eq!(plate(1e-5).doubts(5e5), []);
    assert_eq!(plate(5e-5).doubts(5e5), [Doubt::FilmInertia]);
    assert_eq!(
        plate(2.5e-4).doubts(5e5),
        [Doubt::FilmInertia, Doubt::TurbulentFilm]
    );
    // A film up to a tenth of its width, that one included.
    let land = |gap| Film::land(m(0.01), m(gap), m(0.01), cold).unwrap();
    assert_eq!(land(1e-3).doubts(1.0), []);
    assert_eq!(land(1.1e-3).doubts(1.0), [Doubt::ThickGap]);
    let spool = Film::annulus(m(0.01), m(2e-4), 0.0, m(0.01), cold).unwrap();
    assert_eq!(spool.doubts(1e3), [Doubt::ThickGap]);
}
