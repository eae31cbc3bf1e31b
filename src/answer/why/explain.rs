//! One end of settling, explained.

use super::end::End;
use super::side::{Side, widest_out};
use super::{Because, WhyEnd, WhyWay};
use crate::circuit::{Kind, Level, PartName};
use crate::net::{Cavity, SUMP_CAVITY};
use crate::settle::{Cause, Push, Value, share_of_pressure};

impl End<'_, '_> {
    pub fn explain(&self, unsettled: &[PartName]) -> WhyEnd {
        let [way_in, way_out] = [Side::Supply, Side::Drain].map(|side| self.way(side));
        let because = self.because(way_in.as_ref(), way_out.as_ref());
        let value = self.balance.value(self.asked.cavity);
        let shut = match &way_in {
            Some(way) if way.push > Push::Leak => Vec::new(),
            _ if value == Value::Fed => Vec::new(),
            _ => self.shut_between(),
        };
        let sealed_by = match because {
            Because::Trapped => self.sealed_by(),
            _ => Vec::new(),
        };
        let hops = [&way_in, &way_out].into_iter().flatten();
        let passed = hops.flat_map(|way| way.hops.iter().map(|hop| &hop.part));
        let gaps = sealed_by.iter().chain(&shut).map(|gap| &gap.part);
        let mut moving: Vec<&PartName> = Vec::new();
        for part in passed.chain(gaps) {
            if !moving.contains(&part) {
                moving.push(part);
            }
        }
        let movers = moving.into_iter().filter_map(|part| self.mover(part));
        let movers = movers.collect();
        WhyEnd {
            standing: unsettled.iter().map(|part| self.standing(part)).collect(),
            value,
            span: self.point.pressures.span(self.asked.cavity),
            capped_by: self.capped_by(),
            cannot_draw: match way_in {
                Some(_) => Vec::new(),
                None => self.cannot_draw(),
            },
            because,
            way_in,
            way_out,
            shut,
            sealed_by,
            movers,
        }
    }

    fn because(&self, way_in: Option<&WhyWay>, way_out: Option<&WhyWay>) -> Because {
        let at = self.asked.cavity;
        let mut sources = self.net().sources().iter();
        if self.scene.rails().contains(&at)
            && let Some(source) = sources.find(|s| s.feeds == at)
        {
            let source = source.name.clone();
            return Because::Source { source };
        }
        let live = |way: Option<&WhyWay>| {
            let way = way.filter(|w| w.live)?;
            let bore = way.bore_m.filter(|_| way.push == Push::Metered);
            Some((way.push, bore))
        };
        let bores = match (live(way_in), live(way_out)) {
            (Some((_, Some(supply))), Some((_, Some(drain)))) => Some((supply, drain)),
            _ => None,
        };
        let share = bores.map(|(supply, drain)| share_of_pressure(supply, drain));
        match (self.balance.cause(at), bores, share) {
            (Cause::Driven(_), Some((supply_bore_m, drain_bore_m)), Some(share)) => {
                Because::Bores {
                    supply_bore_m,
                    drain_bore_m,
                    share,
                }
            }
            (Cause::Driven(push), ..) => Because::Driven { push },
            (Cause::Trapped, ..) => Because::Trapped,
            (Cause::Contested(push), _, share) => Because::Contested { push, share },
            (Cause::Unknown, ..) => {
                let ways = way_in.into_iter().chain(way_out);
                let hops = ways.clone().flat_map(|way| &way.hops);
                let mut doubtful: Vec<PartName> =
                    hops.filter(|h| !h.sure).map(|h| h.part.clone()).collect();
                doubtful.sort_unstable();
                doubtful.dedup();
                let ids = ways.flat_map(|way| way.cavities());
                let contested = |id: &&str| {
                    let cavity = self.net().cavity(id);
                    let cause = cavity.map(|c| self.balance.cause(c));
                    cavity != Some(at) && matches!(cause, Some(Cause::Contested(_)))
                };
                let contested = ids.into_iter().find(contested);
                Because::Unknown {
                    doubtful,
                    contested: contested.map(str::to_owned),
                }
            }
        }
    }

    fn cannot_draw(&self) -> Vec<PartName> {
        let scene = &self.scene;
        let works = |cavity| scene.rails().contains(cavity) || scene.vents().contains(cavity);
        let sources = self.net().sources().iter().filter(|s| !works(&s.feeds));
        sources.map(|s| s.name.clone()).collect()
    }

    /// What keeps a cavity that is not empty below full: a regulator, a relief, a weak source or
    /// the ball it empties past.
    fn capped_by(&self) -> Option<PartName> {
        let (net, at) = (self.net(), self.asked.cavity);
        let pressures = &self.point.pressures;
        let highest = pressures.span(at).highest;
        if matches!(highest, Level::Off | Level::Full) {
            return None;
        }
        let above = net.levels().iter().copied().find(|l| *l > highest)?;
        let scene = self.asked.stage.scene(&self.point.held, above);
        let out = widest_out(&scene, at)?;
        match out.steps.last() {
            Some((way, SUMP_CAVITY)) => {
                let part = net.part(scene.way(*way));
                matches!(part.kind, Kind::Ball | Kind::Solenoid).then(|| part.clone())
            }
            last => self.keeper(last.map_or(out.start, |(_, cavity)| *cavity), above),
        }
    }

    /// What keeps a cavity below a level: the source that feeds it or what holds it.
    fn keeper(&self, cavity: Cavity, above: Level) -> Option<PartName> {
        let net = self.net();
        let regulators = net.regulators().iter();
        let mut regulators = regulators.filter(|r| r.holds == cavity && self.scene.holds(cavity));
        let mut reliefs = net.reliefs().iter();
        let mut sources = net.sources().iter().filter(|s| s.feeds == cavity);
        let holds = regulators.next().map(|r| &r.name);
        let relieves = reliefs.find(|r| r.on == cavity && r.level < above);
        let feeds = sources.next().map(|s| &s.name);
        let keeper = holds.or(relieves.map(|r| &r.name)).or(feeds);
        keeper.cloned()
    }
}
