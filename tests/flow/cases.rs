//! What this crate says to a reference case.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use oilpath::flow::law::{
    Film, Law, OneWay, Opening, Pump, SHARP_EDGED, Section, TanhOrifice, creeping_lambda, friction,
    minor,
};
use oilpath::flow::{Oil, walther};
use oilpath::units::{Density, Displacement, Flow, KinematicViscosity, Speed, Temperature};

use crate::bench::{
    annulus, celsius, fluid, hole, m, orifice, pa, passage, rectangular, round, thick, thin,
};
use crate::reference::{Case, number};
use crate::{fill, network};

/// Density of the Reynolds numbers in the files.
const RHO: f64 = 850.0;

/// The values of `case.expected` this crate gives, by key; none where the law is not ours.
pub fn check(case: &Case) -> Option<Vec<(&'static str, f64)>> {
    let input = |key: &str| case.input(key);
    let oil = || fluid(input("rho_kg_m3"), input("mu_Pa_s"));
    let q = |law: &dyn Law| vec![("q_m3_s", law.rate(input("dp_Pa")).flow)];
    Some(match case.law {
        "tube_laminar" => {
            let oil = fluid(RHO, input("mu_Pa_s"));
            let tube = passage(round(input("d_m")), input("L_m"), 0.0, 0.0, oil);
            let flow = tube.rate(input("dp_Pa")).flow;
            vec![("q_m3_s", flow), ("reynolds_at_850", tube.reynolds(flow))]
        }
        "rect_duct_fre" => {
            let factor = Section::laminar_factor(input("aspect_ratio"));
            vec![("f_re_darcy", factor), ("f_re_fanning", factor / 4.0)]
        }
        "rect_duct_laminar" => {
            let section = rectangular(input("w_m"), input("h_m"));
            q(&passage(
                section,
                input("L_m"),
                0.0,
                0.0,
                thick(input("mu_Pa_s")),
            ))
        }
        "gap_plane" => {
            let [w, h, l] = ["w_m", "h_m", "L_m"].map(|key| m(input(key)));
            q(&Film::land(w, h, l, thick(input("mu_Pa_s"))).unwrap())
        }
        "annulus_thin" => {
            let flow = |eccentricity| {
                let [d, c, l] = ["d_m", "radial_clearance_m", "L_m"].map(input);
                let film = annulus(d, c, eccentricity, l, thick(input("mu_Pa_s")));
                film.rate(input("dp_Pa")).flow
            };
            let (here, concentric) = (flow(input("eccentricity")), flow(0.0));
            vec![
                ("q_m3_s", here),
                ("q_concentric_m3_s", concentric),
                ("factor", here / concentric),
            ]
        }
        // Exact flows: the files say how far off thin films are, and so far off ours must be.
        "annulus_concentric_exact" | "annulus_eccentric_exact" => {
            let [outer, inner, l] = ["ro_m", "ri_m", "L_m"].map(input);
            let eccentricity = case.inputs.get("eccentricity").and_then(number);
            let film = annulus(
                outer + inner,
                outer - inner,
                eccentricity.unwrap_or(0.0),
                l,
                thick(input("mu_Pa_s")),
            );
            let flow = film.rate(input("dp_Pa")).flow;
            let off = case.expect("thin_film_over_exact");
            vec![
                ("thin_film_over_exact", flow / case.expect("q_m3_s")),
                ("q_m3_s", flow / off),
            ]
        }
        "gap_radial" => {
            let oil = fluid(RHO, input("mu_Pa_s"));
            let [inner, outer] = ["ri_m", "ro_m"].map(|key| m(2.0 * input(key)));
            let film = Film::radial(m(input("h_m")), inner, outer, oil).unwrap();
            let flow = film.rate(input("dp_Pa")).flow;
            vec![
                ("q_m3_s", flow),
                ("re_dh_at_inner_edge_850", film.reynolds(flow)),
            ]
        }
        "k_sudden_expansion" => vec![("k", minor::expansion(input("d1_m") / input("d2_m")))],
        "k_sudden_contraction_rennels" => {
            vec![("k", minor::contraction(input("d2_m") / input("d1_m")))]
        }
        "k_entrance_sharp" => vec![("k", minor::SHARP_ENTRY)],
        "k_exit" => vec![("k", minor::EXIT)],
        "k_bend_mitre_90" => vec![("k", minor::mitre_bend(FRAC_PI_2))],
        "k_bend_round_90" => {
            let bores = input("rc_m") / input("Di_m");
            vec![("k", minor::round_bend(FRAC_PI_2, bores, input("fd")))]
        }
        // The worked example gives no factor: its calculator takes a smooth wall's at that Re.
        "k_bend_round" => {
            let bores = input("rc_m") / input("Di_m");
            let factor = colebrook_smooth(input("reynolds"));
            let angle = input("angle_deg").to_radians();
            vec![("k", minor::round_bend(angle, bores, factor))]
        }
        "minor_loss_dp" => {
            let oil = thin(input("rho_kg_m3"));
            let bend = passage(round(input("d_m")), 1e-15, 0.0, input("k"), oil);
            vec![("dp_Pa", bend.drop(input("q_m3_s")))]
        }
        "check_ideal" => {
            let seat = orifice(input("d_m"), 0.0, input("cd"), thin(input("rho_kg_m3")));
            let ball = OneWay::new(seat, pa(input("dp_crack_Pa")), 0.0).unwrap();
            vec![("q_m3_s", ball.rate(input("p_a_Pa") - input("p_b_Pa")).flow)]
        }
        "contraction_coefficient_slit" => vec![("cc", SHARP_EDGED)],
        "orifice_turbulent_sharp" => q(&orifice(
            input("d_m"),
            0.0,
            input("cd"),
            thin(input("rho_kg_m3")),
        )),
        "orifice_turbulent_area" => {
            let bore = (4.0 * input("area_m2") / PI).sqrt();
            q(&orifice(bore, 0.0, input("cd"), thin(input("rho_kg_m3"))))
        }
        "orifice_turbulent_sharp_dp" => {
            let hole = orifice(input("d_m"), 0.0, input("cd"), thin(input("rho_kg_m3")));
            vec![("dp_Pa", hole.drop(input("q_m3_s")))]
        }
        "orifice_tanh" => {
            let shape = hole(input("d_m"), 0.0, input("cd_inf"));
            let law = TanhOrifice::new(shape, input("lambda_crit"), oil()).unwrap();
            let mut got = q(&law);
            if case.expected.contains_key("dq_dp_at_zero_m3_s_Pa") {
                got.push(("dq_dp_at_zero_m3_s_Pa", law.rate(0.0).slope));
            }
            got
        }
        "orifice_creeping_round_zero_thickness" => q(&orifice(
            input("d_m"),
            0.0,
            SHARP_EDGED,
            thick(input("mu_Pa_s")),
        )),
        "orifice_creeping_round_thick" => q(&orifice(
            input("d_m"),
            input("L_m"),
            SHARP_EDGED,
            thick(input("mu_Pa_s")),
        )),
        // Cd = δ·√Re and λc = 2·Cd/δ².
        "laminar_delta_round" => vec![
            ("delta", (2.0 / creeping_lambda(1.0)).sqrt()),
            ("lambda_crit_for_cd_0p611", creeping_lambda(0.611)),
        ],
        "orifice_two_term" => {
            let law = orifice(input("d_m"), input("L_m"), input("cd_inf"), oil());
            let mut got = q(&law);
            got.extend([
                ("r1_Pa_s_m3", law.terms().viscous),
                ("r2_Pa_s2_m6", law.terms().inertial),
                ("dq_dp_m3_s_Pa", law.rate(input("dp_Pa")).slope),
            ]);
            got
        }
        "orifice_cd_measured" => {
            // Water of 1000 kg/m³ and 1 mPa·s (from memory) under a head.
            let area = PI * input("d_m").powi(2) / 4.0;
            let drop = 1000.0 * input("g_m_s2") * input("head_m");
            let law = orifice(input("d_m"), 0.0, SHARP_EDGED, fluid(1000.0, 1e-3));
            vec![("cd", law.rate(drop).flow / area / (drop / 500.0).sqrt())]
        }
        "regulator_with_pilot" => {
            let [held, pilot] = ["d_feedback_m", "d_pilot_m"].map(input);
            let gain = Opening::pilot_gain(m(pilot), m(held)).unwrap();
            let spring = input("k_N_m") * input("preload_m") / (PI * held * held / 4.0);
            vec![
                ("gain", gain),
                ("p_regulated_Pa", spring + gain * input("p_pilot_Pa")),
            ]
        }
        "pump_flow" => {
            let (turn, speed) = (input("displacement_m3_rev"), input("speed_rpm"));
            let lost = (1.0 - input("eta_vol")) * turn * speed / 60.0;
            let displacement = Displacement::from_m3_per_rad(turn / TAU);
            let speed = Speed::from_rad_per_s(speed * TAU / 60.0);
            let pump = Pump::new(displacement, speed).unwrap();
            let worn = pump.leaking(Flow::from_m3_per_s(lost), pa(10e5)).unwrap();
            vec![("q_m3_s", worn.rate(-10e5).flow)]
        }
        "darcy_friction" => vec![("f_churchill_1977", darcy(case))],
        "darcy_friction_churchill" => vec![("f", darcy(case))],
        "churchill_monotone" => {
            rises(case);
            return Some(vec![("strictly_increasing", 1.0)]);
        }
        "pipe_darcy_churchill" => {
            let [d, l, e] = ["d_m", "L_m", "roughness_m"].map(input);
            let pipe = passage(round(d), l, e, 0.0, oil());
            let (flow, drop) = (input("q_m3_s"), pipe.drop(input("q_m3_s")));
            let speed = flow / (PI * d * d / 4.0);
            vec![
                ("reynolds", pipe.reynolds(flow)),
                ("dp_Pa", drop),
                (
                    "f",
                    drop * 2.0 * d / (l * input("rho_kg_m3") * speed * speed),
                ),
            ]
        }
        "walther_d341" => {
            let kelvin = |key| Temperature::from_kelvin(input(key) + input("kelvin_offset"));
            let nu = |key| KinematicViscosity::from_m2_per_s(input(key));
            let cold = (kelvin("t1_C"), nu("nu1_m2_s"));
            let hot = (kelvin("t2_C"), nu("nu2_m2_s"));
            let line = walther::Walther::through(cold, hot).unwrap();
            let viscosity = line.at(kelvin("t_C")).unwrap().m2_per_s();
            let mut got = vec![("a", line.a), ("b", line.b), ("nu_m2_s", viscosity)];
            if case.expected.contains_key("nu_cSt") {
                got.push(("nu_cSt", viscosity * 1e6));
            }
            got
        }
        "walther_d341_z" => {
            let z = walther::long_z(input("nu_m2_s") * 1e6);
            vec![("z", z), ("nu_back_cSt", walther::long_viscosity(z))]
        }
        "density_api_lube" => {
            assert_eq!((input("k0"), input("k1")), (0.0, 0.6278), "{}", case.id);
            let density = Density::from_kg_per_m3(input("rho15_kg_m3"));
            let oil = oil_of(celsius(40.0), 30e-6, density);
            let there = oil.density(celsius(input("t_C"))).kg_per_m3();
            vec![("rho_kg_m3", there)]
        }
        "dynamic_viscosity" => {
            // At 15 °C an oil has the density it is stated with.
            let density = Density::from_kg_per_m3(input("rho_kg_m3"));
            let oil = oil_of(celsius(15.0), input("nu_m2_s"), density);
            let mu = oil.at(celsius(15.0)).unwrap().viscosity().pa_s();
            vec![("mu_Pa_s", mu), ("mu_cP", mu * 1e3)]
        }
        "network" => {
            network::compare(case);
            vec![("p_Pa", 1.0), ("q_m3_s", 1.0)]
        }
        _ => return fill::closed(case).or_else(|| network::closed(case)),
    })
}

/// An oil with one known viscosity, a fifth of it or 2 cSt at 100 °C.
fn oil_of(at: Temperature, nu: f64, density: Density) -> Oil {
    let hot = KinematicViscosity::from_m2_per_s((nu / 5.0).max(2e-6));
    let known = (at, KinematicViscosity::from_m2_per_s(nu));
    Oil::new(known, (celsius(100.0), hot), density).unwrap()
}

fn darcy(case: &Case) -> f64 {
    let re = case.input("reynolds");
    friction(re, case.input("rel_roughness"), 64.0).f_re2 / (re * re)
}

/// Colebrook's friction factor of a smooth wall, by iteration: 1/√f = −2·log₁₀(2.51/(Re√f)).
fn colebrook_smooth(reynolds: f64) -> f64 {
    let mut inverse_root = 8.0;
    for _ in 0..100 {
        inverse_root = -2.0 * (2.51 * inverse_root / reynolds).log10();
    }
    1.0 / (inverse_root * inverse_root)
}

fn rises(case: &Case) {
    let [low, high, points] = ["re_min", "re_max", "n_log_points"].map(|key| case.input(key));
    let step = (high / low).ln() / (points - 1.0);
    for roughness in case.inputs["rel_roughness"].as_array().unwrap() {
        let roughness = number(roughness).unwrap();
        let mut last = 0.0;
        for i in 0..points as u32 {
            let here = friction(low * (step * f64::from(i)).exp(), roughness, 64.0);
            assert!(
                here.f_re2 > last && here.slope > 0.0,
                "{roughness} at step {i}"
            );
            last = here.f_re2;
        }
    }
}
