//! The air check, reasoned out beside each check, and against every fault blown one by one.

mod support;

use oilpath::answer::{Air, AirBench, AirCheck, AirSign, air};
use oilpath::circuit::Circuit;
use oilpath::net::Strength;
use support::{every_circuit, net, open};

fn sheet(circuit: &Circuit) -> Air {
    air(&net(circuit))
}

fn check<'a>(sheet: &'a Air, casting: &str, cavity: &str) -> &'a AirCheck {
    let all = sheet.checks.iter().chain(&sheet.useless);
    let mut found = all
        .filter(|c| c.cavity == cavity && c.castings.first().map_or("", String::as_str) == casting);
    found.next().unwrap_or_else(|| panic!("{casting} {cavity}"))
}

fn strokes(check: &AirCheck) -> Vec<&str> {
    check.sound.strokes.iter().map(|p| p.id.as_str()).collect()
}

/// Where air comes out of a sound block: behind which cavity, by what, and how.
fn out(check: &AirCheck) -> Vec<(&str, &str, Strength)> {
    let escapes = check.sound.escapes.iter();
    let out = escapes.map(|e| (e.at.as_str(), e.by.id.as_str(), e.how));
    out.collect()
}

/// The signs that a fault shows, in words: `dead low-band`.
fn signs(check: &AirCheck, fault: &str) -> Vec<String> {
    let meanings = check.meanings.iter();
    let mut shown = meanings.filter(|m| m.faults.iter().any(|f| f == fault));
    let signs = shown.next().map_or(&[][..], |m| &m.signs);
    let word = |sign: &AirSign| match sign {
        AirSign::Dead { outlet } => format!("dead {}", outlet.id),
        AirSign::Weak { outlet } => format!("weak {}", outlet.id),
        AirSign::Strokes { outlet } => format!("strokes {}", outlet.id),
        AirSign::Hisses { at, by } => format!("hisses {at} {}", by.id),
        AirSign::Silent { at, by } => format!("silent {at} {}", by.id),
        AirSign::Valve { valve } => format!("valve {}", valve.id),
    };
    signs.iter().map(word).collect()
}

/// The two-speed training circuit has no gasket and no tap in its file: its two castings come apart
/// at the passage to the release side and at the converter.
#[test]
fn the_two_speed_training_circuit() {
    let circuit = open("circuits/published/two-speed-training.toml");
    let sheet = sheet(&circuit);
    // The case alone. The release side of the low servo has one hole; its apply side is not here,
    // so air on it strokes nothing, and no way leads out of it.
    let release = check(&sheet, "case", "servo-release");
    assert_eq!(release.hole.as_ref().unwrap().id, "release-passage");
    assert!(strokes(release).is_empty() && out(release).is_empty());
    // A cracked passage hisses; a plugged one cannot be told, for nothing comes out behind it.
    let cracked = ["hisses servo-release servo-release"];
    assert_eq!(signs(release, "servo-release:cracked"), cracked);
    assert!(signs(release, "servo-release:plugged").is_empty());
    // Into the cooler: through it and the case passages to what runs in oil at the rear.
    let cooler = check(&sheet, "case", "cooler-feed");
    let rear = [
        ("rear-lube", "output-bearings", Strength::Metered),
        ("rear-lube", "planetary-gears", Strength::Metered),
    ];
    assert_eq!(out(cooler), rear);
    let silent = [
        "silent rear-lube output-bearings",
        "silent rear-lube planetary-gears",
    ];
    for fault in [
        "oil-cooler:blocked",
        "cooler-return:plugged",
        "rear-passages:plugged",
    ] {
        assert_eq!(signs(cooler, fault), silent, "{fault}");
    }
    // What feeds the converter is not on this bench.
    assert!(signs(cooler, "converter:blocked").is_empty());
    // The valve body alone: converter feed is a dead end behind the regulator, which air does not
    // open. Stuck open it lets the air into line and out where it spills to the sump.
    let converter = check(&sheet, "valve-body", "converter-feed");
    assert!(out(converter).is_empty());
    let open = signs(converter, "main:stuck-open");
    assert!(open.contains(&"hisses line main".to_owned()), "{open:?}");
    // The whole block, the servo's apply side. In L line is open to it and nothing else is; air
    // leaks back through the pump. In D the drive passage fills as well, in N and R it goes off
    // through the manual valve. The release side is empty, through the shift valve at rest.
    let apply = check(&sheet, "", "low-apply");
    assert_eq!(apply.lever.as_deref(), Some("L"));
    assert_eq!(strokes(apply), ["low-band"]);
    assert_eq!(out(apply), [("line", "pump", Strength::Leak)]);
    assert_eq!(apply.hole, None); // the file has no tap there
    // A manual valve stuck in neutral joins it to the sump.
    let stuck = signs(apply, "manual:stuck=neutral");
    assert!(stuck.contains(&"weak low-band".to_owned()), "{stuck:?}");
    assert!(
        stuck.contains(&"hisses low-apply manual".to_owned()),
        "{stuck:?}"
    );
    // In L the drive passage has no air, so where the shift valve stands is not felt.
    assert!(signs(apply, "shift:stuck=high").is_empty());
    // Reverse, from memory: the lever in R joins it to line.
    let reverse = check(&sheet, "", "reverse-apply");
    assert_eq!(reverse.lever.as_deref(), Some("R"));
    assert_eq!(strokes(reverse), ["reverse-band"]);
    // The direct clutch lies behind the shift valve, which at rest empties it wherever the lever
    // stands: no check strokes it, and the sheet says so.
    assert!(sheet.useless.iter().any(|c| c.cavity == "high-feed"));
    let unstroked: Vec<&str> = sheet.unstroked.iter().map(|p| p.id.as_str()).collect();
    assert_eq!(unstroked, ["direct-clutch"]);
}

/// The transfer case without its valve block, as air is mostly blown: at the holes in its face.
#[test]
fn the_transfer_case_alone() {
    let circuit = open("circuits/transfer-box.toml");
    let sheet = sheet(&circuit);
    let high = check(&sheet, "box", "high-case");
    // The shafts stay in it: their turning joints are sealed by rings. The gasket roofs passages
    // of the valve block, so it comes off with that.
    assert_eq!(high.castings, ["box", "input-shaft", "front-shaft"]);
    assert_eq!((high.on.len(), high.off[0].as_str()), (0, "block-gasket"));
    assert_eq!(strokes(high), ["high-clutch"]);
    assert!(out(high).is_empty());
    // A cut ring lets the air out wide at the joint, a worn one hisses and still strokes.
    let cut = [
        "weak high-clutch",
        "hisses high-case high-ring",
        "hisses high-drum high-ring",
    ];
    assert_eq!(signs(high, "high-ring:cut"), cut);
    assert_eq!(signs(high, "high-ring:worn"), cut[1..]);
    assert_eq!(signs(high, "high-drum:plugged"), ["dead high-clutch"]);
    // The band's servo: pushed from the apply side; the hole of its release side stands open, so
    // that a leaking piston ring is heard there.
    let band = check(&sheet, "box", "servo-apply");
    assert_eq!(strokes(band), ["low-band"]);
    let heard = signs(band, "servo-ring:worn");
    assert!(
        heard.contains(&"hisses servo-release release-hole".to_owned()),
        "{heard:?}"
    );
    // Lubrication: air comes out at the chain and at the bearing, and must.
    let lube = check(&sheet, "box", "lube-gallery");
    let both = [
        ("lube-chain", "chain", Strength::Metered),
        ("lube-rear", "rear-bearing", Strength::Metered),
    ];
    assert_eq!(out(lube), both);
    assert_eq!(
        signs(lube, "chain-jet:plugged"),
        ["silent lube-chain chain"]
    );
    assert_eq!(
        signs(lube, "chain-cover:loose"),
        ["hisses lube-chain chain-cover"]
    );
    // The exhaust ball of the front clutch ends in the same hole as its feed: one is closed.
    let front = check(&sheet, "box", "front-case");
    let closed: Vec<&str> = front.close.iter().map(|h| h.way.id.as_str()).collect();
    assert_eq!(
        (closed, strokes(front)),
        (vec!["front-exhaust"], vec!["front-clutch"])
    );
}

/// Faults that are not blown, since nothing of them can be felt, show nothing when they are.
#[test]
fn what_is_not_blown_shows_nothing() {
    for file in [
        "circuits/transfer-box.toml",
        "circuits/published/two-speed-training.toml",
        "circuits/published/loader-control-valve.toml",
        "circuits/tractor-powershift.toml",
    ] {
        let circuit = open(file);
        let net = net(&circuit);
        let bench = AirBench::new(&net);
        let faults = circuit.faults();
        // Of the large one every seventh check: a second of settling instead of several.
        let every = if bench.setups().len() > 20 { 7 } else { 1 };
        for setup in bench.setups().iter().step_by(every) {
            let sound = bench.blow(setup, &[]);
            let meanings = bench.meanings(setup, &faults);
            for fault in &faults {
                let shows = bench.blow(setup, std::slice::from_ref(fault)).signs(&sound);
                let said = circuit.say(fault);
                let told = meanings.iter().find(|m| m.faults.contains(&said));
                let told = told.map_or(&[][..], |m| &m.signs);
                assert_eq!(shows, told, "{file} {} {said}", bench.cavity(setup));
            }
        }
    }
}

/// In every small circuit: air in a sound body comes out at no hole that the sheet did not have closed,
/// but what is as quiet as a leak, and each check strokes, sounds or holds as it says.
#[test]
fn every_hole_that_matters_is_closed() {
    // The large ones take longer than they tell.
    let small = |(_, circuit): &(String, Circuit)| circuit.parts().count() < 100;
    for (_, circuit) in every_circuit().into_iter().filter(small) {
        let sheet = sheet(&circuit);
        for check in sheet.checks.iter().filter(|c| !c.castings.is_empty()) {
            let holes = check
                .sound
                .escapes
                .iter()
                .filter(|e| e.how > Strength::Leak);
            for escape in holes {
                let closed = check.close.iter().any(|h| h.way == escape.by);
                assert!(!closed, "{}: {escape:?}", check.cavity);
            }
            assert!(check.hole.is_some());
        }
    }
}
