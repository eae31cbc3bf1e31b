//! Valid circuits of every kind with every option.
//!
//! Ids are drawn from small pools that are always declared, so that every mention resolves;
//! what each part says beyond its ids is free.

use indexmap::IndexMap;
use oilpath::circuit::*;
use oilpath::units::Quantity;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

const BLOCK: [&str; 6] = [
    "line",
    "low-feed",
    "high-feed",
    "pilot",
    "spring_pocket",
    "2nd",
];
const CASE: [&str; 3] = ["lube-rear", "schmierö", "converter-in"];
const LEVER: [&str; 4] = ["P", "R", "N", "D"];

fn texts<const N: usize>(pool: [&str; N]) -> Vec<String> {
    pool.map(str::to_owned).to_vec()
}

fn listed() -> Vec<String> {
    [texts(BLOCK), texts(CASE)].concat()
}

fn cavity() -> impl Strategy<Value = String> {
    let mut all = listed();
    all.push(SUMP.to_owned());
    select(all)
}

fn cavities(most: usize) -> impl Strategy<Value = Vec<String>> {
    vec(cavity(), 0..most)
}

/// Two different cavities.
fn pair() -> impl Strategy<Value = [String; 2]> {
    let two = subsequence(listed(), 2).prop_shuffle();
    two.prop_map(|two| [two[0].clone(), two[1].clone()])
}

fn size<Q: Quantity + std::fmt::Debug>() -> impl Strategy<Value = Option<Q>> {
    let number = prop_oneof![
        (0u32..2000).prop_map(|n| f64::from(n) / 1000.0),
        1e-12..1e12f64
    ];
    option::of(number.prop_map(Q::from_si))
}

fn words() -> impl Strategy<Value = Option<String>> {
    option::of(prop_oneof![
        "[a-zäöü0-9 ,.;:'\"\\\\-]{0,40}",
        "[a-z \n\r\t\"\\\\]{0,20}",
        vec(any::<char>(), 0..8).prop_map(String::from_iter),
    ])
}

fn text() -> impl Strategy<Value = Text> {
    (words(), words()).prop_map(|(label, note)| Text { label, note })
}

fn some_of<const N: usize>(pool: [&'static str; N]) -> impl Strategy<Value = Vec<String>> {
    subsequence(texts(pool), 0..=N)
}

fn plates() -> impl Strategy<Value = Vec<String>> {
    some_of(["hop-cover", "main-gasket", "separator"])
}

fn cover() -> impl Strategy<Value = Option<String>> {
    option::of(Just("hop-cover".to_owned()))
}

/// A part for each of some ids.
fn each<P: std::fmt::Debug + Clone>(
    ids: &'static [&'static str],
    part: impl Strategy<Value = P>,
) -> impl Strategy<Value = IndexMap<String, P>> {
    vec(part, ids.len())
        .prop_map(|parts| ids.iter().map(|id| (*id).to_owned()).zip(parts).collect())
}

type Way = (
    [String; 2],
    Option<oilpath::units::Length>,
    Vec<String>,
    Option<String>,
    Vec<String>,
    Text,
);

fn way() -> impl Strategy<Value = Way> {
    pair().prop_flat_map(|ends| {
        let holes = subsequence(ends.to_vec(), 0..=2);
        (Just(ends), size(), plates(), cover(), holes, text())
    })
}

fn source() -> impl Strategy<Value = Source> {
    let drive = prop_oneof![(size(), Just(None)), (Just(None), size()),];
    (
        cavity(),
        option::of(cavity()),
        drive,
        size(),
        size(),
        text(),
    )
        .prop_map(
            |(feeds, draws, (displacement, pressure), speed, leakage, text)| Source {
                feeds,
                draws,
                displacement,
                speed,
                leakage,
                pressure,
                text,
            },
        )
}

fn regulator() -> impl Strategy<Value = Regulator> {
    let work = prop_oneof![
        cavities(4).prop_map(Work::Spills),
        cavity().prop_map(Work::Reduces),
    ];
    let boost = subsequence(listed(), 0..3)
        .prop_flat_map(|ids| vec(size(), ids.len()).prop_map(move |s| (ids.clone(), s)))
        .prop_map(|(ids, sizes)| ids.into_iter().zip(sizes).collect());
    (cavity(), size(), work, boost, size(), text()).prop_map(
        |(holds, at, work, boost, band, text)| Regulator {
            holds,
            at,
            work,
            boost,
            band,
            text,
        },
    )
}

fn relief() -> impl Strategy<Value = Relief> {
    (cavity(), option::of(cavity()), size(), text()).prop_map(|(on, to, at, text)| Relief {
        on,
        to,
        at,
        text,
    })
}

fn plate(kinds: &'static [PlateKind]) -> impl Strategy<Value = Plate> {
    (
        select(kinds),
        some_of(["block", "case"]),
        cavities(4),
        vec(vec(cavity(), 2..4), 0..3),
        option::of(1u32..40),
        size(),
        text(),
    )
        .prop_map(
            |(kind, faces, roofs, separates, bolts, torque, text)| Plate {
                kind,
                faces,
                roofs,
                separates,
                bolts,
                torque,
                text,
            },
        )
}

fn ball() -> impl Strategy<Value = Ball> {
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

fn seal() -> impl Strategy<Value = Seal> {
    let seat = prop_oneof![
        select(vec!["port.feed", "hop", "fit", "check", "strainer"])
            .prop_map(|way| SealSeat::On(way.to_owned())),
        pair().prop_map(SealSeat::Between),
    ];
    (select(SealKind::ALL), seat, text()).prop_map(|(kind, seat, text)| Seal { kind, seat, text })
}

fn rule() -> impl Strategy<Value = Rule> {
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

fn valve() -> impl Strategy<Value = Valve> {
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
            (size(), size(), size()),
            any::<[bool; 3]>(),
            text(),
        )
    })
    .prop_map(
        |(bore, positions, rests, spring, sizes, [plug, clip, sleeve], text)| Valve {
            bore,
            positions: positions
                .into_iter()
                .map(|(id, (joins, when, text))| {
                    let otherwise = rests && id == "low";
                    let when = when.filter(|_| !otherwise);
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
            moves_at: sizes.0,
            diameter: sizes.1,
            clearance: sizes.2,
            plug,
            clip,
            sleeve,
            text,
        },
    )
}

fn solenoid() -> impl Strategy<Value = Solenoid> {
    let kind = prop_oneof![
        cavity().prop_map(|on| SolenoidKind::Bleed { on }),
        pair().prop_map(|between| SolenoidKind::TwoWay { between }),
        Just(SolenoidKind::Plunger),
    ];
    (kind, any::<bool>(), size(), text()).prop_map(|(kind, open, bore, text)| {
        // A plunger has no way to be open and no bore.
        let passes = kind != SolenoidKind::Plunger;
        Solenoid {
            kind,
            normally_open: open && passes,
            bore: bore.filter(|_| passes),
            text,
        }
    })
}

fn accumulator() -> impl Strategy<Value = Accumulator> {
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

fn through() -> impl Strategy<Value = Through> {
    let bypass = option::of(Just("check".to_owned()));
    (pair(), size(), bypass, size(), text()).prop_map(|(between, bore, bypass, needs, text)| {
        Through {
            between,
            bore,
            bypass,
            needs,
            text,
        }
    })
}

fn outlet() -> impl Strategy<Value = Outlet> {
    let seat = prop_oneof![
        cavity().prop_map(Seat::At),
        (cavity(), cavity()).prop_map(|(apply, release)| Seat::TwoSided { apply, release }),
    ];
    let needs = (size(), size());
    (select(OutletKind::ALL), seat, needs, size(), size(), text()).prop_map(
        |(kind, seat, (pressure, flow), volume, spring, text)| Outlet {
            kind,
            seat,
            needs: if kind.by_pressure() {
                pressure.map(Needs::Pressure)
            } else {
                flow.map(Needs::Flow)
            },
            volume,
            spring,
            text,
        },
    )
}

fn state() -> impl Strategy<Value = State> {
    let level = select(Level::ALL);
    (
        option::of(select(texts(LEVER))),
        some_of(["pilot", "kick-down"]),
        option::of(level),
        option::of(select(vec!["low", "high", "zwischen-größe"])),
        some_of(["low-clutch", "band"]),
        some_of(["main", "reducer"]),
        text(),
    )
        .prop_map(
            |(lever, on, level, position, applies, boosts, text)| State {
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
                text,
            },
        )
}

/// Any valid circuit.
pub fn circuit() -> impl Strategy<Value = Circuit> {
    let bodies = (
        (words(), words()),
        each(&["block", "case"], text()),
        vec((size(), size(), size(), text()), BLOCK.len() + CASE.len()),
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
        each(&["fit"], (pair(), size(), size(), size(), text())),
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
    (bodies, ways, control).prop_map(|(bodies, ways, control)| {
        let (top, castings, details, sources, regulators, reliefs, covers, plates) = bodies;
        let (ports, orifices, clearances, balls, seals, filters, converters, coolers) = ways;
        let (valves, solenoids, accumulators, outlets, taps, switches, inputs, states) = control;
        let homes = BLOCK.map(|id| (id, "block")).into_iter();
        let homes = homes.chain(CASE.map(|id| (id, "case")));
        Circuit {
            title: top.0,
            note: top.1,
            lever: texts(LEVER),
            castings: map(castings, |text| Casting { text }),
            passages: homes
                .zip(details)
                .map(|((id, casting), (bore, length, volume, text))| {
                    let passage = Passage {
                        casting: casting.to_owned(),
                        bore,
                        length,
                        volume,
                        text,
                    };
                    (id.to_owned(), passage)
                })
                .collect(),
            sources,
            regulators,
            reliefs,
            plates: covers.into_iter().chain(plates).collect(),
            ports: map(ports, |(between, bore, through, under, hole_at, text)| {
                Port {
                    between,
                    bore,
                    through,
                    under,
                    hole_at,
                    text,
                }
            }),
            orifices: map(
                orifices,
                |(between, bore, through, under, hole_at, text)| Orifice {
                    between,
                    bore,
                    through,
                    under,
                    hole_at,
                    text,
                },
            ),
            clearances: map(clearances, |(between, gap, diameter, length, text)| {
                Clearance {
                    between,
                    gap,
                    diameter,
                    length,
                    text,
                }
            }),
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
        }
    })
}

fn map<A, B>(parts: IndexMap<String, A>, to: impl Fn(A) -> B) -> IndexMap<String, B> {
    parts.into_iter().map(|(id, part)| (id, to(part))).collect()
}
