//! What the sound circuit has in the states that matter: what every expectation is held against.

use super::fed::Fed;
use crate::answer::{Reading, Status, SweepSound, Sweeper};
use crate::circuit::{Access, Kind, Level, PartName};
use crate::net::Net;

/// An outlet, a tap or a switch by its place in the lists of a [`Ground`].
pub(super) type Place = usize;

/// The sound circuit in some states.
pub(super) struct Ground {
    pub states: Vec<GroundState>,
    /// Every outlet, in file order.
    pub outlets: Vec<GroundOutlet>,
    /// Every tap and pressure switch, the easiest to reach first.
    pub gauges: Vec<PartName>,
    /// How hard each of them is to reach.
    pub access: Vec<Access>,
    /// What each source has a hand in.
    pub fed: Vec<Fed>,
}

/// An outlet.
pub(super) struct GroundOutlet {
    pub name: PartName,
    /// Whether it works by pressure, so that a driver feels it.
    pub by_pressure: bool,
}

/// One state of the sound circuit.
pub(super) struct GroundState {
    pub id: Option<String>,
    /// Whether each outlet has its oil.
    pub has: Vec<Status>,
    /// What each gauge shows.
    pub gauges: Vec<GroundGauge>,
}

/// What a gauge shows in one state of the sound circuit.
#[derive(Clone, Copy)]
pub(super) struct GroundGauge {
    /// Whether its cavity surely has no pressure.
    pub empty: bool,
    /// Of a switch: whether it is closed.
    pub closed: Option<bool>,
}

impl Ground {
    pub fn of(net: &Net<'_>, sweeper: &Sweeper<'_>) -> Self {
        let sound = sweeper.sound();
        let first = sound.first();
        let outlets = first.map(|s| &s.outlets[..]).unwrap_or_default().iter();
        let gauges = first.map(|s| &s.gauges[..]).unwrap_or_default().iter();
        let mut ground = Ground {
            outlets: outlets
                .map(|(name, _)| GroundOutlet {
                    by_pressure: net.outlet(name).is_some_and(|o| o.by_pressure),
                    name: name.clone(),
                })
                .collect(),
            access: gauges.clone().map(|(_, access, _)| *access).collect(),
            gauges: gauges.map(|(name, ..)| name.clone()).collect(),
            states: sound.iter().map(GroundState::of).collect(),
            fed: Vec::new(),
        };
        ground.fed = Fed::each(net, &ground);
        ground
    }

    /// The number of a state.
    pub fn state(&self, id: Option<&str>) -> Option<usize> {
        self.states.iter().position(|s| s.id.as_deref() == id)
    }

    pub fn outlet(&self, name: &PartName) -> Option<Place> {
        self.outlets.iter().position(|o| o.name == *name)
    }

    pub fn gauge(&self, name: &PartName) -> Option<Place> {
        self.gauges.iter().position(|g| g == name)
    }

    /// What works by pressure and is on in a state, sorted by place.
    pub fn applied(&self, state: usize) -> impl Iterator<Item = Place> + '_ {
        let has = self.states[state].has.iter().zip(&self.outlets).enumerate();
        let on = has.filter(|(_, (has, outlet))| outlet.by_pressure && **has == Status::On);
        on.map(|(place, _)| place)
    }
}

impl GroundState {
    fn of(sound: &SweepSound) -> Self {
        let gauges = sound.gauges.iter().map(|(name, _, span)| GroundGauge {
            empty: span.highest == Level::Off,
            closed: match name.kind {
                Kind::Switch => Reading::closed(*span),
                _ => None,
            },
        });
        GroundState {
            id: sound.state.clone(),
            has: sound.outlets.iter().map(|(_, status)| *status).collect(),
            gauges: gauges.collect(),
        }
    }
}
