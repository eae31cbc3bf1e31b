//! Oil between two faces: clearances, lands, worn bores, loose plates.

use std::f64::consts::PI;

use super::{Law, Rate, TwoTerm, minor};
use crate::flow::size::{SizeError, above_zero, from_zero, require};
use crate::flow::{Doubt, Fluid};
use crate::units::Length;

/// A thin film of oil, laminar: flow grows with the **third power** of the gap.
///
/// Running fits ([`land`](Film::land), [`annulus`](Film::annulus)) are taken as pure films. Where a
/// gap has opened ([`worn_bore`](Film::worn_bore), [`plate_edge`](Film::plate_edge),
/// [`plate_hole`](Film::plate_hole)) the oil is fast, and getting in and out costs it more than
/// friction does: there a [`minor::SHARP_ENTRY`] and a [`minor::EXIT`] on the narrowest section are
/// added. Those two were measured on pipes; for a gap they are an assumption, and the speed regained
/// where a film widens outwards is not counted. [`Doubt::FilmInertia`] says where inertia counts,
/// [`Doubt::TurbulentFilm`] from Re 2000 (gap doubled as diameter).
///
/// ```
/// use oilpath::flow::{Oil, law::{Film, Law}};
///
/// let hot = Oil::generic().at("90 °C".parse()?)?;
/// let gap = |gap: &str| -> Result<f64, Box<dyn std::error::Error>> {
///     let film = Film::plate_hole(gap.parse()?, "6 mm".parse()?, "16 mm".parse()?, hot)?;
///     Ok(film.rate(5e5).flow)
/// };
/// // A plate twice as loose leaks eight times as much.
/// let times = gap("0.02 mm")? / gap("0.01 mm")?;
/// assert!((7.9..8.0).contains(&times));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Film {
    drops: TwoTerm,
    /// Reynolds number a flow, on twice the gap, where the film is narrowest.
    reynolds: f64,
    /// Gap over the length of the way through it.
    slenderness: f64,
    thick: bool,
}

/// Where the film is narrowest: what sets its speed.
struct Throat {
    gap: f64,
    breadth: f64,
    length: f64,
}

impl Film {
    fn new(viscous: f64, throat: &Throat, thick: bool, fluid: Fluid) -> Film {
        Film {
            drops: TwoTerm {
                viscous,
                inertial: 0.0,
            },
            reynolds: 2.0 * fluid.rho() / (fluid.mu() * throat.breadth),
            slenderness: throat.gap / throat.length,
            thick,
        }
    }

    /// With what getting in and out costs.
    fn with_edges(self, throat: &Throat, fluid: Fluid) -> Film {
        let area = throat.breadth * throat.gap;
        let inertial = (minor::SHARP_ENTRY + minor::EXIT) * fluid.rho() / (2.0 * area * area);
        Film {
            drops: TwoTerm {
                inertial,
                ..self.drops
            },
            ..self
        }
    }

    /// Between flat faces: a land of a spool, a sealing face. `width` across the flow, `length`
    /// along it: `q = w·h³x/(12μL)` (plane Poiseuille flow; Merritt, Hydraulic Control Systems,
    /// 1967, ch. 3).
    ///
    /// # Errors
    ///
    /// Where a size is nothing.
    pub fn land(
        width: Length,
        gap: Length,
        length: Length,
        fluid: Fluid,
    ) -> Result<Film, SizeError> {
        let throat = Throat {
            gap: above_zero("gap", gap.m())?,
            breadth: above_zero("width", width.m())?,
            length: above_zero("length", length.m())?,
        };
        let cubed = throat.breadth * throat.gap.powi(3);
        let viscous = 12.0 * fluid.mu() * throat.length / cubed;
        let thick = throat.gap > throat.breadth / 10.0;
        Ok(Film::new(viscous, &throat, thick, fluid))
    }

    /// Round a spool or a shaft in its bore: `q = πd·c³x(1 + 1.5ε²)/(12μL)` with the **radial**
    /// clearance `c` and the eccentricity `ε` from 0, in the middle, to 1, where the spool touches
    /// (Merritt 1967, ch. 3). A spool on its wall leaks two and a half times as much as one in the
    /// middle. Thin against the diameter: [`Doubt::ThickGap`] above a hundredth of it.
    ///
    /// # Errors
    ///
    /// Where a size is nothing or the eccentricity not from 0 to 1.
    pub fn annulus(
        diameter: Length,
        radial_clearance: Length,
        eccentricity: f64,
        length: Length,
        fluid: Fluid,
    ) -> Result<Film, SizeError> {
        let inside = (0.0..=1.0).contains(&eccentricity);
        require(inside, "eccentricity", "from 0 to 1")?;
        let diameter = above_zero("diameter", diameter.m())?;
        let around = Length::from_m(PI * diameter);
        let mut film = Film::land(around, radial_clearance, length, fluid)?;
        film.drops.viscous /= 1.0 + 1.5 * eccentricity * eccentricity;
        film.thick = radial_clearance.m() > diameter / 100.0;
        Ok(film)
    }

    /// Round a spool in a worn bore: as [`annulus`](Film::annulus) with the spool on its wall, the
    /// clearance grown by half the wear, which is measured across the bore. Worn round and all
    /// along: an assumption.
    ///
    /// # Errors
    ///
    /// Where a size is nothing or the wear below nothing.
    pub fn worn_bore(
        diameter: Length,
        radial_clearance: Length,
        wear: Length,
        length: Length,
        fluid: Fluid,
    ) -> Result<Film, SizeError> {
        let clearance = above_zero("clearance", radial_clearance.m())?;
        let gap = clearance + from_zero("wear", wear.m())? / 2.0;
        let film = Film::annulus(diameter, Length::from_m(gap), 1.0, length, fluid)?;
        let throat = Throat {
            gap,
            breadth: PI * diameter.m(),
            length: length.m(),
        };
        Ok(film.with_edges(&throat, fluid))
    }

    /// Along an edge of a loose plate, over the land it lay on: `edge` is how long the edge is,
    /// `land` how wide the land the oil crosses. As [`land`](Film::land), with its edges.
    ///
    /// # Errors
    ///
    /// Where a size is nothing.
    pub fn plate_edge(
        gap: Length,
        edge: Length,
        land: Length,
        fluid: Fluid,
    ) -> Result<Film, SizeError> {
        let film = Film::land(edge, gap, land, fluid)?;
        let throat = Throat {
            gap: gap.m(),
            breadth: edge.m(),
            length: land.m(),
        };
        Ok(film.with_edges(&throat, fluid))
    }

    /// Outwards from a hole between faces that do not touch, pure film, by diameters:
    /// `q = πh³x/(6μ·ln(ro/ri))` (radial lubrication flow; Hamrock, Fundamentals of Fluid Film
    /// Lubrication). Right while `Re·h/r` is small.
    ///
    /// # Errors
    ///
    /// Where a size is nothing or the film ends within the hole.
    pub fn radial(
        gap: Length,
        hole: Length,
        out_to: Length,
        fluid: Fluid,
    ) -> Result<Film, SizeError> {
        let throat = Film::round_hole(gap, hole)?;
        let ends = out_to.m() > hole.m() && out_to.m().is_finite();
        require(ends, "diameter the film ends at", "wider than the hole")?;
        let spread = (out_to.m() / hole.m()).ln();
        let viscous = 6.0 * fluid.mu() * spread / (PI * throat.gap.powi(3));
        let thick = throat.gap > hole.m() / 10.0;
        Ok(Film::new(viscous, &throat, thick, fluid))
    }

    /// Under a loose plate round a hole or the end of a passage: [`radial`](Film::radial) with its
    /// edges. `out_to` is the diameter at which the oil is out.
    ///
    /// # Errors
    ///
    /// As [`radial`](Film::radial).
    pub fn plate_hole(
        gap: Length,
        hole: Length,
        out_to: Length,
        fluid: Fluid,
    ) -> Result<Film, SizeError> {
        let film = Film::radial(gap, hole, out_to, fluid)?;
        Ok(film.with_edges(&Film::round_hole(gap, hole)?, fluid))
    }

    fn round_hole(gap: Length, hole: Length) -> Result<Throat, SizeError> {
        let hole = above_zero("hole", hole.m())?;
        Ok(Throat {
            gap: above_zero("gap", gap.m())?,
            breadth: PI * hole,
            length: hole / 2.0,
        })
    }

    /// The Reynolds number at a flow, on twice the gap, where the film is narrowest.
    #[must_use]
    pub fn reynolds(&self, flow: f64) -> f64 {
        self.reynolds * flow.abs()
    }

    /// The drop at a flow, in Pa.
    #[must_use]
    pub fn drop(&self, flow: f64) -> f64 {
        self.drops.drop(flow)
    }
}

impl Law for Film {
    fn rate(&self, drop: f64) -> Rate {
        self.drops.rate(drop)
    }

    fn doubts(&self, drop: f64) -> Vec<Doubt> {
        let reynolds = self.reynolds(self.rate(drop).flow);
        Doubt::those([
            (self.thick, Doubt::ThickGap),
            (reynolds * self.slenderness > 1.0, Doubt::FilmInertia),
            (reynolds > 2000.0, Doubt::TurbulentFilm),
        ])
    }
}
