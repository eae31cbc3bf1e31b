//! The keys of each kind of part.

use super::body::{access, outlet, plate, position, regulator, solenoid, state, valve};
use crate::circuit::{BallKind, Circuit, Orifice, Part, PartName, Port, SealKind, SealSeat};
use crate::sheet::toml::{Keys, Toml};
use crate::units::Quantity;

/// The keys of a part; none where there is nothing to say of a listed passage.
pub(super) fn keys(circuit: &Circuit, name: &PartName, part: Part<'_>) -> Option<Keys> {
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
