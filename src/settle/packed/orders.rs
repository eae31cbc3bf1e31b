//! Every order of single moves, in many scenes at once: each scene follows its own, side by side
//! with the others.

use std::collections::HashSet;

use super::column::{Column, Columns};
use super::moving::{Walk, moved, union};
use super::point::PackedPoint;
use super::question::nth_movers;
use crate::circuit::Level;
use crate::net::{Lanes, PackedStage};
use crate::settle::point::{differing, merge_alike};
use crate::settle::walk::most_points;
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
    let starts = Columns::of(start.rows());
    let orders = lanes.iter().map(|lane| {
        let column = starts.get(lane);
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
        let next = orders.iter_mut();
        let next = next.filter_map(|order| Some((order.lane, order.open.pop()?)));
        let next: Vec<(usize, Column)> = next.collect();
        Columns::put(point.rows_mut(), &next);
        let lanes = next.iter().map(|(lane, _)| Lanes::one(*lane));
        let here = lanes.fold(Lanes::NONE, |here, lane| here | lane);
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
    let (ends, resting): (Vec<Ends>, Vec<Option<(usize, Column)>>) =
        orders.map(|order| order.finish(walk.stage, start)).unzip();
    let resting: Vec<(usize, Column)> = resting.into_iter().flatten().collect();
    Columns::put(end.rows_mut(), &resting);
    ends
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
    if at_rest.any() {
        let columns = Columns::of(point.rows());
        for order in orders.iter_mut().filter(|o| at_rest.contains(o.lane)) {
            let column = columns.get(order.lane);
            order.ends.push((point.lane(order.lane), column));
        }
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
        let places = Columns::of(held.rows());
        for order in orders.iter_mut().filter(|o| lanes.contains(o.lane)) {
            let stands = places.get(order.lane);
            if !order.flowing.contains(&stands) {
                unknown.insert(order.lane);
                news.push((order, stands));
            }
        }
        if news.is_empty() {
            continue;
        }
        let next = walk.solve(held, &point.pressures, unknown).point;
        let columns = Columns::of(next.rows());
        for (order, stands) in news {
            if !next.pressures.keeps.contains(order.lane) {
                order.flowing.insert(stands);
            }
            let column = columns.get(order.lane);
            if order.seen.len() < order.most && order.seen.insert(column.clone()) {
                order.open.push(column);
            }
        }
    }
}

impl Orders {
    /// The ends, and where there is but one what it looks like.
    fn finish(
        self,
        stage: &PackedStage<'_>,
        start: &PackedPoint<'_>,
    ) -> (Ends, Option<(usize, Column)>) {
        let mut ends: Vec<Point> = self.ends.iter().map(|(point, _)| point.clone()).collect();
        merge_alike(&mut ends);
        let resting = match &ends[..] {
            [only] => self.ends.iter().find(|(point, _)| point == only),
            _ => None,
        };
        let resting = resting.map(|(_, column)| (self.lane, column.clone()));
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
        let ends = Ends {
            lane: self.lane,
            ends,
            course,
        };
        (ends, resting)
    }
}
