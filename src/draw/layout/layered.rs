//! Layers by the graphlay library: few crossings, lines of right angles, lanes of their own.

use graphlay::{
    Direction, Edge, Graph, LayoutOptions, Node, NodeId, PortHint, PortSides, Side, Size,
};

use super::{Layout, LayoutError, Placed, Plain, Plan, Point, Rect};

/// Layers by the graphlay library; by [`Plain`] where that breaks a promise.
#[derive(Clone, Copy, Debug, Default)]
pub struct Layered;

impl Layout for Layered {
    fn name(&self) -> &'static str {
        "layered"
    }

    fn place(&self, plan: &Plan) -> Result<Placed, LayoutError> {
        plan.check()?;
        if plan.boxes.is_empty() {
            return Ok(Placed::default());
        }
        let graph = graph(plan);
        // Of many lines between few boxes the library now and then leads one through a box.
        // Wider gaps nearly always mend that.
        for gap in GAPS {
            let placed = graphlay::layout(&graph, &options(gap));
            let placed = placed.map_err(|error| LayoutError::Engine(error.to_string()))?;
            let placed = read(&placed);
            if placed.is_sound() {
                return Ok(placed);
            }
        }
        Plain.place(plan)
    }
}

/// What the library placed, with its upper left corner at the origin.
fn read(placed: &graphlay::Layout) -> Placed {
    let (left, top) = (placed.bounds.min.x, placed.bounds.min.y);
    let point = |p: &graphlay::Point| Point {
        x: p.x - left,
        y: p.y - top,
    };
    let boxes = placed.nodes.iter().map(|node| {
        let centre = point(&node.center);
        Rect {
            x: centre.x - node.size.width / 2.0,
            y: centre.y - node.size.height / 2.0,
            width: node.size.width,
            height: node.size.height,
        }
    });
    let edges = placed.edges.iter();
    Placed {
        boxes: boxes.collect(),
        edges: edges
            .map(|e| e.points.iter().map(point).collect())
            .collect(),
        width: placed.bounds.max.x - left,
        height: placed.bounds.max.y - top,
    }
}

fn graph(plan: &Plan) -> Graph {
    let nodes = plan.boxes.iter().map(|b| Node {
        size: Size::new(b.width, b.height),
        ..Node::default()
    });
    let edges = plan.edges.iter().map(|e| Edge {
        source_port: Some(PortHint::Side(Side::Bottom)),
        target_port: Some(PortHint::Side(Side::Top)),
        ..Edge::new(NodeId(e.from as u32), NodeId(e.to as u32))
    });
    Graph {
        nodes: nodes.collect(),
        edges: edges.collect(),
    }
}

/// Gaps between layers to try, one after the other.
const GAPS: [f64; 3] = [40.0, 60.0, 100.0];

fn options(gap: f64) -> LayoutOptions {
    let mut options = LayoutOptions::layered_default();
    options.direction = Direction::TopBottom;
    options.routing.port_sides = PortSides::FacingOnly;
    // A sheet of paper is soon too small for a gearbox.
    options.spacing.layer_gap = gap;
    options.spacing.node_gap = 26.0;
    options.spacing.dummy_gap = 18.0;
    options
}
