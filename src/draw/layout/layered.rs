//! Layers by the graphlay library: few crossings, lines of right angles, lanes of their own.

use graphlay::{
    Direction, Edge, Graph, LayoutOptions, Node, NodeId, PortHint, PortSides, Side, Size,
};

use super::{Layout, LayoutError, Placed, Plan, Point, Rect};

/// Layers by the graphlay library.
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
        let placed = graphlay::layout(&graph(plan), &options())
            .map_err(|error| LayoutError::Engine(error.to_string()))?;
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
        Ok(Placed {
            boxes: boxes.collect(),
            edges: edges.map(|e| e.points.iter().map(point).collect()).collect(),
            width: placed.bounds.max.x - left,
            height: placed.bounds.max.y - top,
        })
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

fn options() -> LayoutOptions {
    let mut options = LayoutOptions::layered_default();
    options.direction = Direction::TopBottom;
    options.routing.port_sides = PortSides::FacingOnly;
    // A sheet of paper is soon too small for a gearbox.
    options.spacing.layer_gap = 40.0;
    options.spacing.node_gap = 26.0;
    options.spacing.dummy_gap = 18.0;
    options
}
