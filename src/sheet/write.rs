//! From a circuit to the text a careful author would have typed.

use super::toml::{Keys, Toml, WIDTH, key};
use crate::circuit::{
    Access, BallKind, Circuit, Kind, Needs, Orifice, Outlet, Part, PartName, Plate, Port, Position,
    Regulator, SealKind, SealSeat, Seat, Solenoid, SolenoidKind, State, Valve, Work,
};
use crate::units::Quantity;

/// The circuit as a file that reads back to an equal circuit.
///
/// Parts stand kind by kind; one-liners first, then with a header each those that have more to
/// say. What is usual (a one-way ball, an O-ring, a tap outside) goes unsaid.
///
/// ```
/// let text = "\
/// [casting]
/// block = { passages = [\"line\", \"lube\"] }
///
/// [orifice]
/// hop = { between = [\"line\", \"lube\"], bore = \"1.2 mm\" }
/// ";
/// let sheet = oilpath::sheet::read(text).unwrap();
/// assert_eq!(oilpath::sheet::write(&sheet.circuit), text);
/// ```
#[must_use]
pub fn write(circuit: &Circuit) -> String {
    let mut top = Keys::default();
    top.text("title", circuit.title.as_ref());
    top.text("note", circuit.note.as_ref());
    top.list("lever", &circuit.lever);
    let mut blocks = vec![top.lines()];
    let mut castings: Vec<&str> = Vec::new();
    for kind in Kind::ALL {
        let mut ids: Vec<&str> = circuit.ids(*kind).collect();
        if *kind == Kind::Passage {
            // In the order their castings list them, which is that of the file read back.
            let home = |id: &&str| {
                castings
                    .iter()
                    .position(|c| *c == circuit.passages[*id].casting)
            };
            ids.sort_by_key(home);
        }
        let parts = ids.into_iter().filter_map(|id| {
            let part = circuit.get(*kind, id)?;
            Some((id, keys(circuit, &PartName::new(*kind, id), part)?))
        });
        let (short, long): (Vec<_>, Vec<_>) =
            parts.partition(|(id, keys)| is_one_liner(*kind, id, keys));
        if *kind == Kind::Casting {
            castings.extend(short.iter().chain(&long).map(|(id, _)| *id));
        }
        let lines = short.iter().map(|(id, keys)| one_liner(id, keys) + "\n");
        let lines: String = lines.collect();
        if !lines.is_empty() {
            blocks.push(format!("[{kind}]\n{lines}"));
        }
        let headed = long.iter();
        blocks.extend(headed.map(|(id, keys)| format!("[{kind}.{}]\n{}", key(id), keys.lines())));
    }
    blocks.retain(|block| !block.is_empty());
    blocks.join("\n")
}

fn one_liner(id: &str, keys: &Keys) -> String {
    format!("{} = {}", key(id), keys.inline())
}

fn is_one_liner(kind: Kind, id: &str, keys: &Keys) -> bool {
    !matches!(kind, Kind::Valve | Kind::State)
        && !keys.has_long_text()
        && one_liner(id, keys).chars().count() <= WIDTH
}

/// The keys of a part; none where there is nothing to say of a listed passage.
fn keys(circuit: &Circuit, name: &PartName, part: Part<'_>) -> Option<Keys> {
    let of_it = circuit
        .tolerances
        .iter()
        .filter(|((part, _), _)| part == name);
    let mut k = Keys::with(of_it.map(|((_, key), off)| (key.clone(), *off)).collect());
    match part {
        Part::Casting(_) => {
            let passages = circuit.passages.iter();
            let here = passages.filter(|(_, passage)| passage.casting == name.id);
            let ids: Vec<Toml> = here.map(|(id, _)| id.into()).collect();
            k.put("passages", ids);
        }
        Part::Passage(p) => {
            k.size("bore", p.bore);
            k.size("width", p.width);
            k.size("depth", p.depth);
            k.size("length", p.length);
            k.count("bends", p.bends);
            k.size("volume", p.volume);
            if k.is_empty() && p.text.label.is_none() && p.text.note.is_none() {
                return None;
            }
        }
        Part::Oil(p) => {
            let mut viscosity = Keys::default();
            for (at, of) in p.viscosity {
                viscosity.size(&at.write(), Some(of));
            }
            k.put("viscosity", viscosity);
            k.size("density", p.density);
        }
        Part::Source(p) => {
            k.put("feeds", &p.feeds);
            k.text("draws", p.draws.as_ref());
            k.size("displacement", p.displacement);
            k.size("speed", p.speed);
            k.size("leakage", p.leakage);
            k.size("leaks-at", p.leaks_at);
            k.size("worn-leakage", p.worn_leakage);
            k.size("pressure", p.pressure);
        }
        Part::Regulator(p) => regulator(&mut k, p),
        Part::Relief(p) => {
            k.put("on", &p.on);
            k.text("to", p.to.as_ref());
            k.size("at", p.at);
            k.size("rise", p.rise);
            k.size("bore", p.bore);
        }
        Part::Plate(p) => plate(&mut k, p),
        Part::Port(Port {
            between,
            bore,
            thickness,
            through,
            under,
            hole_at,
            ..
        })
        | Part::Orifice(Orifice {
            between,
            bore,
            thickness,
            through,
            under,
            hole_at,
            ..
        }) => {
            k.put("between", between);
            k.size("bore", *bore);
            k.size("thickness", *thickness);
            k.one_or_more("through", through);
            k.text("under", under.as_ref());
            k.one_or_more("hole-at", hole_at);
        }
        Part::Clearance(p) => {
            k.put("between", &p.between);
            k.size("gap", p.gap);
            k.size("diameter", p.diameter);
            k.size("length", p.length);
            k.size("wear", p.wear);
        }
        Part::Ball(p) => {
            match &p.kind {
                BallKind::OneWay { from, to, lifts_at } => {
                    k.put("from", from);
                    k.put("to", to);
                    k.size("lifts-at", *lifts_at);
                }
                BallKind::Shuttle { inlets, outlet } => {
                    k.put("kind", "shuttle");
                    k.put("inlets", inlets);
                    k.put("outlet", outlet);
                }
            }
            k.size("bore", p.bore);
            k.one_or_more("through", &p.through);
            k.text("under", p.under.as_ref());
        }
        Part::Seal(p) => {
            if p.kind != SealKind::ORing {
                k.put("kind", p.kind.word());
            }
            match &p.seat {
                SealSeat::On(way) => k.put("on", way),
                SealSeat::Between(between) => k.put("between", between),
            }
        }
        Part::Valve(p) => valve(&mut k, p),
        Part::Solenoid(p) => solenoid(&mut k, p),
        Part::Accumulator(p) => {
            k.put("at", &p.at);
            k.text("back", p.back.as_ref());
            k.size("volume", p.volume);
            k.size("begins-at", p.begins_at);
            k.size("full-at", p.full_at);
        }
        Part::Through(p) => {
            k.put("between", &p.between);
            k.size("bore", p.bore);
            k.size("passes", p.passes);
            k.size("drop", p.drop);
            k.size("passes-at", p.passes_at);
            k.text("bypass", p.bypass.as_ref());
            k.size("needs", p.needs);
        }
        Part::Outlet(p) => outlet(&mut k, p),
        Part::Tap(p) => {
            k.put("at", &p.at);
            access(&mut k, p.access);
        }
        Part::Switch(p) => {
            k.put("at", &p.at);
            k.size("closes-at", p.closes_at);
            access(&mut k, p.access);
        }
        Part::Input(_) => {}
        Part::State(p) => state(&mut k, p),
    }
    let text = part.text();
    k.text("label", text.label.as_ref());
    k.text("note", text.note.as_ref());
    if let Part::Valve(p) = part {
        for (id, p) in &p.positions {
            k.put(id, position(p));
        }
    }
    Some(k)
}

fn regulator(k: &mut Keys, p: &Regulator) {
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

fn plate(k: &mut Keys, p: &Plate) {
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

fn valve(k: &mut Keys, p: &Valve) {
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

fn position(p: &Position) -> Keys {
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

fn solenoid(k: &mut Keys, p: &Solenoid) {
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

fn outlet(k: &mut Keys, p: &Outlet) {
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

fn access(k: &mut Keys, access: Access) {
    if access != Access::default() {
        k.put("access", access.word());
    }
}

fn state(k: &mut Keys, p: &State) {
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
