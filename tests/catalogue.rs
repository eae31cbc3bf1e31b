//! Every fault of the catalogue can be typed, and whatever is mistyped is answered.

#[path = "support/files.rs"]
mod files;

use std::collections::BTreeSet;
use std::path::Path;

use files::circuit_files;
use oilpath::circuit::{Circuit, Condition, FaultError};
use oilpath::sheet;

/// One part of every kind that can fail, with every key that changes how it can.
const EVERY_KIND: &str = r#"
lever = ["N", "D"]
[casting]
block = { passages = ["line", "feed", "apply", "pilot", "pocket", "other-pocket", "suction"] }
[source]
pump = { feeds = "line", draws = "suction", displacement = "10 cm³/rev" }
rail = { feeds = "line", pressure = "6 bar" }
[regulator]
main = { holds = "line", spills = ["sump"] }
[relief]
guard = { on = "line" }
[plate]
paper = { kind = "gasket", roofs = ["line"], separates = [["line", "feed", "apply"]] }
bridge = { kind = "bridge" }
[port]
hole = { between = ["line", "feed"], through = "paper" }
[orifice]
jet = { between = ["line", "feed"], through = ["paper"] }
hop = { between = ["feed", "apply"], under = "bridge" }
[clearance]
gap = { between = ["line", "sump"] }
[ball]
check = { from = "apply", to = "feed", through = "paper" }
loose-ball = { from = "apply", to = "feed" }
[seal]
ring = { on = "hole" }
[valve.shift]
bore = ["pilot", "feed", "line", "sump", "pocket"]
spring = "pocket"
plug = true
clip = true
low = { joins = [["line", "feed"]], otherwise = true }
middle = { joins = [["line", "sump"]] }
high = { joins = [["feed", "line"]], when = "pilot" }
[valve.cut-off]
bore = ["line", "feed", "other-pocket"]
spring = "other-pocket"
on = { joins = [["line", "feed"]], otherwise = true }
[valve.hand]
bore = ["sump", "line", "apply"]
off = { joins = [["apply", "line"]], otherwise = true }
[solenoid]
bleed = { kind = "bleed", on = "pilot" }
push = { kind = "plunger" }
[accumulator]
cushion = { at = "apply" }
[filter]
screen = { between = ["sump", "suction"] }
[converter]
turbine = { between = ["line", "sump"] }
[cooler]
pipes = { between = ["line", "sump"] }
[outlet]
clutch = { kind = "clutch", at = "apply" }
[tap]
plug = { at = "line" }
[switch]
lamp = { at = "line" }
[input]
speed = {}
[state]
drive = { lever = "D" }
"#;

fn every_kind() -> Circuit {
    sheet::read(EVERY_KIND).unwrap().circuit
}

/// Every circuit file of the house, and the small one above.
fn circuits() -> Vec<Circuit> {
    let mut found = vec![every_kind()];
    for file in circuit_files("circuits") {
        found.push(sheet::open(&file).unwrap().circuit);
    }
    assert!(found.len() > 3);
    found
}

/// What a part can be, as typed after the colon.
fn can(circuit: &Circuit, part: &str) -> Vec<String> {
    let part = circuit.find(part, oilpath::circuit::Kind::ALL).unwrap();
    let faults = circuit.faults_of(&part);
    faults.iter().map(|f| f.condition.to_string()).collect()
}

/// Row by row as the trade has it: common practice, no source.
#[test]
fn each_kind_of_part_can_be_what_the_trade_knows_of_it() {
    let circuit = every_kind();
    let rows: [(&str, &[&str]); 29] = [
        ("block", &[]),
        ("apply", &["plugged", "cracked", "porous=feed"]),
        ("suction", &["plugged", "cracked"]),
        ("pump", &["worn", "air-leak", "oil-low"]),
        ("rail", &["worn"]),
        ("main", &["stuck-open", "stuck-shut"]),
        ("guard", &["stuck-open"]),
        (
            "paper",
            &[
                "loose",
                "left-out",
                "wrong=hole",
                "wrong=jet",
                "wrong=check",
                "leaking=apply+feed",
                "leaking=feed+line",
                "leaking=line+sump",
            ],
        ),
        ("bridge", &["loose", "left-out", "wrong=hop"]),
        ("hole", &["plugged"]),
        ("jet", &["plugged", "oversize"]),
        ("gap", &["worn"]),
        (
            "check",
            &[
                "left-out",
                "stuck-seated",
                "stuck-off",
                "worn",
                "misplaced=hole",
                "misplaced=jet",
            ],
        ),
        (
            "loose-ball",
            &["left-out", "stuck-seated", "stuck-off", "worn"],
        ),
        ("ring", &["left-out", "cut", "worn"]),
        (
            "shift",
            &[
                "stuck=low",
                "stuck=middle",
                "stuck=high",
                "stuck-between=low+middle",
                "stuck-between=high+middle",
                "worn=feed+line",
                "worn=feed+pilot",
                "worn=line+sump",
                "worn=pocket+sump",
                "backwards",
                "spring-broken",
                "vent-plugged",
                "plug-out",
                "clip-out",
            ],
        ),
        (
            "cut-off",
            &[
                "stuck=on",
                "worn=feed+line",
                "worn=feed+other-pocket",
                "backwards",
                "spring-broken",
                "vent-plugged",
                "spring-swapped=shift",
            ],
        ),
        (
            "hand",
            &[
                "stuck=off",
                "worn=apply+line",
                "worn=line+sump",
                "backwards",
            ],
        ),
        (
            "bleed",
            &[
                "no-current",
                "stuck-on",
                "stuck-off",
                "leaking",
                "seal-cut",
                "blocked",
                "swapped=push",
            ],
        ),
        ("push", &["no-current", "stuck-on", "stuck-off"]),
        ("cushion", &["worn", "cut", "jammed", "spring-broken"]),
        ("screen", &["blocked"]),
        ("turbine", &["blocked"]),
        ("pipes", &["blocked"]),
        ("clutch", &[]),
        ("plug", &["left-out"]),
        ("lamp", &[]),
        ("speed", &[]),
        ("drive", &[]),
    ];
    for (part, expected) in rows {
        assert_eq!(can(&circuit, part), expected, "{part}");
    }
}

#[test]
fn every_fault_that_is_listed_reads_back() {
    for circuit in circuits() {
        let faults = circuit.faults();
        let unique: BTreeSet<_> = faults.iter().collect();
        assert_eq!(unique.len(), faults.len(), "one listed twice");
        for fault in &faults {
            let said = circuit.say(fault);
            assert_eq!(circuit.fault(&said).as_ref(), Ok(fault), "{said}");
            assert_eq!(circuit.fault(&fault.to_string()).as_ref(), Ok(fault));
        }
    }
}

#[test]
fn the_order_of_arguments_never_matters() {
    let circuit = every_kind();
    let same = [
        ("paper:leaking=line+feed", "paper:leaking=feed+line"),
        ("paper:wrong=jet+hole", "paper:wrong= hole + orifice.jet"),
        ("shift:worn=line+feed", "shift:worn=feed+line"),
        (
            "shift:stuck-between=low+high",
            "shift:stuck-between=high+low",
        ),
        ("bleed:swapped=push", "push:swapped=bleed"),
        (
            "cut-off:spring-swapped=shift",
            "shift:spring-swapped=cut-off",
        ),
    ];
    for (a, b) in same {
        assert_eq!(circuit.fault(a).unwrap(), circuit.fault(b).unwrap());
    }
}

#[test]
fn arguments_beyond_those_listed_are_taken_where_they_make_sense() {
    let circuit = every_kind();
    let takes = |text: &str| circuit.fault(text).map(|f| f.condition);
    let misplaced = |way: &str| Ok(Condition::Misplaced(way.to_owned()));
    assert_eq!(takes("loose-ball:misplaced=hop"), misplaced("hop"));
    assert_eq!(takes("check:misplaced=orifice.hop"), misplaced("hop"));
    let both = Condition::Wrong(vec!["check".into(), "jet".into()]);
    assert_eq!(takes("paper:wrong=jet+check+jet"), Ok(both));
    assert_eq!(
        takes("suction:porous=line"),
        Ok(Condition::Porous("line".into()))
    );
}

#[test]
fn what_makes_no_sense_is_refused() {
    let circuit = every_kind();
    for text in [
        "bridge:leaking=line+feed",
        "paper:wrong=",
        "paper:wrong=hop",
        "paper:wrong",
        "paper:leaking=line",
        "paper:leaking=line+line",
        "paper:leaking=line+feed+apply",
        "apply:porous=apply",
        "check:misplaced=loose-ball",
        "shift:stuck=",
        "shift:stuck-between=low",
        "shift:stuck-between=low+low",
        "shift:stuck-between=low+up",
        "shift:spring-swapped=shift",
        "shift:spring-swapped=hand",
        "hand:spring-broken",
        "hand:spring-swapped=shift",
        "hand:plug-out",
        "hand:clip-out",
        "hand:vent-plugged",
        "push:leaking",
        "push:seal-cut",
        "push:blocked",
        "push:swapped=push",
        "push:swapped=shift",
        "rail:air-leak",
        "rail:oil-low",
        "clutch:worn",
        "plug:loose",
    ] {
        assert!(circuit.fault(text).is_err(), "{text}");
    }
}

#[test]
fn a_letter_left_out_of_any_word_is_answered_with_the_right_one() {
    for circuit in circuits() {
        for fault in circuit.faults() {
            let said = circuit.say(&fault);
            let colon = said.find(':').unwrap();
            let mut typed = said.clone();
            typed.remove(colon + 2);
            let error = circuit.fault(&typed).unwrap_err();
            let FaultError::Condition { near, .. } = &error else {
                panic!("{typed}: {error}");
            };
            let word = |text: &str| text.split(['=']).next().map(str::to_owned);
            let words: Vec<_> = near.iter().map(|n| word(n)).collect();
            // What is left of `cut` is like nothing; it is only listed.
            if fault.condition != Condition::Cut {
                assert!(words.contains(&word(&said)), "{typed}: {near:?}");
            }
            assert!(error.remedy().contains(&word(&said).unwrap()), "{typed}");
        }
    }
}

fn help(text: &str) -> String {
    let error = every_kind().fault(text).unwrap_err();
    format!("{error}. {}", error.remedy())
}

#[test]
fn the_answer_lists_what_fits_what_was_typed() {
    assert_eq!(
        help("shift:stuck"),
        "valve `shift` cannot be `stuck`. did you mean `shift:stuck=low`? it can be \
         `shift:stuck=low`, `shift:stuck=middle` or `shift:stuck=high`"
    );
    assert_eq!(
        help("loose-ball"),
        "ball `loose-ball` alone is no fault: say what is wrong with it. it can be \
         `loose-ball:left-out`, `loose-ball:stuck-seated`, `loose-ball:stuck-off`, \
         `loose-ball:worn` or `loose-ball:misplaced=ORIFICE`"
    );
    assert_eq!(
        help("apply:porous=feeed"),
        "there is no cavity `feeed`. did you mean `feed`?"
    );
    assert_eq!(
        help("paper:wrong=jett"),
        "there is no port, orifice or ball `jett`. did you mean `jet`?"
    );
}

#[test]
fn a_long_list_of_one_word_is_told_by_its_first() {
    let tractor = sheet::open(Path::new("circuits/tractor-powershift.toml"));
    let tractor = tractor.unwrap().circuit;
    let remedy = tractor.fault("separator:tight").unwrap_err().remedy();
    let others = tractor.fault("separator:wrong").unwrap_err().remedy();
    let wrong = others.matches("`separator:wrong=").count() - 1;
    assert!(wrong > 4, "{others}");
    let told = format!("(or {} more like it)", wrong - 1);
    assert!(remedy.ends_with(&told), "{remedy}");
    assert!(remedy.contains("`separator:loose`, `separator:left-out` or"));
}

/// The table of faults in the guide has the words of the catalogue and no others.
#[test]
fn the_guide_names_every_condition() {
    let guide = include_str!("../circuits/README.md");
    let table = guide.split("| kind | condition |").nth(1).unwrap();
    let rows = table.lines().skip(2).take_while(|row| row.starts_with('|'));
    let told = rows.flat_map(|row| row.split('|').nth(2).unwrap().split('`').skip(1).step_by(2));
    let told: BTreeSet<&str> = told.map(|said| said.split('=').next().unwrap()).collect();
    let circuit = every_kind();
    let faults = circuit.faults();
    let words: BTreeSet<&str> = faults.iter().map(|f| f.condition.word()).collect();
    assert_eq!(told, words);
}
