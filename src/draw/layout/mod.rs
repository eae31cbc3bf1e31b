//! Where things go: boxes of known size and what joins them, placed in layers from top to bottom.
//!
//! An engine knows nothing of oil. Two stand behind one trait and pass the same tests: no two
//! boxes meet, no line passes a box that it does not join, every line starts and ends on the
//! border of its own boxes.

mod channel;
mod layered;
mod layers;
mod place;
mod plain;

pub use layered::Layered;
pub use place::{Point, Rect};
pub use plain::Plain;

/// What is to be placed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// The boxes.
    pub boxes: Vec<PlanBox>,
    /// What joins them.
    pub edges: Vec<PlanEdge>,
}

/// A box to be placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanBox {
    /// Its width.
    pub width: f64,
    /// Its height.
    pub height: f64,
}

/// What joins two boxes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlanEdge {
    /// The upper box, by number.
    pub from: usize,
    /// The lower box, by number: above the upper one's, so that nothing goes round.
    pub to: usize,
}

/// Where everything is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Placed {
    /// Where each box is.
    pub boxes: Vec<Rect>,
    /// The corners of each line, from the border of the upper box to that of the lower.
    pub edges: Vec<Vec<Point>>,
    /// The width of all of it.
    pub width: f64,
    /// The height of all of it.
    pub height: f64,
}

/// Why nothing could be placed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LayoutError {
    /// The plan contradicts itself.
    #[error("edge {0} goes up, or joins boxes that are not there")]
    Edge(usize),
    /// A box has no area.
    #[error("box {0} has no area")]
    Box(usize),
    /// The engine gave up.
    #[error("the layout engine gave up: {0}")]
    Engine(String),
}

/// Places boxes and lines.
pub trait Layout {
    /// Its name, as a reader types it.
    fn name(&self) -> &'static str;

    /// Places a plan. The same plan always gives the same places.
    ///
    /// # Errors
    /// A plan that contradicts itself, or that the engine cannot place.
    fn place(&self, plan: &Plan) -> Result<Placed, LayoutError>;
}

impl Placed {
    /// Whether every promise is kept: no two boxes meet, no line slants, and none passes a box
    /// between its ends.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        let boxes = || self.boxes.iter().enumerate();
        let apart = boxes().all(|(i, a)| !self.boxes[..i].iter().any(|b| a.overlaps(b)));
        let breaks = |pair: &[Point]| {
            let along = Rect {
                x: pair[0].x.min(pair[1].x),
                y: pair[0].y.min(pair[1].y),
                width: (pair[0].x - pair[1].x).abs(),
                height: (pair[0].y - pair[1].y).abs(),
            };
            // A line on a border passes nothing; what is off by less than a hair is straight.
            let slants = along.width.min(along.height) > 0.5;
            slants || boxes().any(|(_, at)| at.grown(-0.5).overlaps(&along.grown(0.1)))
        };
        apart && !self.edges.iter().any(|line| line.windows(2).any(breaks))
    }
}

impl Plan {
    /// What contradicts itself, if anything.
    ///
    /// # Errors
    /// The first such box or edge.
    pub fn check(&self) -> Result<(), LayoutError> {
        let area = |b: &PlanBox| {
            [b.width, b.height]
                .iter()
                .all(|s| s.is_finite() && *s >= 1.0)
        };
        if let Some(bad) = self.boxes.iter().position(|b| !area(b)) {
            return Err(LayoutError::Box(bad));
        }
        let down = |e: &PlanEdge| e.from < e.to && e.to < self.boxes.len();
        match self.edges.iter().position(|e| !down(e)) {
            Some(bad) => Err(LayoutError::Edge(bad)),
            None => Ok(()),
        }
    }
}
