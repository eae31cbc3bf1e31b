//! Valid parts of every kind with every option.
//!
//! Ids are drawn from small pools that are always declared, so that every mention resolves;
//! what each part says beyond its ids is free.

use indexmap::IndexMap;
use oilpath::circuit::*;
use oilpath::units::{KinematicViscosity, Quantity, Temperature};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

pub const BLOCK: [&str; 6] = [
    "line",
    "low-feed",
    "high-feed",
    "pilot",
    "spring_pocket",
    "2nd",
];
pub const CASE: [&str; 3] = ["lube-rear", "schmierö", "converter-in"];
pub const LEVER: [&str; 4] = ["P", "R", "N", "D"];

pub fn texts<const N: usize>(pool: [&str; N]) -> Vec<String> {
    pool.map(str::to_owned).to_vec()
}

pub fn listed() -> Vec<String> {
    [texts(BLOCK), texts(CASE)].concat()
}

pub fn cavity() -> impl Strategy<Value = String> {
    let mut all = listed();
    all.push(SUMP.to_owned());
    select(all)
}

pub fn cavities(most: usize) -> impl Strategy<Value = Vec<String>> {
    vec(cavity(), 0..most)
}

/// Two different cavities.
pub fn pair() -> impl Strategy<Value = [String; 2]> {
    let two = subsequence(listed(), 2).prop_shuffle();
    two.prop_map(|two| [two[0].clone(), two[1].clone()])
}

pub fn size<Q: Quantity + std::fmt::Debug>() -> impl Strategy<Value = Option<Q>> {
    let number = prop_oneof![
        (0u32..2000).prop_map(|n| f64::from(n) / 1000.0),
        1e-12..1e12f64
    ];
    option::of(number.prop_map(Q::from_si))
}

pub fn words() -> impl Strategy<Value = Option<String>> {
    option::of(prop_oneof![
        "[a-zäöü0-9 ,.;:'\"\\\\-]{0,40}",
        "[a-z \n\r\t\"\\\\]{0,20}",
        vec(any::<char>(), 0..8).prop_map(String::from_iter),
    ])
}

pub fn text() -> impl Strategy<Value = Text> {
    (words(), words()).prop_map(|(label, note)| Text { label, note })
}

pub fn some_of<const N: usize>(pool: [&'static str; N]) -> impl Strategy<Value = Vec<String>> {
    subsequence(texts(pool), 0..=N)
}

pub fn plates() -> impl Strategy<Value = Vec<String>> {
    some_of(["hop-cover", "main-gasket", "separator"])
}

pub fn cover() -> impl Strategy<Value = Option<String>> {
    option::of(Just("hop-cover".to_owned()))
}

/// A part for each of some ids.
pub fn each<P: std::fmt::Debug + Clone>(
    ids: &'static [&'static str],
    part: impl Strategy<Value = P>,
) -> impl Strategy<Value = IndexMap<String, P>> {
    vec(part, ids.len())
        .prop_map(|parts| ids.iter().map(|id| (*id).to_owned()).zip(parts).collect())
}

pub type Way = (
    [String; 2],
    [Option<oilpath::units::Length>; 2],
    Vec<String>,
    Option<String>,
    Vec<String>,
    Text,
);

pub fn way() -> impl Strategy<Value = Way> {
    pair().prop_flat_map(|ends| {
        let holes = subsequence(ends.to_vec(), 0..=2);
        (
            Just(ends),
            [size(), size()],
            plates(),
            cover(),
            holes,
            text(),
        )
    })
}

pub fn source() -> impl Strategy<Value = Source> {
    let drive = prop_oneof![(size(), Just(None)), (Just(None), size()),];
    (
        cavity(),
        option::of(cavity()),
        drive,
        size(),
        (size(), size(), size()),
        text(),
    )
        .prop_map(
            |(feeds, draws, (displacement, pressure), speed, leakages, text)| Source {
                feeds,
                draws,
                displacement,
                speed,
                leakage: leakages.0,
                leaks_at: leakages.1,
                worn_leakage: leakages.2,
                pressure,
                text,
            },
        )
}

pub fn regulator() -> impl Strategy<Value = Regulator> {
    let work = prop_oneof![
        cavities(4).prop_map(Work::Spills),
        cavity().prop_map(Work::Reduces),
    ];
    let boost = subsequence(listed(), 0..3)
        .prop_flat_map(|ids| vec(size(), ids.len()).prop_map(move |s| (ids.clone(), s)))
        .prop_map(|(ids, sizes)| ids.into_iter().zip(sizes).collect());
    (cavity(), size(), work, boost, size(), size(), text()).prop_map(
        |(holds, at, work, boost, band, bore, text)| Regulator {
            holds,
            at,
            work,
            boost,
            band,
            bore,
            text,
        },
    )
}

pub fn relief() -> impl Strategy<Value = Relief> {
    let sizes = (size(), size(), size());
    (cavity(), option::of(cavity()), sizes, text()).prop_map(|(on, to, (at, rise, bore), text)| {
        Relief {
            on,
            to,
            at,
            rise,
            bore,
            text,
        }
    })
}

pub fn plate(kinds: &'static [PlateKind]) -> impl Strategy<Value = Plate> {
    (
        select(kinds),
        some_of(["block", "case"]),
        cavities(4),
        vec(vec(cavity(), 2..4), 0..3),
        option::of(1u32..40),
        size(),
        [size(), size(), size()],
        text(),
    )
        .prop_map(
            |(kind, faces, roofs, separates, bolts, torque, [thickness, gap, wall], text)| Plate {
                kind,
                faces,
                roofs,
                separates,
                bolts,
                torque,
                thickness,
                gap,
                wall,
                text,
            },
        )
}

pub fn ball() -> impl Strategy<Value = Ball> {
    let kind = prop_oneof![
        (cavity(), cavity(), size()).prop_map(|(from, to, lifts_at)| BallKind::OneWay {
            from,
            to,
            lifts_at
        }),
        (pair(), cavity()).prop_map(|(inlets, outlet)| BallKind::Shuttle { inlets, outlet }),
    ];
    (kind, size(), plates(), cover(), text()).prop_map(|(kind, bore, through, under, text)| Ball {
        kind,
        bore,
        through,
        under,
        text,
    })
}

pub fn seal() -> impl Strategy<Value = Seal> {
    let seat = prop_oneof![
        select(vec!["port.feed", "hop", "fit", "check", "strainer"])
            .prop_map(|way| SealSeat::On(way.to_owned())),
        pair().prop_map(SealSeat::Between),
    ];
    (select(SealKind::ALL), seat, text()).prop_map(|(kind, seat, text)| Seal { kind, seat, text })
}

pub fn rule() -> impl Strategy<Value = Rule> {
    let names = vec![
        "line",
        "passage.pilot",
        "solenoid.pilot",
        "schmierö",
        "kick-down",
        "lever.D",
        "lever.R",
    ];
    let leaf = select(names).prop_map(|name| Rule::Name(name.to_owned()));
    leaf.prop_recursive(3, 12, 3, |inner| {
        let many = vec(inner.clone(), 2..4);
        prop_oneof![
            inner.prop_map(|rule| Rule::Not(Box::new(rule))),
            many.clone().prop_map(Rule::And),
            many.prop_map(Rule::Or),
        ]
    })
}

pub fn valve() -> impl Strategy<Value = Valve> {
    let bore = vec(cavity(), 2..9);
    bore.prop_flat_map(|bore| {
        let join = (vec(select(bore.clone()), 2..4), size())
            .prop_map(|(cavities, bore)| Join { cavities, bore });
        let position = (vec(join, 0..3), option::of(rule()), text());
        let ends = vec![bore[0].clone(), bore[bore.len() - 1].clone()];
        (
            Just(bore),
            each(&["low", "high", "zwischen-größe"], position),
            any::<bool>(),
            option::of(select(ends)),
            (size(), [size(), size(), size(), size(), size()]),
            any::<[bool; 3]>(),
            text(),
        )
    })
    .prop_map(
        |(bore, positions, rests, spring, (moves_at, lengths), [plug, clip, sleeve], text)| {
            let [diameter, clearance, land, opening, wear] = lengths;
            // Without a place to rest, no rule may be missing.
            let ruled = rests && positions.contains_key("low");
            let mut before = Vec::new();
            Valve {
                bore,
                positions: positions
                    .into_iter()
                    .map(|(id, (joins, when, text))| {
                        let otherwise = rests && id == "low";
                        let when = when.filter(|_| ruled && !otherwise);
                        let when = when.map(|rule| giving_way(rule, &mut before));
                        let position = Position {
                            joins,
                            when,
                            otherwise,
                            text,
                        };
                        (id, position)
                    })
                    .collect(),
                spring,
                moves_at,
                diameter,
                clearance,
                land,
                opening,
                wear,
                plug,
                clip,
                sleeve,
                text,
            }
        },
    )
}

/// A rule that holds only where none of those before it does.
fn giving_way(rule: Rule, before: &mut Vec<Rule>) -> Rule {
    let others = before.iter().map(|b| Rule::Not(Box::new(b.clone())));
    let mut all: Vec<Rule> = std::iter::once(rule.clone()).chain(others).collect();
    before.push(rule);
    match all.len() {
        1 => all.remove(0),
        _ => Rule::And(all),
    }
}

pub fn solenoid() -> impl Strategy<Value = Solenoid> {
    let kind = prop_oneof![
        cavity().prop_map(|on| SolenoidKind::Bleed { on }),
        pair().prop_map(|between| SolenoidKind::TwoWay { between }),
        Just(SolenoidKind::Plunger),
    ];
    let sizes = (size(), size());
    (kind, any::<bool>(), sizes, text()).prop_map(|(kind, open, (bore, driven), text)| {
        // A plunger has no way to be open and no bore.
        let passes = kind != SolenoidKind::Plunger;
        Solenoid {
            kind,
            normally_open: open && passes,
            bore: bore.filter(|_| passes),
            driven: driven.filter(|_| passes),
            text,
        }
    })
}

pub fn accumulator() -> impl Strategy<Value = Accumulator> {
    (
        cavity(),
        option::of(cavity()),
        size(),
        size(),
        size(),
        text(),
    )
        .prop_map(|(at, back, volume, begins_at, full_at, text)| Accumulator {
            at,
            back,
            volume,
            begins_at,
            full_at,
            text,
        })
}

pub fn through() -> impl Strategy<Value = Through> {
    let bypass = option::of(Just("check".to_owned()));
    (pair(), loss(), bypass, size(), text()).prop_map(|(between, loss, bypass, needs, text)| {
        Through {
            between,
            bypass,
            needs,
            text,
            ..loss
        }
    })
}

/// What a filter costs, by a bore or by one known point, whole.
fn loss() -> impl Strategy<Value = Through> {
    let point = (size(), size(), size());
    prop_oneof![
        size().prop_map(|bore| Through {
            bore,
            ..Through::default()
        }),
        point.prop_map(|(passes, drop, passes_at)| {
            let whole = passes.is_some() && drop.is_some() && passes_at.is_some();
            Through {
                passes: passes.filter(|_| whole),
                drop: drop.filter(|_| whole),
                passes_at: passes_at.filter(|_| whole),
                ..Through::default()
            }
        }),
    ]
}

/// An oil that thins as it warms.
pub fn oil() -> impl Strategy<Value = Oil> {
    let point = || (1.0..1e3f64, 1e-6..1e-3f64);
    (
        point(),
        1.0..99.0f64,
        0.01..0.99f64,
        any::<bool>(),
        size(),
        text(),
    )
        .prop_map(
            |((kelvin, thick), warmer, thinner, colder_last, density, text)| {
                let at = |kelvin, viscosity| {
                    let viscosity = KinematicViscosity::from_m2_per_s(viscosity);
                    (Temperature::from_kelvin(kelvin), viscosity)
                };
                let mut viscosity = [at(kelvin, thick), at(kelvin + warmer, thick * thinner)];
                if colder_last {
                    viscosity.reverse();
                }
                Oil {
                    viscosity,
                    density,
                    text,
                }
            },
        )
}

pub fn outlet() -> impl Strategy<Value = Outlet> {
    let seat = prop_oneof![
        cavity().prop_map(Seat::At),
        (cavity(), cavity()).prop_map(|(apply, release)| Seat::TwoSided { apply, release }),
    ];
    let needs = (size(), size());
    let sizes = (size(), size(), size(), size());
    (select(OutletKind::ALL), seat, needs, sizes, text()).prop_map(
        |(kind, seat, (pressure, flow), (volume, spring, stroked_at, bore), text)| Outlet {
            kind,
            seat,
            needs: if kind.by_pressure() {
                pressure.map(Needs::Pressure)
            } else {
                flow.map(Needs::Flow)
            },
            volume,
            spring,
            stroked_at,
            bore: bore.filter(|_| !kind.by_pressure()),
            text,
        },
    )
}

pub fn state() -> impl Strategy<Value = State> {
    let level = select(Level::ALL);
    (
        option::of(select(texts(LEVER))),
        some_of(["pilot", "kick-down"]),
        option::of(level),
        option::of(select(vec!["low", "high", "zwischen-größe"])),
        some_of(["low-clutch", "band"]),
        some_of(["main", "reducer"]),
        (size(), size()),
        text(),
    )
        .prop_map(
            |(lever, on, level, position, applies, boosts, (speed, oil_temperature), text)| State {
                lever,
                on,
                levels: level
                    .map(|l| ("lock-up".to_owned(), l))
                    .into_iter()
                    .collect(),
                valves: position
                    .map(|p| ("range".to_owned(), p.to_owned()))
                    .into_iter()
                    .collect(),
                applies,
                boosts,
                speed,
                oil_temperature,
                text,
            },
        )
}
