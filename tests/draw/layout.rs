//! Both engines promise the same of any plan.

use oilpath::draw::layout::{LayoutError, Placed, Plan, PlanBox, PlanEdge, Point, Rect};
use oilpath::draw::{self, View};
use proptest::prelude::*;

use super::{ENGINES, circuit, files, net};

/// Places closer than this are one: a pixel has no finer parts.
const NEAR: f64 = 0.51;

/// What a plan placed somewhere breaks, in words.
fn broken(plan: &Plan, placed: &Placed) -> Vec<String> {
    let mut broken = Vec::new();
    let sheet = Rect {
        x: 0.0,
        y: 0.0,
        width: placed.width,
        height: placed.height,
    };
    for (i, at) in placed.boxes.iter().enumerate() {
        let planned = plan.boxes[i];
        if (at.width, at.height) != (planned.width, planned.height) {
            broken.push(format!("box {i} has another size"));
        }
        if !holds(&sheet, at.x, at.y) || !holds(&sheet, at.right(), at.bottom()) {
            broken.push(format!("box {i} leaves the sheet"));
        }
        for (j, other) in placed.boxes.iter().enumerate().skip(i + 1) {
            if at.overlaps(other) {
                broken.push(format!("boxes {i} and {j} overlap"));
            }
        }
    }
    for (i, (edge, line)) in plan.edges.iter().zip(&placed.edges).enumerate() {
        let (from, to) = (placed.boxes[edge.from], placed.boxes[edge.to]);
        let [first, .., last] = line[..] else {
            broken.push(format!("line {i} has no ends"));
            continue;
        };
        let on = |at: &Rect, y: f64, p: Point| {
            (p.y - y).abs() < NEAR && p.x > at.x - NEAR && p.x < at.right() + NEAR
        };
        if !on(&from, from.bottom(), first) || !on(&to, to.y, last) {
            broken.push(format!("line {i} ends on no border of its boxes"));
        }
        for pair in line.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            if (a.x - b.x).abs() > NEAR && (a.y - b.y).abs() > NEAR {
                broken.push(format!("line {i} slants"));
            }
            if !holds(&sheet, a.x, a.y) {
                broken.push(format!("line {i} leaves the sheet"));
            }
            let along = Rect {
                x: a.x.min(b.x),
                y: a.y.min(b.y),
                width: (a.x - b.x).abs(),
                height: (a.y - b.y).abs(),
            };
            for (j, at) in placed.boxes.iter().enumerate() {
                if at.grown(-NEAR).overlaps(&along.grown(0.01)) {
                    broken.push(format!("line {i} passes box {j}"));
                }
            }
        }
    }
    broken
}

fn holds(sheet: &Rect, x: f64, y: f64) -> bool {
    x > -NEAR && y > -NEAR && x < sheet.width + NEAR && y < sheet.height + NEAR
}

/// Plans of up to `most` boxes: some joined to many, some to none, some twice.
fn plans(most: usize) -> impl Strategy<Value = Plan> {
    let boxes = prop::collection::vec((40u16..220, 20u16..120), 1..most);
    let edges = prop::collection::vec((any::<u16>(), any::<u16>()), 0..2 * most);
    (boxes, edges).prop_map(|(boxes, pairs)| {
        let count = boxes.len();
        let edges = pairs.into_iter().filter_map(|(a, b)| {
            let (a, b) = (usize::from(a) % count, usize::from(b) % count);
            (a != b).then(|| PlanEdge {
                from: a.min(b),
                to: a.max(b),
            })
        });
        let edges: Vec<PlanEdge> = edges.collect();
        // As a drawing makes them: wide enough for the ends of all its lines.
        let boxes = boxes.into_iter().enumerate().map(|(i, (width, height))| {
            let above = edges.iter().filter(|e| e.to == i).count();
            let below = edges.iter().filter(|e| e.from == i).count();
            PlanBox {
                width: f64::from(width).max(above.max(below) as f64 * 20.0 + 12.0),
                height: f64::from(height),
            }
        });
        Plan {
            boxes: boxes.collect(),
            edges,
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, max_shrink_iters: 100, ..ProptestConfig::default() })]

    #[test]
    fn no_boxes_meet_and_no_line_passes_a_foreign_box(plan in plans(26)) {
        for engine in ENGINES {
            let placed = engine.place(&plan).unwrap();
            prop_assert_eq!(placed.boxes.len(), plan.boxes.len());
            prop_assert_eq!(placed.edges.len(), plan.edges.len());
            let broken = broken(&plan, &placed);
            prop_assert!(broken.is_empty(), "{}: {broken:?}", engine.name());
            prop_assert_eq!(engine.place(&plan).unwrap(), placed);
        }
    }
}

#[test]
fn every_circuit_keeps_the_promises_too() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        let picture = draw::picture(&net, &View::default()).unwrap();
        let plan = draw::plan(&picture);
        for engine in ENGINES {
            let placed = engine.place(&plan).unwrap();
            let broken = broken(&plan, &placed);
            assert_eq!(broken, [""; 0], "{} {}", engine.name(), file.display());
        }
    }
}

#[test]
fn the_checks_find_what_they_look_for() {
    let plan = Plan {
        boxes: vec![
            PlanBox {
                width: 10.0,
                height: 10.0,
            };
            3
        ],
        edges: vec![PlanEdge { from: 0, to: 2 }],
    };
    let at = |x, y| Rect {
        x,
        y,
        width: 10.0,
        height: 10.0,
    };
    let line = vec![Point { x: 5.0, y: 10.0 }, Point { x: 5.0, y: 60.0 }];
    let mut placed = Placed {
        boxes: vec![at(0.0, 0.0), at(20.0, 30.0), at(0.0, 60.0)],
        edges: vec![line],
        width: 40.0,
        height: 70.0,
    };
    assert_eq!(broken(&plan, &placed), [""; 0]);
    placed.boxes[1] = at(0.0, 30.0);
    assert_eq!(broken(&plan, &placed), ["line 0 passes box 1"]);
    placed.boxes[1] = at(5.0, 55.0);
    assert_eq!(broken(&plan, &placed), ["boxes 1 and 2 overlap"]);
    placed.boxes[1] = at(20.0, 30.0);
    placed.edges[0][1].x = 15.0;
    assert_eq!(
        broken(&plan, &placed),
        ["line 0 ends on no border of its boxes", "line 0 slants"]
    );
}

#[test]
fn a_plan_that_contradicts_itself_is_refused() {
    let sound = PlanBox {
        width: 10.0,
        height: 10.0,
    };
    for engine in ENGINES {
        let place = |boxes: Vec<PlanBox>, from, to| {
            let edges = vec![PlanEdge { from, to }];
            engine.place(&Plan { boxes, edges })
        };
        assert_eq!(place(vec![sound; 2], 1, 0), Err(LayoutError::Edge(0)));
        assert_eq!(place(vec![sound; 2], 0, 0), Err(LayoutError::Edge(0)));
        assert_eq!(place(vec![sound; 2], 0, 2), Err(LayoutError::Edge(0)));
        for width in [0.0, -3.0, f64::NAN, f64::INFINITY] {
            let bad = PlanBox { width, ..sound };
            assert_eq!(place(vec![sound, bad], 0, 1), Err(LayoutError::Box(1)));
        }
        assert_eq!(engine.place(&Plan::default()), Ok(Placed::default()));
    }
}
