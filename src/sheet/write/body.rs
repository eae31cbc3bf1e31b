//! Parts with more to say than a line.

use crate::circuit::{
    Access, Needs, Outlet, Plate, Position, Regulator, Seat, Solenoid, SolenoidKind, State, Valve,
    Work,
};
use crate::sheet::toml::{Keys, Toml};

pub(super) fn regulator(k: &mut Keys, p: &Regulator) {
    k.put("holds", &p.holds);
    k.size("at", p.at);
    match &p.work {
        Work::Spills(to) => k.put("spills", to.as_slice()),
        Work::Reduces(from) => k.put("reduces", from),
    }
    if !p.boost.is_empty() {
        if p.boost.values().all(Option::is_none) {
            let ids: Vec<Toml> = p.boost.keys().map(Toml::from).collect();
            k.put("boost", ids);
        } else {
            let mut boost = Keys::default();
            for (id, rise) in &p.boost {
                boost.size(id, *rise);
                boost.flag(id, rise.is_none());
            }
            k.put("boost", boost);
        }
    }
    k.size("band", p.band);
    k.size("bore", p.bore);
}

pub(super) fn plate(k: &mut Keys, p: &Plate) {
    k.put("kind", p.kind.word());
    k.list("faces", &p.faces);
    k.list("roofs", &p.roofs);
    if !p.separates.is_empty() {
        let runs: Vec<Toml> = p.separates.iter().map(|r| r.as_slice().into()).collect();
        k.put("separates", runs);
    }
    k.count("bolts", p.bolts);
    k.size("torque", p.torque);
    k.size("thickness", p.thickness);
    k.size("gap", p.gap);
    k.size("wall", p.wall);
}

pub(super) fn valve(k: &mut Keys, p: &Valve) {
    k.put("bore", p.bore.as_slice());
    k.text("spring", p.spring.as_ref());
    k.size("moves-at", p.moves_at);
    k.size("diameter", p.diameter);
    k.size("clearance", p.clearance);
    k.size("land", p.land);
    k.size("opening", p.opening);
    k.size("wear", p.wear);
    k.flag("plug", p.plug);
    k.flag("clip", p.clip);
    k.flag("sleeve", p.sleeve);
}

pub(super) fn position(p: &Position) -> Keys {
    let mut k = Keys::default();
    let joins = p.joins.iter().map(|join| match join.bore {
        None => join.cavities.as_slice().into(),
        Some(_) => {
            let mut metered = Keys::default();
            metered.put("between", join.cavities.as_slice());
            metered.size("bore", join.bore);
            metered.into()
        }
    });
    let joins: Vec<Toml> = joins.collect();
    if !joins.is_empty() {
        k.put("joins", joins);
    }
    k.text("when", p.when.as_ref().map(ToString::to_string).as_ref());
    k.flag("otherwise", p.otherwise);
    k.text("label", p.text.label.as_ref());
    k.text("note", p.text.note.as_ref());
    k
}

pub(super) fn solenoid(k: &mut Keys, p: &Solenoid) {
    let (kind, usual) = match &p.kind {
        SolenoidKind::Bleed { .. } => ("bleed", Some(true)),
        SolenoidKind::TwoWay { .. } => ("two-way", Some(false)),
        SolenoidKind::Plunger => ("plunger", None),
    };
    k.put("kind", kind);
    match &p.kind {
        SolenoidKind::Bleed { on } => k.put("on", on),
        SolenoidKind::TwoWay { between } => k.put("between", between),
        SolenoidKind::Plunger => {}
    }
    if usual.is_some_and(|usual| usual != p.normally_open) {
        k.put("normally", if p.normally_open { "open" } else { "closed" });
    }
    k.size("bore", p.bore);
    k.size("driven", p.driven);
}

pub(super) fn outlet(k: &mut Keys, p: &Outlet) {
    k.put("kind", p.kind.word());
    match &p.seat {
        Seat::At(at) => k.put("at", at),
        Seat::TwoSided { apply, release } => {
            k.put("apply", apply);
            k.put("release", release);
        }
    }
    match p.needs {
        Some(Needs::Pressure(pressure)) => k.size("needs", Some(pressure)),
        Some(Needs::Flow(flow)) => k.size("needs", Some(flow)),
        None => {}
    }
    k.size("volume", p.volume);
    k.size("spring", p.spring);
    k.size("stroked-at", p.stroked_at);
    k.size("bore", p.bore);
}

pub(super) fn access(k: &mut Keys, access: Access) {
    if access != Access::default() {
        k.put("access", access.word());
    }
}

pub(super) fn state(k: &mut Keys, p: &State) {
    k.text("lever", p.lever.as_ref());
    k.list("on", &p.on);
    let mut levels = Keys::default();
    for (id, level) in &p.levels {
        levels.put(id, level.word());
    }
    if !p.levels.is_empty() {
        k.put("levels", levels);
    }
    let mut valves = Keys::default();
    for (id, position) in &p.valves {
        valves.put(id, position);
    }
    if !p.valves.is_empty() {
        k.put("valves", valves);
    }
    k.list("applies", &p.applies);
    k.list("boosts", &p.boosts);
    k.size("speed", p.speed);
    k.size("oil-temperature", p.oil_temperature);
}
