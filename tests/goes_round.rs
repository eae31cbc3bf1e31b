//! Where oil stands in a filter, converter or cooler and does not go round, reasoned out beside each
//! check; and against slow rivals.

mod support;

use std::collections::BTreeSet;

use oilpath::answer::{Reason, Scenarios, Starve, Status, SweepRecord, Sweeper, Verdict, starve};
use oilpath::circuit::{Circuit, Kind, Level, Truth};
use oilpath::lint::{Doubt, lint};
use oilpath::net::{Cavity, Held, SUMP_CAVITY, Scene, Stage, Strength, WayId};
use oilpath::settle::goes_round;
use proptest::prelude::*;
use support::moving::moving;
use support::{name, net, open, read, sketches};

fn ask(circuit: &Circuit, faults: &[&str]) -> Starve {
    let faults: Vec<_> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    starve(&net(circuit), &faults, None)
}

/// Whether a part has its oil when sound and with faults, what that means and why.
fn of(circuit: &Circuit, fault: &str, part: &str) -> (Status, Status, Verdict, Option<Reason>) {
    in_state(circuit, fault, 0, part)
}

fn in_state(
    circuit: &Circuit,
    fault: &str,
    state: usize,
    part: &str,
) -> (Status, Status, Verdict, Option<Reason>) {
    let answer = ask(circuit, &[fault]);
    let mut outlets = answer.states[state].outlets.iter();
    let found = outlets.find(|o| o.outlet.id == part).unwrap().clone();
    (found.sound, found.now, found.verdict, found.reason)
}

fn stands(behind: &str) -> Option<Reason> {
    let behind = behind.to_owned();
    Some(Reason::Stands { behind })
}

const ROUND: &str = r#"
    [casting]
    block = { passages = ["line", "hot", "back"] }
    [source]
    supply = { feeds = "line", pressure = "8 bar" }
    [orifice]
    hop = { between = ["line", "hot"] }
    way-back = { between = ["back", "sump"] }
    [cooler]
    cooler = { between = ["hot", "back"] }
    [outlet]
    clutch = { kind = "clutch", at = "back" }
"#;

/// The clutch behind the cooler takes no oil once it is stroked, so all that passes the cooler is
/// what the way back lets off.
#[test]
fn a_cooler_whose_way_back_is_plugged_starves_though_it_is_under_pressure() {
    let circuit = read(ROUND);
    let (sound, now, verdict, reason) = of(&circuit, "way-back:plugged", "cooler");
    assert_eq!(
        (sound, now, verdict),
        (Status::On, Status::Off, Verdict::Starved)
    );
    assert_eq!(reason, stands("back"));
    let (_, now, ..) = of(&circuit, "way-back:plugged", "clutch");
    assert_eq!(now, Status::On);
    // Oil that only seeps goes nowhere either.
    let seeps = ROUND.replace("way-back = { between = [\"back\", \"sump\"] }", "")
        + "[clearance]\nland = { between = [\"back\", \"sump\"] }";
    let (sound, ..) = of(&read(&seeps), "hop:plugged", "cooler");
    assert_eq!(sound, Status::Off);
}

/// One filter before a bearing and a servo that shares nothing with it: plugged, the two holes to
/// the bearing are all that leaves.
#[test]
fn a_filter_starves_with_all_that_leaves_behind_it_and_not_before() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["line", "clean", "lube", "servo-feed"] }
        [source]
        supply = { feeds = "line", pressure = "8 bar" }
        [filter]
        fine = { between = ["line", "clean"] }
        [orifice]
        front = { between = ["clean", "lube"] }
        rear = { between = ["clean", "lube"] }
        [port]
        servo-port = { between = ["clean", "servo-feed"] }
        [outlet]
        bearing = { kind = "bearing", at = "lube" }
        servo = { kind = "servo", at = "servo-feed" }
    "#,
    );
    let verdicts = |faults: &[&str]| -> Vec<(String, Verdict)> {
        let outlets = ask(&circuit, faults).states.remove(0).outlets;
        let told = outlets.into_iter();
        told.map(|o| (o.outlet.id, o.verdict)).collect()
    };
    let now = |id: &str, verdict| (id.to_owned(), verdict);
    let one = verdicts(&["front:plugged"]);
    assert!(one.contains(&now("fine", Verdict::Kept)), "{one:?}");
    let both = verdicts(&["front:plugged", "rear:plugged"]);
    for told in [
        now("fine", Verdict::Starved),
        now("bearing", Verdict::Starved),
        now("servo", Verdict::Kept),
    ] {
        assert!(both.contains(&told), "{both:?}");
    }
    let all = verdicts(&["clean:plugged"]);
    assert!(all.contains(&now("fine", Verdict::Starved)), "{all:?}");
}

/// Locked up, the lock-up valve shuts the way out of the converter: oil stands in it then whatever
/// is wrong with the cooler behind, and that the valve stuck open lets it go round harms nothing.
#[test]
fn a_converter_whose_way_out_is_shut_in_one_state_starves_in_the_other() {
    let circuit = read(
        r#"
        lever = ["open", "locked"]
        [casting]
        block = { passages = ["line", "converter-in", "converter-out", "cooler-in"] }
        [source]
        supply = { feeds = "line", pressure = "8 bar" }
        [orifice]
        feed = { between = ["line", "converter-in"] }
        drain-back = { between = ["cooler-in", "sump"] }
        [converter]
        converter = { between = ["converter-in", "converter-out"] }
        [valve.lock-up]
        bore = ["converter-out", "cooler-in"]
        released = { joins = [["converter-out", "cooler-in"]], otherwise = true }
        locked = { joins = [], when = "lever.locked" }
        [state]
        released = { lever = "open" }
        locked = { lever = "locked" }
    "#,
    );
    let told = |fault, state| {
        let (sound, now, verdict, _) = in_state(&circuit, fault, state, "converter");
        (sound, now, verdict)
    };
    let (on, off) = (Status::On, Status::Off);
    assert_eq!(told("drain-back:plugged", 0), (on, off, Verdict::Starved));
    assert_eq!(told("drain-back:plugged", 1), (off, off, Verdict::Off));
    let stuck_shut = "lock-up:stuck=locked";
    assert_eq!(told(stuck_shut, 0), (on, off, Verdict::Starved));
    let stuck_open = "lock-up:stuck=released";
    assert_eq!(told(stuck_open, 1), (off, on, Verdict::Kept));
}

/// Out of one cooler, into the other the wrong way round, and back to where all their oil comes
/// from: that is no way for oil to go, though from there more ways lead to the sump.
#[test]
fn oil_does_not_go_round_by_coming_back_through_the_cooler_beside() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["line", "feed", "a-in", "a-out", "b-in", "b-out", "back", "lube"] }
        [source]
        supply = { feeds = "line", pressure = "8 bar" }
        [port]
        main = { between = ["line", "feed"] }
        to-a = { between = ["feed", "a-in"] }
        from-a = { between = ["a-out", "back"] }
        to-b = { between = ["feed", "b-in"] }
        from-b = { between = ["b-out", "back"] }
        [cooler]
        a = { between = ["a-in", "a-out"] }
        b = { between = ["b-in", "b-out"] }
        [orifice]
        way-back = { between = ["back", "sump"] }
        jet = { between = ["feed", "lube"] }
        [outlet]
        bearing = { kind = "bearing", at = "lube" }
    "#,
    );
    for cooler in ["a", "b"] {
        let (_, _, verdict, _) = of(&circuit, "way-back:plugged", cooler);
        assert_eq!(verdict, Verdict::Starved, "{cooler}");
        let (_, _, verdict, _) = of(&circuit, "jet:plugged", cooler);
        assert_eq!(verdict, Verdict::Kept, "{cooler}");
    }
    // Fed from both ends by ways of its own, a cooler lies between two that all oil passes.
    let (_, _, verdict, _) = of(&circuit, "from-a:plugged", "a");
    assert_eq!(verdict, Verdict::Starved);
}

/// What one pump's filter lets through joins what the other pump makes, and goes where that goes.
#[test]
fn a_filter_between_two_pumps_passes_what_the_first_makes() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["first", "line", "lube"] }
        [source]
        one = { feeds = "first", pressure = "8 bar" }
        two = { feeds = "line", pressure = "8 bar" }
        [filter]
        fine = { between = ["first", "line"] }
        [orifice]
        jet = { between = ["line", "lube"] }
        [outlet]
        bearing = { kind = "bearing", at = "lube" }
    "#,
    );
    let (sound, _, verdict, _) = of(&circuit, "jet:plugged", "fine");
    assert_eq!((sound, verdict), (Status::On, Verdict::Kept));
}

/// The screen of a pilot that a reducing regulator holds at filling pressure: at low that regulator
/// is shut, and oil passes it all the same.
#[test]
fn what_opens_at_any_level_leads_on() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["line", "screened", "pilot"] }
        [source]
        supply = { feeds = "line", pressure = "12 bar" }
        [filter]
        screen = { between = ["line", "screened"] }
        [regulator]
        pilot = { holds = "pilot", at = "1 bar", reduces = "screened" }
        [orifice]
        bleed = { between = ["pilot", "sump"] }
    "#,
    );
    let (sound, now, verdict, reason) = of(&circuit, "bleed:plugged", "screen");
    assert_eq!(
        (sound, now, verdict, reason),
        (
            Status::On,
            Status::Off,
            Verdict::Starved,
            stands("screened")
        )
    );
}

/// The lesson of the regulator: converter and cooler share the hole back.
#[test]
fn the_hole_back_starves_converter_and_cooler_of_the_lesson() {
    let circuit = open("circuits/lessons/regulator.toml");
    for part in ["converter", "cooler"] {
        let (_, _, verdict, reason) = of(&circuit, "back-hole:plugged", part);
        assert_eq!((verdict, reason), (Verdict::Starved, stands("returns")));
    }
}

/// Links that lead anywhere but by the way itself, none narrower than metered.
fn links(scene: &Scene<'_>, at: Cavity, way: WayId) -> Vec<Cavity> {
    let links = scene.onward(at);
    let wide = links.filter(|l| l.way != way && l.strength >= Strength::Metered);
    wide.map(|link| link.to).collect()
}

/// What is walked to from some cavities without entering others.
fn walk(scene: &Scene<'_>, from: &[Cavity], never: &[Cavity], way: WayId) -> BTreeSet<Cavity> {
    let mut seen: BTreeSet<Cavity> = BTreeSet::new();
    let mut open: Vec<Cavity> = from.to_vec();
    while let Some(at) = open.pop() {
        if !never.contains(&at) && seen.insert(at) && at != SUMP_CAVITY {
            open.extend(links(scene, at, way));
        }
    }
    seen
}

/// The definition, word by word: behind the way, without what all supply to the inlet passes.
fn slowly(scene: &Scene<'_>, [inlet, behind]: [Cavity; 2], way: WayId) -> bool {
    let net = scene.net();
    let fed = walk(scene, scene.rails(), &[], way).contains(&inlet);
    let passed: Vec<Cavity> = net
        .cavities()
        .filter(|c| *c == inlet || fed && !walk(scene, scene.rails(), &[*c], way).contains(&inlet))
        .collect();
    let seen = walk(scene, &[behind], &passed, way);
    seen.iter()
        .any(|at| scene.vents().contains(at) || scene.rails().contains(at) || net.consumes(*at))
}

/// Whether oil can come from a source, through the way and out again without passing any cavity
/// twice.
fn some_round(scene: &Scene<'_>, ends: [Cavity; 2], way: WayId) -> bool {
    fn on(
        scene: &Scene<'_>,
        at: Cavity,
        [inlet, behind]: [Cavity; 2],
        way: WayId,
        path: &mut Vec<Cavity>,
    ) -> bool {
        if path.contains(&at) {
            return false;
        }
        path.push(at);
        let through = path.windows(2).any(|step| *step == [inlet, behind]);
        let leaves = scene.vents().contains(&at) || scene.net().consumes(at);
        let found = through && leaves
            || at != SUMP_CAVITY
                && match at == inlet {
                    true => on(scene, behind, [inlet, behind], way, path),
                    false => links(scene, at, way)
                        .into_iter()
                        .any(|to| on(scene, to, [inlet, behind], way, path)),
                };
        path.pop();
        found
    }
    let mut rails = scene.rails().iter();
    rails.any(|rail| on(scene, *rail, ends, way, &mut Vec::new()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn it_goes_round_as_the_definition_says(
        sketch in sketches(8, 0),
        [inlet, behind, bearing] in [1_usize..8, 1..8, 1..8],
    ) {
        let within = |c: usize| 1 + c % (sketch.cavities - 1);
        let [inlet, behind, bearing] = [inlet, behind, bearing].map(within);
        prop_assume!(inlet != behind);
        let circuit = read(&format!(
            "{}\n[cooler.cooler]\nbetween = ['{}', '{}']\n[outlet.bearing]\nkind = 'bearing'\nat = '{}'\n",
            sketch.text(None), name(inlet), name(behind), name(bearing),
        ));
        let net = net(&circuit);
        let stage = Stage::new(&net, &circuit.states["s"], &[]);
        let scene = stage.scene(&Held::unknown(&net), Level::Low);
        let cooler = circuit.find("cooler", Kind::ALL).unwrap();
        let way = net.ways_of(&cooler).next().unwrap();
        let ends = [inlet, behind].map(|c| net.cavity(&name(c)).unwrap());
        let told = goes_round(std::slice::from_ref(&scene), ends[0], way) == Truth::True;
        prop_assert_eq!(told, slowly(&scene, ends, way));
        // Never does oil stand where a way round exists.
        prop_assert!(told || !some_round(&scene, ends, way));
    }

}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Quiet scenes, those side by side and those alone: each tells the same of a cooler.
    #[test]
    fn coolers_of_generated_circuits_are_told_the_same_together_or_one_by_one(
        moving in moving(7),
        [inlet, behind, bearing] in [1_usize..9, 1..9, 1..9],
    ) {
        prop_assume!(inlet != behind);
        let text = format!(
            "{}\n[cooler.cooler]\nbetween = ['{}', '{}']\n[outlet.bearing]\nkind = 'bearing'\nat = '{}'\n",
            moving.text(), name(inlet), name(behind), name(bearing),
        );
        let Ok(sheet) = oilpath::sheet::read(&text) else {
            return Err(TestCaseError::reject("fewer cavities"));
        };
        let net = net(&sheet.circuit);
        let alone = Scenarios::alone(&sheet.circuit, |_| true);
        let sweeper = Sweeper::new(&net, alone, &[]);
        let count = sweeper.scenarios().count();
        let plain = |mut record: SweepRecord| {
            let undecided = record.states.iter_mut().flat_map(|s| &mut s.undecided);
            undecided.for_each(|outlet| outlet.why = None);
            record
        };
        let together = sweeper.records(0..count);
        for (number, record) in together.into_iter().enumerate().step_by(9) {
            let alone = sweeper.records(number..number + 1).remove(0);
            prop_assert_eq!(plain(record), plain(alone));
        }
    }
}

/// Oil that runs through a cooler straight to the sump leaves no pressure before it: it has its oil
/// all the same, and a file that says so has nothing left out.
#[test]
fn a_cooler_that_empties_into_the_sump_is_fed() {
    let text = r#"
        [casting]
        block = { passages = ["line", "there", "back"] }
        [source]
        pump = { feeds = "line" }
        [orifice]
        to-cooler = { between = ["line", "there"] }
        [cooler]
        cooler = { between = ["there", "back"] }
        [port]
        home = { between = ["back", "sump"] }
    "#;
    let unfed = |text: &str| {
        let circuit = read(text);
        let found = lint(&net(&circuit));
        found
            .iter()
            .any(|w| matches!(&w.what, Doubt::UnfedOutlet { outlet, .. } if outlet == "cooler"))
    };
    assert!(!unfed(text));
    assert!(unfed(
        &text.replace(r#"["line", "there"] }"#, r#"["line", "back"] }"#)
    ));
}
