//! A picture as SVG: one text, the same bytes every time, themed by CSS variables.
//!
//! Elements carry what a page needs to find them: a cavity `data-cavity`, a part `data-part`, a
//! pipe `data-from` and `data-to` with the keys of the items it joins, each its role as a class.

mod face;
mod item;
mod legend;
mod pipe;
mod sign;
mod style;
mod text;
mod theme;

use self::face::Face;
use self::text::Ink;
pub(super) use self::text::{escape, number};
use self::theme::GROUNDS;
use super::label::cut;
use super::layout::{Layout, LayoutError, Placed, Plan, PlanBox, PlanEdge, Point, Rect};
use super::picture::{Passing, Picture};

pub use theme::{PAIRS, Paint, Pair, Theme};

/// Room around everything.
const MARGIN: f64 = 20.0;
/// Room above the drawing for its title.
const HEAD: f64 = 66.0;
/// No drawing is narrower, so that its title and legend can be read.
const NARROWEST: f64 = 560.0;

/// How a drawing is written.
#[derive(Clone, Debug, Default)]
pub struct Style {
    /// How colours are written.
    pub paint: Paint,
    /// What the ids of elements start with, where several drawings stand in one page.
    pub prefix: String,
    /// Whether it stands in a page beside another drawing, whose title, legend and style sheet
    /// serve for both: then it has none of its own.
    pub beside: bool,
}

/// What an engine is to place for a picture.
#[must_use]
pub fn plan(picture: &Picture) -> Plan {
    let boxes = (0..picture.items.len()).map(|number| {
        let face = Face::of(picture, number);
        PlanBox {
            width: face.width,
            height: face.height,
        }
    });
    let edges = picture.pipes.iter().map(|pipe| PlanEdge {
        from: pipe.from,
        to: pipe.to,
    });
    Plan {
        boxes: boxes.collect(),
        edges: edges.collect(),
    }
}

/// Draws a picture as SVG.
///
/// # Errors
/// What the engine says.
///
/// ```
/// use oilpath::{draw, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line"] }
///     [source]
///     pump = { feeds = "line" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let picture = draw::picture(&net, &draw::View::default()).unwrap();
/// let svg = draw::svg(&picture, &draw::Layered, &draw::Style::default()).unwrap();
/// assert!(svg.contains("data-cavity=\"line\""));
/// ```
pub fn svg(picture: &Picture, engine: &dyn Layout, style: &Style) -> Result<String, LayoutError> {
    let placed = engine.place(&plan(picture))?;
    Ok(write(picture, &placed, style))
}

fn write(picture: &Picture, placed: &Placed, style: &Style) -> String {
    let (head, narrowest) = if style.beside {
        (0.0, 0.0)
    } else {
        (HEAD, NARROWEST)
    };
    let wide = placed.width.max(narrowest);
    let left = MARGIN + (wide - placed.width) / 2.0;
    let top = MARGIN + head;
    let legend_top = top + placed.height + MARGIN;
    let below = match style.beside {
        true => 0.0,
        false => legend::height(picture, wide) + MARGIN,
    };
    let size = [wide + 2.0 * MARGIN, legend_top + below];
    let places = placed.boxes.iter().map(|place| Rect {
        x: place.x + left,
        y: place.y + top,
        ..*place
    });
    let places: Vec<Rect> = places.collect();
    let corners = placed.edges.iter().map(|line| {
        let line = line.iter().map(|p| Point {
            x: p.x + left,
            y: p.y + top,
        });
        line.collect()
    });
    let corners: Vec<Vec<Point>> = corners.collect();
    let mut ink = Ink::default();
    let [w, h] = size.map(f64::ceil);
    ink.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"oil-drawing\" role=\"img\" \
         viewBox=\"0 0 {w} {h}\" width=\"{w}\" height=\"{h}\">\n",
        w = number(w),
        h = number(h)
    ));
    ink.title(&format!("{}: {}", picture.title, picture.about));
    if !style.beside {
        let sheet = escape(&style::sheet(style.paint));
        ink.raw(&format!("<style>\n{sheet}</style>\n"));
    }
    ink.rect("paper", [0.0, 0.0, w, h], 0.0);
    if !style.beside {
        let room = |size: f64| wide / size;
        let title = cut(&picture.title, room(17.0));
        ink.text("heading", MARGIN, MARGIN + 18.0, &title);
        let about = cut(&picture.about, room(12.0));
        ink.text("soft", MARGIN, MARGIN + 40.0, &about);
    }
    castings(&mut ink, picture, &places, &corners);
    // What carries oil lies over what does not, and what is traced over everything.
    let mut order: Vec<usize> = (0..picture.pipes.len()).collect();
    order.sort_by_key(|i| {
        let pipe = &picture.pipes[*i];
        (pipe.traced, pipe.passing != Passing::Shut, *i)
    });
    for i in order {
        pipe::pipe(&mut ink, picture, &picture.pipes[i], &corners[i]);
    }
    for (i, place) in places.iter().enumerate() {
        item::item(&mut ink, picture, i, place, &style.prefix);
    }
    for i in 0..places.len() {
        for above in [true, false] {
            pipe::tags(&mut ink, picture, i, above, &corners);
        }
    }
    if !style.beside {
        legend::legend(&mut ink, picture, MARGIN, legend_top, wide);
    }
    ink.raw("</svg>\n");
    ink.finish()
}

/// The castings as areas: ground below what lies in each, and below the pipes within it.
fn castings(ink: &mut Ink, picture: &Picture, places: &[Rect], corners: &[Vec<Point>]) {
    for (number, casting) in picture.castings.iter().enumerate() {
        let within = |item: usize| picture.items[item].casting == Some(number);
        let id = format!("casting.{}", casting.id);
        let class = format!("casting ground-{}", number % GROUNDS);
        ink.open(&[("class", &class), ("data-part", &id)]);
        ink.title(&casting.label);
        for (pipe, line) in picture.pipes.iter().zip(corners) {
            if within(pipe.from) && within(pipe.to) {
                ink.path("ground-line", &pipe::path(line));
            }
        }
        for place in (0..places.len()).filter(|i| within(*i)).map(|i| places[i]) {
            let Rect {
                x,
                y,
                width,
                height,
            } = place.grown(8.0);
            ink.rect("ground", [x, y, width, height], 12.0);
        }
        ink.close();
    }
}
