//! The reassembly map, reasoned out beside each check, and against `starve`.

mod support;

use oilpath::answer::{Piece, PieceKind, Reassemble, Severity, reassemble, starve};
use oilpath::circuit::{Circuit, Kind};
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
    assert_eq!(count(&map, PieceKind::Spring), 0);
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
    assert_eq!(count(&map, PieceKind::Spring), 3);
    assert_eq!(count(&map, PieceKind::Sleeve), 1);
    assert!(piece(&map, PieceKind::Sleeve, "diff-lock").slips.is_empty());
    let cover = piece(&map, PieceKind::Bridge, "hop-cover");
    assert_eq!(cover.severity, Severity::RunsDry);
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
        let mut once: Vec<(PieceKind, &str)> = Vec::new();
        for piece in &map.pieces {
            let key = (piece.kind, piece.part.id.as_str());
            assert!(
                !once.contains(&key) || piece.part.kind != Kind::Valve,
                "{path} {key:?}"
            );
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
        let sprung = circuit.valves.values().filter(|v| v.spring.is_some());
        assert_eq!(count(&map, PieceKind::Spring), sprung.count(), "{path}");
        let clips = circuit.valves.values().filter(|v| v.clip);
        assert_eq!(count(&map, PieceKind::Clip), clips.count(), "{path}");
        let total: usize = map.counts.iter().map(|c| c.count).sum();
        assert_eq!(total, map.pieces.len(), "{path}");
        assert!(
            map.pieces.is_sorted_by_key(|p| (p.severity, p.kind)),
            "{path}"
        );
        for piece in &map.pieces {
            assert!(piece.slips.is_sorted_by_key(|s| s.severity));
            let worst = piece.slips.iter().map(|s| s.severity).min();
            assert_eq!(piece.severity, worst.unwrap_or(Severity::Nothing), "{path}");
            // One of each piece is enough: the rest is in the order of the first.
            if let Some(slip) = piece.slips.first() {
                let fault = circuit.fault(&slip.fault).unwrap();
                let answer = starve(&net, &[fault], None);
                assert_eq!(
                    slip.severity,
                    Severity::of(&net, &answer),
                    "{path} {}",
                    slip.fault
                );
            }
        }
    }
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
