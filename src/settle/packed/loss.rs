//! Where oil can run off, in many scenes at once: the same as [`losses`](crate::settle::losses)
//! says of each alone.

use super::PackedBalance;
use super::balance::STRENGTHS;
use crate::net::{Cavity, Lanes, LanesAt, Pack, SUMP_CAVITY, Strength, Sureness, Sweep, Tide};
use crate::settle::loss::passed_by_all;
use crate::settle::{Push, Value};

/// For each strength, strongest first, and each cavity the scenes in which its oil runs off by a
/// route of ways at least that strong.
type Routes = [LanesAt; 3];

/// The strongest routes out of each cavity, in each scene.
pub(crate) struct PackedLosses {
    all: Routes,
    new: Routes,
}

impl PackedLosses {
    /// How hard oil runs off a cavity in one scene, by whatever ways.
    pub fn lost(&self, lane: usize, cavity: Cavity) -> Push {
        strongest(&self.all, lane, cavity)
    }

    /// The same, by routes that cross a way the sound circuit has not, or has narrower.
    pub fn newly_lost(&self, lane: usize, cavity: Cavity) -> Push {
        strongest(&self.new, lane, cavity)
    }

    /// Everything that is told of a cavity.
    pub fn rows(&self, cavity: Cavity) -> impl Iterator<Item = Lanes> + '_ {
        let routes = self.all.iter().chain(&self.new);
        routes.map(move |reached| reached.at(cavity))
    }

    /// Scenes in which oil of at least a strength runs off a cavity.
    pub fn runs_off(&self, cavity: Cavity, least: Strength) -> Lanes {
        self.all[STRENGTHS.len() - least as usize].at(cavity)
    }
}

fn strongest(routes: &Routes, lane: usize, cavity: Cavity) -> Push {
    let mut routes = STRENGTHS.into_iter().zip(routes);
    let found = routes.find(|(_, reached)| reached.at(cavity).contains(lane));
    match found {
        _ if cavity == SUMP_CAVITY => Push::Rail,
        Some((strength, _)) => strength.into(),
        None => Push::None,
    }
}

/// A way that the sound circuit has not, or has narrower: where oil comes from and goes to.
struct Entry {
    from: Cavity,
    into: Cavity,
    strength: Strength,
    lanes: Lanes,
}

/// Works out where oil can run off in each scene of a pack. What counts as new is told by
/// comparison with one scene, the `sound` one, of another pack of the same stage. `wanted` are the
/// cavities that will be asked about: in other places, what is new may say too much. Ways count that
/// are as sure as given.
pub(crate) fn losses_packed(
    pack: &Pack<'_>,
    oil: &PackedBalance,
    sound: (usize, &Pack<'_>, &PackedBalance),
    wanted: &[Cavity],
    sureness: Sureness,
) -> PackedLosses {
    let net = pack.net();
    let none = LanesAt::none(net, pack.all());
    let (mut held, mut kept, mut stiff) = (none.clone(), none.clone(), none.clone());
    let fed = &oil.values.fed;
    for (cavity, lanes) in pack.held() {
        held.add(*cavity, *lanes);
        kept.add(*cavity, *lanes & fed[cavity.number()]);
    }
    for cavity in net.cavities() {
        let open = oil.turns.reached(Tide::Supply, cavity, Strength::Open);
        stiff.add(cavity, open & fed[cavity.number()]);
    }
    let flood = Flood {
        pack,
        sureness,
        stiff,
        kept,
        held,
    };
    let mut reached = none.clone();
    reached.add(SUMP_CAVITY, pack.all());
    let all = STRENGTHS.map(|strength| {
        if strength == Strength::Metered {
            for cavity in net.cavities().filter(|c| net.consumes(*c)) {
                reached.add(cavity, !flood.held.at(cavity));
            }
        }
        flood.back(&mut reached, strength, |_| Lanes::NONE);
        reached.clone()
    });
    let entries = flood.entries(sound);
    let mut new = [none.clone(), none.clone(), none];
    for (i, strength) in STRENGTHS.into_iter().enumerate() {
        flood.renew(strength, &all[i], &entries, wanted, &mut new[i]);
    }
    for i in 1..new.len() {
        let (stronger, weaker) = new.split_at_mut(i);
        weaker[0].add_all(&stronger[i - 1]);
    }
    PackedLosses { all, new }
}

struct Flood<'f> {
    pack: &'f Pack<'f>,
    /// Which ways count.
    sureness: Sureness,
    /// Scenes in which each cavity is fed through open ways alone: it makes up for a loss narrower
    /// than that.
    stiff: LanesAt,
    /// Scenes in which it is held by a source or a regulator, and those in which that succeeds.
    held: LanesAt,
    kept: LanesAt,
}

impl Flood<'_> {
    /// Scenes in which a loss of some strength is made up for at a cavity.
    fn makes_up(&self, cavity: Cavity, strength: Strength) -> Lanes {
        match strength {
            Strength::Open => Lanes::NONE,
            _ => self.stiff.at(cavity),
        }
    }

    /// Follows ways of at least a strength back from where oil runs off, never to some cavities.
    fn back(&self, reached: &mut LanesAt, strength: Strength, never: impl Fn(Cavity) -> Lanes) {
        let mut sweep = Sweep::over(self.pack.net(), Tide::Drain, reached);
        while let Some(cavity) = sweep.pop() {
            let here = reached.at(cavity) & !self.makes_up(cavity, strength);
            if !here.any() {
                continue;
            }
            self.pack.go_on_by(
                self.sureness,
                Tide::Drain,
                cavity,
                strength,
                |from, lanes| {
                    if from == SUMP_CAVITY || reached.is_all(from) {
                        return;
                    }
                    let new = here & lanes & !self.kept.at(from) & !reached.at(from);
                    if new.any() {
                        let new = new & !never(from);
                        if new.any() {
                            reached.add(from, new);
                            sweep.push(from);
                        }
                    }
                },
            );
        }
    }

    /// The ways that the sound circuit has not, or has narrower, by where they lead.
    fn entries(&self, (lane, pack, oil): (usize, &Pack<'_>, &PackedBalance)) -> Vec<Entry> {
        let mut entries = Vec::new();
        self.pack.wider_by(
            self.sureness,
            pack,
            lane,
            |[from, into], strength, lanes| {
                let lanes = lanes & !self.kept.at(from);
                let dry = oil.values.value(lane, from) == Value::Drained;
                if from != SUMP_CAVITY && !dry && lanes.any() {
                    entries.push(Entry {
                        from,
                        into,
                        strength,
                        lanes,
                    });
                }
            },
        );
        entries.sort_by_key(|entry| entry.into);
        entries
    }

    /// Marks what newly loses oil, at one strength.
    fn renew(
        &self,
        strength: Strength,
        all: &LanesAt,
        entries: &[Entry],
        wanted: &[Cavity],
        new: &mut LanesAt,
    ) {
        let wide = entries.iter().filter(|entry| entry.strength >= strength);
        let runs = |entry: &Entry| {
            let into = entry.into;
            entry.lanes & all.at(into) & !self.makes_up(into, strength)
        };
        // Into the sump: no cavity lies on every way out of it.
        let mut elsewhere: Vec<(&Entry, Lanes)> = Vec::new();
        for entry in wide {
            let lanes = runs(entry);
            match entry.into {
                SUMP_CAVITY => new.add(entry.from, lanes),
                _ if lanes.any() => elsewhere.push((entry, lanes)),
                _ => {}
            }
        }
        self.back(new, strength, |_| Lanes::NONE);
        if elsewhere.is_empty() {
            return;
        }
        // What lies on every way out loses nothing by going there and back. That is worked out for
        // each scene alone, and only where a wanted cavity may lose oil at all.
        let mut most = new.clone();
        for (entry, lanes) in &elsewhere {
            most.add(entry.from, *lanes);
        }
        self.back(&mut most, strength, |_| Lanes::NONE);
        let at = wanted.iter();
        let asked = at.fold(Lanes::NONE, |any, at| any | (most.at(*at) & !new.at(*at)));
        let mut left: Vec<(&Entry, Lanes)> = elsewhere
            .into_iter()
            .map(|(entry, lanes)| (entry, lanes & asked))
            .collect();
        loop {
            // The ways into one cavity at a time of each scene.
            let mut taken = Lanes::NONE;
            let mut passed = LanesAt::none(self.pack.net(), self.pack.all());
            let mut starts = passed.clone();
            for into in left.chunk_by_mut(|(a, _), (b, _)| a.into == b.into) {
                let free = !taken;
                let mut here = Lanes::NONE;
                for (entry, lanes) in into.iter_mut() {
                    let now = *lanes & free;
                    *lanes &= !now;
                    here |= now;
                    starts.add(entry.from, now);
                }
                taken |= here;
                for lane in here.iter() {
                    for cavity in self.passed_by_all(into[0].0.into, strength, all, lane) {
                        passed.add(cavity, Lanes::one(lane));
                    }
                }
            }
            if !taken.any() {
                return;
            }
            let mut lost = starts;
            for cavity in self.pack.net().cavities().filter(|c| passed.any(*c)) {
                lost.take(cavity, passed.at(cavity));
            }
            self.back(&mut lost, strength, |at| passed.at(at));
            new.add_all(&lost);
        }
    }

    /// The cavities that every way out of one passes in one scene.
    fn passed_by_all(
        &self,
        from: Cavity,
        strength: Strength,
        all: &LanesAt,
        lane: usize,
    ) -> Vec<Cavity> {
        let net = self.pack.net();
        let onward = |at: Cavity| {
            let mut onward = Vec::new();
            self.pack
                .drains_to_by(self.sureness, at, strength, |to, lanes| {
                    let on = lanes & all.at(to) & !self.makes_up(to, strength);
                    if on.contains(lane) {
                        onward.push(to);
                    }
                });
            onward
        };
        let used_up = |at: Cavity| {
            strength <= Strength::Metered && net.consumes(at) && !self.held.at(at).contains(lane)
        };
        let ends = |at: Cavity| at == SUMP_CAVITY || used_up(at);
        passed_by_all(net.cavity_count(), from, onward, ends)
    }
}
