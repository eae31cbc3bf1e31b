//! Parts and oils on the bench: from SI numbers.

use oilpath::flow::Fluid;
use oilpath::flow::law::{Film, Hole, Orifice, Passage, Run, Section};
use oilpath::units::{Density, DynamicViscosity, Length, Pressure, Temperature};

pub fn m(metres: f64) -> Length {
    Length::from_m(metres)
}

pub fn pa(pascals: f64) -> Pressure {
    Pressure::from_pa(pascals)
}

pub fn celsius(t: f64) -> Temperature {
    Temperature::from_kelvin(t + 273.15)
}

pub fn fluid(rho: f64, mu: f64) -> Fluid {
    Fluid::new(
        Density::from_kg_per_m3(rho),
        DynamicViscosity::from_pa_s(mu),
    )
    .unwrap()
}

/// Oil that has no viscosity to speak of: laws in their thin-oil limit.
pub fn thin(rho: f64) -> Fluid {
    fluid(rho, 1e-18)
}

/// Oil that has no weight to speak of: laws in their thick-oil limit.
pub fn thick(mu: f64) -> Fluid {
    fluid(1e-20, mu)
}

pub fn hole(bore: f64, thickness: f64, discharge: f64) -> Hole {
    Hole {
        bore: m(bore),
        thickness: m(thickness),
        discharge,
    }
}

pub fn orifice(bore: f64, thickness: f64, discharge: f64, fluid: Fluid) -> Orifice {
    Orifice::new(hole(bore, thickness, discharge), fluid).unwrap()
}

pub fn round(bore: f64) -> Section {
    Section::Round { bore: m(bore) }
}

pub fn rectangular(width: f64, depth: f64) -> Section {
    Section::Rectangular {
        width: m(width),
        depth: m(depth),
    }
}

pub fn passage(
    section: Section,
    length: f64,
    roughness: f64,
    fittings: f64,
    fluid: Fluid,
) -> Passage {
    let run = Run {
        section,
        length: m(length),
        roughness: m(roughness),
        fittings,
    };
    Passage::new(run, fluid).unwrap()
}

pub fn annulus(d: f64, clearance: f64, eccentricity: f64, length: f64, fluid: Fluid) -> Film {
    Film::annulus(m(d), m(clearance), eccentricity, m(length), fluid).unwrap()
}
