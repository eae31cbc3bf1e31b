//! Suspicions about the shape of a circuit, whatever state it is in.

use std::collections::{HashMap, HashSet};

use super::{Doubt, Warning};
use crate::circuit::{BallKind, Kind, Part, PartName, Place, SUMP, SolenoidKind};
use crate::net::{Cavity, Net, SUMP_CAVITY, Stage};
use crate::reach;

pub(super) fn lint(net: &Net<'_>) -> Vec<Warning> {
    let circuit = net.circuit();
    let mentions = mentions(net);
    // With no valve's position known every way counts as open.
    let fed = reach::supplied(&Stage::new(net, &Default::default(), &[]).all_open());
    let mut found = Vec::new();
    if circuit.parts().next().is_none() {
        let (at, what) = (Place::default(), Doubt::NoParts);
        found.push(Warning { at, what });
    }
    for (name, part) in circuit.parts() {
        let at = || Place::of(name.clone());
        let mut say = |at: Place, what: Doubt| found.push(Warning { at, what });
        let mentioned = mentions.get(&name);
        match part {
            Part::Passage(_) => {
                let Some(by) = mentioned else {
                    say(at(), unreferred(&name));
                    continue;
                };
                let cavity = net.cavity(&name.id).unwrap_or(SUMP_CAVITY);
                if !reach::has(&fed, cavity) && !may_be_dry(net, cavity) {
                    say(at(), Doubt::UnfedCavity(name.id.clone()));
                } else if is_dead_end(net, cavity, by) {
                    say(at(), Doubt::DeadEnd(name.id.clone()));
                }
            }
            Part::Plate(p)
                if p.roofs.is_empty()
                    && p.separates.is_empty()
                    && net.owned_by(&name).is_empty() =>
            {
                say(at(), Doubt::IdlePlate(name.id.clone()));
            }
            Part::Ball(p) => {
                let same = |a: &String, b: &String| (a == b).then(|| a.clone());
                let (key, cavity) = match &p.kind {
                    BallKind::OneWay { from, to, .. } => ("to", same(from, to)),
                    BallKind::Shuttle { inlets, outlet } => (
                        "outlet",
                        same(&inlets[0], outlet).or(same(&inlets[1], outlet)),
                    ),
                };
                if let Some(cavity) = cavity {
                    let ball = name.id.clone();
                    say(at().then(key), Doubt::SameSides { ball, cavity });
                }
            }
            Part::Casting(_)
                if mentioned.is_none()
                    && !circuit.passages.values().any(|p| p.casting == name.id) =>
            {
                say(at(), unreferred(&name));
            }
            Part::Input(_) if mentioned.is_none() => say(at(), unreferred(&name)),
            Part::Solenoid(p) if p.kind == SolenoidKind::Plunger && mentioned.is_none() => {
                say(at(), unreferred(&name));
            }
            _ => {}
        }
    }
    found
}

fn unreferred(name: &PartName) -> Doubt {
    let kind = match name.kind {
        Kind::Passage => "cavity",
        kind => kind.word(),
    };
    Doubt::Unreferred {
        kind,
        id: name.id.clone(),
    }
}

/// Which parts mention each part.
fn mentions(net: &Net<'_>) -> HashMap<PartName, HashSet<PartName>> {
    let circuit = net.circuit();
    let mut mentions: HashMap<PartName, HashSet<PartName>> = HashMap::new();
    for reference in circuit.references() {
        if reference.text == SUMP {
            continue;
        }
        if let Ok(named) = circuit.find(reference.text, reference.kinds) {
            let by = mentions.entry(named).or_default();
            by.extend(reference.place.part);
        }
    }
    mentions
}

/// Whether a cavity has good reason never to see pressure: a pump draws through it, it is the
/// pocket at the end of a spool, or the back of an accumulator.
fn may_be_dry(net: &Net<'_>, cavity: Cavity) -> bool {
    let circuit = net.circuit();
    let pocket = circuit.valves.values().any(|v| {
        let ends = [v.bore.first(), v.bore.last()];
        ends.into_iter()
            .flatten()
            .any(|end| net.cavity(end) == Some(cavity))
    });
    let back = circuit
        .accumulators
        .values()
        .filter_map(|a| a.back.as_ref())
        .any(|back| net.cavity(back) == Some(cavity));
    // On the way from the sump to where a pump draws: a screen, a pipe.
    let draws = |c: Cavity| c != SUMP_CAVITY && net.sources().iter().any(|s| s.draws == c);
    let drawn = draws(cavity) || net.ways_at(cavity).any(|w| w.ends.into_iter().any(draws));
    pocket || back || drawn
}

/// Whether a single way leads to a cavity and nothing uses or watches what is in it.
fn is_dead_end(net: &Net<'_>, cavity: Cavity, by: &HashSet<PartName>) -> bool {
    let parts: HashSet<&PartName> = net.ways_at(cavity).map(|w| net.part(w)).collect();
    let used = by.iter().any(|part| {
        matches!(
            part.kind,
            Kind::Outlet
                | Kind::Tap
                | Kind::Switch
                | Kind::Accumulator
                | Kind::Source
                | Kind::Regulator
                | Kind::Relief
                | Kind::Valve
        )
    });
    parts.len() == 1 && !used
}
