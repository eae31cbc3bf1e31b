//! The chain of events from a fault to an outlet: each of them, held as it is when sound, gives
//! the outlet its oil back.

use serde::Serialize;

use crate::circuit::{Level, PartName};
use crate::net::{Cavity, NetOutlet, Stage};
use crate::reach;
use crate::settle::{Point, Settled, Status, Value, settle};

/// One link of the chain.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum Event {
    /// A cavity has lost its pressure.
    Lost {
        /// The cavity.
        cavity: String,
    },
    /// A cavity has pressure that it should not have.
    Gained {
        /// The cavity.
        cavity: String,
    },
    /// A valve stands in the wrong place.
    Stands {
        /// The valve.
        valve: PartName,
        /// Where it stands.
        now: String,
        /// Where it stands when sound.
        sound: String,
    },
}

/// What each event changes: the faulty circuit settled again with that event undone.
pub(super) struct Replays<'n> {
    stage: Stage<'n>,
    events: Vec<(Event, Settled)>,
    /// All valves that moved put back at once.
    together: Option<Settled>,
}

impl<'n> Replays<'n> {
    /// Undoes, one at a time, what differs between the sound and the faulty circuit: valves, the
    /// cavities their rules read, and where those are lost.
    pub fn of(sound_stage: &Stage<'n>, stage: &Stage<'n>, sound: &Point, now: &Point) -> Self {
        let net = stage.net();
        let scene = sound_stage.scene(&sound.held, Level::Low);
        let value = |point: &Point, cavity| point.pressures.at_least(Level::Low, cavity);
        let differs = |cavity: &Cavity| {
            let (was, is) = (value(sound, *cavity), value(now, *cavity));
            was != is && was != Value::Undecided
        };
        let mut cavities: Vec<Cavity> = Vec::new();
        let mut events = Vec::new();
        let mut back = stage.clone();
        for (i, valve) in net.valves().iter().enumerate() {
            let (was, is) = (sound.held.valves[i], now.held.valves[i]);
            let (Some(was), Some(is), None) = (was, is, stage.fixed(i)) else {
                continue;
            };
            if was == is {
                continue;
            }
            let place = |at: u32| {
                let positions = &net.circuit().valves[&valve.name.id].positions;
                positions
                    .get_index(at as usize)
                    .map(|(name, _)| name.clone())
            };
            if let (Some(sound), Some(now)) = (place(was), place(is)) {
                let valve = valve.name.clone();
                events.push((Event::Stands { valve, now, sound }, stage.holding(i, was)));
            }
            back = back.holding(i, was);
            for pilot in valve
                .rules
                .iter()
                .flatten()
                .flat_map(|rule| rule.cavities())
            {
                // From the source on, the first that lost its pressure, and the pilot itself.
                let path = reach::shortest(&scene, pilot).into_iter();
                let passed = path.flat_map(|p| p.steps.into_iter().map(|(_, cavity)| cavity));
                cavities.extend(passed.into_iter().find(|c| differs(c)));
                cavities.extend([pilot].iter().filter(|c| differs(c)));
            }
        }
        cavities.sort_unstable();
        cavities.dedup();
        for at in cavities {
            let fed = value(sound, at) == Value::Fed;
            let cavity = net.name(at).to_owned();
            let event = match fed {
                true => Event::Lost { cavity },
                false => Event::Gained { cavity },
            };
            events.push((event, stage.pinning(at, fed)));
        }
        let together = (events.len() > 1).then(|| settle(&back));
        Replays {
            stage: stage.clone(),
            together,
            events: events
                .into_iter()
                .map(|(event, stage)| (event, settle(&stage)))
                .collect(),
        }
    }

    /// The events that each by itself give an outlet back what it has when sound, the first cause
    /// first; all valves together where none does alone but all do. Empty where the fault reaches
    /// the outlet without them.
    pub fn chain(&self, outlet: &NetOutlet, sound: Status) -> Vec<Event> {
        let restores = |settled: &Settled| {
            let mut ends = settled.ends.iter();
            ends.all(|e| e.pressures.status(outlet.user, outlet.by_pressure) == sound)
        };
        let restoring: Vec<&(Event, Settled)> =
            self.events.iter().filter(|(_, s)| restores(s)).collect();
        if restoring.is_empty() && self.together.as_ref().is_some_and(restores) {
            let events = self.events.iter().map(|(event, _)| event);
            let valves = events.filter(|event| matches!(event, Event::Stands { .. }));
            return valves.cloned().collect();
        }
        // What undoes more of the others comes before them.
        let undoes = |settled: &Settled| {
            let others = restoring.iter();
            others
                .filter(|(event, _)| self.undone(event, settled))
                .count()
        };
        let mut chain: Vec<(usize, &Event)> = restoring
            .iter()
            .map(|(event, s)| (undoes(s), event))
            .collect();
        chain.sort_by_key(|(undoes, _)| std::cmp::Reverse(*undoes));
        chain.into_iter().map(|(_, event)| event.clone()).collect()
    }

    /// Whether an event is undone in a replay.
    fn undone(&self, event: &Event, settled: &Settled) -> bool {
        let net = self.stage.net();
        let holds = |cavity: &str, wanted: Value| {
            let cavity = net.cavity(cavity);
            cavity.is_some_and(|c| settled.at_least(Level::Low, c) == wanted)
        };
        match event {
            Event::Lost { cavity } => holds(cavity, Value::Fed),
            Event::Gained { cavity } => holds(cavity, Value::Drained),
            Event::Stands { valve, sound, .. } => {
                let circuit = net.circuit();
                let found = circuit.valves.get_full(&valve.id);
                found.is_some_and(|(i, _, body)| {
                    let sound = body.positions.get_index_of(sound).map(|p| p as u32);
                    settled.positions(i) == [sound]
                })
            }
        }
    }
}
