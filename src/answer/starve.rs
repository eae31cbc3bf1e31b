//! What starves, weakens, or gets oil it should not.

use serde::Serialize;

use super::verdict::{OutletVerdict, Picture, judge};
use super::{Answer, Depth, Verdict, states};
use crate::circuit::{Fault, PartName};
use crate::net::{Net, Scene, User};
use crate::settle::{Push, hold, moved};

/// The effect of some faults, state by state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Starve {
    /// The faults, as a reader would type them. None is the sound circuit.
    pub faults: Vec<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// Each state asked about.
    pub states: Vec<StarveState>,
}

/// The effect of some faults in one state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct StarveState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// Sources whose cavity has got a wide open way to the sump: no pressure will build.
    pub will_not_build: Vec<PartName>,
    /// Sources that can no longer draw oil.
    pub cannot_draw: Vec<PartName>,
    /// Valves held here that the changed pressures would move.
    pub would_move: Vec<PartName>,
    /// Every outlet, the worst off first, then in file order.
    pub outlets: Vec<OutletVerdict>,
}

impl Answer for Starve {
    const NAME: &'static str = "starve";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        self.states.iter().any(|s| {
            !s.will_not_build.is_empty()
                || !s.cannot_draw.is_empty()
                || !s.would_move.is_empty()
                || s.outlets.iter().any(|o| o.verdict.is_bad())
        })
    }
}

impl Starve {
    /// Outlets with a verdict in a state, by id.
    pub fn with(&self, state: &str, verdict: Verdict) -> Vec<&str> {
        let states = self.states.iter();
        states
            .filter(|s| s.state.as_deref().unwrap_or_default() == state)
            .flat_map(|s| &s.outlets)
            .filter(|o| o.verdict == verdict)
            .map(|o| o.outlet.id.as_str())
            .collect()
    }
}

/// Asks what some faults do, in one state or in all.
///
/// Valves stand where the sound circuit has them in that state: a valve that the changed
/// pressures would move is named, not followed. Filters and coolers on the suction side are no
/// outlets here.
///
/// ```
/// use oilpath::{answer::{self, Verdict}, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [plate]
///     hop-cover = { kind = "cover", roofs = ["lube"] }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm", under = "hop-cover" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
///     clutch = { kind = "clutch", at = "line" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let loose = circuit.fault("hop-cover:loose").unwrap();
/// let answer = answer::starve(&net, &[loose], None);
/// assert_eq!(answer.with("", Verdict::Starved), ["bearing"]);
/// assert_eq!(answer.with("", Verdict::Kept), ["clutch"]);
/// ```
#[must_use]
pub fn starve(net: &Net<'_>, faults: &[Fault], state: Option<&str>) -> Starve {
    let circuit = net.circuit();
    let states = states(circuit, state);
    Starve {
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        depth: Depth::Balance,
        states: states
            .into_iter()
            .map(|(id, state)| {
                let held = hold(net, state);
                let sound = Scene::new(net, &held, &[]);
                let stuck = held.clone().with_stuck(net, faults);
                let faulty = Scene::new(net, &stuck, faults);
                let sound = Picture::new(&sound, None);
                let now = Picture::new(&faulty, Some(&sound));
                let named = |of: &dyn Fn(&crate::net::NetSource) -> bool| {
                    let sources = net.sources().iter().filter(|s| of(s));
                    sources.map(|s| s.name.clone()).collect()
                };
                let mut outlets: Vec<OutletVerdict> = net
                    .outlets()
                    .iter()
                    .filter(|o| !matches!(o.user, User::Through { inlet, .. } if net.draws_through(inlet)))
                    .map(|outlet| judge(&sound, &now, outlet))
                    .collect();
                outlets.sort_by_key(|o| o.verdict);
                StarveState {
                    state: id.map(str::to_owned),
                    will_not_build: named(&|s| {
                        now.load(s.feeds) >= Push::Open && sound.load(s.feeds) < Push::Open
                    }),
                    cannot_draw: named(&|s| {
                        sound.scene.rails().contains(&s.feeds)
                            && !now.scene.rails().contains(&s.feeds)
                    }),
                    would_move: moved(net, state, &stuck, &now.balance, faults),
                    outlets,
                }
            })
            .collect(),
    }
}
