//! What makes oil, holds its pressure and sends it where it goes.

use super::join::Joined;
use crate::circuit::{
    self, Accumulator, Position, Regulator, Relief, Solenoid, SolenoidKind, Source, Valve, Work,
};
use crate::sheet::fields::{Fields, Owner};
use crate::sheet::keys;
use crate::sheet::shape::{Boost, CAVITY, Flag, List, Pair, When, size, toleranced, word};
use crate::units::Length;

circuit::words! { SolenoidWord: Bleed "bleed", TwoWay "two-way", Plunger "plunger", }
circuit::words! { Normally: Open "open", Closed "closed", }

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

pub(super) fn source(f: &mut Fields<'_, '_>) -> Source {
    f.about("A pump or a supply of fixed pressure");
    Source {
        feeds: f
            .need("feeds", "Cavity it delivers to", CAVITY)
            .unwrap_or_default(),
        draws: f.may(
            "draws",
            "Cavity it draws from; the sump unless said",
            CAVITY,
        ),
        displacement: f.may("displacement", "What a pump delivers a turn", toleranced()),
        speed: f.may("speed", "How fast a pump turns", toleranced()),
        leakage: f.may("leakage", "What a pump loses inside", toleranced()),
        leaks_at: f.may("leaks-at", "Pressure it loses that at", toleranced()),
        worn_leakage: f.may(
            "worn-leakage",
            "What it loses inside where worn",
            toleranced(),
        ),
        pressure: f.may(
            "pressure",
            "Pressure of a supply that is no pump",
            toleranced(),
        ),
        text: f.text(),
    }
}

pub(super) fn regulator(f: &mut Fields<'_, '_>) -> Regulator {
    f.about("A valve that holds a cavity at a pressure");
    let holds = f
        .need("holds", "Cavity it holds", CAVITY)
        .unwrap_or_default();
    let spills = f.may(
        "spills",
        "Where it lets oil go to hold the pressure, in the order it opens",
        List(CAVITY),
    );
    let reduces = f.may(
        "reduces",
        "Cavity whose pressure it lets through, reduced",
        CAVITY,
    );
    f.exactly_one(&[&["spills"], &["reduces"]]);
    Regulator {
        holds,
        at: f.may("at", "Pressure it holds it at", toleranced()),
        work: match reduces {
            Some(from) => Work::Reduces(from),
            None => Work::Spills(spills.unwrap_or_default()),
        },
        boost: f
            .may(
                "boost",
                "Cavities whose pressure raises what it holds, with by how much where known",
                Boost,
            )
            .unwrap_or_default(),
        band: f.may(
            "band",
            "Rise of pressure from just working to wide open",
            toleranced(),
        ),
        bore: wide_open(f),
        text: f.text(),
    }
}

pub(super) fn relief(f: &mut Fields<'_, '_>) -> Relief {
    f.about("A valve that opens above a pressure");
    Relief {
        on: f
            .need("on", "Cavity it protects", CAVITY)
            .unwrap_or_default(),
        to: f.may("to", "Where it lets oil go; the sump unless said", CAVITY),
        at: f.may("at", "Pressure it opens at", toleranced()),
        rise: f.may(
            "rise",
            "Rise of pressure from just opening to wide open",
            toleranced(),
        ),
        bore: wide_open(f),
        text: f.text(),
    }
}

fn wide_open(f: &mut Fields<'_, '_>) -> Option<Length> {
    f.may("bore", "Hole as large as its port wide open", toleranced())
}

pub(super) fn valve(f: &mut Fields<'_, '_>) -> Valve {
    f.about("A spool valve: its ports in order along the bore, and its positions, each a table of its own");
    let mut valve = Valve {
        bore: f
            .need(
                "bore",
                "Its ports in order along the bore, both ends included; a cavity may stand twice",
                List(CAVITY),
            )
            .unwrap_or_default(),
        spring: f.may("spring", "End with the spring", CAVITY),
        moves_at: f.may(
            "moves-at",
            "Pressure that moves it against the spring",
            size(),
        ),
        diameter: f.may("diameter", "Diameter of the spool", toleranced()),
        clearance: f.may(
            "clearance",
            "Play of the spool in its bore, on the radius",
            toleranced(),
        ),
        land: f.may("land", "Length of a land between two ports", toleranced()),
        opening: f.may(
            "opening",
            "Hole as large as an open port of it",
            toleranced(),
        ),
        wear: f.may(
            "wear",
            "How much wider its bore is where worn, on the radius",
            toleranced(),
        ),
        plug: f
            .may("plug", "Whether an end plug holds it in", Flag)
            .unwrap_or_default(),
        clip: f
            .may("clip", "Whether a clip holds it in", Flag)
            .unwrap_or_default(),
        sleeve: f
            .may("sleeve", "Whether it runs in a sleeve", Flag)
            .unwrap_or_default(),
        text: f.text(),
        ..Valve::default()
    };
    f.hint(r#"write a position like high = { joins = [["line", "high-feed"]] }; "#.into());
    for (id, item) in f.tables(|| keys::of(|f| drop(position(f)))) {
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
        let position = position(&mut inner);
        inner.finish();
        valve.positions.insert(id.to_owned(), position);
    }
    valve
}

fn position(f: &mut Fields<'_, '_>) -> Position {
    f.about("A position the valve can stand in");
    Position {
        joins: f
            .may(
                "joins",
                "Cavities that run together there, run by run",
                List(Joined),
            )
            .unwrap_or_default(),
        when: f.may("when", "Rule that puts the valve there", When),
        otherwise: f
            .may(
                "otherwise",
                "Whether it stands there when no rule holds",
                Flag,
            )
            .unwrap_or_default(),
        text: f.text(),
    }
}

pub(super) fn solenoid(f: &mut Fields<'_, '_>) -> Solenoid {
    f.about("An electric valve");
    let kind = f.need("kind", "What it does", word());
    let owner = |what, is: fn(SolenoidWord) -> bool| Owner {
        what,
        is: kind.map(is),
    };
    let bleed = owner("a bleed solenoid", |k| k == SolenoidWord::Bleed);
    let two_way = owner("a two-way solenoid", |k| k == SolenoidWord::TwoWay);
    let passes = owner("a bleed or two-way solenoid", |k| {
        k != SolenoidWord::Plunger
    });
    let on = f.only(bleed, "on", "Cavity it dumps", CAVITY);
    let between = f.only(two_way, "between", "Cavities it joins", Pair(CAVITY));
    let normally = f.maybe(
        passes,
        "normally",
        "How it stands without current; a bleed open, a two-way closed unless said",
        word::<Normally>(),
    );
    let bore = f.maybe(passes, "bore", "Diameter of its hole", toleranced());
    let driven = f.maybe(
        passes,
        "driven",
        "Hole as large as its mean opening where it is driven in between",
        toleranced(),
    );
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
        driven,
        text: f.text(),
    }
}

pub(super) fn accumulator(f: &mut Fields<'_, '_>) -> Accumulator {
    f.about("A spring piston that stores oil");
    Accumulator {
        at: f
            .need("at", "Cavity it fills from", CAVITY)
            .unwrap_or_default(),
        back: f.may(
            "back",
            "Cavity behind the piston; the sump unless said",
            CAVITY,
        ),
        volume: f.may("volume", "Oil it takes", size()),
        begins_at: f.may("begins-at", "Pressure it begins to fill at", size()),
        full_at: f.may("full-at", "Pressure it is full at", size()),
        text: f.text(),
    }
}
