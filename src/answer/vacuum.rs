//! Vacuum and wet air, bore by bore: where to pull, what to leave open, what to close, which land
//! that tests, and what it costs where that land's bore is worn.

use std::cmp::Reverse;

use serde::Serialize;

use super::sound::Sound;
use super::sweep::{Scenarios, SweepRecord, Sweeper};
use super::{Depth, Severity, states};
use crate::circuit::{Condition, Fault, Kind, Level, PartName, SUMP};
use crate::net::Net;
use crate::settle::Value;

/// What to pull on at every valve bore, the bore that does most harm first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Vacuum {
    /// How deep the answer looks.
    pub depth: Depth,
    /// The bores.
    pub bores: Vec<VacuumBore>,
}

/// One valve bore.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct VacuumBore {
    /// The valve.
    pub valve: PartName,
    /// The casting it lies in, by its first port; none where that is the sump.
    pub casting: Option<String>,
    /// The worst that wear of it does.
    pub severity: Severity,
    /// Its lands, the one whose wear does most harm first.
    pub lands: Vec<VacuumLand>,
}

/// One land between two neighbouring ports.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct VacuumLand {
    /// The port to pull on, or to blow into gently for the wet-air check.
    pub pull: String,
    /// The neighbour left open: there air comes in, or bubbles show.
    pub open: String,
    /// The port's other neighbours along the bore, to be closed, so that this land alone counts.
    pub close: Vec<String>,
    /// What else leaves the passage that is pulled on, to be closed as well.
    pub leaves_by: Vec<PartName>,
    /// Where the spool has to stand for the land to seal; none where it does so in every place.
    pub spool_in: Option<String>,
    /// What a poor reading means, as a reader would type it.
    pub fault: String,
    /// The worst that it does.
    pub severity: Severity,
    /// States in which it parts pressure from none, so that wear of it lets oil through; empty for
    /// a circuit that declares none.
    pub loaded: Vec<String>,
    /// What suffers; empty where nothing does.
    pub harms: Vec<VacuumHarm>,
}

/// What suffers where a land's bore is worn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct VacuumHarm {
    /// The outlet.
    pub outlet: PartName,
    /// In which states; empty for a circuit that declares none.
    pub states: Vec<String>,
}

/// Works out what to pull on at every bore.
///
/// A land is tested where the spool stands so that it parts its two ports. Of the two the port to
/// pull on is the one whose passage leads to least else; the sump cannot be pulled on. No figure
/// is given for a good reading: the maker's limit decides.
///
/// ```
/// use oilpath::{answer, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     lever = ["N", "D"]
///     [casting]
///     block = { passages = ["line", "apply"] }
///     [source]
///     pump = { feeds = "line" }
///     [valve.hand]
///     bore = ["sump", "apply", "line", "sump"]
///     neutral = { joins = [["apply", "sump"]], otherwise = true }
///     drive = { joins = [["line", "apply"]], when = "lever.D" }
///     [outlet]
///     clutch = { kind = "clutch", at = "apply" }
/// "#).unwrap().circuit;
/// let sheet = answer::vacuum(&Net::new(&circuit).unwrap());
/// // Between line and apply: in neutral the land parts them, so that one is pulled on with the
/// // spool there.
/// let lands = &sheet.bores[0].lands;
/// let land = lands.iter().find(|land| land.fault == "hand:worn=apply+line").unwrap();
/// assert_eq!((land.pull.as_str(), land.open.as_str()), ("apply", "line"));
/// assert_eq!(land.spool_in.as_deref(), Some("neutral"));
/// ```
#[must_use]
pub fn vacuum(net: &Net<'_>) -> Vacuum {
    let circuit = net.circuit();
    let valves = Scenarios::alone(circuit, |part| part.kind == Kind::Valve);
    let worn = |fault: &Fault| matches!(fault.condition, Condition::WornBetween(_));
    let numbers = valves.faults().iter().enumerate();
    let numbers: Vec<usize> = numbers.filter(|(_, f)| worn(f)).map(|(i, _)| i).collect();
    let sweeper = Sweeper::new(net, valves, &[]);
    let records: Vec<(Fault, SweepRecord)> = numbers
        .into_iter()
        .filter_map(|number| {
            let fault = sweeper.scenarios().get(number).into_iter().next()?;
            let record = sweeper.records(number..number + 1).into_iter().next()?;
            Some((fault, record))
        })
        .collect();
    let sound = Sound::of(net, states(circuit, None));
    let mut bores: Vec<VacuumBore> = Vec::new();
    for (id, _) in &circuit.valves {
        let valve = PartName::new(Kind::Valve, id);
        let own = records.iter().filter(|(fault, _)| fault.part == valve);
        let lands = own.filter_map(|(fault, record)| land(net, &sound, fault, record));
        let mut lands: Vec<VacuumLand> = lands.collect();
        lands.sort_by_key(|land| (land.severity, Reverse(land.loaded.len())));
        let Some(worst) = lands.first() else { continue };
        let casting = circuit.valves[id].bore.iter().find_map(|port| {
            let name = circuit.find(port, &[Kind::Passage]).ok()?;
            Some(circuit.passages.get(&name.id)?.casting.clone())
        });
        bores.push(VacuumBore {
            severity: worst.severity,
            valve,
            casting,
            lands,
        });
    }
    bores.sort_by_key(|bore| (bore.severity, Reverse(bore.lands[0].loaded.len())));
    Vacuum {
        depth: Depth::Settle,
        bores,
    }
}

/// How one land is tested, whatever its wear does.
pub(crate) struct LandTest<'f> {
    /// The ports it parts.
    pub ports: &'f [String; 2],
    pub pull: String,
    pub open: String,
    pub close: Vec<String>,
    pub leaves_by: Vec<PartName>,
    pub spool_in: Option<String>,
}

impl<'f> LandTest<'f> {
    /// The test of the land whose wear is this fault; none where it is no such fault, and where the
    /// spool never parts the two ports.
    pub fn of(net: &Net<'_>, fault: &'f Fault) -> Option<Self> {
        let Condition::WornBetween(ports) = &fault.condition else {
            return None;
        };
        let valve = &net.circuit().valves[&fault.part.id];
        // The places in which the spool parts the two ports, the one it rests in first.
        let parts = |joins: &[crate::circuit::Join]| {
            !joins
                .iter()
                .any(|join| ports.iter().all(|port| join.cavities.contains(port)))
        };
        let mut places: Vec<(&String, bool)> = valve
            .positions
            .iter()
            .filter(|(_, place)| parts(&place.joins))
            .map(|(id, place)| (id, place.otherwise))
            .collect();
        places.sort_by_key(|(_, rests)| !rests);
        let spool_in = match places.len() == valve.positions.len() {
            true => None,
            // Never parted: there is no land to test.
            false => Some(places.first()?.0.clone()),
        };
        let leaves_by = |port: &str| {
            let cavity = net.cavity(port)?;
            let ways = net.ways_at(cavity).map(|way| net.part(way));
            let mut others: Vec<PartName> = ways.filter(|p| **p != fault.part).cloned().collect();
            others.sort();
            others.dedup();
            Some(others)
        };
        let pulled = ports.iter().filter(|port| *port != SUMP);
        let pulled = pulled.filter_map(|port| Some((leaves_by(port)?, port)));
        let (leaves_by, pull) = pulled.min_by_key(|(others, _)| others.len())?;
        let open = ports.iter().find(|port| *port != pull)?;
        let mut close: Vec<String> = Vec::new();
        for pair in valve.bore.windows(2) {
            for (port, beside) in [(&pair[0], &pair[1]), (&pair[1], &pair[0])] {
                if port == pull && beside != open && beside != pull && !close.contains(beside) {
                    close.push(beside.clone());
                }
            }
        }
        Some(LandTest {
            ports,
            pull: pull.clone(),
            open: open.clone(),
            close,
            leaves_by,
            spool_in,
        })
    }
}

fn land(
    net: &Net<'_>,
    sound: &Sound<'_>,
    fault: &Fault,
    record: &SweepRecord,
) -> Option<VacuumLand> {
    let test = LandTest::of(net, fault)?;
    Some(VacuumLand {
        loaded: loaded(net, sound, test.ports),
        pull: test.pull,
        open: test.open,
        close: test.close,
        leaves_by: test.leaves_by,
        spool_in: test.spool_in,
        fault: net.circuit().say(fault),
        severity: record.severity,
        harms: harms(record),
    })
}

/// The states in which one of two ports has pressure and the other has none.
fn loaded(net: &Net<'_>, sound: &Sound<'_>, ports: &[String; 2]) -> Vec<String> {
    let states = sound.states.iter().filter(|state| {
        let held = ports.each_ref().map(|port| {
            let cavity = net.cavity(port)?;
            Some(state.settled.at_least(Level::Low, cavity))
        });
        let [a, b] = held;
        matches!(
            (a, b),
            (Some(Value::Fed), Some(Value::Drained)) | (Some(Value::Drained), Some(Value::Fed))
        )
    });
    states
        .filter_map(|state| state.id.map(str::to_owned))
        .collect()
}

/// What suffers, each outlet with all its states, in the order the states tell of it.
fn harms(record: &SweepRecord) -> Vec<VacuumHarm> {
    let mut harms: Vec<VacuumHarm> = Vec::new();
    for state in &record.states {
        let lists = [
            &state.starved,
            &state.on_when_off,
            &state.weakened,
            &state.late,
            &state.harsh,
        ];
        let undecided = state.undecided.iter().map(|u| &u.outlet);
        for outlet in lists.into_iter().flatten().chain(undecided) {
            let known = harms.iter().position(|harm| harm.outlet == *outlet);
            let at = known.unwrap_or_else(|| {
                harms.push(VacuumHarm {
                    outlet: outlet.clone(),
                    states: Vec::new(),
                });
                harms.len() - 1
            });
            harms[at].states.extend(state.state.clone());
        }
    }
    harms
}
