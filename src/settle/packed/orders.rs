//! Every order of single moves, in many scenes at once: each scene follows its own, side by side
//! with the others.

use std::collections::HashSet;

use super::moving::{Walk, moved, nth_movers, union};
use super::point::{Column, PackedPoint, column};
use crate::circuit::Level;
use crate::net::{Lanes, PackedStage};
use crate::settle::walk::{differing, merge_alike, most_points};
use crate::settle::{Course, Point};

/// So few scenes are followed faster alone.
const FEW: usize = 4;

/// The ends of one scene in which the order of moves is in question.
#[derive(Clone, Debug)]
pub(super) struct Ends {
    pub lane: usize,
    pub ends: Vec<Point>,
    pub course: Course,
}

/// One scene on its way through its orders: the same steps as a single walk takes.
struct Orders {
    lane: usize,
    most: usize,
    seen: HashSet<Column>,
    /// Where everything stood at points in which no cavity keeps what it held.
    flowing: HashSet<Column>,
    open: Vec<Column>,
    ends: Vec<(Point, Column)>,
}

/// Follows every order of single moves from a start to all its ends, in some scenes; leaves those
/// in which something cannot be decided. Where a scene has but one end, `end` comes to stand there.
pub(super) fn every_order<'p>(
    walk: &mut Walk<'p>,
    start: &PackedPoint<'p>,
    lanes: Lanes,
    end: &mut PackedPoint<'p>,
) -> Vec<Ends> {
    let orders = lanes.iter().map(|lane| {
        let column = start.column(lane);
        Orders {
            lane,
            most: most_points(&start.lane(lane)),
            seen: HashSet::from([column.clone()]),
            flowing: HashSet::new(),
            open: vec![column],
            ends: Vec::new(),
        }
    });
    let mut orders: Vec<Orders> = orders.collect();
    let mut point = start.clone();
    loop {
        let mut here = Lanes::NONE;
        for order in &mut orders {
            if let Some(column) = order.open.pop() {
                point.put_column(order.lane, &column);
                here.insert(order.lane);
            }
        }
        if here.count() < FEW {
            walk.leave(here);
        }
        orders.retain(|order| !walk.alone.contains(order.lane));
        if here.count() < FEW {
            break;
        }
        go_on(walk, &point, here, &mut orders);
    }
    let orders = orders.into_iter().filter(|o| !walk.alone.contains(o.lane));
    orders
        .map(|order| order.finish(walk.stage, start, end))
        .collect()
}

/// Looks at one open point of each scene: what may move first there, and where that leads.
fn go_on<'p>(walk: &mut Walk<'p>, point: &PackedPoint<'p>, here: Lanes, orders: &mut [Orders]) {
    let low = walk.stage.scene(&point.held, Level::Low, here);
    let wants = walk.wants(&low, point);
    let here = here & !walk.alone;
    let mut nth = nth_movers(&wants, here);
    let moving = nth.first().map_or(Lanes::NONE, |first| union(first));
    let boosts = point.held.boosted.iter().zip(&wants.boosted);
    let boosts = boosts.fold(Lanes::NONE, |any, (was, is)| any | (*was ^ *is));
    let at_rest = here & !moving & !boosts;
    for order in orders.iter_mut().filter(|o| at_rest.contains(o.lane)) {
        let column = point.column(order.lane);
        order.ends.push((point.lane(order.lane), column));
    }
    // Where nothing moves but a regulator is boosted or no longer, the point changes all the same.
    let mut only_boosts = here & !moving & boosts;
    if nth.is_empty() && only_boosts.any() {
        nth.push(vec![Lanes::NONE; wants.going.len()]);
    }
    for first in &nth {
        let lanes = (union(first) | only_boosts) & !walk.alone;
        only_boosts = Lanes::NONE;
        let held = moved(point, &wants, &|mover| first[mover], lanes);
        // What has been come to before need not be worked out again.
        let mut news: Vec<(&mut Orders, Column)> = Vec::new();
        let mut unknown = Lanes::NONE;
        for order in orders.iter_mut().filter(|o| lanes.contains(o.lane)) {
            let stands = column(held.rows(), order.lane);
            if !order.flowing.contains(&stands) {
                unknown.insert(order.lane);
                news.push((order, stands));
            }
        }
        if news.is_empty() {
            continue;
        }
        let next = walk.solve(held, &point.pressures, unknown).point;
        for (order, stands) in news {
            if !next.pressures.keeps.contains(order.lane) {
                order.flowing.insert(stands);
            }
            let column = next.column(order.lane);
            if order.seen.len() < order.most && order.seen.insert(column.clone()) {
                order.open.push(column);
            }
        }
    }
}

impl Orders {
    fn finish(
        self,
        stage: &PackedStage<'_>,
        start: &PackedPoint<'_>,
        end: &mut PackedPoint<'_>,
    ) -> Ends {
        let mut ends: Vec<Point> = self.ends.iter().map(|(point, _)| point.clone()).collect();
        merge_alike(&mut ends);
        if let [only] = &ends[..] {
            let found = self.ends.iter().find(|(point, _)| point == only);
            if let Some((_, column)) = found {
                end.put_column(self.lane, column);
            }
        }
        let course = match &ends[..] {
            [] => Course::Race(Vec::new()),
            ends => match differing(stage.sound(), ends) {
                parts if parts.is_empty() => Course::Steady,
                parts => Course::Race(parts),
            },
        };
        if ends.is_empty() {
            ends.push(start.lane(self.lane));
        }
        Ends {
            lane: self.lane,
            ends,
            course,
        }
    }
}
