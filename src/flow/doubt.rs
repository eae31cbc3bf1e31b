//! Where a law or an oil is used outside what it was made for.

use serde::Serialize;

/// Why a number is less sure than its digits look: a law or an oil beyond its range.
///
/// It stops nothing. A result that rests on one says so.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Doubt {
    /// The oil is outside the two temperatures its viscosity was given for.
    Extrapolated,
    /// The oil is thinner than 2 cSt, where the viscosity law takes another form.
    Thin,
    /// The oil is lighter or heavier than the density law covers.
    Density,
    /// A hole where neither viscosity nor inertia takes nearly all of the drop.
    Blended,
    /// A passage under ten bores long: the flow is still settling in.
    Developing,
    /// A passage between laminar and turbulent, where a real flow may be either.
    Transition,
    /// Bends and steps in laminar flow, where their losses were not measured.
    LaminarFittings,
    /// A wall rougher than friction was measured for.
    Rough,
    /// A gap too thick for its size to be a film.
    ThickGap,
    /// A film so fast that its inertia counts.
    FilmInertia,
    /// A film beyond laminar flow.
    TurbulentFilm,
    /// A cavity so far below the air around it that the oil in it foams: from 0.3 bar on
    /// (`common practice, no source`). No law here knows that.
    Foaming,
}

impl Doubt {
    /// The doubts whose test holds, in order.
    pub(super) fn those<const N: usize>(tests: [(bool, Doubt); N]) -> Vec<Doubt> {
        let holding = tests.into_iter().filter(|(holds, _)| *holds);
        holding.map(|(_, doubt)| doubt).collect()
    }
}

impl std::fmt::Display for Doubt {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Doubt::Extrapolated => "the oil was not measured at this temperature",
            Doubt::Thin => "the oil is thinner than 2 cSt",
            Doubt::Density => "the density of the oil is unusual",
            Doubt::Blended => "the hole is between thick-oil and thin-oil flow",
            Doubt::Developing => "the passage is short for its bore",
            Doubt::Transition => "the flow is between laminar and turbulent",
            Doubt::LaminarFittings => "losses of bends are not known for thick oil",
            Doubt::Rough => "the wall is very rough for its bore",
            Doubt::ThickGap => "the gap is thick for a film",
            Doubt::FilmInertia => "the oil in the gap is fast",
            Doubt::TurbulentFilm => "the flow in the gap is not laminar",
            Doubt::Foaming => "the suction is so deep that oil foams",
        })
    }
}
