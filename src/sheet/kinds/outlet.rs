//! What the oil is for, where it shows, and how the gearbox is driven.

use super::SWITCHED;
use crate::circuit::{self, Input, Outlet, OutletKind, Seat, State, Switch, Tap};
use crate::sheet::fields::{Fields, Owner};
use crate::sheet::shape::{CAVITY, Each, List, Name, Needs, size, toleranced, word};

pub(super) fn outlet(f: &mut Fields<'_, '_>) -> Outlet {
    f.about("What the oil is for: a clutch, a bearing");
    let kind = f.need("kind", "What it is", word::<OutletKind>());
    let at = f.may("at", "Cavity it takes its oil from", CAVITY);
    let apply = f.may("apply", "Cavity that applies a two-sided one", CAVITY);
    let release = f.may("release", "Cavity that releases a two-sided one", CAVITY);
    f.exactly_one(&[&["at"], &["apply", "release"]]);
    let flow = kind.is_some_and(|kind| !kind.by_pressure());
    let needs = f.may(
        "needs",
        "Pressure a clutch, brake, servo or lock-up needs; flow anything else does",
        Needs { flow },
    );
    let by_flow = Owner {
        what: "an outlet that lives by flow",
        is: kind.map(|kind| !kind.by_pressure()),
    };
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
        volume: f.may("volume", "Oil it takes to apply", size()),
        spring: f.may("spring", "Pressure its return spring takes", size()),
        stroked_at: f.may(
            "stroked-at",
            "Pressure its return spring takes at the end of the stroke",
            size(),
        ),
        bore: f.maybe(
            by_flow,
            "bore",
            "Hole that would let as much by",
            toleranced(),
        ),
        text: f.text(),
    }
}

pub(super) fn tap(f: &mut Fields<'_, '_>) -> Tap {
    f.about("A place for a gauge");
    Tap {
        at: f.need("at", "Cavity it shows", CAVITY).unwrap_or_default(),
        access: f
            .may(
                "access",
                "How hard it is to reach; outside unless said",
                word(),
            )
            .unwrap_or_default(),
        text: f.text(),
    }
}

pub(super) fn switch(f: &mut Fields<'_, '_>) -> Switch {
    f.about("A pressure switch");
    Switch {
        at: f
            .need("at", "Cavity it watches", CAVITY)
            .unwrap_or_default(),
        closes_at: f.may("closes-at", "Pressure it closes at", size()),
        access: f
            .may(
                "access",
                "How hard it is to reach; outside unless said",
                word(),
            )
            .unwrap_or_default(),
        text: f.text(),
    }
}

pub(super) fn input(f: &mut Fields<'_, '_>) -> Input {
    f.about("An outside condition that rules name: road speed, heat");
    Input { text: f.text() }
}

pub(super) fn state(f: &mut Fields<'_, '_>) -> State {
    f.about("One way the gearbox is driven");
    State {
        lever: f.may("lever", "Detent the lever is in", Name("detent")),
        on: f
            .may(
                "on",
                "Solenoids with current and inputs that hold",
                List(SWITCHED),
            )
            .unwrap_or_default(),
        levels: f
            .may(
                "levels",
                "Solenoids held between off and full, each with its level",
                Each("solenoid", word()),
            )
            .unwrap_or_default(),
        valves: f
            .may(
                "valves",
                "Valves held in a position whatever the oil does, each with which",
                Each("valve", Name("position")),
            )
            .unwrap_or_default(),
        applies: f
            .may(
                "applies",
                "Outlets that should be applied",
                List(Name("outlet")),
            )
            .unwrap_or_default(),
        boosts: f
            .may(
                "boosts",
                "Regulators that should be boosted",
                List(Name("regulator")),
            )
            .unwrap_or_default(),
        speed: f.may("speed", "How fast the pump turns", size()),
        oil_temperature: f.may("oil-temperature", "How hot the oil is", size()),
        text: f.text(),
    }
}
