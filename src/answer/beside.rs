//! What every outlet looks like in many scenes side by side: the same as a
//! [`Picture`](super::picture::Picture) shows of each alone.

use super::behind::Routes;
use super::oil::{Beyond, oil};
use super::on;
use super::picture::View;
use crate::circuit::{Level, PartName};
use crate::net::{
    Cavity, Lanes, LanesAt, NetOutlet, Pack, SUMP_CAVITY, Strength, Sureness, Sweep, Tide, User,
};
use crate::reach::hangs_on_packed;
use crate::settle::{
    PackedBalance, PackedLosses, PackedSettle, Push, Span, Status, Value, at_root, losses_packed,
};

/// The scene without faults.
const SOUND: usize = 0;

/// What every outlet looks like in the scenes that come to rest in one place.
pub(super) struct Beside<'p> {
    pub settled: &'p PackedSettle<'p>,
    pack: Pack<'p>,
    losses: Lost,
    /// By number; none for what is no outlet here.
    outlets: Vec<Option<Seat>>,
    /// For each source the scenes in which its own cavity has a wide open way to the sump, and
    /// those in which it works.
    pub loaded: Vec<Lanes>,
    pub works: Vec<Lanes>,
    /// Accumulators that take up no oil in some scenes, and by cavity those of them in which all oil
    /// to it comes past where such a one should fill.
    uncushioned: Vec<(&'p PartName, LanesAt, Lanes)>,
    routes: Routes,
    /// Scenes of which it can say anything.
    pub told: Lanes,
}

/// One outlet.
struct Seat {
    /// What it looks like in scenes in which that is otherwise than in the sound circuit: mostly it is
    /// alike in many.
    looks: Vec<(Lanes, View)>,
    /// Scenes in which a regulator that a new loss has robbed feeds it.
    robbed: Lanes,
    /// Where it is passed through: how it is with its own way shut, and what runs off then.
    beyond: Option<(Beyond, Lost)>,
}

/// What runs off.
struct Lost {
    possibly: PackedLosses,
    /// Through ways that are surely open, where some may be shut.
    surely: Option<PackedLosses>,
}

impl Lost {
    fn of(
        pack: &Pack<'_>,
        oil: &PackedBalance,
        sound: (&Pack<'_>, &PackedBalance),
        wanted: &[Cavity],
    ) -> Self {
        let lost = |sureness| {
            let sound = (SOUND, sound.0, sound.1);
            losses_packed(pack, oil, sound, wanted, sureness)
        };
        Lost {
            possibly: lost(Sureness::Possible),
            surely: pack.unsure().any().then(|| lost(Sureness::Sure)),
        }
    }

    /// How hard oil runs off a cavity in one scene; how hard it may and surely does by routes that
    /// the sound circuit has not.
    fn at(&self, lane: usize, cavity: Cavity) -> [Push; 3] {
        let possibly = &self.possibly;
        [
            possibly.lost(lane, cavity),
            possibly.newly_lost(lane, cavity),
            self.surely().newly_lost(lane, cavity),
        ]
    }

    fn surely(&self) -> &PackedLosses {
        self.surely.as_ref().unwrap_or(&self.possibly)
    }

    fn rows(&self, cavity: Cavity) -> impl Iterator<Item = Lanes> + '_ {
        let surely = self.surely.iter();
        let surely = surely.flat_map(move |surely| surely.rows(cavity));
        self.possibly.rows(cavity).chain(surely)
    }
}

impl<'p> Beside<'p> {
    /// Looks at every outlet in every scene that settled side by side to one end; none where the
    /// sound circuit, which must be the first, did not.
    pub fn of(settled: &'p PackedSettle<'p>) -> Option<Self> {
        let steady = settled.steady();
        if !steady.contains(SOUND) {
            return None;
        }
        let net = settled.net();
        let pack = settled.at_rest(steady);
        let oil = settled.oil();
        let wanted: Vec<Cavity> = on::outlets(net).map(|o| o.user.feed()).collect();
        let losses = Lost::of(&pack, oil, (&pack, oil), &wanted);
        let mut beside = Beside {
            outlets: net.outlets().iter().map(|_| None).collect(),
            loaded: Vec::new(),
            works: Vec::new(),
            uncushioned: Vec::new(),
            routes: Routes::default(),
            told: steady,
            settled,
            pack,
            losses,
        };
        let robbed = beside.robbed();
        let packs = settled.at_each_level(steady);
        for (number, outlet) in on::numbered(net) {
            let beyond = match outlet.user {
                User::Through { inlet, way } => {
                    let beyond = Beyond::of(settled, &beside.pack, &packs, inlet, way);
                    let without = beside.pack.without(way);
                    let losses = Lost::of(&without, &beyond.oil, (&beside.pack, oil), &[inlet]);
                    Some((beyond, losses))
                }
                _ => None,
            };
            let rows = beside.rows(outlet, beyond.as_ref());
            let differ = rows
                .iter()
                .fold(Lanes::NONE, |any, row| any | differs(*row));
            let robbed = robbed.at(outlet.user.feed());
            beside.outlets[number] = Some(Seat {
                looks: Vec::new(),
                robbed,
                beyond,
            });
            let looks = alike(differ & steady, &rows).into_iter();
            let looks = looks.filter_map(|lanes| {
                let first = lanes.iter().next()?;
                Some((lanes, beside.look_at(first, number)))
            });
            let looks = looks.collect();
            if let Some(seat) = &mut beside.outlets[number] {
                seat.looks = looks;
            }
        }
        let sources = net.sources().iter();
        for feeds in sources.map(|source| source.feeds) {
            let mut loaded = Lanes::NONE;
            let surely = beside.losses.surely();
            let visit = |to, lanes| loaded |= lanes & surely.runs_off(to, Strength::Open);
            beside
                .pack
                .drains_to_by(Sureness::Sure, feeds, Strength::Open, visit);
            let held = beside.pack.rails().iter().chain(beside.pack.vents());
            let held = held.filter(|(cavity, _)| *cavity == feeds);
            let works = held.fold(Lanes::NONE, |any, (_, lanes)| any | *lanes);
            beside.loaded.push(loaded);
            beside.works.push(works);
        }
        for ((accumulator, at), jammed) in settled.jammed() {
            let hangs = hangs_on_packed(&beside.pack, *at);
            beside.uncushioned.push((accumulator, hangs, *jammed));
        }
        Some(beside)
    }

    /// Everything that a view of an outlet is made of.
    fn rows(&self, outlet: &NetOutlet, beyond: Option<&(Beyond, Lost)>) -> Vec<Lanes> {
        let feed = outlet.user.feed();
        let release = match outlet.user {
            User::TwoSided { release, .. } => Some(release),
            _ => None,
        };
        let levels = [Level::Fill, Level::Low, Level::Full].map(|l| self.settled.values(l));
        let cavities = || [feed].into_iter().chain(release);
        let held = levels
            .iter()
            .flat_map(|values| cavities().flat_map(|c| values.rows(c)));
        let mut rows: Vec<Lanes> = held.collect();
        rows.push(self.makes());
        rows.extend(self.settled.oil().rows(feed));
        rows.extend(self.losses.rows(feed));
        for roots in [self.pack.rails(), self.pack.vents()] {
            rows.push(at_root(roots, feed));
        }
        if let Some((beyond, losses)) = beyond {
            rows.push(beyond.open);
            rows.extend(beyond.round);
            rows.extend(beyond.oil.rows(feed));
            rows.extend(losses.rows(feed));
        }
        rows
    }

    /// Scenes in which any source makes pressure.
    fn makes(&self) -> Lanes {
        let rails = self.pack.rails().iter();
        rails.fold(Lanes::NONE, |any, (_, lanes)| any | *lanes)
    }

    /// What the outlet of that number looks like in a scene, where that is otherwise than in the sound
    /// circuit.
    pub fn view(&self, lane: usize, number: usize) -> Option<View> {
        let mut looks = self.outlets[number].iter().flat_map(|seat| &seat.looks);
        let found = looks.find(|(lanes, _)| lanes.contains(lane));
        found.map(|(_, view)| *view)
    }

    /// Whether a regulator that a new loss has robbed feeds it there.
    pub fn robs(&self, lane: usize, number: usize) -> bool {
        let seat = self.outlets[number].as_ref();
        seat.is_some_and(|seat| seat.robbed.contains(lane))
    }

    /// The accumulator that no longer cushions what comes to a cavity in a scene.
    pub fn uncushioned(&self, lane: usize, cavity: Cavity) -> Option<&PartName> {
        let mut all = self.uncushioned.iter();
        let found = all.find(|(_, hangs, jammed)| (hangs.at(cavity) & *jammed).contains(lane));
        found.map(|(accumulator, _, _)| *accumulator)
    }

    /// Works out what the outlet of that number looks like in a scene.
    fn look_at(&self, lane: usize, number: usize) -> View {
        let outlet = &self.settled.net().outlets()[number];
        let cavity = outlet.user.feed();
        let oil = self.settled.oil();
        let reached =
            |oil: &PackedBalance, tide, roots: &[(Cavity, Lanes)]| match at_root(roots, cavity)
                .contains(lane)
            {
                true => Push::Rail,
                false => oil.arrives(lane, tide, cavity),
            };
        let (rails, vents) = (self.pack.rails(), self.pack.vents());
        let supply = reached(oil, Tide::Supply, rails);
        let drain = reached(oil, Tide::Drain, vents);
        let weighed = oil.value(lane, cavity);
        let torn = weighed == Value::Undecided && supply == drain && supply > Push::None;
        let [loss, new_loss, sure_new_loss] = self.losses.at(lane, cavity);
        let view = View {
            status: self.status(lane, number, outlet, supply),
            supply,
            drain,
            contested: torn && oil.is_sure(lane, cavity, supply),
            makes: self.makes().contains(lane),
            stands: false,
            span: self.settled.span(lane, cavity),
            loss,
            new_loss,
            sure_new_loss,
        };
        match self.beyond_open(lane, number) {
            Some((beyond, losses)) => {
                let [loss, new_loss, sure_new_loss] = losses.at(lane, cavity);
                let fed = beyond.oil.value(lane, cavity) == Value::Fed;
                let [_, may_go_round] = beyond.round;
                View {
                    stands: fed && !may_go_round.contains(lane),
                    supply: reached(&beyond.oil, Tide::Supply, rails),
                    loss,
                    new_loss,
                    sure_new_loss,
                    span: Span::ANY,
                    ..view
                }
            }
            None => view,
        }
    }

    /// What routes are told by.
    pub fn routes(&self) -> (&Pack<'p>, &Routes) {
        (&self.pack, &self.routes)
    }

    /// What lies beyond the outlet of that number, where it is passed through in a scene.
    fn beyond_open(&self, lane: usize, number: usize) -> Option<&(Beyond, Lost)> {
        let seat = self.outlets[number].as_ref()?;
        let beyond = seat.beyond.as_ref();
        beyond.filter(|(beyond, _)| beyond.open.contains(lane))
    }

    fn status(&self, lane: usize, number: usize, outlet: &NetOutlet, supply: Push) -> Status {
        let beyond = self.beyond_open(lane, number).map(|(beyond, _)| beyond);
        oil(self.settled, lane, outlet, supply, beyond)
    }

    /// For each cavity the scenes in which its oil all comes through what a regulator spills to
    /// last, and a new loss elsewhere takes that.
    fn robbed(&self) -> LanesAt {
        let net = self.settled.net();
        let mut robbed = LanesAt::none(net, self.pack.all());
        for regulator in net.regulators() {
            let Some(last) = regulator.spills.last().filter(|last| **last != SUMP_CAVITY) else {
                continue;
            };
            let holds = at_root(self.pack.held(), regulator.holds);
            let lanes = self.feeds_new_loss(regulator.holds, holds);
            if lanes.any() {
                let hangs = hangs_on_packed(&self.pack, *last);
                for cavity in net.cavities().filter(|c| hangs.any(*c)) {
                    robbed.add(cavity, hangs.at(cavity) & lanes);
                }
            }
        }
        robbed
    }

    /// Scenes in which oil from a cavity reaches, under pressure, a metered hole or wider behind
    /// which pressure is lost, and does not when sound.
    fn feeds_new_loss(&self, from: Cavity, lanes: Lanes) -> Lanes {
        let (net, oil) = (self.settled.net(), self.settled.oil());
        let mut seen = LanesAt::none(net, self.pack.all());
        seen.add(from, lanes);
        let mut found = Lanes::NONE;
        let mut sweep = Sweep::new(net, Tide::Supply);
        sweep.push(from);
        while let Some(at) = sweep.pop() {
            let here = seen.at(at);
            self.pack.drains_to(at, Strength::Metered, |to, lanes| {
                let [fed, _] = oil.values_at(to);
                let here = here & lanes;
                found |= here & !fed & Lanes::all_if(fed.contains(SOUND));
                let new = here & fed & !seen.at(to);
                if new.any() {
                    seen.add(to, new);
                    sweep.push(to);
                }
            });
        }
        self.pack
            .wider(&self.pack, SOUND, |[from, into], strength, lanes| {
                if strength >= Strength::Metered {
                    let [fed, _] = oil.values_at(into);
                    found |= seen.at(from) & lanes & !fed;
                }
            });
        found
    }
}

/// Some scenes, those together that are in the same rows.
fn alike(lanes: Lanes, rows: &[Lanes]) -> Vec<Lanes> {
    let mut alike = Vec::from_iter(lanes.any().then_some(lanes));
    for row in rows {
        for i in 0..alike.len() {
            let (within, without) = (alike[i] & *row, alike[i] & !*row);
            if within.any() && without.any() {
                alike[i] = within;
                alike.push(without);
            }
        }
    }
    alike
}

/// Scenes that are not as the sound one.
fn differs(lanes: Lanes) -> Lanes {
    lanes.differ_from(SOUND)
}
