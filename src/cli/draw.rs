//! Drawings.

use super::args::{Draw, Engine, Format, Ground, Shown};
use super::ask::ENDS;
use super::asked::{Asked, no_cavity};
use super::failure::Failure;
use crate::circuit::{Circuit, Kind};
use crate::draw::{
    self, DrawError, Layered, Layout, Paint, Picture, Plain, Scope, Style, Theme, View,
};
use crate::net::Net;

/// Draws a circuit as asked.
pub(super) fn draw(asked: &Draw, circuit: &Circuit, shown: &Shown) -> Result<Vec<u8>, Failure> {
    if shown.format != Format::Text {
        let what = "a drawing has formats of its own".to_owned();
        return Err(Failure::one(what, "leave out `--format`, or add `--dot`"));
    }
    let net = Net::new(circuit).map_err(|e| Failure::one(e.to_string(), "check the file"))?;
    let picture = picture(asked, &net, shown)?;
    if asked.dot {
        return Ok(draw::dot(&picture).into_bytes());
    }
    let engine: &dyn Layout = match asked.engine {
        Engine::Layered => &Layered,
        Engine::Plain => &Plain,
    };
    let paint = match asked.theme {
        Ground::Auto => Paint::Variables,
        Ground::Light => Paint::Fixed(Theme::Light),
        Ground::Dark => Paint::Fixed(Theme::Dark),
    };
    let style = Style {
        paint,
        ..Style::default()
    };
    let unplaced = |error: draw::LayoutError| {
        let other = match asked.engine {
            Engine::Layered => "try `--engine plain`",
            Engine::Plain => "try `--engine layered`",
        };
        Failure::one(error.to_string(), other)
    };
    #[cfg(feature = "png")]
    if asked.png {
        let theme = match asked.theme {
            Ground::Dark => Theme::Dark,
            Ground::Auto | Ground::Light => Theme::Light,
        };
        return draw::png(&picture, engine, theme).map_err(|error| match error {
            draw::PngError::Layout(error) => unplaced(error),
            error => Failure::one(error.to_string(), "leave out `--png` for a drawing as SVG"),
        });
    }
    let svg = draw::svg(&picture, engine, &style).map_err(unplaced)?;
    Ok(svg.into_bytes())
}

fn picture(asked: &Draw, net: &Net<'_>, shown: &Shown) -> Result<Picture, Failure> {
    let mut understood = Asked::of(net.circuit());
    let state = understood.state(&asked.state);
    let faults = understood.faults(&asked.faults);
    let scope = match (&asked.trace, &asked.around) {
        (Some(part), _) => understood.part(part, ENDS).map(Scope::Trace),
        (None, Some(part)) => understood.part(part, Kind::ALL).map(Scope::Around),
        (None, None) => Some(Scope::Whole),
    };
    let view = View {
        scope: understood.understood(scope)?,
        state: state.as_deref(),
        faults: &faults,
        units: shown.units,
    };
    draw::picture(net, &view).map_err(|error| match error {
        DrawError::Trace(error) => no_cavity(error),
        DrawError::NoState => Failure::one(error.to_string(), "name a state with `--state`"),
        DrawError::NoOil { .. } => {
            let remedy = "draw the circuit without `--trace` to see what keeps the oil away";
            Failure::one(error.to_string(), remedy)
        }
        DrawError::NotDrawn(_) => Failure::one(
            error.to_string(),
            "name a cavity, a casting or a part that oil passes",
        ),
    })
}
