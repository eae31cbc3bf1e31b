//! What is legal in a circuit and looks like a slip.

use super::{Example, Explanation};
use crate::sheet::Severity;

pub(super) const TABLE: &[Explanation] = &[
    slip(
        "no-parts",
        "There is not one part in the file. It may be the wrong file; a circuit starts with its \
         castings and their passages.",
        r#"title = "Small drive"
"#,
        (
            "\n",
            r#"

[casting]
block = { passages = ["line"] }

[source]
pump = { feeds = "line" }

[outlet]
bearing = { kind = "bearing", at = "line" }
"#,
        ),
    ),
    slip(
        "unfed-cavity",
        "No source reaches this cavity, whatever the valves do. The way its oil comes by was \
         forgotten, or the cavity is not needed.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[source]
pump = { feeds = "line" }

[tap]
lube-tap = { at = "lube" }
"#,
        (
            "[tap]",
            "[port]\nlube-feed = { between = [\"line\", \"lube\"] }\n\n[tap]",
        ),
    ),
    slip(
        "unfed-outlet",
        "No state brings oil to this outlet. Its way is missing, or lets out more than it brings.",
        r#"[casting]
block = { passages = ["line", "brake-feed"] }

[source]
pump = { feeds = "line" }

[orifice]
fill = { between = ["line", "brake-feed"] }

[port]
exhaust = { between = ["brake-feed", "sump"] }

[outlet]
brake = { kind = "brake", at = "brake-feed" }
"#,
        (
            "[port]\nexhaust = { between = [\"brake-feed\", \"sump\"] }\n\n",
            "",
        ),
    ),
    slip(
        "dead-end",
        "One way leads here, and nothing uses the oil. What it leads to was \
         forgotten, or it is a blind drilling that can be left out.",
        r#"[casting]
block = { passages = ["line", "drilling"] }

[source]
pump = { feeds = "line" }

[port]
hop = { between = ["line", "drilling"] }
"#,
        (
            "[port]",
            "[outlet]\nbearing = { kind = \"bearing\", at = \"drilling\" }\n\n[port]",
        ),
    ),
    slip(
        "idle-plate",
        "This plate keeps nothing tight. List the cavities it `roofs` or `separates`, or put it \
         behind `under` or `through` of the ways it holds; else it can come loose and cost \
         nothing.",
        r#"[casting]
block = { passages = ["line"] }

[source]
pump = { feeds = "line" }

[plate]
hop-cover = { kind = "cover", bolts = 2 }

[outlet]
bearing = { kind = "bearing", at = "line" }
"#,
        ("bolts = 2", "bolts = 2, roofs = [\"line\"]"),
    ),
    slip(
        "same-sides",
        "A ball has the same cavity on both sides. One of the two is a slip of \
         the pen.",
        r#"[casting]
block = { passages = ["line", "low"] }

[source]
pump = { feeds = "line" }

[orifice]
fill = { between = ["line", "low"] }

[ball]
quick-off = { from = "low", to = "low" }

[outlet]
low-clutch = { kind = "clutch", at = "low" }
"#,
        (r#"to = "low""#, r#"to = "line""#),
    ),
    slip(
        "unreferred",
        "Nothing in the file refers to this part. Use it where it belongs, or take it out.",
        r#"[casting]
block = { passages = ["line", "spare"] }

[source]
pump = { feeds = "line" }

[outlet]
bearing = { kind = "bearing", at = "line" }
"#,
        (r#", "spare""#, ""),
    ),
    slip(
        "unused-position",
        "No state puts the valve in this position. Add the state that uses it, or check its rule \
         and the levers and solenoids of the states.",
        r#"lever = ["N", "D"]

[casting]
block = { passages = ["line", "low"] }

[source]
pump = { feeds = "line" }

[valve.manual]
bore = ["sump", "low", "line", "sump"]
drive = { joins = [["line", "low"]], when = "lever.D" }
neutral = { joins = [["low", "sump"]], otherwise = true }

[outlet]
low-clutch = { kind = "clutch", at = "low" }

[state]
drive = { lever = "D", applies = ["low-clutch"] }
"#,
        ("[state]", "[state]\nneutral = { lever = \"N\" }"),
    ),
    slip(
        "undecided-valve",
        "Where a valve stands in this state cannot be said. Give the state its lever, solenoids or \
         inputs, and the valve a position that says `otherwise`.",
        r#"lever = ["N", "D"]

[casting]
block = { passages = ["line", "low"] }

[source]
pump = { feeds = "line" }

[valve.manual]
bore = ["sump", "low", "line", "sump"]
drive = { joins = [["line", "low"]], when = "lever.D" }
neutral = { joins = [["low", "sump"]], otherwise = true }

[outlet]
low-clutch = { kind = "clutch", at = "low" }

[state]
neutral = { lever = "N" }
drive = { lever = "D", applies = ["low-clutch"] }
coast = {}
"#,
        ("coast = {}", "coast = { lever = \"N\" }"),
    ),
    slip(
        "not-applied",
        "A state should apply this outlet and does not. The state's lever or \
         solenoids, a rule, or a way to the outlet is not as on the bench.",
        r#"[casting]
block = { passages = ["line", "low"] }

[source]
pump = { feeds = "line" }

[solenoid]
low-feed = { kind = "two-way", between = ["line", "low"] }

[outlet]
low-clutch = { kind = "clutch", at = "low" }

[state]
neutral = {}
low = { applies = ["low-clutch"] }
third = { on = ["low-feed"], applies = ["low-clutch"] }
"#,
        ("low = { applies", "low = { on = [\"low-feed\"], applies"),
    ),
    slip(
        "applied-unasked",
        "A state applies an outlet that it does not list. Add it to `applies`, or find out why oil \
         gets there: two on at once may bind.",
        r#"[casting]
block = { passages = ["line"] }

[source]
pump = { feeds = "line" }

[outlet]
clutch = { kind = "clutch", at = "line" }
brake = { kind = "brake", at = "line" }

[state]
drive = { applies = ["clutch"] }
"#,
        (r#"["clutch"]"#, r#"["clutch", "brake"]"#),
    ),
    slip(
        "not-boosted",
        "A state should raise this regulator and does not. No oil reaches any of its `boost` \
         cavities: the state's lever or solenoids, a way, or the cavity named under `boost` \
         is not as on the bench.",
        r#"[casting]
block = { passages = ["line", "reverse-feed"] }

[source]
pump = { feeds = "line" }

[solenoid]
reverse-on = { kind = "two-way", between = ["line", "reverse-feed"] }

[regulator]
main = { holds = "line", at = "10 bar", spills = ["sump"], boost = { reverse-feed = "4 bar" } }

[outlet]
reverse-clutch = { kind = "clutch", at = "reverse-feed" }

[state]
neutral = { boosts = ["main"] }
reverse = { on = ["reverse-on"], applies = ["reverse-clutch"], boosts = ["main"] }
"#,
        (r#"neutral = { boosts = ["main"] }"#, "neutral = {}"),
    ),
];

/// A warning that a circuit file shows.
const fn slip(
    code: &'static str,
    means: &'static str,
    bad: &'static str,
    mend: (&'static str, &'static str),
) -> Explanation {
    Explanation {
        code,
        severity: Severity::Warning,
        means,
        example: Example::Sheet { bad, mend },
    }
}
