//! Rules that a circuit can break although its file can be read.

use super::{Explanation, error};

pub(super) const TABLE: &[Explanation] = &[
    error(
        "unknown-id",
        "Something is named that the file does not have. It is mistyped, or was never listed.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[orifice]
hop = { between = ["lime", "lube"] }
"#,
        ("lime", "line"),
    ),
    error(
        "wrong-kind",
        "A part of this kind cannot be named here. A seal sits on a \
         way, not on an outlet.",
        r#"[casting]
block = { passages = ["line", "low"] }

[port]
low-feed = { between = ["line", "low"] }

[outlet]
low-clutch = { kind = "clutch", at = "low" }

[seal]
ring = { on = "low-clutch" }
"#,
        (r#"on = "low-clutch""#, r#"on = "low-feed""#),
    ),
    error(
        "shared-id",
        "Two parts have this id, and either could be meant. Write the kind before it, \
         with a point between.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[port]
hop = { between = ["line", "lube"] }

[orifice]
hop = { between = ["line", "lube"] }

[seal]
ring = { on = "hop" }
"#,
        (r#""hop""#, r#""port.hop""#),
    ),
    error(
        "bad-id",
        "This cannot be an id. Ids are letters, digits, `-` and `_`, so that they can be typed in \
         rules and faults; what people call the part goes into its `label`.",
        r#"[casting]
block = { passages = ["line", "rear lube"] }
"#,
        ("rear lube", "rear-lube"),
    ),
    error(
        "sump-listed",
        "The sump is listed as a passage. It is always there, whatever the castings list.",
        r#"[casting]
block = { passages = ["line", "sump"] }
"#,
        (r#", "sump""#, ""),
    ),
    error(
        "off-bore",
        "A position joins a cavity that is not in the bore. The spool can only join \
         what its bore lists.",
        r#"[casting]
block = { passages = ["line", "low", "high"] }

[valve.range]
bore = ["sump", "low", "line", "sump"]
up = { joins = [["line", "high"]], otherwise = true }
"#,
        (r#"bore = ["sump", "low""#, r#"bore = ["sump", "high""#),
    ),
    error(
        "not-an-end",
        "The spring is not at an end of the bore. The first and the last cavity of `bore` are its \
         ends, spring pocket included.",
        r#"[casting]
block = { passages = ["pilot", "line", "low", "pocket"] }

[valve.range]
bore = ["pilot", "line", "low", "pocket"]
spring = "low"
open = { joins = [["line", "low"]], otherwise = true }
"#,
        (r#"spring = "low""#, r#"spring = "pocket""#),
    ),
    error(
        "short-bore",
        "A valve has fewer than two ports. List every cavity along its bore in order, both ends \
         included.",
        r#"[casting]
block = { passages = ["line", "low"] }

[valve.range]
bore = ["line"]
open = { joins = [], otherwise = true }
"#,
        (
            r#"bore = ["line"]"#,
            r#"bore = ["sump", "low", "line", "sump"]"#,
        ),
    ),
    error(
        "no-position",
        "A valve has no position. Say at least one place where its spool can stand, and what it \
         joins there.",
        r#"[casting]
block = { passages = ["line", "low"] }

[valve.range]
bore = ["sump", "low", "line", "sump"]
"#,
        (
            r#""sump"]
"#,
            r#""sump"]
open = { joins = [["line", "low"]], otherwise = true }
"#,
        ),
    ),
    error(
        "short-join",
        "A position joins one cavity with nothing. A join is two or more cavities that the spool \
         lets run together.",
        r#"[casting]
block = { passages = ["line", "low"] }

[valve.range]
bore = ["sump", "low", "line", "sump"]
open = { joins = [["line"]], otherwise = true }
"#,
        (r#"[["line"]]"#, r#"[["line", "low"]]"#),
    ),
    error(
        "two-rests",
        "A valve rests in two places. Only one position can say `otherwise`: the valve stands \
         there when no `when` holds.",
        r#"[casting]
block = { passages = ["line", "low", "pilot"] }

[valve.range]
bore = ["pilot", "line", "low", "sump"]
open = { joins = [["line", "low"]], otherwise = true }
shut = { joins = [["low", "sump"]], otherwise = true }
"#,
        (
            r#"[["line", "low"]], otherwise = true"#,
            r#"[["line", "low"]], when = "pilot""#,
        ),
    ),
    error(
        "rule-at-rest",
        "A position has a rule and is the resting place too. Either a `when` puts the valve \
         there, or it rests there, which `otherwise` says.",
        r#"[casting]
block = { passages = ["line", "low", "pilot"] }

[valve.range]
bore = ["pilot", "line", "low", "sump"]
open = { joins = [["line", "low"]], when = "pilot", otherwise = true }
"#,
        (r#"when = "pilot", "#, ""),
    ),
    error(
        "rules-overlap",
        "Two positions of a valve can be called for at once. A spool stands in one place: say in \
         one of the rules that it gives way to the other.",
        r#"[casting]
block = { passages = ["line", "low", "high", "pilot", "boost"] }

[valve.range]
bore = ["pilot", "low", "line", "high", "boost"]
neutral = { otherwise = true }
low = { joins = [["line", "low"]], when = "pilot" }
high = { joins = [["line", "high"]], when = "boost" }
"#,
        (r#"when = "boost""#, r#"when = "boost and not pilot""#),
    ),
    error(
        "no-rule-holds",
        "The rules of a valve leave its spool no place at times. Say where it rests with \
         `otherwise = true`, or add a rule that holds then.",
        r#"lever = ["R", "N", "D"]

[casting]
block = { passages = ["line", "drive"] }

[valve.hand]
bore = ["sump", "drive", "line", "sump"]
drive = { joins = [["line", "drive"]], when = "lever.D" }
neutral = { joins = [["drive", "sump"]], when = "lever.N" }
"#,
        (r#"when = "lever.N""#, "otherwise = true"),
    ),
    error(
        "too-many-names",
        "The rules of a valve read too many names to be checked. Let one position be the \
         `otherwise`, or let one `input` stand for several names.",
        r#"[casting]
block = { passages = ["line", "lamp", "horn"] }
hoses = { passages = [
  "a1", "a2", "a3", "a4", "a5", "a6", "a7", "a8", "a9", "a10", "a11", "a12", "a13", "a14",
  "a15", "a16", "b1", "b2", "b3", "b4", "b5", "b6", "b7", "b8", "b9", "b10", "b11", "b12",
  "b13", "b14", "b15", "b16",
] }

[valve.alarm]
bore = ["sump", "lamp", "line", "horn", "sump"]

[valve.alarm.shine]
joins = [["line", "lamp"]]
when = """
  a1 and b1 or a2 and b2 or a3 and b3 or a4 and b4 or a5 and b5 or a6 and b6 or a7 and b7 or
  a8 and b8 or a9 and b9 or a10 and b10 or a11 and b11 or a12 and b12 or a13 and b13 or a14
  and b14 or a15 and b15 or a16 and b16"""

[valve.alarm.sound]
joins = [["line", "horn"]]
when = """not (
  a1 and b1 or a2 and b2 or a3 and b3 or a4 and b4 or a5 and b5 or a6 and b6 or a7 and b7 or
  a8 and b8 or a9 and b9 or a10 and b10 or a11 and b11 or a12 and b12 or a13 and b13 or a14
  and b14 or a15 and b15 or a16 and b16)"""
"#,
        (
            r#"when = """not (
  a1 and b1 or a2 and b2 or a3 and b3 or a4 and b4 or a5 and b5 or a6 and b6 or a7 and b7 or
  a8 and b8 or a9 and b9 or a10 and b10 or a11 and b11 or a12 and b12 or a13 and b13 or a14
  and b14 or a15 and b15 or a16 and b16)""""#,
            "otherwise = true",
        ),
    ),
    error(
        "no-such-position",
        "A state puts a valve where it cannot stand. The valve has no position of that id.",
        r#"[casting]
block = { passages = ["line", "low"] }

[valve.range]
bore = ["sump", "low", "line", "sump"]
open = { joins = [["line", "low"]], otherwise = true }

[state.drive]
valves = { range = "opened" }
"#,
        ("opened", "open"),
    ),
    error(
        "no-such-detent",
        "The lever has no such detent. The detents are the words of `lever` at the top of the \
         file.",
        r#"lever = ["N", "D"]

[casting]
block = { passages = ["line"] }

[state.reverse]
lever = "R"
"#,
        (r#"["N", "D"]"#, r#"["R", "N", "D"]"#),
    ),
    error(
        "hole-elsewhere",
        "A way's hole is said to be where the way is not. `hole-at` names \
         one or both of its ends.",
        r#"[casting]
block = { passages = ["line", "lube", "low"] }

[orifice]
hop = { between = ["line", "lube"], hole-at = "low" }
"#,
        (r#"hole-at = "low""#, r#"hole-at = "line""#),
    ),
    error(
        "not-a-cover",
        "A way lies `under` a plate that is no cover. It lies under a cover or bridge, and goes \
         `through` a separator or gasket.",
        r#"[casting]
block = { passages = ["line"] }
case = { passages = ["lube"] }

[plate]
main-gasket = { kind = "gasket" }

[port]
rear-lube = { between = ["line", "lube"], under = "main-gasket" }
"#,
        ("under =", "through ="),
    ),
    error(
        "short-run",
        "A plate separates one cavity from nothing. List the neighbours that would run together \
         without it.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[plate]
separator = { kind = "separator", separates = [["line"]] }
"#,
        (r#"[["line"]]"#, r#"[["line", "lube"]]"#),
    ),
    error(
        "same-ends",
        "Both ends of a way are the same cavity. Oil goes through a way from one cavity to \
         another.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[orifice]
hop = { between = ["line", "line"] }
"#,
        (
            r#"between = ["line", "line"]"#,
            r#"between = ["line", "lube"]"#,
        ),
    ),
    error(
        "needs-mismatch",
        "An outlet needs the wrong thing. Clutches, brakes and servos need a pressure; bearings, \
         bushings, seals, gears and lube need a flow.",
        r#"[casting]
block = { passages = ["line"] }

[outlet]
rear-bearing = { kind = "bearing", at = "line", needs = "2 bar" }
"#,
        ("2 bar", "0.3 L/min"),
    ),
    error(
        "no-thinning",
        "An oil does not thin as it warms. Two temperatures or two viscosities are swapped, or \
         one stands twice: whatever its grade, oil is thinner at the hotter.",
        r#"[oil]
summer = { viscosity = { "40 °C" = "7.1 cSt", "100 °C" = "34 cSt" } }
"#,
        (
            r#"{ "40 °C" = "7.1 cSt", "100 °C" = "34 cSt" }"#,
            r#"{ "40 °C" = "34 cSt", "100 °C" = "7.1 cSt" }"#,
        ),
    ),
    error(
        "pump-or-pressure",
        "A source is a pump and a fixed pressure at once. A pump has a `displacement`, a supply \
         from elsewhere has a `pressure`.",
        r#"[casting]
block = { passages = ["line"] }

[source]
pump = { feeds = "line", displacement = "14 cm³/rev", pressure = "5 bar" }
"#,
        (r#", pressure = "5 bar""#, ""),
    ),
    error(
        "on-and-level",
        "A state has a solenoid both on and at a level. `on` is full current; `levels` is for \
         those in between.",
        r#"[casting]
block = { passages = ["line"] }

[solenoid]
pilot = { kind = "bleed", on = "line" }

[state.drive]
on = ["pilot"]
levels = { pilot = "low" }
"#,
        (
            r#"on = ["pilot"]
"#,
            "",
        ),
    ),
];
