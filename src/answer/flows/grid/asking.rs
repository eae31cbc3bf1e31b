//! A grid measured point by point, and its boundaries found between the points.

use std::collections::BTreeMap;

use super::boundary::{Edge, edges, lines, segments};
use super::{CLOSE, GridPoint, GridQuestion};
use crate::answer::flows::FlowsError;
use crate::answer::flows::need::Need;
use crate::answer::flows::varying::Varying;
use crate::net::NetOutlet;

/// Whether the need of each outlet is met at a point.
pub(super) type Met = Vec<Option<bool>>;

pub(super) struct Asking<'a> {
    pub varying: Varying<'a>,
    pub question: &'a GridQuestion<'a>,
    /// Outlets that count, with their number among those that use oil under pressure.
    pub counted: Vec<(usize, &'a NetOutlet, Need)>,
    pub unsolved: usize,
}

impl Asking<'_> {
    fn at(&mut self, point: GridPoint) -> Result<Met, FlowsError> {
        let GridQuestion { along, up, .. } = self.question;
        let values = [(&along.varied, point.along), (&up.varied, point.up)];
        let got = self.varying.at(&values)?;
        if !got.converged {
            self.unsolved += 1;
            return Ok(vec![None; self.counted.len()]);
        }
        let counted = self.counted.iter();
        let met = counted.map(|(number, _, need)| need.met(&got.reaches[*number]));
        Ok(met.collect())
    }

    /// Every point of the grid, row by row, to and fro: the last measured is a neighbour.
    pub fn met(&mut self, [along, up]: &[Vec<f64>; 2]) -> Result<Vec<Vec<Met>>, FlowsError> {
        let mut rows = Vec::new();
        for (number, up) in up.iter().enumerate() {
            let mut row = vec![Met::new(); along.len()];
            let back = number % 2 == 1;
            for i in 0..along.len() {
                let column = if back { along.len() - 1 - i } else { i };
                let along = along[column];
                row[column] = self.at(GridPoint { along, up: *up })?;
            }
            rows.push(row);
        }
        Ok(rows)
    }

    /// The boundary of each outlet.
    pub fn boundaries(
        &mut self,
        values: &[Vec<f64>; 2],
        met: &[Vec<Met>],
    ) -> Result<Vec<Vec<Vec<GridPoint>>>, FlowsError> {
        let size = [values[0].len(), values[1].len()];
        let point = |[column, row]: [usize; 2]| GridPoint {
            along: values[0][column],
            up: values[1][row],
        };
        let outlets = self.counted.len();
        let mut crossings: Vec<BTreeMap<Edge, GridPoint>> = vec![BTreeMap::new(); outlets];
        for edge in edges(size) {
            let ends = edge.ends();
            let [one, other] = ends.map(|[column, row]| &met[row][column]);
            let changes = |n: &usize| sure(one[*n]) != sure(other[*n]);
            let changing: Vec<usize> = (0..outlets).filter(changes).collect();
            self.halve(ends.map(point), one, &changing, &mut |number, at| {
                crossings[number].insert(edge, at);
            })?;
        }
        let mut boundaries = Vec::new();
        for (number, crossings) in crossings.iter().enumerate() {
            let inside = |[column, row]: [usize; 2]| sure(met[row][column][number]);
            let mut parts = Vec::new();
            for row in 0..size[1] - 1 {
                for column in 0..size[0] - 1 {
                    let corners = [[column, row], [column + 1, row + 1]];
                    let centre = middle(corners.map(point));
                    let decides = || self.at(centre).map(|met| sure(met[number]));
                    parts.extend(segments([column, row], &inside, decides)?);
                }
            }
            let line = |edges: Vec<Edge>| edges.iter().map(|edge| crossings[edge]).collect();
            boundaries.push(lines(&parts).into_iter().map(line).collect());
        }
        Ok(boundaries)
    }

    /// Halves what lies between two points until it is known closely enough where the needs of these
    /// outlets begin or stop to be met.
    fn halve(
        &mut self,
        ends: [GridPoint; 2],
        met: &Met,
        changing: &[usize],
        found: &mut dyn FnMut(usize, GridPoint),
    ) -> Result<(), FlowsError> {
        let half = middle(ends);
        if changing.is_empty() {
            return Ok(());
        }
        let GridQuestion { along, up, .. } = self.question;
        if (ends[1].along - ends[0].along).abs() <= along.part(CLOSE)
            && (ends[1].up - ends[0].up).abs() <= up.part(CLOSE)
        {
            for number in changing {
                found(*number, half);
            }
            return Ok(());
        }
        let then = self.at(half)?;
        let changed = |n: &&usize| sure(met[**n]) != sure(then[**n]);
        let (before, after): (Vec<usize>, Vec<usize>) = changing.iter().partition(|n| changed(n));
        self.halve([ends[0], half], met, &before, found)?;
        self.halve([half, ends[1]], &then, &after, found)
    }
}

fn sure(met: Option<bool>) -> bool {
    met == Some(true)
}

fn middle([one, other]: [GridPoint; 2]) -> GridPoint {
    GridPoint {
        along: (one.along + other.along) / 2.0,
        up: (one.up + other.up) / 2.0,
    }
}
