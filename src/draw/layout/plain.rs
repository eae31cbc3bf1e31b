//! Layers by an engine of our own: plainer than the library's, and none of its code.
//!
//! The steps are those of Sugiyama, Tagawa and Toda (IEEE Transactions on Systems, Man and
//! Cybernetics 11(2), 1981; from memory): layers, an order in each by where neighbours lie, places
//! as near to these as the order allows, and lines of right angles in the channels between layers.

use super::channel::{Run, tracks};
use super::layers::{Layers, Slot};
use super::{Layout, LayoutError, Placed, Plan, Point, Rect};

/// Between two boxes of a layer.
const GAP: f64 = 26.0;
/// Between a line that passes a layer and what lies beside it.
const LANE: f64 = 12.0;
/// Between two tracks of a channel.
const TRACK: f64 = 9.0;
/// Between a layer and the first track beside it.
const STUB: f64 = 16.0;
/// Between the ends of two lines on one border, where there is room.
const END: f64 = 18.0;
/// How near to the corner of a box a line may end, where it need not.
const CORNER: f64 = 10.0;
/// Rounds of moving every layer towards what it is joined to.
const ROUNDS: usize = 16;

/// Layers by an engine of our own.
#[derive(Clone, Copy, Debug, Default)]
pub struct Plain;

impl Layout for Plain {
    fn name(&self) -> &'static str {
        "plain"
    }

    fn place(&self, plan: &Plan) -> Result<Placed, LayoutError> {
        plan.check()?;
        let layers = Layers::of(plan);
        let centres = centres(plan, &layers);
        Ok(route(plan, &layers, &centres))
    }
}

fn width(plan: &Plan, slot: Slot) -> f64 {
    match slot {
        Slot::Box(number) => plan.boxes[number].width,
        Slot::Bend => 0.0,
    }
}

/// How far apart the centres of two neighbours in a layer must be.
fn apart(plan: &Plan, a: Slot, b: Slot) -> f64 {
    let gap = match (a, b) {
        (Slot::Box(_), Slot::Box(_)) => GAP,
        _ => LANE,
    };
    (width(plan, a) + width(plan, b)) / 2.0 + gap
}

/// The centre of each slot: layer by layer as near to what it is joined to as the order allows.
fn centres(plan: &Plan, layers: &Layers) -> Vec<f64> {
    let mut centres = vec![0.0; layers.slots.len()];
    for layer in &layers.layers {
        let mut at = 0.0;
        let mut before = None;
        for slot in layer {
            at += before.map_or(0.0, |b| apart(plan, b, layers.slots[*slot]));
            before = Some(layers.slots[*slot]);
            centres[*slot] = at;
        }
    }
    for round in 0..ROUNDS {
        let count = layers.layers.len();
        for i in 0..count {
            let layer = if round % 2 == 0 { i } else { count - 1 - i };
            settle(plan, layers, &layers.layers[layer], &mut centres);
        }
    }
    centres
}

/// Moves a layer: the least squares that keep its order and distances, by pooling neighbours that
/// want to stand too close (isotonic regression).
fn settle(plan: &Plan, layers: &Layers, layer: &[usize], centres: &mut [f64]) {
    // Of each pool: the sum of where its slots want to be, their weight, their number.
    let mut pools: Vec<(f64, f64, usize)> = Vec::new();
    let mut offset = 0.0;
    let mut offsets = Vec::with_capacity(layer.len());
    for (i, slot) in layer.iter().enumerate() {
        if i > 0 {
            offset += apart(plan, layers.slots[layer[i - 1]], layers.slots[*slot]);
        }
        offsets.push(offset);
        let joined = || layers.above[*slot].iter().chain(&layers.below[*slot]);
        let count = joined().count();
        let wants = match count {
            0 => centres[*slot],
            count => joined().map(|other| centres[*other]).sum::<f64>() / count as f64,
        };
        // A line that passes a layer had better be straight.
        let weight = match layers.slots[*slot] {
            Slot::Bend => 4.0,
            Slot::Box(_) => 1.0 + count as f64,
        };
        pools.push((weight * (wants - offset), weight, 1));
        while let [.., before, last] = pools[..]
            && before.0 / before.1 > last.0 / last.1
        {
            pools.pop();
            pools.pop();
            pools.push((before.0 + last.0, before.1 + last.1, before.2 + last.2));
        }
    }
    let mut slots = layer.iter().zip(offsets);
    for (sum, weight, count) in pools {
        for (slot, offset) in slots.by_ref().take(count) {
            centres[*slot] = sum / weight + offset;
        }
    }
}

/// Puts boxes and lines where their centres say, each channel as high as its tracks need.
fn route(plan: &Plan, layers: &Layers, centres: &[f64]) -> Placed {
    let lefts = layers.slots.iter().zip(centres);
    let left = lefts
        .map(|(slot, centre)| centre - width(plan, *slot) / 2.0)
        .fold(f64::INFINITY, f64::min);
    let mut from = ends(plan, layers, centres, true);
    let mut to = ends(plan, layers, centres, false);
    line_up(plan, layers, centres, &mut from, &mut to);
    let mut boxes = vec![Rect::default(); plan.boxes.len()];
    let mut edges: Vec<Vec<Point>> = vec![Vec::new(); plan.edges.len()];
    let leaving = leaving(layers);
    let mut y = 0.0;
    for (layer, leaving) in layers.layers.iter().zip(&leaving) {
        let mut tall: f64 = 0.0;
        for slot in layer {
            if let Slot::Box(b) = layers.slots[*slot] {
                let size = plan.boxes[b];
                boxes[b] = Rect {
                    x: centres[*slot] - size.width / 2.0 - left,
                    y,
                    width: size.width,
                    height: size.height,
                };
                tall = tall.max(size.height);
            }
        }
        let run = |(edge, step): &(usize, usize)| {
            let chain = &layers.chains[*edge];
            let (upper, lower) = (chain[*step], chain[step + 1]);
            let (first, last) = (*step == 0, step + 2 == chain.len());
            Run {
                top: if first { from[*edge] } else { centres[upper] } - left,
                bottom: if last { to[*edge] } else { centres[lower] } - left,
            }
        };
        let runs: Vec<Run> = leaving.iter().map(run).collect();
        let (tracks, count) = tracks(&runs);
        for (((edge, step), run), track) in leaving.iter().zip(&runs).zip(&tracks) {
            let start = match layers.slots[layers.chains[*edge][*step]] {
                Slot::Box(b) => boxes[b].bottom(),
                Slot::Bend => y,
            };
            let line = &mut edges[*edge];
            line.push(Point {
                x: run.top,
                y: start,
            });
            if let Some(track) = track {
                let across = y + tall + STUB + *track as f64 * TRACK;
                line.push(Point {
                    x: run.top,
                    y: across,
                });
                line.push(Point {
                    x: run.bottom,
                    y: across,
                });
            }
        }
        y += tall + 2.0 * STUB + count.saturating_sub(1) as f64 * TRACK;
    }
    for (edge, line) in edges.iter_mut().enumerate() {
        line.push(Point {
            x: to[edge] - left,
            y: boxes[plan.edges[edge].to].y,
        });
        straighten(line);
    }
    let all = boxes.iter().map(|b| (b.right(), b.bottom()));
    let corners = edges.iter().flatten().map(|p| (p.x, p.y));
    let (width, height) = all
        .chain(corners)
        .fold((0.0, 0.0), |(w, h): (f64, f64), (x, y)| {
            (w.max(x), h.max(y))
        });
    Placed {
        boxes,
        edges,
        width,
        height,
    }
}

/// The lines that leave each layer, each with the step of its chain.
fn leaving(layers: &Layers) -> Vec<Vec<(usize, usize)>> {
    let mut depth = vec![0; layers.slots.len()];
    for (number, layer) in layers.layers.iter().enumerate() {
        for slot in layer {
            depth[*slot] = number;
        }
    }
    let mut leaving = vec![Vec::new(); layers.layers.len()];
    for (edge, chain) in layers.chains.iter().enumerate() {
        for (step, slot) in chain.iter().enumerate().take(chain.len() - 1) {
            leaving[depth[*slot]].push((edge, step));
        }
    }
    leaving
}

/// Where each line leaves its upper box, or enters its lower one: in the order of where it goes,
/// spread around the middle of the border.
fn ends(plan: &Plan, layers: &Layers, centres: &[f64], upper: bool) -> Vec<f64> {
    let mut lines: Vec<Vec<(f64, usize)>> = vec![Vec::new(); plan.boxes.len()];
    for (edge, chain) in layers.chains.iter().enumerate() {
        let (own, next) = match upper {
            true => (plan.edges[edge].from, chain[1]),
            false => (plan.edges[edge].to, chain[chain.len() - 2]),
        };
        lines[own].push((centres[next], edge));
    }
    let mut ends = vec![0.0; plan.edges.len()];
    for (number, mut lines) in lines.into_iter().enumerate() {
        lines.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let count = lines.len() as f64;
        let step = END.min(plan.boxes[number].width / (count + 1.0));
        for (i, (_, edge)) in lines.into_iter().enumerate() {
            ends[edge] = centres[number] + (i as f64 - (count - 1.0) / 2.0) * step;
        }
    }
    ends
}

/// Moves an end that is alone on its border to where the other end of its line is, if the border
/// reaches so far: a straight line is the better one.
fn line_up(plan: &Plan, layers: &Layers, centres: &[f64], from: &mut [f64], to: &mut [f64]) {
    let mut uppers = vec![0; plan.boxes.len()];
    let mut lowers = vec![0; plan.boxes.len()];
    for edge in &plan.edges {
        lowers[edge.from] += 1;
        uppers[edge.to] += 1;
    }
    let reaches = |number: usize, x: f64| {
        (centres[number] - x).abs() < plan.boxes[number].width / 2.0 - CORNER
    };
    for (i, edge) in plan.edges.iter().enumerate() {
        let chain = &layers.chains[i];
        let bends = chain.len() > 2;
        let before = if bends {
            centres[chain[chain.len() - 2]]
        } else {
            from[i]
        };
        let lined_up = uppers[edge.to] == 1 && reaches(edge.to, before);
        if lined_up {
            to[i] = before;
        }
        let after = if bends { centres[chain[1]] } else { to[i] };
        if lowers[edge.from] == 1 && (bends || !lined_up) && reaches(edge.from, after) {
            from[i] = after;
        }
    }
}

/// Leaves out corners that are none.
fn straighten(line: &mut Vec<Point>) {
    let mut kept: Vec<Point> = Vec::with_capacity(line.len());
    for at in line.drain(..) {
        let on_line = |a: &Point, b: &Point| {
            let near = |a: f64, b: f64| (a - b).abs() < 0.05;
            near(a.x, b.x) && near(b.x, at.x) || near(a.y, b.y) && near(b.y, at.y)
        };
        if let [.., before, last] = kept[..]
            && on_line(&before, &last)
        {
            kept.pop();
        }
        kept.push(at);
    }
    *line = kept;
}
