//! What a fault does to one outlet.

use fixedbitset::FixedBitSet;
use serde::Serialize;

use crate::circuit::PartName;
use crate::net::{Cavity, Link, NetOutlet, SUMP_CAVITY, Scene, User};
use crate::reach;
use crate::settle::{Balance, Cause, Losses, Push, Status, balance, losses};

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
}

/// A scene with everything a verdict looks at.
pub(super) struct Picture<'s> {
    pub scene: &'s Scene<'s>,
    pub balance: Balance,
    losses: Losses,
    /// The sound picture, where this is not it.
    sound: Option<&'s Picture<'s>>,
    supplied: FixedBitSet,
}

/// What one outlet looks like in a picture.
#[derive(Clone, Copy)]
struct View {
    status: Status,
    supply: Push,
    loss: Push,
    new_loss: Push,
}

impl<'s> Picture<'s> {
    pub fn new(scene: &'s Scene<'s>, sound: Option<&'s Picture<'s>>) -> Self {
        let balance = balance(scene, None);
        Picture {
            scene,
            sound,
            losses: losses(scene, &balance, sound.map(|s| (s.scene, &s.balance))),
            balance,
            supplied: reach::supplied(scene),
        }
    }

    /// How hard a source's own cavity is drawn upon by open ways to the sump.
    pub fn load(&self, cavity: Cavity) -> Push {
        let off = self.scene.onward(cavity).filter(Link::drains);
        off.map(|link| Push::from(link.strength).min(self.losses.all[link.to.at()]))
            .max()
            .unwrap_or_default()
    }

    fn view(&self, user: User) -> View {
        let cavity = user.feed();
        match user {
            // What runs off beyond it has passed through it, so it is judged by its inlet with
            // its own way shut.
            User::Through { way, .. } => {
                let shut = self.scene.without(way);
                let beyond = Picture::new(&shut, self.sound);
                let passes = self.scene.setting(way).strength().is_some();
                View {
                    status: if passes {
                        beyond.balance.status(user)
                    } else {
                        Status::Off
                    },
                    supply: beyond.balance.supply(cavity),
                    loss: beyond.losses.all[cavity.at()],
                    new_loss: beyond.losses.new[cavity.at()],
                }
            }
            _ => View {
                status: self.balance.status(user),
                supply: self.balance.supply(cavity),
                loss: self.losses.all[cavity.at()],
                new_loss: self.losses.new[cavity.at()],
            },
        }
    }

    /// Parts of the shortest route, of the given strength at least, by which a cavity's oil runs
    /// off to the sump.
    fn way_out(&self, cavity: Cavity, least: Push) -> Vec<PartName> {
        let mut came: Vec<Option<(Cavity, PartName)>> = vec![None; self.scene.net().cavity_count()];
        let mut queue = std::collections::VecDeque::from([cavity]);
        while let Some(at) = queue.pop_front() {
            if at == SUMP_CAVITY {
                break;
            }
            for link in self.scene.onward(at) {
                let onward = link.drains() && Push::from(link.strength) >= least;
                let held = self.scene.holds(link.to);
                if onward && !held && link.to != cavity && came[link.to.at()].is_none() {
                    let net = self.scene.net();
                    let part = net.part(self.scene.way(link.way)).clone();
                    came[link.to.at()] = Some((at, part));
                    queue.push_back(link.to);
                }
            }
        }
        let mut parts = Vec::new();
        let mut at = SUMP_CAVITY;
        while let Some((back, part)) = &came[at.at()] {
            parts.push(part.clone());
            at = *back;
            if at == cavity {
                break;
            }
        }
        parts.reverse();
        parts
    }

    fn way_in(&self, cavity: Cavity) -> Vec<PartName> {
        let net = self.scene.net();
        let path = reach::shortest(self.scene, cavity);
        let steps = path.into_iter().flat_map(|p| p.steps);
        steps
            .map(|(way, _)| net.part(self.scene.way(way)).clone())
            .collect()
    }
}

/// Compares an outlet in the sound circuit and with the faults.
pub(super) fn judge(sound: &Picture<'_>, now: &Picture<'_>, outlet: &NetOutlet) -> OutletVerdict {
    let (before, after) = (sound.view(outlet.user), now.view(outlet.user));
    let cavity = outlet.user.feed();
    let contested = matches!(now.balance.cause(cavity), Cause::Contested(_));
    // A new loss narrower than what the sound circuit loses anyway is not felt.
    let robbed = after.new_loss > Push::None && after.new_loss >= before.loss;
    let weaker = after.supply < before.supply || robbed;
    let verdict = match (before.status, after.status) {
        (Status::On, Status::Off) => Verdict::Starved,
        (Status::On, Status::On) if weaker => Verdict::Weakened,
        (Status::On, Status::On) => Verdict::Kept,
        (Status::On, Status::Unsure) if contested => Verdict::Weakened,
        (Status::Off, Status::Off) => Verdict::Off,
        (Status::Off, Status::On) => Verdict::OnWhenOff,
        _ => Verdict::Undecided,
    };
    OutletVerdict {
        outlet: outlet.name.clone(),
        sound: before.status,
        now: after.status,
        verdict,
        reason: verdict
            .is_bad()
            .then(|| reason(now, outlet.user, cavity, before, after)),
    }
}

fn reason(now: &Picture<'_>, user: User, at: Cavity, before: View, after: View) -> Reason {
    let name = |cavity: Cavity| now.scene.net().name(cavity).to_owned();
    let cavity = name(at);
    if let User::TwoSided { release, .. } = user
        && now.balance.status_at(at) == Status::On
    {
        let cavity = name(release);
        match now.balance.status_at(release) {
            Status::On => return Reason::Released { cavity },
            Status::Off if after.status == Status::On && before.status == Status::Off => {
                return Reason::ReleaseLost { cavity };
            }
            Status::Unsure => return Reason::Unknown { cavity },
            Status::Off => {}
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
        (Status::On, _) => Reason::Loses {
            through: now.way_out(at, after.new_loss.min(Push::Open)),
            cavity,
        },
    }
}
