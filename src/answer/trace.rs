//! The way of the oil from the sump to a part, state by state.

use std::collections::BTreeSet;

use serde::Serialize;

use super::{Answer, Depth, states};
use crate::circuit::{Circuit, Fault, Kind, Level, Part, PartName, Seat};
use crate::net::{Cavity, Net, SUMP_CAVITY, Scene, Stage, Strength, WayId};
use crate::reach::{self, Needs, Path};
use crate::settle::settle;

/// How oil gets to a part.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Trace {
    /// The part asked about.
    pub to: PartName,
    /// The cavity it takes its oil from.
    pub cavity: String,
    /// The faults it was traced with.
    pub faults: Vec<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// Each way the oil takes, with the states that use it; the ways of the first state first.
    pub routes: Vec<Route>,
    /// States in which no supply reaches the part.
    pub none_in: Vec<String>,
    /// Whether some state has more ways than were asked for.
    pub more: bool,
}

/// One way the oil takes.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Route {
    /// States in which oil takes it; empty for a circuit that declares none.
    pub states: Vec<String>,
    /// The source that makes the pressure.
    pub source: PartName,
    /// From the sump to the source; empty where it draws from the sump itself.
    pub suction: Vec<Hop>,
    /// The cavity the source feeds.
    pub start: String,
    /// From the source on.
    pub hops: Vec<Hop>,
    /// The place that lets least through; none where all of it is open.
    pub narrowest: Option<Narrowest>,
    /// Castings in the order oil passes them, each time it enters one.
    pub castings: Vec<String>,
    /// Plates whose holes or hollows it passes, in order, each once.
    pub plates: Vec<String>,
    /// Parts that every way to this cavity needs in these states, in the order oil meets them.
    pub needed: Vec<PartName>,
}

/// One step of the oil: through a way into the next cavity.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Hop {
    /// Cavity it leaves.
    pub from: String,
    /// Cavity it enters.
    pub to: String,
    /// The part it passes.
    pub part: PartName,
    /// Where a valve must stand to let it pass.
    pub position: Option<String>,
    /// How much the way lets through, by kind.
    pub strength: Strength,
    /// Diameter of its bore, m.
    pub bore_m: Option<f64>,
    /// Casting it leaves; none for the sump.
    pub from_casting: Option<String>,
    /// Casting it enters; none for the sump.
    pub to_casting: Option<String>,
    /// Plates whose holes it passes.
    pub through: Vec<String>,
    /// The cover it passes under.
    pub under: Option<String>,
    /// False where it may as well be shut.
    pub sure: bool,
}

/// The place of a route that lets least through.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Narrowest {
    /// The part.
    pub part: PartName,
    /// Its kind of restriction.
    pub strength: Strength,
    /// Diameter of its bore, m.
    pub bore_m: Option<f64>,
}

/// Which ways to look for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RouteKind {
    /// The one with the fewest hops.
    #[default]
    Shortest,
    /// The one whose narrowest place is widest.
    LeastRestricted,
    /// Every way that passes nothing twice, this many at most in each state.
    All(usize),
}

/// Why a part cannot be traced to.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{part} takes oil from no one cavity")]
pub struct TraceError {
    /// The part.
    pub part: PartName,
}

impl Answer for Trace {
    const NAME: &'static str = "trace";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        self.routes.is_empty()
    }
}

/// Follows the oil to an outlet, a tap, a switch, a filter, converter or cooler, an accumulator
/// or a passage.
///
/// Valves stand where the sound circuit has them in each state. A two-sided outlet is traced to
/// its apply side.
///
/// # Errors
/// The part takes no oil: a casting, a plate, a state.
///
/// ```
/// use oilpath::{answer::{self, RouteKind}, circuit::Kind, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line"] }
///     case = { passages = ["lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let bearing = circuit.find("bearing", &[Kind::Outlet]).unwrap();
/// let answer = answer::trace(&net, &bearing, &[], None, RouteKind::Shortest).unwrap();
/// let route = &answer.routes[0];
/// assert_eq!(route.castings, ["block", "case"]);
/// assert_eq!(route.narrowest.as_ref().unwrap().part.id, "hop");
/// ```
pub fn trace(
    net: &Net<'_>,
    to: &PartName,
    faults: &[Fault],
    state: Option<&str>,
    kind: RouteKind,
) -> Result<Trace, TraceError> {
    let circuit = net.circuit();
    let cavity = cavity_of(net, to).ok_or_else(|| TraceError { part: to.clone() })?;
    let mut answer = Trace {
        to: to.clone(),
        cavity: net.name(cavity).to_owned(),
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        depth: Depth::Reach,
        routes: Vec::new(),
        none_in: Vec::new(),
        more: false,
    };
    for (id, state) in states(circuit, state) {
        let stage = Stage::new(net, state, faults);
        let scene = stage.scene(settle(&stage).held(), Level::Low);
        let paths: Vec<Path> = match kind {
            RouteKind::Shortest => reach::shortest(&scene, cavity).into_iter().collect(),
            RouteKind::LeastRestricted => reach::least_restricted(&scene, cavity)
                .into_iter()
                .collect(),
            RouteKind::All(most) => {
                let (paths, more) = reach::all_paths(&scene, cavity, most);
                answer.more |= more;
                paths
            }
        };
        if paths.is_empty() {
            answer.none_in.extend(id.map(str::to_owned));
        }
        let needed = Needs::new(&scene).of(cavity);
        for path in paths {
            let Some(mut route) = route(&scene, &path, &needed) else {
                continue;
            };
            let known = answer.routes.iter_mut().find(|known| {
                route.states.clone_from(&known.states);
                **known == route
            });
            let states = match known {
                Some(known) => &mut known.states,
                None => {
                    route.states.clear();
                    answer.routes.push(route);
                    let last = answer.routes.len() - 1;
                    &mut answer.routes[last].states
                }
            };
            states.extend(id.map(str::to_owned));
        }
    }
    Ok(answer)
}

/// The cavity a part takes its oil from.
pub(super) fn cavity_of(net: &Net<'_>, part: &PartName) -> Option<Cavity> {
    let id = match net.circuit().get(part.kind, &part.id)? {
        Part::Passage(_) => &part.id,
        Part::Outlet(p) => match &p.seat {
            Seat::At(at) => at,
            Seat::TwoSided { apply, .. } => apply,
        },
        Part::Through(p) => &p.between[0],
        Part::Tap(p) => &p.at,
        Part::Switch(p) => &p.at,
        Part::Accumulator(p) => &p.at,
        _ => return None,
    };
    net.cavity(id)
}

fn route(scene: &Scene<'_>, path: &Path, needed: &[PartName]) -> Option<Route> {
    let net = scene.net();
    let source = net.sources().iter().find(|s| s.feeds == path.start)?;
    let suction = match source.draws {
        SUMP_CAVITY => Vec::new(),
        draws => hops(scene, &reach::suction(scene, draws)?),
    };
    let hops = hops(scene, path);
    let first = casting(net.circuit(), net.name(path.start));
    let entered = hops.iter().map(|hop| hop.to_casting.clone());
    let mut castings: Vec<String> = std::iter::once(first).chain(entered).flatten().collect();
    castings.dedup();
    let mut seen = BTreeSet::new();
    let plates = hops
        .iter()
        .flat_map(|hop| hop.through.iter().chain(&hop.under))
        .filter(|plate| seen.insert(plate.as_str()))
        .cloned()
        .collect();
    Some(Route {
        states: Vec::new(),
        source: source.name.clone(),
        suction,
        start: net.name(path.start).to_owned(),
        narrowest: narrowest(&hops),
        castings,
        plates,
        needed: needed.to_vec(),
        hops,
    })
}

/// The place of some hops that lets least through; none where all of them are open.
pub(super) fn narrowest(hops: &[Hop]) -> Option<Narrowest> {
    let narrow = hops.iter().filter(|hop| hop.strength < Strength::Open);
    // Of equal kinds the smallest known bore; an unknown bore is last.
    let narrowest = narrow.min_by(|a, b| {
        let bore = |hop: &Hop| hop.bore_m.unwrap_or(f64::INFINITY);
        (a.strength.cmp(&b.strength)).then(bore(a).total_cmp(&bore(b)))
    });
    narrowest.map(|hop| Narrowest {
        part: hop.part.clone(),
        strength: hop.strength,
        bore_m: hop.bore_m,
    })
}

pub(super) fn hops(scene: &Scene<'_>, path: &Path) -> Vec<Hop> {
    let net = scene.net();
    let circuit = net.circuit();
    let mut from = path.start;
    path.steps
        .iter()
        .map(|(way, to)| {
            let setting = scene.setting(*way);
            let body = scene.way(*way);
            let part = net.part(body);
            let (through, under) = plates_on(circuit, part);
            let hop = Hop {
                from: net.name(from).to_owned(),
                to: net.name(*to).to_owned(),
                part: part.clone(),
                position: position(scene, *way),
                strength: setting.strength().unwrap_or(body.strength),
                bore_m: body.bore.map(|b| b.m()),
                from_casting: casting(circuit, net.name(from)),
                to_casting: casting(circuit, net.name(*to)),
                through,
                under,
                sure: setting.sure(),
            };
            from = *to;
            hop
        })
        .collect()
}

fn casting(circuit: &Circuit, cavity: &str) -> Option<String> {
    circuit.passages.get(cavity).map(|p| p.casting.clone())
}

/// The plates a part's way passes: through their holes, and under.
fn plates_on(circuit: &Circuit, part: &PartName) -> (Vec<String>, Option<String>) {
    let (through, under) = match circuit.get(part.kind, &part.id) {
        Some(Part::Port(p)) => (&p.through, &p.under),
        Some(Part::Orifice(p)) => (&p.through, &p.under),
        Some(Part::Ball(p)) => (&p.through, &p.under),
        _ => return (Vec::new(), None),
    };
    let id = |text: &String| circuit.find(text, &[Kind::Plate]).ok().map(|name| name.id);
    (
        through.iter().filter_map(id).collect(),
        under.as_ref().and_then(id),
    )
}

/// Where a valve must stand to open a way of it.
pub(super) fn position(scene: &Scene<'_>, way: WayId) -> Option<String> {
    let (valve, position) = scene.way(way).position()?;
    let (_, valve) = scene.net().circuit().valves.get_index(valve)?;
    let (id, _) = valve.positions.get_index(position)?;
    Some(id.clone())
}
