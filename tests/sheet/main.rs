//! Circuit files: what is read, where it stands, what is said of it, and back.

mod hostile;
mod include;
mod parts;
mod place;
mod round_trip;
mod valid;

use oilpath::circuit::{Kind, Level, Needs, SealKind, Seat, SolenoidKind};
use oilpath::sheet::{self, Refusal, Sheet};

/// The line of each diagnostic with its code.
fn lines(refusal: &Refusal) -> Vec<(usize, &'static str)> {
    let said = refusal.diagnostics.iter();
    said.map(|d| {
        let at = &d.labels[0].at;
        let (line, _) = refusal.sources[at.file].line_column(at.start);
        (line, d.code)
    })
    .collect()
}

fn sound(text: &str) -> Sheet {
    sheet::read(text).unwrap_or_else(|refusal| panic!("{refusal}"))
}

#[test]
fn six_different_errors_are_six_diagnostics_on_their_lines() {
    let refusal = sheet::open("tests/broken/six-at-once.toml").unwrap_err();
    let expected = [
        (7, "unknown-id"),
        (8, "bare-number"),
        (9, "syntax"),
        (12, "bad-word"),
        (13, "unknown-key"),
        (16, "bad-size"),
    ];
    assert_eq!(lines(&refusal), expected);
}

#[test]
fn what_goes_unsaid_is_the_usual() {
    let circuit = sound(
        r#"
        [casting]
        block = { passages = ["line", "pilot"] }
        [ball]
        check = { from = "line", to = "passage.pilot" }
        [seal]
        tube = { on = "check" }
        [solenoid]
        dump = { kind = "bleed", on = "pilot" }
        feed = { kind = "two-way", between = ["line", "pilot"] }
        [tap]
        line = { at = "line" }
        "#,
    )
    .circuit;
    assert_eq!(circuit.seals["tube"].kind, SealKind::ORing);
    assert!(circuit.solenoids["dump"].normally_open);
    assert!(!circuit.solenoids["feed"].normally_open);
    assert_eq!(circuit.taps["line"].access.word(), "outside");
    let ends: Vec<&str> = circuit.references().iter().map(|r| r.text).collect();
    assert_eq!(ends[..2], ["line", "pilot"]);
}

#[test]
fn one_thing_may_stand_for_a_list_of_it() {
    let one = sound(
        "[casting]\nblock = { passages = ['a', 'b'] }\n[plate]\np = { kind = 'gasket' }\n\
         [port]\nx = { between = ['a', 'b'], through = 'p', hole-at = 'a' }\n",
    );
    let list = sound(
        "[casting]\nblock = { passages = ['a', 'b'] }\n[plate]\np = { kind = 'gasket' }\n\
         [port]\nx = { between = ['a', 'b'], through = ['p'], hole-at = ['a'] }\n",
    );
    assert_eq!(one.circuit, list.circuit);
}

#[test]
fn needs_are_told_apart_by_their_unit_and_servos_have_two_sides() {
    let circuit = sound(
        "[casting]\nblock = { passages = ['a', 'b'] }\n[outlet]\n\
         band = { kind = 'servo', apply = 'a', release = 'b', needs = '90 psi' }\n\
         rear = { kind = 'bearing', at = 'b', needs = '0.2 L/min' }\n",
    )
    .circuit;
    assert!(matches!(
        circuit.outlets["band"].needs,
        Some(Needs::Pressure(_))
    ));
    assert!(matches!(
        circuit.outlets["band"].seat,
        Seat::TwoSided { .. }
    ));
    assert!(matches!(
        circuit.outlets["rear"].needs,
        Some(Needs::Flow(_))
    ));
}

#[test]
fn parts_stand_in_file_order_however_they_are_typed() {
    let circuit = sound(
        "[casting.z]\npassages = ['line']\n[input.late]\n[casting]\ny = { passages = ['pilot'] }\n\
         [solenoid.b]\nkind = 'plunger'\n[input]\nearly = {}\n[solenoid.a]\nkind = 'bleed'\non = 'pilot'\n\
         [state.s]\nlevels = { b = 'low', a = 'fill' }\n",
    )
    .circuit;
    let ids = |kind| circuit.ids(kind).collect::<Vec<_>>();
    assert_eq!(ids(Kind::Casting), ["z", "y"]);
    assert_eq!(ids(Kind::Input), ["late", "early"]);
    assert_eq!(ids(Kind::Solenoid), ["b", "a"]);
    assert_eq!(circuit.states["s"].levels[0], Level::Low);
    assert!(matches!(
        circuit.solenoids["a"].kind,
        SolenoidKind::Bleed { .. }
    ));
}

#[test]
fn an_order_mark_and_windows_line_ends_change_nothing() {
    let text = "[casting]\nblock = { passages = ['line'] }\n[tap]\nt = { at = 'lime' }\n";
    let plain = sheet::read(text).unwrap_err();
    let marked = sheet::read(&format!("\u{FEFF}{}", text.replace('\n', "\r\n"))).unwrap_err();
    assert_eq!(plain.to_string(), marked.to_string());
    assert_eq!(plain.to_string().lines().count(), 1);
}

#[test]
fn a_broken_part_is_still_there_for_those_that_name_it() {
    let refusal = sheet::read(
        "[casting]\nblock = { passages = ['line', 'low'] }\n\
         [plate.cover]\nkind = 'cuver'\n\
         [orifice]\nhop = { between = ['line', 3], under = 'cover', hole-at = 'low' }\n\
         [seal]\nring = { on = 'hop' }\n\
         [valve.v]\nbore = ['line', 7]\nspring = 'low'\nshut = { joins = 'none' }\n\
         [state.s]\nvalves = { v = 'shut' }\n",
    )
    .unwrap_err();
    let expected = [
        (4, "bad-word"),
        (6, "wrong-type"),
        (10, "wrong-type"),
        (12, "wrong-type"),
    ];
    assert_eq!(lines(&refusal), expected);
}

#[test]
fn what_a_broken_statement_may_have_said_is_not_called_missing() {
    let refusal = sheet::read(
        "lever = ['P', 'D'\n\
         [casting]\nblock = { passages = ['line', 'low' }\n\
         [tap]\nt = { at = 'low' }\n\
         [outlet.rear]\nkind = bearing\nat = 'line'\n\
         [state.park]\nlever = 'P'\n",
    )
    .unwrap_err();
    let expected = [(1, "syntax"), (3, "syntax"), (7, "syntax")];
    assert_eq!(lines(&refusal), expected);
}

/// Only what is surely there can leave a valve without a place to stand.
#[test]
fn a_rule_that_cannot_be_read_leaves_no_gap() {
    const TOP: &str = "[casting]\nblock = { passages = ['line', 'low', 'a'] }\n\
                       [valve.range]\nbore = ['a', 'line', 'low']\n";
    let valve = |high: &str| {
        let text = format!("{TOP}{high}\nlow = {{ joins = [['line', 'low']], when = 'a' }}\n");
        let refusal = sheet::read(&text).unwrap_err();
        lines(&refusal)
    };
    assert_eq!(valve("high = {}"), [(6, "no-rule-holds")]);
    assert_eq!(valve("high = { when = 'not (a' }"), [(5, "bad-rule")]);
    assert_eq!(valve("high = { otherwse = true }"), [(5, "unknown-key")]);
    assert_eq!(valve("high = { when = not a }"), [(5, "syntax")]);
    assert_eq!(valve("high = { when = 'not b' }"), [(5, "unknown-id")]);
    let headed = "low = { joins = [['line', 'low']], when = 'a' }\n[valve.range.high]";
    let text = format!("{TOP}{headed}\notherwse = true\n");
    assert_eq!(
        lines(&sheet::read(&text).unwrap_err()),
        [(7, "unknown-key")]
    );
}

#[test]
fn a_runaway_bracket_hides_nothing_below_it() {
    let mut text = String::from("[casting]\nblock = { passages = ['line'] }\n[port]\n");
    for i in 0..30 {
        text += &format!(
            "p{i} = {{ between = ['line', 'sump' }}\nq{i} = {{ between = ['lime', 'sump'] }}\n"
        );
    }
    let found = lines(&sheet::read(&text).unwrap_err());
    let expected: Vec<_> = (0..30)
        .flat_map(|i| [(4 + 2 * i, "syntax"), (5 + 2 * i, "unknown-id")])
        .collect();
    assert_eq!(found, expected);
}

#[test]
fn the_underlined_part_of_a_size_is_exact_unless_it_is_escaped() {
    let underlined = |value: &str| {
        let text =
            format!("[casting]\nb = {{ passages = ['x'] }}\n[passage]\nx = {{ bore = {value} }}\n");
        let refusal = sheet::read(&text).unwrap_err();
        text[refusal.diagnostics[0].labels[0].at.range()].to_owned()
    };
    assert_eq!(underlined("'1.2 mmm'"), "mmm");
    assert_eq!(underlined("\"1.2 µµ\""), "µµ");
    assert_eq!(underlined(r#""1.2\u0020mmm""#), r#""1.2\u0020mmm""#);
}

#[test]
fn codes_are_kebab_case_and_stand_once() {
    let mut codes: Vec<&str> = sheet::codes().collect();
    for code in &codes {
        assert!(
            code.chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
        );
    }
    codes.sort_unstable();
    let count = codes.len();
    codes.dedup();
    assert_eq!(codes.len(), count);
}
