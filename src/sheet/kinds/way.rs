//! What oil goes through.

use super::PLATE;
use crate::circuit::{self, Ball, BallKind, Clearance, Orifice, Port, Through};
use crate::sheet::fields::{Fields, Owner};
use crate::sheet::shape::{CAVITY, Name, OneOrMore, Pair, size, toleranced, word};
use crate::units::Length;

circuit::words! { BallWord: OneWay "one-way", Shuttle "shuttle", }

#[derive(Clone, Copy, PartialEq)]
enum BallWord {
    OneWay,
    Shuttle,
}

pub(super) fn port(f: &mut Fields<'_, '_>) -> Port {
    f.about("An open way from one cavity to another");
    Port {
        between: between(f),
        bore: bore(f),
        thickness: thickness(f),
        through: plates(f),
        under: under(f),
        hole_at: hole_at(f),
        text: f.text(),
    }
}

pub(super) fn orifice(f: &mut Fields<'_, '_>) -> Orifice {
    f.about("A metering hole from one cavity to another");
    Orifice {
        between: between(f),
        bore: bore(f),
        thickness: thickness(f),
        through: plates(f),
        under: under(f),
        hole_at: hole_at(f),
        text: f.text(),
    }
}

pub(super) fn clearance(f: &mut Fields<'_, '_>) -> Clearance {
    f.about("A running fit that always leaks a little");
    Clearance {
        between: between(f),
        gap: f.may("gap", "Play on the radius", toleranced()),
        diameter: f.may("diameter", "Diameter of the fit", toleranced()),
        length: f.may("length", "Length of the fit along the leak", toleranced()),
        wear: f.may(
            "wear",
            "How much wider the fit is where worn, on the radius",
            toleranced(),
        ),
        text: f.text(),
    }
}

pub(super) fn ball(f: &mut Fields<'_, '_>) -> Ball {
    f.about("A check ball: one-way, or a shuttle between two inlets");
    let kind = f.unless_bad("kind", "One-way unless said", word(), BallWord::OneWay);
    let owner = |what, word| Owner {
        what,
        is: kind.map(|k| k == word),
    };
    let one_way = owner("a one-way ball", BallWord::OneWay);
    let shuttle = owner("a shuttle ball", BallWord::Shuttle);
    let from = f.only(one_way, "from", "Cavity the oil comes from", CAVITY);
    let to = f.only(one_way, "to", "Cavity the oil goes to", CAVITY);
    let lifts_at = f.maybe(
        one_way,
        "lifts-at",
        "Pressure that lifts it off a spring",
        toleranced(),
    );
    let inlets = f.only(
        shuttle,
        "inlets",
        "The two feeds; the higher shuts the lower",
        Pair(CAVITY),
    );
    let outlet = f.only(shuttle, "outlet", "Cavity both feed", CAVITY);
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
        bore: bore(f),
        through: plates(f),
        under: under(f),
        text: f.text(),
    }
}

pub(super) fn through(f: &mut Fields<'_, '_>, about: &'static str) -> Through {
    f.about(about);
    f.at_most_one(&[&["bore"], &["passes", "drop", "passes-at"]]);
    Through {
        between: between(f),
        bore: f.may(
            "bore",
            "Hole that would cost as much pressure",
            toleranced(),
        ),
        passes: f.may("passes", "Flow it was measured with", size()),
        drop: f.may("drop", "Pressure that flow costs", size()),
        passes_at: f.may("passes-at", "How hot the oil was", size()),
        bypass: f.may(
            "bypass",
            "One-way ball that lets oil past when it is blocked",
            Name("ball"),
        ),
        needs: f.may("needs", "Flow it needs", size()),
        text: f.text(),
    }
}

fn between(f: &mut Fields<'_, '_>) -> [String; 2] {
    f.need("between", "The two cavities it joins", Pair(CAVITY))
        .unwrap_or_default()
}

fn bore(f: &mut Fields<'_, '_>) -> Option<Length> {
    f.may("bore", "Diameter of the hole", toleranced())
}

fn thickness(f: &mut Fields<'_, '_>) -> Option<Length> {
    f.may(
        "thickness",
        "Length of the hole; of the plate it goes through unless said",
        toleranced(),
    )
}

fn plates(f: &mut Fields<'_, '_>) -> Vec<String> {
    f.may("through", "Plates it passes through", OneOrMore(PLATE))
        .unwrap_or_default()
}

fn under(f: &mut Fields<'_, '_>) -> Option<String> {
    f.may(
        "under",
        "Cover it lies under: without the cover it is not there",
        PLATE,
    )
}

fn hole_at(f: &mut Fields<'_, '_>) -> Vec<String> {
    f.may(
        "hole-at",
        "Ends at which its hole is in the casting: they stay metered when the cover is left out",
        OneOrMore(CAVITY),
    )
    .unwrap_or_default()
}
