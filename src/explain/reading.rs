//! What can be wrong with a file before the rules of a circuit are asked.

use super::{Example, Explanation, error};
use crate::sheet::Severity;

pub(super) const TABLE: &[Explanation] = &[
    error(
        "syntax",
        "The text cannot be read at all here. A bracket or a quote is open, a comma or an `=` is \
         missing. What follows is read all the same.",
        r#"[casting]
block = { passages = ["line", "lube" }
"#,
        (r#""lube" }"#, r#""lube"] }"#),
    ),
    error(
        "wrong-type",
        "Another sort of value is wanted here. A list stands in square brackets, a text in quotes, \
         the keys of a part in braces.",
        r#"[casting]
block = { passages = "line" }
"#,
        (r#""line""#, r#"["line"]"#),
    ),
    error(
        "bare-number",
        "A size has no unit. A number alone could be millimetres or inches, so every size is \
         written in quotes with its unit.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[orifice]
hop = { between = ["line", "lube"], bore = 1.2 }
"#,
        ("1.2", r#""1.2 mm""#),
    ),
    error(
        "bad-size",
        "A size cannot be read. The decimal mark is a point, and the unit must measure what is \
         asked for: a bore is a length, never a pressure.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[orifice]
hop = { between = ["line", "lube"], bore = "1,2 mm" }
"#,
        ("1,2 mm", "1.2 mm"),
    ),
    error(
        "bad-tolerance",
        "A tolerance cannot stand there. It is below nothing, or as large as its size, or the size \
         takes none. Sizes that pressures and flows rest on take one, such as \"1.2 ±0.05 mm\" or \
         \"16 bar ±5 %\".",
        r#"[casting]
block = { passages = ["line", "lube"] }

[orifice]
hop = { between = ["line", "lube"], bore = "1.2 ±2 mm" }
"#,
        ("±2 mm", "±0.05 mm"),
    ),
    error(
        "bad-word",
        "This is none of the words that can stand here. The message lists them.",
        r#"[casting]
block = { passages = ["line"] }

[outlet]
low = { kind = "cluch", at = "line" }
"#,
        ("cluch", "clutch"),
    ),
    error(
        "bad-rule",
        "The rule of a valve's position cannot be read. A `when` is names joined by `and`, `or`, \
         `not` and round brackets.",
        r#"[casting]
block = { passages = ["line", "low", "pilot"] }

[valve.range]
bore = ["pilot", "line", "low", "sump"]
shut = { otherwise = true }
low = { joins = [["line", "low"]], when = "not pilot or" }
"#,
        ("not pilot or", "not pilot"),
    ),
    error(
        "unknown-key",
        "A part has no such key. It is mistyped, or it belongs to another kind of part.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[orifice]
hop = { between = ["line", "lube"], boar = "1.2 mm" }
"#,
        ("boar", "bore"),
    ),
    error(
        "unknown-kind",
        "There is no such kind of part. The word in square brackets says what the parts below it \
         are.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[orifise]
hop = { between = ["line", "lube"] }
"#,
        ("orifise", "orifice"),
    ),
    error(
        "stray-key",
        "A key goes with another kind of the same part. A one-way ball goes `from` and `to`; a \
         shuttle has two `inlets` and an `outlet`.",
        r#"[casting]
block = { passages = ["line", "low"] }

[ball]
quick-off = { from = "low", to = "line", outlet = "low" }
"#,
        (r#", outlet = "low""#, ""),
    ),
    error(
        "missing-key",
        "A part lacks a key it cannot do without. Sizes can be left out; what a part joins, feeds \
         or holds cannot.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[orifice]
hop = { bore = "1.2 mm" }
"#,
        ("{ bore", r#"{ between = ["line", "lube"], bore"#),
    ),
    error(
        "one-of",
        "Exactly one of several keys must be there. An outlet sits `at` one cavity, or has an \
         `apply` and a `release` side.",
        r#"[casting]
block = { passages = ["apply", "release"] }

[outlet]
band = { kind = "servo", at = "apply", apply = "apply", release = "release" }
"#,
        (r#"at = "apply", "#, ""),
    ),
    error(
        "duplicate-key",
        "The same key or id stands twice in one place. Which of the two holds cannot be known.",
        r#"[casting]
block = { passages = ["line", "lube"] }

[orifice]
hop = { between = ["line", "lube"], bore = "1.2 mm", bore = "1.5 mm" }
"#,
        (r#", bore = "1.5 mm""#, ""),
    ),
    error(
        "duplicate-id",
        "Two parts of one kind have the same id. A passage lies in one casting only: where oil \
         crosses to another casting, each side is a passage of its own, with a port between.",
        r#"[casting]
block = { passages = ["line", "lube"] }
case = { passages = ["lube"] }
"#,
        (
            r#"case = { passages = ["lube"] }"#,
            r#"case = { passages = ["lube-rear"] }"#,
        ),
    ),
    error(
        "unlisted-passage",
        "Details of a passage are given, but no casting lists it. Add it to the `passages` of the \
         casting it lies in.",
        r#"[casting]
block = { passages = ["line"] }

[passage]
rear-drilling = { bore = "6 mm" }
"#,
        (r#"["line"]"#, r#"["line", "rear-drilling"]"#),
    ),
    error(
        "include-cycle",
        "A file ends up including itself. Take out one of the includes on the way round.",
        r#"include = ["box.toml"]             # this file is box.toml

[casting]
block = { passages = ["line"] }
"#,
        (
            r#"include = ["box.toml"]             # this file is box.toml

"#,
            "",
        ),
    ),
    words(
        "include-depth",
        "Files include files that include files, too many deep. Include them from nearer the top.",
        "A file that includes a file that includes a file, seventeen deep.",
        "One file that includes all the others.",
    ),
    words(
        "include-here",
        "A text that did not come from a file includes another. Nothing says in which folder to \
         look for it; only programs that use the library meet this.",
        "A program that reads the text `include = [\"case.toml\"]` on its own.",
        "The same text opened as a file.",
    ),
    error(
        "unreadable",
        "A file cannot be opened. Its path is taken from the folder of the file that includes it.",
        r#"include = ["front-half.toml"]      # no such file in this folder

[casting]
block = { passages = ["line"] }
"#,
        ("include =", "# include ="),
    ),
    words(
        "not-utf8",
        "The file is not plain UTF-8 text. Save it as UTF-8 in your editor; a word processor's own \
         format will not do.",
        "A file saved as \"Unicode\" or \"UTF-16\".",
        "The same file saved as \"UTF-8\".",
    ),
    words(
        "too-large",
        "The file is too large to be a circuit file. Check that it is the right one.",
        "A file that is larger than 128 MiB with all that it includes.",
        "A circuit of a thousand parts, which takes about 100 KiB.",
    ),
    words(
        "bad-sighting",
        "A case says something that cannot be seen or found. What was seen starts with the state, \
         then says how it drives, or a part and what it does; what was found is a part and its \
         condition. The message says what does not fit.",
        "A case file with saw = [\"revers: none\"], where the circuit has a state `reverse`.",
        "The same with saw = [\"reverse: none\"].",
    ),
];

/// An error that no text can show.
const fn words(
    code: &'static str,
    means: &'static str,
    bad: &'static str,
    good: &'static str,
) -> Explanation {
    Explanation {
        code,
        severity: Severity::Error,
        means,
        example: Example::Words { bad, good },
    }
}
