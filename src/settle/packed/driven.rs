//! What everything that moves standing somewhere makes of any earlier pressures, in many scenes at
//! once: the same as [`Driven`] says of each alone.

use super::balance_packed;
use super::column::{Column, Columns};
use super::wants::Strokes;
use crate::circuit::Level;
use crate::net::{Cavity, Lanes, Pack, PackedHeld, PackedStage, Strength, Tide};
use crate::settle::driven::Driven;
use crate::settle::pressures::words;

/// What some scenes are driven to, each with everything standing somewhere.
pub(super) struct PackedDriven {
    cavities: usize,
    levels: usize,
    columns: Columns,
}

impl PackedDriven {
    /// Works out each level, and which spools can stroke.
    pub fn of(stage: &PackedStage<'_>, held: &PackedHeld, lanes: Lanes) -> Self {
        let net = stage.net();
        let mut rows: Vec<Lanes> = Vec::new();
        let mut strokes: Vec<Lanes> = Vec::new();
        let mut last: Option<(Pack<'_>, usize)> = None;
        for level in net.levels() {
            let pack = stage.scene(held, *level, lanes);
            if *level == Level::Low {
                let spools = Strokes::of(&pack);
                strokes = net.valves().iter().map(|v| spools.can(v)).collect();
            }
            let from = rows.len();
            // Many levels stand alike.
            if let Some((_, at)) = last.take_if(|(last, _)| last.stands_as(&pack)) {
                rows.extend_from_within(at..);
                last = Some((pack, from));
                continue;
            }
            let oil = balance_packed(&pack, None);
            let contested = oil.contested(net);
            let mut add = |row: &dyn Fn(Cavity) -> Lanes| {
                rows.extend(net.cavities().map(row));
                rows.resize(rows.len().next_multiple_of(64), Lanes::NONE);
            };
            let may = |tide: Tide, cavity, not: Lanes| {
                let reached = |tide| oil.turns.reached(tide, cavity, Strength::Leak);
                let either = reached(Tide::Supply) | reached(Tide::Drain);
                let kept = reached(tide) | (contested & either);
                let surely = oil.turns.settled(cavity);
                (surely & !not) | (kept & !surely)
            };
            add(&|cavity| may(Tide::Supply, cavity, oil.values_at(cavity)[1]));
            add(&|cavity| may(Tide::Drain, cavity, oil.values_at(cavity)[0]));
            add(&|cavity| lanes & !oil.turns.settled(cavity));
            last = Some((pack, from));
        }
        rows.extend(strokes);
        PackedDriven {
            cavities: net.cavity_count(),
            levels: net.levels().len(),
            columns: Columns::of(rows.iter()),
        }
    }

    /// All that is told of one scene.
    pub fn lane(&self, lane: usize) -> Column {
        self.columns.get(lane)
    }

    /// What is told of one scene as it is alone, and the valves whose spools can stroke there, a bit
    /// each.
    pub fn told(&self, column: &Column) -> (Driven, Box<[u64]>) {
        let (driven, strokes) = column.split_at(3 * self.levels * words(self.cavities));
        (Driven::known(self.cavities, driven.into()), strokes.into())
    }
}
