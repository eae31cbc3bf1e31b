//! Layers by the graphlay library: few crossings, lines of right angles, lanes of their own.

use graphlay::{
    Direction, Edge, Effort, Graph, GroupId, GroupLanes, LayoutOptions, Node, NodeId, PortSides,
    Side, PortHint, Size,
};

use super::{Layout, LayoutError, Placed, Plan, Point, Rect};

/// Layers by the graphlay library, a strip for each casting.
#[derive(Clone, Copy, Debug, Default)]
pub struct Layered;

impl Layout for Layered {
    fn name(&self) -> &'static str {
        "layered"
    }

    fn place(&self, plan: &Plan) -> Result<Placed, LayoutError> {
        plan.check()?;
        if plan.boxes.is_empty() {
            return Ok(Placed {
                strips: vec![None; plan.strips],
                ..Placed::default()
            });
        }
        let placed = graphlay::layout(&graph(plan), &options())
            .map_err(|error| LayoutError::Engine(error.to_string()))?;
        let (left, top) = (placed.bounds.min.x, placed.bounds.min.y);
        let point = |p: &graphlay::Point| Point {
            x: p.x - left,
            y: p.y - top,
        };
        let boxes: Vec<Rect> = placed
            .nodes
            .iter()
            .map(|node| {
                let centre = point(&node.center);
                Rect {
                    x: centre.x - node.size.width / 2.0,
                    y: centre.y - node.size.height / 2.0,
                    width: node.size.width,
                    height: node.size.height,
                }
            })
            .collect();
        let mut strips = vec![None; plan.strips];
        for lane in &placed.lanes {
            if let Some(strip) = lane.group.and_then(|g| strips.get_mut(g.0 as usize)) {
                let corner = point(&lane.rect.min);
                *strip = Some(Rect {
                    x: corner.x,
                    y: corner.y,
                    width: lane.rect.max.x - lane.rect.min.x,
                    height: lane.rect.max.y - lane.rect.min.y,
                });
            }
        }
        Ok(Placed {
            boxes,
            edges: placed
                .edges
                .iter()
                .map(|edge| edge.points.iter().map(point).collect())
                .collect(),
            strips,
            width: placed.bounds.max.x - left,
            height: placed.bounds.max.y - top,
        })
    }
}

fn graph(plan: &Plan) -> Graph {
    let nodes = plan.boxes.iter().map(|b| Node {
        size: Size::new(b.width, b.height),
        group: Some(GroupId(b.strip as u32)),
        lane_key: None,
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
    options.order.group_lanes = match std::env::var("LANES").as_deref() { Ok("strict") => GroupLanes::Strict, Ok("off") => GroupLanes::Off, _ => GroupLanes::Soft };
    if std::env::var("FAST").is_ok() { options.effort = Effort::Fast; }
    options
}
