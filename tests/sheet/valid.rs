//! Valid circuits: parts of every kind, put together.

use std::collections::BTreeMap;

use indexmap::IndexMap;
use oilpath::circuit::*;
use oilpath::units::Quantity;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use crate::parts::*;

/// Any valid circuit.
pub fn circuit() -> impl Strategy<Value = Circuit> {
    let bodies = (
        (words(), words()),
        each(&["block", "case"], text()),
        vec(passage(), BLOCK.len() + CASE.len()),
        each(&["summer", "winter"], oil()),
        each(&["pump", "prüfstand"], source()),
        each(&["main", "reducer"], regulator()),
        each(&["main"], relief()),
        each(
            &["hop-cover"],
            plate(&[PlateKind::Cover, PlateKind::Bridge]),
        ),
        each(
            &["main-gasket", "separator"],
            plate(&[PlateKind::Separator, PlateKind::Gasket]),
        ),
    );
    let ways = (
        each(&["feed", "rear"], way()),
        each(&["hop", "feed"], way()),
        each(&["fit"], (pair(), [size(), size(), size(), size()], text())),
        each(&["check", "both"], ball()),
        each(&["ring", "plug-seal"], seal()),
        each(&["strainer"], through()),
        each(&["converter"], through()),
        each(&["cooler"], through()),
    );
    let control = (
        each(&["range", "relay"], valve()),
        each(&["pilot", "lock-up"], solenoid()),
        each(&["softener"], accumulator()),
        each(&["low-clutch", "band", "lube"], outlet()),
        each(&["line-tap"], (cavity(), select(Access::ALL), text())),
        each(
            &["line-switch"],
            (cavity(), size(), select(Access::ALL), text()),
        ),
        each(&["kick-down"], text()),
        each(&["1st", "reverse"], state()),
    );
    let off = vec(option::of(1u32..100), 8);
    (bodies, ways, control, off).prop_map(|(bodies, ways, control, off)| {
        let (top, castings, details, oils, sources, regulators, reliefs, covers, plates) = bodies;
        let (ports, orifices, clearances, balls, seals, filters, converters, coolers) = ways;
        let (valves, solenoids, accumulators, outlets, taps, switches, inputs, states) = control;
        let homes = BLOCK.map(|id| (id, "block")).into_iter();
        let homes = homes.chain(CASE.map(|id| (id, "case")));
        let mut circuit = Circuit {
            title: top.0,
            note: top.1,
            lever: texts(LEVER),
            castings: map(castings, |text| Casting { text }),
            passages: homes
                .zip(details)
                .map(|((id, casting), details)| {
                    let casting = casting.to_owned();
                    (id.to_owned(), Passage { casting, ..details })
                })
                .collect(),
            oils,
            sources,
            regulators,
            reliefs,
            plates: covers.into_iter().chain(plates).collect(),
            ports: map(
                ports,
                |(between, [bore, thickness], through, under, hole_at, text)| Port {
                    between,
                    bore,
                    thickness,
                    through,
                    under,
                    hole_at,
                    text,
                },
            ),
            orifices: map(
                orifices,
                |(between, [bore, thickness], through, under, hole_at, text)| Orifice {
                    between,
                    bore,
                    thickness,
                    through,
                    under,
                    hole_at,
                    text,
                },
            ),
            clearances: map(
                clearances,
                |(between, [gap, diameter, length, wear], text)| Clearance {
                    between,
                    gap,
                    diameter,
                    length,
                    wear,
                    text,
                },
            ),
            balls,
            seals,
            valves,
            solenoids,
            accumulators,
            filters,
            converters,
            coolers,
            outlets,
            taps: map(taps, |(at, access, text)| Tap { at, access, text }),
            switches: map(switches, |(at, closes_at, access, text)| Switch {
                at,
                closes_at,
                access,
                text,
            }),
            inputs: map(inputs, |text| Input { text }),
            states,
            tolerances: Default::default(),
        };
        circuit.tolerances = tolerances(&circuit, &off);
        circuit
    })
}

/// Some sizes off by some parts in a hundred.
fn tolerances(circuit: &Circuit, off: &[Option<u32>]) -> BTreeMap<(PartName, String), f64> {
    let orifices = circuit.orifices.iter().map(|(id, o)| {
        let bore = o.bore.map(|bore| bore.si());
        (PartName::new(Kind::Orifice, id), "bore", bore)
    });
    let regulators = circuit.regulators.iter().map(|(id, r)| {
        let at = r.at.map(|at| at.si());
        (PartName::new(Kind::Regulator, id), "at", at)
    });
    let valves = circuit.valves.iter().map(|(id, v)| {
        let clearance = v.clearance.map(|clearance| clearance.si());
        (PartName::new(Kind::Valve, id), "clearance", clearance)
    });
    let sizes = orifices.chain(regulators).chain(valves).zip(off);
    let sizes = sizes.filter_map(|((part, key, size), percent)| {
        let off = size?.abs() * f64::from((*percent)?) / 100.0;
        (off > 0.0).then(|| ((part, key.to_owned()), off))
    });
    sizes.collect()
}

/// What is known of a passage beside where it lies: round or rectangular.
fn passage() -> impl Strategy<Value = Passage> {
    let section = prop_oneof![
        size().prop_map(|bore| (bore, None)),
        (size(), size()).prop_map(|(width, depth)| (None, width.zip(depth))),
    ];
    (section, size(), option::of(1u32..9), size(), text()).prop_map(
        |((bore, channel), length, bends, volume, text)| Passage {
            casting: String::new(),
            bore,
            width: channel.map(|(width, _)| width),
            depth: channel.map(|(_, depth)| depth),
            length,
            bends,
            volume,
            text,
        },
    )
}

fn map<A, B>(parts: IndexMap<String, A>, to: impl Fn(A) -> B) -> IndexMap<String, B> {
    parts.into_iter().map(|(id, part)| (id, to(part))).collect()
}
