//! The keys of each kind of part: one short definition a kind, and the format is no more
//! than these.

use super::fields::Fields;
use super::shape::{
    Boost, CAVITY, Count, Each, Flag, Joined, List, Name, Needs, OneOrMore, Pair, When, size, word,
};
use crate::circuit::{
    self, Accumulator, Ball, BallKind, Casting, Circuit, Clearance, Input, Kind, Orifice, Outlet,
    OutletKind, Passage, Plate, PlateKind, Port, Position, Regulator, Relief, Seal, SealKind,
    SealSeat, Seat, Solenoid, SolenoidKind, Source, State, Switch, Tap, Through, Valve, Work,
};

const CASTING: Name = Name("casting");
const PLATE: Name = Name("plate");
const SWITCHED: Name = Name("solenoid or input");

circuit::words! { BallWord: OneWay "one-way", Shuttle "shuttle", }
circuit::words! { SolenoidWord: Bleed "bleed", TwoWay "two-way", Plunger "plunger", }
circuit::words! { Normally: Open "open", Closed "closed", }

#[derive(Clone, Copy, PartialEq)]
enum BallWord {
    OneWay,
    Shuttle,
}

#[derive(Clone, Copy, PartialEq)]
enum SolenoidWord {
    Bleed,
    TwoWay,
    Plunger,
}

#[derive(Clone, Copy, PartialEq)]
enum Normally {
    Open,
    Closed,
}

/// Reads one part into its table.
pub(super) fn part(kind: Kind, id: &str, f: &mut Fields<'_, '_>, circuit: &mut Circuit) {
    let id = id.to_owned();
    match kind {
        Kind::Casting => drop(circuit.castings.insert(id, casting(f))),
        Kind::Passage => {
            let listed = circuit.passages.entry(id).or_default();
            let casting = std::mem::take(&mut listed.casting);
            *listed = passage(f, casting);
        }
        Kind::Source => drop(circuit.sources.insert(id, source(f))),
        Kind::Regulator => drop(circuit.regulators.insert(id, regulator(f))),
        Kind::Relief => drop(circuit.reliefs.insert(id, relief(f))),
        Kind::Plate => drop(circuit.plates.insert(id, plate(f))),
        Kind::Port => drop(circuit.ports.insert(id, port(f))),
        Kind::Orifice => drop(circuit.orifices.insert(id, orifice(f))),
        Kind::Clearance => drop(circuit.clearances.insert(id, clearance(f))),
        Kind::Ball => drop(circuit.balls.insert(id, ball(f))),
        Kind::Seal => drop(circuit.seals.insert(id, seal(f))),
        Kind::Valve => drop(circuit.valves.insert(id, valve(f))),
        Kind::Solenoid => drop(circuit.solenoids.insert(id, solenoid(f))),
        Kind::Accumulator => drop(circuit.accumulators.insert(id, accumulator(f))),
        Kind::Filter => drop(circuit.filters.insert(id, through(f))),
        Kind::Converter => drop(circuit.converters.insert(id, through(f))),
        Kind::Cooler => drop(circuit.coolers.insert(id, through(f))),
        Kind::Outlet => drop(circuit.outlets.insert(id, outlet(f))),
        Kind::Tap => drop(circuit.taps.insert(id, tap(f))),
        Kind::Switch => drop(circuit.switches.insert(id, switch(f))),
        Kind::Input => drop(circuit.inputs.insert(id, Input { text: f.text() })),
        Kind::State => drop(circuit.states.insert(id, state(f))),
    }
}

fn casting(f: &mut Fields<'_, '_>) -> Casting {
    // The passages themselves are declared by whoever knows every file.
    f.need("passages", List(CAVITY));
    Casting { text: f.text() }
}

fn passage(f: &mut Fields<'_, '_>, casting: String) -> Passage {
    Passage {
        casting,
        bore: f.may("bore", size()),
        length: f.may("length", size()),
        volume: f.may("volume", size()),
        text: f.text(),
    }
}

fn source(f: &mut Fields<'_, '_>) -> Source {
    Source {
        feeds: f.need("feeds", CAVITY).unwrap_or_default(),
        draws: f.may("draws", CAVITY),
        displacement: f.may("displacement", size()),
        speed: f.may("speed", size()),
        leakage: f.may("leakage", size()),
        pressure: f.may("pressure", size()),
        text: f.text(),
    }
}

fn regulator(f: &mut Fields<'_, '_>) -> Regulator {
    let holds = f.need("holds", CAVITY).unwrap_or_default();
    let spills = f.may("spills", List(CAVITY));
    let reduces = f.may("reduces", CAVITY);
    f.exactly_one(&[&["spills"], &["reduces"]]);
    Regulator {
        holds,
        at: f.may("at", size()),
        work: match reduces {
            Some(from) => Work::Reduces(from),
            None => Work::Spills(spills.unwrap_or_default()),
        },
        boost: f.may("boost", Boost).unwrap_or_default(),
        band: f.may("band", size()),
        text: f.text(),
    }
}

fn relief(f: &mut Fields<'_, '_>) -> Relief {
    Relief {
        on: f.need("on", CAVITY).unwrap_or_default(),
        to: f.may("to", CAVITY),
        at: f.may("at", size()),
        text: f.text(),
    }
}

fn plate(f: &mut Fields<'_, '_>) -> Plate {
    Plate {
        // With the kind unknown, a cover: it allows the most.
        kind: f.need("kind", word()).unwrap_or(PlateKind::Cover),
        faces: f.may("faces", List(CASTING)).unwrap_or_default(),
        roofs: f.may("roofs", List(CAVITY)).unwrap_or_default(),
        separates: f.may("separates", List(List(CAVITY))).unwrap_or_default(),
        bolts: f.may("bolts", Count),
        torque: f.may("torque", size()),
        text: f.text(),
    }
}

fn port(f: &mut Fields<'_, '_>) -> Port {
    Port {
        between: between(f),
        bore: f.may("bore", size()),
        through: plates(f),
        under: f.may("under", PLATE),
        hole_at: f.may("hole-at", OneOrMore(CAVITY)).unwrap_or_default(),
        text: f.text(),
    }
}

fn orifice(f: &mut Fields<'_, '_>) -> Orifice {
    Orifice {
        between: between(f),
        bore: f.may("bore", size()),
        through: plates(f),
        under: f.may("under", PLATE),
        hole_at: f.may("hole-at", OneOrMore(CAVITY)).unwrap_or_default(),
        text: f.text(),
    }
}

fn clearance(f: &mut Fields<'_, '_>) -> Clearance {
    Clearance {
        between: between(f),
        gap: f.may("gap", size()),
        diameter: f.may("diameter", size()),
        length: f.may("length", size()),
        text: f.text(),
    }
}

fn ball(f: &mut Fields<'_, '_>) -> Ball {
    let kind = f.unless_bad("kind", word(), BallWord::OneWay);
    let one_way = kind.map(|k| k == BallWord::OneWay);
    let shuttle = kind.map(|k| k == BallWord::Shuttle);
    let from = f.only(one_way, "a one-way ball", "from", CAVITY);
    let to = f.only(one_way, "a one-way ball", "to", CAVITY);
    let lifts_at = f.maybe(one_way, "a one-way ball", "lifts-at", size());
    let inlets = f.only(shuttle, "a shuttle ball", "inlets", Pair(CAVITY));
    let outlet = f.only(shuttle, "a shuttle ball", "outlet", CAVITY);
    Ball {
        kind: match kind {
            Some(BallWord::Shuttle) => BallKind::Shuttle {
                inlets: inlets.unwrap_or_default(),
                outlet: outlet.unwrap_or_default(),
            },
            _ => BallKind::OneWay {
                from: from.unwrap_or_default(),
                to: to.unwrap_or_default(),
                lifts_at,
            },
        },
        bore: f.may("bore", size()),
        through: plates(f),
        under: f.may("under", PLATE),
        text: f.text(),
    }
}

fn seal(f: &mut Fields<'_, '_>) -> Seal {
    let kind = f.may("kind", word()).unwrap_or(SealKind::ORing);
    let on = f.may("on", Name("way"));
    let between = f.may("between", Pair(CAVITY));
    f.exactly_one(&[&["on"], &["between"]]);
    Seal {
        kind,
        seat: match between {
            Some(between) => SealSeat::Between(between),
            None => SealSeat::On(on.unwrap_or_default()),
        },
        text: f.text(),
    }
}

fn valve(f: &mut Fields<'_, '_>) -> Valve {
    let mut valve = Valve {
        bore: f.need("bore", List(CAVITY)).unwrap_or_default(),
        spring: f.may("spring", CAVITY),
        moves_at: f.may("moves-at", size()),
        diameter: f.may("diameter", size()),
        clearance: f.may("clearance", size()),
        plug: f.may("plug", Flag).unwrap_or_default(),
        clip: f.may("clip", Flag).unwrap_or_default(),
        sleeve: f.may("sleeve", Flag).unwrap_or_default(),
        text: f.text(),
        ..Valve::default()
    };
    f.hint(r#"write a position like high = { joins = [["line", "high-feed"]] }; "#.into());
    for (id, item) in f.tables() {
        let Some(table) = item.node.table() else {
            continue;
        };
        let near = f.near(id);
        let what = format!("position `{id}`");
        let mut inner = Fields::new(&what, table, &item.key, f.log());
        if let Some(key) = near.first() {
            inner.hint(format!(
                "`{id}` is read as a position of the valve: did you mean `{key}`? As a position "
            ));
        }
        let position = Position {
            joins: inner.may("joins", List(Joined)).unwrap_or_default(),
            when: inner.may("when", When),
            otherwise: inner.may("otherwise", Flag).unwrap_or_default(),
            text: inner.text(),
        };
        inner.finish();
        valve.positions.insert(id.to_owned(), position);
    }
    valve
}

fn solenoid(f: &mut Fields<'_, '_>) -> Solenoid {
    let kind = f.need("kind", word());
    let is = |wanted| kind.map(|k| k == wanted);
    let on = f.only(is(SolenoidWord::Bleed), "a bleed solenoid", "on", CAVITY);
    let two_way = is(SolenoidWord::TwoWay);
    let between = f.only(two_way, "a two-way solenoid", "between", Pair(CAVITY));
    let passes = kind.map(|k| k != SolenoidWord::Plunger);
    let owner = "a bleed or two-way solenoid";
    let normally = f.maybe(passes, owner, "normally", word::<Normally>());
    let bore = f.maybe(passes, owner, "bore", size());
    Solenoid {
        normally_open: match normally {
            Some(normally) => normally == Normally::Open,
            None => kind == Some(SolenoidWord::Bleed),
        },
        kind: match kind {
            Some(SolenoidWord::Bleed) => SolenoidKind::Bleed {
                on: on.unwrap_or_default(),
            },
            Some(SolenoidWord::TwoWay) => SolenoidKind::TwoWay {
                between: between.unwrap_or_default(),
            },
            _ => SolenoidKind::Plunger,
        },
        bore,
        text: f.text(),
    }
}

fn accumulator(f: &mut Fields<'_, '_>) -> Accumulator {
    Accumulator {
        at: f.need("at", CAVITY).unwrap_or_default(),
        back: f.may("back", CAVITY),
        volume: f.may("volume", size()),
        begins_at: f.may("begins-at", size()),
        full_at: f.may("full-at", size()),
        text: f.text(),
    }
}

fn through(f: &mut Fields<'_, '_>) -> Through {
    Through {
        between: between(f),
        bore: f.may("bore", size()),
        bypass: f.may("bypass", Name("ball")),
        needs: f.may("needs", size()),
        text: f.text(),
    }
}

fn outlet(f: &mut Fields<'_, '_>) -> Outlet {
    let kind = f.need("kind", word::<OutletKind>());
    let at = f.may("at", CAVITY);
    let apply = f.may("apply", CAVITY);
    let release = f.may("release", CAVITY);
    f.exactly_one(&[&["at"], &["apply", "release"]]);
    let flow = kind.is_some_and(|kind| !kind.by_pressure());
    let needs = f.may("needs", Needs { flow });
    Outlet {
        // With the kind unknown, whatever needs what this one does.
        kind: kind.unwrap_or(match needs {
            Some(circuit::Needs::Flow(_)) => OutletKind::Lube,
            _ => OutletKind::Clutch,
        }),
        seat: match (apply, release) {
            (None, None) => Seat::At(at.unwrap_or_default()),
            (apply, release) => Seat::TwoSided {
                apply: apply.unwrap_or_default(),
                release: release.unwrap_or_default(),
            },
        },
        needs,
        volume: f.may("volume", size()),
        spring: f.may("spring", size()),
        text: f.text(),
    }
}

fn tap(f: &mut Fields<'_, '_>) -> Tap {
    Tap {
        at: f.need("at", CAVITY).unwrap_or_default(),
        access: f.may("access", word()).unwrap_or_default(),
        text: f.text(),
    }
}

fn switch(f: &mut Fields<'_, '_>) -> Switch {
    Switch {
        at: f.need("at", CAVITY).unwrap_or_default(),
        closes_at: f.may("closes-at", size()),
        access: f.may("access", word()).unwrap_or_default(),
        text: f.text(),
    }
}

fn state(f: &mut Fields<'_, '_>) -> State {
    State {
        lever: f.may("lever", Name("detent")),
        on: f.may("on", List(SWITCHED)).unwrap_or_default(),
        levels: f
            .may("levels", Each("solenoid", word()))
            .unwrap_or_default(),
        valves: f
            .may("valves", Each("valve", Name("position")))
            .unwrap_or_default(),
        applies: f.may("applies", List(Name("outlet"))).unwrap_or_default(),
        boosts: f.may("boosts", List(Name("regulator"))).unwrap_or_default(),
        text: f.text(),
    }
}

fn between(f: &mut Fields<'_, '_>) -> [String; 2] {
    f.need("between", Pair(CAVITY)).unwrap_or_default()
}

fn plates(f: &mut Fields<'_, '_>) -> Vec<String> {
    f.may("through", OneOrMore(PLATE)).unwrap_or_default()
}
