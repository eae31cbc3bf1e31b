//! How long pistons take to fill, against closed forms, and against what must hold of any.

use std::f64::consts::FRAC_PI_4;

use oilpath::flow::fill::{Comes, Feed, Piston, fill};
use proptest::prelude::*;

use crate::reference::Case;

/// A supply at a pressure, and what comes from it to one piston at another.
struct Supply<L> {
    pressure: f64,
    law: L,
}

impl<L: Fn(f64) -> f64> Feed for Supply<L> {
    fn come(&mut self, held: &[Option<f64>]) -> Option<Vec<Comes>> {
        let one = |held: &Option<f64>| Comes {
            pressure: Some(held.unwrap_or(self.pressure)),
            flow: held.map_or(0.0, |pressure| (self.law)(pressure)),
        };
        Some(held.iter().map(one).collect())
    }
}

fn home(piston: Piston, pressure: f64, law: impl Fn(f64) -> f64) -> f64 {
    let filled = fill(&[piston], &mut Supply { pressure, law });
    assert!(filled.rests);
    filled.home[0].expect("it comes to its end")
}

/// What a sharp hole lets by, viscosity left out, as the closed forms have it.
fn through_hole(case: &Case, drop: f64) -> f64 {
    let area = FRAC_PI_4 * case.input("d_m").powi(2);
    case.input("cd") * area * (2.0 * drop / case.input("rho_kg_m3")).sqrt()
}

/// The values of a reference case; none where it is not about filling.
pub fn closed(case: &Case) -> Option<Vec<(&'static str, f64)>> {
    let input = |key: &str| case.input(key);
    let steady = |pressure: f64| Piston {
        volume: input("volume_m3"),
        begins: pressure,
        ends: pressure,
    };
    Some(match case.law {
        "fill_constant_flow" => {
            vec![("t_s", home(steady(1e5), 1e6, |_| input("q_m3_s")))]
        }
        "fill_through_orifice_constant_back_pressure" => {
            let (supply, clutch) = (input("p_supply_Pa"), input("p_clutch_Pa"));
            let law = |pressure| through_hole(case, supply - pressure);
            vec![
                ("q_m3_s", law(clutch)),
                ("t_s", home(steady(clutch), supply, law)),
            ]
        }
        "fill_spring_piston_through_orifice" => {
            let supply = input("p_supply_Pa");
            let at =
                |stroke: f64| input("k_N_m") * (input("preload_m") + stroke) / input("area_m2");
            let piston = Piston {
                volume: input("area_m2") * input("stroke_m"),
                begins: at(0.0),
                ends: at(input("stroke_m")),
            };
            let law = |pressure| through_hole(case, supply - pressure);
            vec![
                ("p_start_Pa", piston.begins),
                ("p_end_Pa", piston.ends),
                ("t_s", home(piston, supply, law)),
            ]
        }
        "fill_spring_piston_through_laminar" => {
            let (supply, resists) = (input("p_supply_Pa"), input("r_Pa_s_m3"));
            let (area, rate) = (input("area_m2"), input("k_N_m"));
            let piston = Piston {
                volume: area * input("stroke_m"),
                begins: 0.0,
                ends: rate * input("stroke_m") / area,
            };
            let law = |pressure| (supply - pressure) / resists;
            vec![
                ("tau_s", resists * area * area / rate),
                ("t_s", home(piston, supply, law)),
            ]
        }
        _ => return None,
    })
}

proptest! {
    /// More to fill, a stiffer spring and a narrower feed each take longer.
    #[test]
    fn what_is_harder_takes_longer(
        volume in 1e-6..1e-4_f64,
        begins in 0.2e5..3e5_f64,
        rises in 0.0..3e5_f64,
        conducts in 1e-10..1e-8_f64,
        more in 1.05..3.0_f64,
    ) {
        let supply = 1e6;
        let piston = Piston { volume, begins, ends: begins + rises };
        let law = |conducts: f64| move |pressure: f64| conducts * (supply - pressure);
        let time = |piston, conducts| home(piston, supply, law(conducts));
        let usual = time(piston, conducts);
        let larger = Piston { volume: more * volume, ..piston };
        prop_assert!(time(larger, conducts) > usual);
        let stiffer = Piston { ends: piston.ends + 0.5e5, ..piston };
        prop_assert!(time(stiffer, conducts) > usual);
        prop_assert!(time(piston, conducts / more) > usual);
    }
}
