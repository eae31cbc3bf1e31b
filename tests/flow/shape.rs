//! What every law of the drop alone must be: rising, smooth, and where physical odd and closed.

use std::f64::consts::PI;

use oilpath::flow::Fluid;
use oilpath::flow::law::{
    Bleed, Bypassed, Film, Law, OneWay, Opening, Pump, Rated, Rating, Relief, SEATED_LEAK, Section,
    TanhOrifice, minor,
};
use oilpath::units::{Displacement, Flow, Speed};
use proptest::prelude::*;

use crate::bench::{
    annulus, fluid, hole, m, orifice, pa, passage, rectangular, round, thick, thin,
};

/// Sizes of a gearbox, drawn at random.
#[derive(Clone, Debug)]
struct Sizes {
    oil: Fluid,
    bore: f64,
    /// Lengths, in bores.
    bores: f64,
    cd: f64,
    gap: f64,
    share: f64,
    pressure: f64,
}

fn sizes() -> impl Strategy<Value = Sizes> {
    let oil = (700.0..900.0f64, log(1e-3, 5.0)).prop_map(|(rho, mu)| fluid(rho, mu));
    let rest = (
        log(3e-4, 0.02),
        log(0.1, 100.0),
        0.5..1.0f64,
        log(5e-6, 3e-4),
        0.0..=1.0f64,
    );
    (oil, rest, log(1e3, 3e6)).prop_map(|(oil, (bore, bores, cd, gap, share), pressure)| Sizes {
        oil,
        bore,
        bores,
        cd,
        gap,
        share,
        pressure,
    })
}

/// Evenly by orders of magnitude.
fn log(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

/// Either way, from nothing to what bursts a block.
fn drops() -> impl Strategy<Value = f64> {
    (log(1e-3, 5e6), any::<bool>()).prop_map(|(x, back)| if back { -x } else { x })
}

impl Sizes {
    /// The same both ways.
    fn odd(&self) -> Vec<Box<dyn Law>> {
        let (d, l, oil) = (self.bore, self.bore * self.bores, self.oil);
        let shape = hole(d, l, self.cd);
        let lambda = 10f64.powf(1.0 + 2.0 * self.share);
        let rough = d * 0.05 * self.share;
        let rating = Rating {
            flow: Flow::from_m3_per_s(d * 0.1),
            drop: pa(self.pressure),
            with: oil,
            viscous: self.share,
        };
        let film = |film: Result<Film, _>| -> Box<dyn Law> { Box::new(film.unwrap()) };
        let gap = m(self.gap);
        vec![
            Box::new(orifice(d, l, self.cd, oil)),
            Box::new(TanhOrifice::new(shape, lambda, oil).unwrap()),
            Box::new(passage(round(d), l, rough, 0.0, oil)),
            Box::new(passage(
                rectangular(d, 2.0 * d),
                l,
                0.0,
                self.share * 9.0,
                oil,
            )),
            film(Film::land(m(d), gap, m(l), oil)),
            film(Film::plate_edge(gap, m(d), m(l), oil)),
            Box::new(annulus(d, self.gap, self.share, l, oil)),
            film(Film::worn_bore(m(d), gap, gap, m(l), oil)),
            film(Film::radial(gap, m(d), m(2.0 * d), oil)),
            film(Film::plate_hole(gap, m(d), m(2.0 * d), oil)),
            Box::new(Rated::new(rating, oil).unwrap()),
        ]
    }

    fn ball(&self, lifts_at: f64) -> OneWay {
        let seat = orifice(self.bore, 0.0, self.cd, self.oil);
        OneWay::new(seat, pa(lifts_at), SEATED_LEAK).unwrap()
    }

    /// With a direction, each with the drops at which it changes.
    fn one_way(&self) -> Vec<(Box<dyn Law>, f64)> {
        let set = self.pressure;
        let (flow, rise) = (Flow::from_m3_per_s(1e-4), pa(0.1 * set));
        let part = passage(round(self.bore), self.bore * self.bores, 0.0, 0.0, self.oil);
        let opening = Opening::new(pa(set), pa(200.0 + 0.1 * set)).unwrap();
        let spilling = orifice(self.bore, 0.0, self.cd, self.oil);
        let bleed = Bleed::new(opening, spilling, SEATED_LEAK).unwrap();
        vec![
            (Box::new(self.ball(0.0)), 0.0),
            (Box::new(self.ball(set)), set),
            (
                Box::new(Relief::new(pa(set), rise, flow, SEATED_LEAK).unwrap()),
                set,
            ),
            (Box::new(bleed), set),
            (
                Box::new(Bypassed {
                    part,
                    bypass: self.ball(set),
                }),
                set,
            ),
        ]
    }

    fn pump(&self) -> Box<dyn Law> {
        let displacement = Displacement::from_m3_per_rad(2e-6 * self.cd);
        let pump = Pump::new(displacement, Speed::from_rad_per_s(200.0 * self.share)).unwrap();
        let leaking = pump.leaking(Flow::from_m3_per_s(1e-5), pa(self.pressure));
        Box::new(leaking.unwrap())
    }

    fn all(&self) -> Vec<Box<dyn Law>> {
        let mut all = self.odd();
        all.extend(self.one_way().into_iter().map(|(law, _)| law));
        all.push(self.pump());
        all
    }
}

fn close(got: f64, expected: f64, tol: f64) -> bool {
    (got - expected).abs() <= tol * expected.abs()
}

proptest! {
    #[test]
    fn the_other_way_round_is_the_same(sizes in sizes(), x in drops()) {
        for law in sizes.odd() {
            let (there, back) = (law.rate(x), law.rate(-x));
            prop_assert_eq!(there.flow, -back.flow, "{:?}", law);
            prop_assert_eq!(there.slope, back.slope, "{:?}", law);
            prop_assert_eq!(law.rate(0.0).flow, 0.0, "{:?}", law);
        }
    }

    /// Oil never flows uphill, and at no drop it stands still.
    #[test]
    fn only_a_pump_does_work(sizes in sizes(), x in drops()) {
        for (law, _) in sizes.one_way() {
            prop_assert!(law.rate(x).flow * x >= 0.0, "{:?}", law);
            prop_assert_eq!(law.rate(0.0).flow, 0.0, "{:?}", law);
        }
    }

    #[test]
    fn more_drop_is_more_flow(sizes in sizes(), x in drops(), more in log(1e-6, 10.0)) {
        for law in sizes.all() {
            let (here, there) = (law.rate(x), law.rate(x + more * x.abs()));
            // A pump's flow is known to fewer digits than a hair of drop changes.
            let told = here.slope * more * x.abs() > 4.0 * f64::EPSILON * here.flow.abs();
            let rises = if told { here.flow < there.flow } else { here.flow <= there.flow };
            prop_assert!(rises, "{:?}: {:?} {:?}", law, here, there);
            prop_assert!(here.slope > 0.0 && here.slope.is_finite(), "{:?}", law);
        }
    }

    /// The slope is that of the flow: it agrees with a finite difference to within how much it
    /// changes itself over that difference.
    #[test]
    fn the_slope_is_the_slope(sizes in sizes(), x in drops()) {
        let step = 1e-5 * x.abs();
        for law in sizes.all() {
            let [before, here, after] = [x - step, x, x + step].map(|x| law.rate(x));
            let difference = (after.flow - before.flow) / (2.0 * step);
            let varies = (after.slope - here.slope).abs() + (before.slope - here.slope).abs();
            let rounding = f64::EPSILON * here.flow.abs() / step;
            let tol = varies + 1e-7 * here.slope + 4.0 * rounding;
            prop_assert!((difference - here.slope).abs() <= tol,
                "{:?}: {} against {:?}", law, difference, here);
        }
    }

    /// And so across the places where a law changes its formula.
    #[test]
    fn no_jump_at_a_corner(sizes in sizes()) {
        for (law, at) in sizes.one_way() {
            for corner in [at, at + 200.0] {
                // As wide as an f64 near the corner can tell.
                let width = 1e-12 * (corner + 200.0);
                let [before, after] = [corner - width, corner + width].map(|x| law.rate(x));
                let wide_open = law.rate(at + 200.0).slope.max(law.rate(at + 100.0).slope);
                prop_assert!((after.slope - before.slope).abs() < 1e-3 * wide_open, "{:?}", law);
                prop_assert!((after.flow - before.flow).abs() < 3.0 * width * wide_open, "{:?}", law);
            }
        }
        // Where friction leaves its laminar shortcut.
        let d = sizes.bore;
        let law = passage(round(d), 10.0 * d, 0.0, 0.0, sizes.oil);
        let flow = 100.0 / law.reynolds(1.0);
        let [before, after] = [1.0 - 1e-9, 1.0 + 1e-9].map(|by| law.rate(law.drop(flow * by)));
        prop_assert!(close(after.slope, before.slope, 1e-8));
        prop_assert!(before.flow < after.flow && close(after.flow, before.flow, 1e-8));
    }

    #[test]
    fn there_and_back(sizes in sizes(), x in drops()) {
        let Sizes { oil, bore: d, share, gap, .. } = sizes;
        let l = d * sizes.bores;
        let back = |law: &dyn Law, drop: &dyn Fn(f64) -> f64| close(drop(law.rate(x).flow), x, 1e-12);
        let hole = orifice(d, l, sizes.cd, oil);
        prop_assert!(back(&hole, &|q| hole.drop(q)));
        let film = Film::plate_hole(m(gap), m(d), m(2.0 * d), oil).unwrap();
        prop_assert!(back(&film, &|q| film.drop(q)));
        for section in [round(d), rectangular(d, d / 3.0)] {
            let run = passage(section, l, d * 0.05 * share, 5.0 * share, oil);
            prop_assert!(back(&run, &|q| run.drop(q)), "{:?}", run);
        }
    }

    /// Thick oil: drop in proportion to flow and viscosity. Thin oil: to the square of the flow.
    #[test]
    fn limits(sizes in sizes(), x in drops()) {
        let Sizes { bore: d, cd, share, .. } = sizes;
        let (l, x) = (d * sizes.bores, x.abs());
        let (mu, rho) = (sizes.oil.viscosity().pa_s(), sizes.oil.density().kg_per_m3());
        let (honey, water) = (thick(mu), thin(rho));

        // Poiseuille; Sampson; Bernoulli.
        let tube = passage(round(d), l, 0.0, 3.0, honey).rate(x).flow;
        prop_assert!(close(tube, PI * d.powi(4) * x / (128.0 * mu * l), 1e-9));
        let creeping = orifice(d, 0.0, cd, honey).rate(x).flow;
        prop_assert!(close(creeping, d.powi(3) * x / (24.0 * mu), 1e-9));
        let jet = orifice(d, l, cd, water).rate(x).flow;
        prop_assert!(close(jet, cd * PI * d * d / 4.0 * (2.0 * x / rho).sqrt(), 1e-6));

        // A rough wall in thin oil: von Karman's fully rough friction factor, 1/√f = −2·log₁₀(ε/3.7D),
        // which Churchill's formula follows within 1 %.
        let rough = 1e-3 + 0.04 * share;
        let turbulent = passage(round(d), l, rough * d, 0.0, water).rate(x).flow;
        let f = (-2.0 * (rough / 3.7).log10()).powi(-2);
        let speed = (2.0 * x * d / (f * l * rho)).sqrt();
        prop_assert!(close(turbulent, PI * d * d / 4.0 * speed, 0.01));

        // Bends alone.
        let bends = passage(round(d), 1e-12, 0.0, minor::EXIT, water).rate(x).flow;
        prop_assert!(close(bends, PI * d * d / 4.0 * (2.0 * x / rho).sqrt(), 1e-6));
    }

    /// Whatever is asked, there is an end and no panic.
    #[test]
    fn any_drop_at_all(sizes in sizes(), x in any::<f64>()) {
        for law in sizes.all() {
            for x in [x, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MIN_POSITIVE, -0.0] {
                law.rate(x);
                law.doubts(x);
            }
        }
    }

    /// Eccentric leaks more than concentric, up to two and a half times; a slot more than its walls
    /// let it.
    #[test]
    fn known_orders(aspect in 0.01..1.0f64, more in 1e-3..0.5f64) {
        let narrow = Section::laminar_factor(aspect / (1.0 + more));
        prop_assert!(narrow > Section::laminar_factor(aspect));
        prop_assert!((56.9..=96.0).contains(&narrow));
    }
}

/// A filter's inertial part follows the weight of the oil: of two oils of one viscosity, one of them
/// twice as heavy, the heavier takes twice the drop at one flow.
#[test]
fn the_inertial_part_of_a_rating_follows_the_weight_of_the_oil() {
    let light = fluid(400.0, 8e-3);
    let rating = Rating {
        flow: Flow::from_m3_per_s(2e-4),
        drop: pa(3e4),
        with: light,
        viscous: 0.0,
    };
    let drop = |oil| Rated::new(rating, oil).unwrap().drop(2e-4);
    assert!((drop(light) / 3e4 - 1.0).abs() < 1e-4);
    assert!((drop(fluid(800.0, 8e-3)) / 6e4 - 1.0).abs() < 1e-4);
}

/// Near no drop the slope of the tanh law falls in proportion to the drop, 1 - 2z²/3 of that at none,
/// on both sides of where its series takes over.
#[test]
fn the_slope_of_the_tanh_law_runs_on_into_its_series() {
    let law = TanhOrifice::new(hole(1e-3, 0.0, 0.6), 300.0, fluid(850.0, 0.01)).unwrap();
    let at_rest = law.rate(0.0).slope;
    // The flow at a large drop is its full root of drop, and at a small one z times that.
    let full = law.rate(1e7).flow / 1e7f64.sqrt();
    let fade = at_rest / full;
    for z in [0.5e-4, 0.9e-4, 1.1e-4, 2e-4f64] {
        let drop = (z / fade).powi(2);
        let falls = 1.0 - law.rate(drop).slope / at_rest;
        assert!(
            (falls / (2.0 * z * z / 3.0) - 1.0).abs() < 1e-4,
            "{z}: {falls}"
        );
    }
}

/// A film of oil without viscosity loses what a sharp entry and an exit take: one and a half times
/// ρv²/2, whether along an edge, round a hole or round a worn spool.
#[test]
fn thin_oil_loses_at_the_edges_of_a_film() {
    let (gap, rho) = (2e-4, 850.0);
    let oil = thin(rho);
    let edge = Film::plate_edge(m(gap), m(0.04), m(4e-3), oil).unwrap();
    let hole = Film::plate_hole(m(gap), m(6e-3), m(16e-3), oil).unwrap();
    let spool = Film::worn_bore(m(0.012), m(gap), m(0.0), m(5e-3), oil).unwrap();
    for (film, breadth) in [(edge, 0.04), (hole, PI * 6e-3), (spool, PI * 0.012)] {
        let flow = 1e-4;
        let speed: f64 = flow / (gap * breadth);
        let expected = 1.5 * rho * speed * speed / 2.0;
        assert!(
            (film.drop(flow) / expected - 1.0).abs() < 1e-6,
            "{}",
            film.drop(flow)
        );
    }
}
