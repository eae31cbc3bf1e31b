//! What a fault does to one outlet.

use fixedbitset::FixedBitSet;
use serde::Serialize;

use super::cause::Event;
use crate::circuit::{Level, PartName};
use crate::net::{Cavity, NetOutlet, SUMP_CAVITY, Scene, Stage, Strength, User};
use crate::reach;
use crate::settle::{
    Balance, Cause, Counting, Losses, Point, Pressures, Push, Settled, Span, Status, Value,
    balance, losses,
};

/// What became of an outlet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// It had oil and has none.
    Starved,
    /// It has oil that it should not have.
    OnWhenOff,
    /// It still has oil, but with less behind it.
    Weakened,
    /// It is off, but its oil can no longer run off as it did: it would let go late.
    Late,
    /// It is on, with more behind it or nothing to cushion it: it takes hold hard.
    Harsh,
    /// None of the others can be proved.
    Undecided,
    /// As before, with oil.
    Kept,
    /// As before, without.
    Off,
}

impl Verdict {
    /// Whether something is wrong with the outlet.
    #[must_use]
    pub fn is_bad(self) -> bool {
        !matches!(self, Verdict::Kept | Verdict::Off)
    }
}

/// Why an outlet has its verdict.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum Reason {
    /// No supply reaches its cavity any more.
    CutOff {
        /// The cavity.
        cavity: String,
    },
    /// Its cavity runs off to the sump harder than it is fed.
    RunsOff {
        /// The cavity.
        cavity: String,
        /// The parts that oil runs off through, from the cavity on.
        through: Vec<PartName>,
    },
    /// Its cavity is fed and runs off equally hard.
    Contested {
        /// The cavity.
        cavity: String,
        /// The parts that oil runs off through, from the cavity on.
        through: Vec<PartName>,
    },
    /// Its supply now comes through something narrower.
    Narrower {
        /// The cavity.
        cavity: String,
        /// The narrowest kind of way its supply passes.
        supply: Push,
    },
    /// It is fed, but oil runs off that did not.
    Loses {
        /// The cavity.
        cavity: String,
        /// The parts that oil runs off through, from the cavity on.
        through: Vec<PartName>,
    },
    /// Oil reaches it from a source.
    Fed {
        /// The cavity.
        cavity: String,
        /// The parts that oil comes through, from the source on.
        through: Vec<PartName>,
    },
    /// The oil that should hold it off is gone.
    ReleaseLost {
        /// The release cavity.
        cavity: String,
    },
    /// Oil holds it off.
    Released {
        /// The release cavity.
        cavity: String,
    },
    /// Its pressure is held lower than it was.
    Lower {
        /// The cavity.
        cavity: String,
        /// What it surely still has.
        level: Level,
    },
    /// Its supply now comes through something wider.
    Wider {
        /// The cavity.
        cavity: String,
        /// The narrowest kind of way its supply passes.
        supply: Push,
    },
    /// Its pressure is higher than it was.
    Higher {
        /// The cavity.
        cavity: String,
    },
    /// The accumulator that takes up the first of its oil no longer does.
    Uncushioned {
        /// The accumulator.
        accumulator: PartName,
    },
    /// A loss elsewhere takes what its regulator had left over for it.
    Robbed {
        /// The regulator that spills to it.
        regulator: PartName,
    },
    /// Its oil has no way out when it should let go, or a narrower one.
    ShutIn {
        /// The cavity.
        cavity: String,
        /// How hard its oil still runs off.
        drain: Push,
    },
    /// What becomes of it hangs on where these stand.
    Depends {
        /// Valves and shuttle balls.
        on: Vec<PartName>,
    },
    /// Nothing passes through it.
    Blocked,
    /// It hangs on a way that may be open or shut.
    Unknown {
        /// The cavity.
        cavity: String,
    },
}

/// One outlet, sound and faulty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct OutletVerdict {
    /// The outlet, filter, converter or cooler.
    pub outlet: PartName,
    /// Whether it has oil in the sound circuit.
    pub sound: Status,
    /// Whether it has with the faults.
    pub now: Status,
    /// What that means.
    pub verdict: Verdict,
    /// Why; none where nothing changed.
    pub reason: Option<Reason>,
    /// What leads from the fault to it, the first cause first; empty where nothing moves between.
    pub chain: Vec<Event>,
}

/// One end of settling with everything a verdict looks at.
pub(super) struct Picture<'s> {
    pub scene: Scene<'s>,
    pub balance: Balance,
    pressures: Pressures,
    losses: Losses,
    /// The losses through ways that are surely open, where some may be shut.
    sure_losses: Option<Losses>,
    /// The sound picture, where this is not it.
    sound: Option<&'s Picture<'s>>,
    supplied: FixedBitSet,
}

/// What one outlet looks like in a picture.
#[derive(Clone, Copy)]
struct View {
    status: Status,
    supply: Push,
    drain: Push,
    span: Span,
    loss: Push,
    new_loss: Push,
    sure_new_loss: Push,
}

impl<'s> Picture<'s> {
    pub fn new(stage: &Stage<'s>, end: &Point, sound: Option<&'s Picture<'s>>) -> Self {
        let scene = stage.scene(&end.held, Level::Low);
        Picture::of(scene, end.pressures.clone(), sound)
    }

    fn of(scene: Scene<'s>, pressures: Pressures, sound: Option<&'s Picture<'s>>) -> Self {
        let balance = balance(&scene, Some(pressures.values(Level::Low)));
        let lost = |counting| {
            let sound = sound.map(|s| (&s.scene, &s.balance));
            losses(&scene, &balance, sound, counting)
        };
        Picture {
            sound,
            losses: lost(Counting::Possible),
            sure_losses: (!scene.is_certain()).then(|| lost(Counting::Sure)),
            balance,
            supplied: reach::supplied(&scene),
            pressures,
            scene,
        }
    }

    fn sure_losses(&self) -> &Losses {
        self.sure_losses.as_ref().unwrap_or(&self.losses)
    }

    /// How hard a source's own cavity is surely drawn upon by open ways to the sump.
    pub fn load(&self, cavity: Cavity) -> Push {
        let ways = self.scene.onward(cavity);
        let off = ways.filter(|link| link.drains() && link.sure);
        let all = &self.sure_losses().all;
        off.map(|link| Push::from(link.strength).min(all[link.to.number()]))
            .max()
            .unwrap_or_default()
    }

    fn view(&self, outlet: &NetOutlet) -> View {
        let cavity = outlet.user.feed();
        let view = View {
            status: oil(&self.scene, &self.balance, &self.pressures, outlet),
            supply: self.balance.supply(cavity),
            drain: self.balance.drain(cavity),
            span: self.pressures.span(cavity),
            loss: self.losses.all[cavity.number()],
            new_loss: self.losses.new[cavity.number()],
            sure_new_loss: self.sure_losses().new[cavity.number()],
        };
        match outlet.user {
            User::Through { way, .. } => {
                if self.scene.setting(way).strength().is_none() {
                    return view;
                }
                // What runs off beyond it has passed through it, so it is judged by its inlet
                // with its own way shut.
                let beyond = Picture::of(
                    self.scene.without([way]),
                    self.pressures.clone(),
                    self.sound,
                );
                View {
                    supply: beyond.balance.supply(cavity),
                    loss: beyond.losses.all[cavity.number()],
                    new_loss: beyond.losses.new[cavity.number()],
                    sure_new_loss: beyond.sure_losses().new[cavity.number()],
                    // How high its inlet stands says nothing of what passes.
                    span: Span {
                        lowest: Level::Off,
                        highest: Level::Full,
                    },
                    ..view
                }
            }
            _ => view,
        }
    }

    /// Cavities whose oil a new loss elsewhere takes: what each regulator spills to last, where
    /// its own cavity now feeds a metered loss or more that the sound circuit has not.
    pub fn robbed(&self) -> Vec<(PartName, Cavity)> {
        let Some(sound) = self.sound else {
            return Vec::new();
        };
        let net = self.scene.net();
        let spilling = net
            .regulators()
            .iter()
            .filter(|r| self.scene.holds(r.holds));
        let last = spilling.filter_map(|r| Some((r, *r.spills.last()?)));
        last.filter(|(r, last)| *last != SUMP_CAVITY && self.feeds_new_loss(sound, r.holds))
            .map(|(r, last)| (r.name.clone(), last))
            .collect()
    }

    /// Whether oil from a cavity reaches, under pressure, a metered hole or wider behind which
    /// pressure is lost, and is not so when sound.
    fn feeds_new_loss(&self, sound: &Picture<'_>, from: Cavity) -> bool {
        let mut seen = vec![false; self.scene.net().cavity_count()];
        let mut queue = vec![from];
        seen[from.number()] = true;
        while let Some(at) = queue.pop() {
            for link in self.scene.onward(at) {
                if !link.drains() || link.strength < Strength::Metered {
                    continue;
                }
                if self.balance.value(link.to) == Value::Fed {
                    if !std::mem::replace(&mut seen[link.to.number()], true) {
                        queue.push(link.to);
                    }
                } else if self.scene.wider(&sound.scene, link.way)
                    || sound.balance.value(link.to) == Value::Fed
                {
                    return true;
                }
            }
        }
        false
    }

    /// Whether all oil to a cavity passes another.
    pub fn hangs_on(&self, cavity: Cavity, on: Cavity) -> bool {
        reach::Dominators::of_pressure(&self.scene).dominates(on, cavity)
    }

    /// Parts of the shortest route, of the given strength at least, by which a cavity's oil runs
    /// off to the sump.
    fn way_out(&self, cavity: Cavity, least: Push) -> Vec<PartName> {
        let path = reach::way_out(&self.scene, cavity, |link| {
            Push::from(link.strength) >= least && !self.scene.holds(link.to)
        });
        self.parts(path)
    }

    /// Parts of the shortest route by which oil comes to a cavity.
    fn way_in(&self, cavity: Cavity) -> Vec<PartName> {
        self.parts(reach::shortest(&self.scene, cavity))
    }

    fn parts(&self, path: Option<reach::Path>) -> Vec<PartName> {
        let net = self.scene.net();
        let steps = path.into_iter().flat_map(|p| p.steps);
        steps
            .map(|(way, _)| net.part(self.scene.way(way)).clone())
            .collect()
    }
}

/// Whether an outlet has its oil at all ends of settling: the same at each, or it cannot be said.
/// Of what [`judge`] says, the part that takes little time.
pub(super) fn has_oil(stage: &Stage<'_>, settled: &Settled, outlet: &NetOutlet) -> Status {
    let mut ends = settled.ends.iter().map(|end| {
        let scene = stage.scene(&end.held, Level::Low);
        let balance = balance(&scene, Some(end.pressures.values(Level::Low)));
        oil(&scene, &balance, &end.pressures, outlet)
    });
    let first = ends.next().unwrap_or(Status::Unsure);
    match ends.all(|other| other == first) {
        true => first,
        false => Status::Unsure,
    }
}

fn oil(scene: &Scene<'_>, weighed: &Balance, pressures: &Pressures, outlet: &NetOutlet) -> Status {
    let cavity = outlet.user.feed();
    let status = pressures.status(outlet.user, outlet.by_pressure);
    match outlet.user {
        User::Through { way, .. } => {
            if scene.setting(way).strength().is_none() {
                return Status::Off;
            }
            // What runs off beyond it has passed through it, so its inlet is judged with its own
            // way shut.
            let before = pressures.values(Level::Low);
            match balance(&scene.without([way]), Some(before)).value(cavity) {
                Value::Fed => Status::On,
                _ => status,
            }
        }
        // Trapped oil lets go in time; it keeps nothing on.
        _ if weighed.supply(cavity) == Push::None && status == Status::On => Status::Off,
        _ => status,
    }
}

/// Compares an outlet in the sound circuit and with the faults.
pub(super) fn judge(sound: &Picture<'_>, now: &Picture<'_>, outlet: &NetOutlet) -> OutletVerdict {
    let (before, after) = (sound.view(outlet), now.view(outlet));
    let cavity = outlet.user.feed();
    let contested = matches!(now.balance.cause(cavity), Cause::Contested(_));
    // A new loss narrower than what the sound circuit loses anyway is not felt.
    let felt = |loss: Push| loss > Push::None && loss >= before.loss;
    let (robbed, maybe_robbed) = (felt(after.sure_new_loss), felt(after.new_loss));
    let weaker = after.supply < before.supply || after.span.lowest < before.span.lowest || robbed;
    // Oil that used to run off when it was let go now has no way out, or a narrower one.
    // Where nothing makes pressure it never came on.
    let shut_in = outlet.by_pressure
        && after.drain < before.drain
        && after.supply == Push::None
        && !now.scene.rails().is_empty();
    let harder = outlet.by_pressure
        && (after.supply > before.supply || after.span.lowest > before.span.highest);
    let verdict = match (before.status, after.status) {
        (Status::On, Status::Off) => Verdict::Starved,
        (Status::On, Status::On) if weaker => Verdict::Weakened,
        (Status::On, Status::On) if maybe_robbed => Verdict::Undecided,
        (Status::On, Status::On) if harder => Verdict::Harsh,
        (Status::On, Status::On) => Verdict::Kept,
        (Status::On, Status::Unsure) if contested => Verdict::Weakened,
        (Status::Off, Status::Off) if shut_in => Verdict::Late,
        (Status::Off, Status::Off) => Verdict::Off,
        (Status::Off, Status::On) => Verdict::OnWhenOff,
        _ => Verdict::Undecided,
    };
    let reason = match verdict {
        Verdict::Late => Some(Reason::ShutIn {
            cavity: now.scene.net().name(cavity).to_owned(),
            drain: after.drain,
        }),
        verdict if verdict.is_bad() => {
            Some(reason(now, outlet.user, cavity, verdict, [before, after]))
        }
        _ => None,
    };
    OutletVerdict {
        outlet: outlet.name.clone(),
        sound: before.status,
        now: after.status,
        verdict,
        reason,
        chain: Vec::new(),
    }
}

fn reason(
    now: &Picture<'_>,
    user: User,
    at: Cavity,
    verdict: Verdict,
    [before, after]: [View; 2],
) -> Reason {
    let name = |cavity: Cavity| now.scene.net().name(cavity).to_owned();
    let cavity = name(at);
    if let User::TwoSided { release, .. } = user
        && now.balance.value(at) == Value::Fed
    {
        let cavity = name(release);
        match now.balance.value(release) {
            Value::Fed => return Reason::Released { cavity },
            Value::Drained if after.status == Status::On && before.status == Status::Off => {
                return Reason::ReleaseLost { cavity };
            }
            Value::Undecided => return Reason::Unknown { cavity },
            Value::Drained => {}
        }
    }
    if let User::Through { way, .. } = user
        && now.scene.setting(way).strength().is_none()
    {
        return Reason::Blocked;
    }
    match (after.status, now.balance.cause(at)) {
        (Status::Off, _) if !reach::has(&now.supplied, at) => Reason::CutOff { cavity },
        (Status::Off, _) => Reason::RunsOff {
            through: now.way_out(at, now.balance.drain(at).min(Push::Open)),
            cavity,
        },
        (Status::Unsure, Cause::Contested(push)) => Reason::Contested {
            through: now.way_out(at, push.min(Push::Open)),
            cavity,
        },
        (Status::Unsure, _) => Reason::Unknown { cavity },
        (Status::On, _) if before.status != Status::On => Reason::Fed {
            through: now.way_in(at),
            cavity,
        },
        (Status::On, _) if after.supply < before.supply => Reason::Narrower {
            cavity,
            supply: after.supply,
        },
        (Status::On, _) if after.span.lowest < before.span.lowest => Reason::Lower {
            cavity,
            level: after.span.lowest,
        },
        (Status::On, _) if verdict == Verdict::Undecided => Reason::Unknown { cavity },
        (Status::On, _) if verdict == Verdict::Harsh && after.supply > before.supply => {
            Reason::Wider {
                cavity,
                supply: after.supply,
            }
        }
        (Status::On, _) if verdict == Verdict::Harsh => Reason::Higher { cavity },
        (Status::On, _) => Reason::Loses {
            through: now.way_out(at, after.new_loss.min(Push::Open)),
            cavity,
        },
    }
}
