//! A picture as PNG, drawn from its SVG with a font that is built in.

use std::sync::Arc;

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::fontdb::Database;
use resvg::usvg::roxmltree::Document;
use resvg::usvg::{Options, Tree};
use skrifa::{FontRef, MetadataProvider};

use super::layout::{Layout, LayoutError};
use super::picture::Picture;
use super::svg::{Paint, Style, Theme, svg};

/// DejaVu Sans 2.37, cut down to Latin, Greek and Cyrillic; its licence lies beside it.
const FONT: &[u8] = include_bytes!("font/DejaVuSans-subset.ttf");

/// Pixels for each unit of the drawing.
const SCALE: f32 = 2.0;

/// Why no PNG was made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PngError {
    /// The picture cannot be placed.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// Characters would be missing, and names with them.
    #[error("the font for PNG has no {0}")]
    Letters(String),
    /// The drawing cannot be turned into pixels.
    #[error("no pixels: {0}")]
    Pixels(String),
}

/// Draws a picture as PNG, two pixels for each unit of its SVG.
///
/// # Errors
/// What the engine says; characters that the built-in font lacks (it has Latin, Greek and
/// Cyrillic), for a name must not vanish; a drawing too large for memory.
pub fn png(picture: &Picture, engine: &dyn Layout, theme: Theme) -> Result<Vec<u8>, PngError> {
    let style = Style {
        paint: Paint::Fixed(theme),
        ..Style::default()
    };
    let text = svg(picture, engine, &style)?;
    let mut options = Options::default();
    let mut fonts = Database::new();
    fonts.load_font_source(resvg::usvg::fontdb::Source::Binary(Arc::new(FONT)));
    options.fontdb = Arc::new(fonts);
    let pixels = |error: &dyn std::fmt::Display| PngError::Pixels(error.to_string());
    let document = Document::parse(&text).map_err(|e| pixels(&e))?;
    // Text without a shape in the font would be left out and nothing said.
    let missing = missing(&document);
    if !missing.is_empty() {
        return Err(PngError::Letters(missing));
    }
    let tree = Tree::from_xmltree(&document, &options).map_err(|e| pixels(&e))?;
    let size = tree.size().to_int_size().scale_by(SCALE);
    let map = size.and_then(|size| Pixmap::new(size.width(), size.height()));
    let mut map = map.ok_or_else(|| PngError::Pixels("the drawing is too large".to_owned()))?;
    let scale = Transform::from_scale(SCALE, SCALE);
    resvg::render(&tree, scale, &mut map.as_mut());
    map.encode_png().map_err(|e| pixels(&e))
}

/// The characters of a drawing that the font has no shape for, each once.
fn missing(svg: &Document<'_>) -> String {
    let font = FontRef::new(FONT).ok();
    let drawn = |c: char| font.as_ref().is_some_and(|f| f.charmap().map(c).is_some());
    let texts = svg.descendants().filter(|n| n.has_tag_name("text"));
    let letters = texts.filter_map(|n| n.text()).flat_map(str::chars);
    let mut missing: Vec<char> = letters.filter(|c| !drawn(*c)).collect();
    missing.sort_unstable();
    missing.dedup();
    missing.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::{Plain, View, picture};
    use crate::net::Net;

    fn drawn(label: &str) -> Result<Vec<u8>, PngError> {
        let text = format!(
            "[casting]\nblock = {{ passages = ['line'] }}\n[passage]\nline = {{ label = '{label}' }}\n\
             [source]\npump = {{ feeds = 'line' }}\n"
        );
        let circuit = crate::sheet::read(&text).unwrap().circuit;
        let net = Net::new(&circuit).unwrap();
        let picture = picture(&net, &View::default()).unwrap();
        png(&picture, &Plain, Theme::Light)
    }

    #[test]
    fn a_name_is_drawn_or_refused_and_never_left_out() {
        let named = drawn("Größe λ Масло").unwrap();
        assert!(named.starts_with(b"\x89PNG"));
        // Other letters make other pixels.
        assert_ne!(named, drawn("Größe λ Маслу").unwrap());
        assert_eq!(
            drawn("line 油路"),
            Err(PngError::Letters("油路".to_owned()))
        );
    }
}
