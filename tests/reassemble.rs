//! The reassembly map, reasoned out beside each check, and against `starve`.

mod support;

use oilpath::answer::{
    Answer, Piece, PieceKind, Reassemble, Severity, Slip, overnight, reassemble, starve,
};
use oilpath::circuit::{Ball, BallKind, Circuit, Kind, PartName};
use support::{every_circuit, net, open};

fn map(circuit: &Circuit) -> Reassemble {
    reassemble(&net(circuit))
}

fn piece<'a>(map: &'a Reassemble, kind: PieceKind, id: &str) -> &'a Piece {
    let found = map
        .pieces
        .iter()
        .find(|p| p.kind == kind && p.part.id == id);
    found.unwrap()
}

fn slip(map: &Reassemble, fault: &str) -> (Severity, Vec<String>, Vec<String>) {
    let slips = map.pieces.iter().flat_map(|p| &p.slips);
    let slip = slips.into_iter().find(|s| s.fault == fault).unwrap();
    let outlets = slip.outlets.iter().map(|o| o.id.clone()).collect();
    (slip.severity, slip.states.clone(), outlets)
}

fn text(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

fn count(map: &Reassemble, kind: PieceKind) -> usize {
    let found = map.counts.iter().find(|c| c.kind == kind);
    found.map_or(0, |c| c.count)
}

/// The cover is the roof over the bearing's feed: loose or missing, the bearing runs dry whatever
/// the lever says, and nothing else shows. The lesson's own point.
#[test]
fn the_small_cover_of_the_lesson_costs_the_bearing() {
    let map = map(&open("circuits/lessons/metered-feed.toml"));
    let cover = piece(&map, PieceKind::Bridge, "small-cover");
    assert_eq!(cover.castings, ["block"]);
    assert_eq!(cover.cavities, ["hollow"]);
    assert_eq!((cover.bolts, cover.torque_n_m), (Some(2), Some(6.0)));
    assert_eq!(cover.severity, Severity::RunsDry);
    assert_eq!(
        slip(&map, "small-cover:loose"),
        (
            Severity::RunsDry,
            text(&["stop", "saw"]),
            text(&["far-bearing"])
        )
    );
    let hole = piece(&map, PieceKind::Orifice, "meter");
    assert_eq!(hole.under.as_deref(), Some("small-cover"));
    assert_eq!(hole.bore_m, Some(0.001));
}

/// Left out, the choked feed runs off through the pedal's open valve: the lever has nothing, the
/// pedal outruns the choke. The lesson's own point.
#[test]
fn the_shuttle_ball_left_in_the_tray_costs_the_lever_its_clutch() {
    let map = map(&open("circuits/lessons/shuttle.toml"));
    let ball = piece(&map, PieceKind::Ball, "either");
    assert_eq!(ball.cavities, ["choked-feed", "pedal-feed", "winch-apply"]);
    assert_eq!(
        slip(&map, "either:left-out"),
        (Severity::None, text(&["lever"]), text(&["winch-clutch"]))
    );
    assert_eq!(count(&map, PieceKind::Ball), 1);
    assert_eq!(count(&map, PieceKind::Spool), 2);
    // That of the regulator alone.
    assert_eq!(count(&map, PieceKind::Spring), 1);
}

/// Both exhaust balls are 5 mm and both lie at the block gasket; both lube jets are 1.5 mm.
#[test]
fn on_the_transfer_box_what_is_alike_can_be_swapped() {
    let map = map(&open("circuits/transfer-box.toml"));
    let ball = piece(&map, PieceKind::Ball, "front-exhaust");
    assert_eq!(ball.alike[0].id, "release-exhaust");
    assert_eq!(ball.through, ["block-gasket"]);
    assert_eq!(ball.castings, ["box", "valve-block"]);
    let jet = piece(&map, PieceKind::Orifice, "chain-jet");
    let alike: Vec<&str> = jet.alike.iter().map(|p| p.id.as_str()).collect();
    assert_eq!(alike, ["rear-jet"]);
    assert!(
        piece(&map, PieceKind::Orifice, "release-hole")
            .alike
            .is_empty()
    );
    // Three rings, one O-ring.
    assert_eq!(piece(&map, PieceKind::Seal, "servo-ring").alike.len(), 2);
    assert_eq!(
        piece(&map, PieceKind::Seal, "solenoid-o-ring").alike.len(),
        0
    );
    // The gasket is the roof over line: without it no pressure builds in any state.
    assert_eq!(
        slip(&map, "block-gasket:left-out").0,
        Severity::WillNotBuild
    );
    assert_eq!(map.pieces[0].severity, Severity::WillNotBuild);
    // Without its ball the clutch no longer fills through its hole alone: it takes hold hard.
    assert_eq!(
        slip(&map, "front-exhaust:left-out"),
        (
            Severity::Harsh,
            text(&["four-wheel", "low", "low-four-wheel"]),
            text(&["front-clutch"])
        )
    );
    // Turned so that the release hole is covered, band and clutch hold each other in high: the
    // note of the hole itself says so.
    assert_eq!(
        slip(&map, "block-gasket:wrong=release-hole"),
        (
            Severity::Bind,
            text(&["two-wheel", "four-wheel"]),
            text(&["low-band"])
        )
    );
}

/// A swap is told at both parts that it is a swap of, and counted once.
#[test]
fn a_swap_belongs_to_both() {
    let circuit = open("circuits/tractor-powershift.toml");
    let map = map(&circuit);
    let swaps = |id: &str| {
        let slips = &piece(&map, PieceKind::Spring, id).slips;
        let swaps = slips.iter().filter(|s| s.fault.contains("swapped"));
        let mut faults: Vec<&str> = swaps.map(|s| s.fault.as_str()).collect();
        faults.sort_unstable();
        faults
    };
    assert_eq!(
        swaps("range"),
        ["diff-lock:spring-swapped=range", "pto:spring-swapped=range"]
    );
    assert_eq!(
        swaps("pto"),
        ["diff-lock:spring-swapped=pto", "pto:spring-swapped=range"]
    );
    // Each sprung valve, ball, regulator, relief and accumulator has one of its own.
    assert_eq!(count(&map, PieceKind::Spring), springs(&circuit));
    assert_eq!(count(&map, PieceKind::Sleeve), 1);
    assert!(piece(&map, PieceKind::Sleeve, "diff-lock").slips.is_empty());
    let cover = piece(&map, PieceKind::Bridge, "hop-cover");
    assert_eq!(cover.severity, Severity::RunsDry);
}

/// The springs that lie on the bench: of valves that have one, and of all that a spring holds.
fn springs(circuit: &Circuit) -> usize {
    let sprung = |ball: &&Ball| {
        matches!(
            ball.kind,
            BallKind::OneWay {
                lifts_at: Some(_),
                ..
            }
        )
    };
    circuit
        .valves
        .values()
        .filter(|v| v.spring.is_some())
        .count()
        + circuit.balls.values().filter(sprung).count()
        + circuit.regulators.len()
        + circuit.reliefs.len()
        + circuit.accumulators.len()
}

/// Kinds of parts that come loose, and how often each occurs.
fn loose_parts(circuit: &Circuit) -> Vec<(Kind, String)> {
    let kinds = [
        Kind::Plate,
        Kind::Ball,
        Kind::Orifice,
        Kind::Seal,
        Kind::Valve,
        Kind::Solenoid,
        Kind::Accumulator,
        Kind::Tap,
        Kind::Switch,
        Kind::Regulator,
        Kind::Relief,
        Kind::Filter,
    ];
    let ids = kinds.iter().flat_map(|kind| {
        let ids = circuit.ids(*kind);
        ids.map(|id| (*kind, id.to_owned()))
    });
    ids.collect()
}

#[test]
fn every_piece_occurs_once_sorted_and_each_slip_is_as_bad_as_starve_says() {
    for (path, circuit) in every_circuit() {
        if path.contains("six-speed") {
            // Its slips take minutes without optimisation.
            continue;
        }
        let net = net(&circuit);
        let map = reassemble(&net);
        let mut once: Vec<(PieceKind, &PartName)> = Vec::new();
        for piece in &map.pieces {
            let key = (piece.kind, &piece.part);
            assert!(!once.contains(&key), "{path} {key:?}");
            once.push(key);
        }
        for (kind, id) in loose_parts(&circuit) {
            let found = map.pieces.iter().filter(|p| {
                let own = p.part.kind == kind && p.part.id == id;
                own && !matches!(
                    p.kind,
                    PieceKind::Spring | PieceKind::Plug | PieceKind::Clip | PieceKind::Sleeve
                )
            });
            assert_eq!(found.count(), 1, "{path} {kind} {id}");
        }
        assert_eq!(count(&map, PieceKind::Spring), springs(&circuit), "{path}");
        let clips = circuit.valves.values().filter(|v| v.clip);
        assert_eq!(count(&map, PieceKind::Clip), clips.count(), "{path}");
        let total: usize = map.counts.iter().map(|c| c.count).sum();
        assert_eq!(total, map.pieces.len(), "{path}");
        let harmless = |p: &Piece| p.slips.iter().all(Slip::is_harmless);
        assert!(
            map.pieces
                .is_sorted_by_key(|p| (p.severity, harmless(p), p.kind)),
            "{path}"
        );
        for piece in &map.pieces {
            assert!(piece.slips.is_sorted_by_key(|s| s.severity));
            let worst = piece.slips.iter().map(|s| s.severity).min();
            assert_eq!(piece.severity, worst.unwrap_or(Severity::Nothing), "{path}");
            // One of each piece is enough: the rest is in the order of the first.
            if let Some(slip) = piece.slips.first() {
                tells_all(&circuit, slip, &path);
            }
        }
    }
}

/// A slip tells every state that `starve` finds harmed, each as bad as there, and is called
/// harmless only where `overnight` has nothing against it either.
fn tells_all(circuit: &Circuit, slip: &Slip, path: &str) {
    let net = net(circuit);
    let fault = circuit.fault(&slip.fault).unwrap();
    let at = format!("{path} {}", slip.fault);
    let night = overnight(&net, std::slice::from_ref(&fault), None);
    let answer = starve(&net, &[fault], None);
    assert_eq!(slip.severity, Severity::of(&net, &answer), "{at}");
    let also = slip.also.iter().map(|effect| effect.severity);
    let found: Vec<Severity> = also.collect();
    assert!(found.is_sorted(), "{at}");
    for state in &answer.states {
        let id = state.state.clone().unwrap_or_default();
        let told = match slip.states.contains(&id) {
            // Of every gear it is none of each.
            true if slip.severity == Severity::NoGears => Severity::None,
            true => slip.severity,
            false => {
                let mut also = slip.also.iter();
                let here = also.find(|effect| effect.states.contains(&id));
                here.map_or(Severity::Nothing, |effect| effect.severity)
            }
        };
        assert_eq!(told, Severity::in_state(state), "{at} in {id}");
    }
    for state in &night.states {
        for cavity in state.cavities.iter().filter(|c| c.is_worse()) {
            let id = state.state.clone().unwrap_or_default();
            let told = slip.overnight.iter().any(|night| {
                night.states.contains(&id)
                    && night.cavities.contains(&cavity.cavity)
                    && night.kept == cavity.sound.is_none()
            });
            assert!(told, "{at} {id} {}", cavity.cavity);
        }
    }
    assert_eq!(!slip.overnight.is_empty(), night.wrong(), "{at}");
}

/// Front ring left out: in high front drive is gone and it drives like two-wheel; in low the front
/// clutch slips away as well, and the slip has to say so.
#[test]
fn a_slip_tells_the_states_where_it_does_not_do_its_worst() {
    let circuit = open("circuits/transfer-box.toml");
    let map = map(&circuit);
    let slips = map.pieces.iter().flat_map(|p| &p.slips);
    let slips: Vec<&Slip> = slips.collect();
    for slip in &slips {
        tells_all(&circuit, slip, "transfer box");
    }
    let ring = slips.iter().find(|s| s.fault == "front-ring:left-out");
    let ring = ring.unwrap();
    assert_eq!(ring.states, ["four-wheel"]);
    let also: Vec<&String> = ring.also.iter().flat_map(|e| &e.states).collect();
    assert_eq!(also, ["low", "low-four-wheel"]);
}

/// The drain-back ball keeps the converter full overnight (its own note says what it costs to be
/// without): left out, nothing that runs shows it, and it is not harmless.
#[test]
fn a_ball_that_works_at_night_alone_is_not_harmless() {
    let circuit = open("circuits/six-speed-bus.toml");
    let ball = circuit.fault("drain-back:left-out").unwrap();
    // Its neighbours' slips take minutes without optimisation.
    let mut small = circuit.clone();
    small.states.retain(|id, _| id == "park");
    let net = net(&small);
    let map = reassemble(&net);
    let slips = map.pieces.iter().flat_map(|p| &p.slips);
    let mut slips = slips.filter(|s| s.fault == small.say(&ball));
    let slip = slips.next().unwrap();
    assert_eq!(
        (slip.severity, slip.is_harmless()),
        (Severity::Nothing, false)
    );
    assert_eq!(
        slip.overnight[0].cavities,
        text(&[
            "converter-feed",
            "cooler-in",
            "converter-in",
            "converter-out"
        ])
    );
    assert!(slip.overnight[0].kept);
    assert_eq!(count(&map, PieceKind::Regulator), 5);
    assert_eq!(count(&map, PieceKind::Relief), 2);
    assert_eq!(count(&map, PieceKind::Filter), 3);
    assert_eq!(count(&map, PieceKind::Switch), small.switches.len());
    // Without its spring the main regulator stands open, a reducing one shut.
    let spring = |id: &str| &piece(&map, PieceKind::Spring, id).slips[0].fault;
    assert_eq!(spring("main"), "main:stuck-open");
    assert_eq!(spring("pilot-reducer"), "pilot-reducer:stuck-shut");
}

/// The order that everything is held against: what leaves nothing to drive with is worse than
/// what goes wrong in one gear, and that is worse than what shows only in time.
#[test]
fn severities_stand_in_order() {
    use Severity as S;
    let order = [
        S::WillNotBuild,
        S::NoGears,
        S::None,
        S::Bind,
        S::WrongState,
        S::Flare,
        S::Creeps,
        S::RunsDry,
        S::Slips,
        S::StandsHigh,
        S::RunsShort,
        S::LetsGoLate,
        S::Harsh,
        S::Undecided,
        S::Nothing,
    ];
    assert!(order.is_sorted());
    let circuit = open("circuits/lessons/separator-plate.toml");
    let net = net(&circuit);
    let of = |fault: &str| {
        let fault = circuit.fault(fault).unwrap();
        Severity::of(&net, &starve(&net, &[fault], None))
    };
    // The valve held in stop feeds neither channel: both gears have nothing.
    assert_eq!(of("speed-valve:stuck=stop"), S::NoGears);
    // The soft feed alone plugged: high has nothing, low keeps.
    assert_eq!(of("soft:plugged"), S::None);
    assert_eq!(of("line:cracked"), S::WillNotBuild);
    // One clutch of two gears: asked in its one state, it is none of that state.
    let fault = circuit.fault("speed-valve:stuck=stop").unwrap();
    let one = starve(&net, &[fault], Some("low"));
    assert_eq!(Severity::of(&net, &one), S::None);
}
