//! The style sheet of a drawing.

use std::fmt::Write;

use super::theme::{Paint, Theme, hex};
use crate::draw::role::Role;

/// The style sheet of a drawing. Its rules reach no further than the drawing they stand in.
pub(super) fn sheet(paint: Paint) -> String {
    let mut css = String::new();
    let declare = |theme: Theme| -> String {
        let colours = theme.colours().into_iter();
        colours
            .map(|(name, colour)| format!("--oil-{name}:{};", hex(colour)))
            .collect()
    };
    let fixed = match paint {
        Paint::Variables => {
            let (light, dark) = (declare(Theme::Light), declare(Theme::Dark));
            // Where a page sets variables on what holds the drawing, they win over these.
            let _ = write!(
                css,
                ":where(.oil-drawing){{{light}}}\n\
                 @media (prefers-color-scheme:dark){{:where(.oil-drawing){{{dark}}}}}\n\
                 [data-theme=light] .oil-drawing{{{light}}}\n\
                 [data-theme=dark] .oil-drawing{{{dark}}}\n\
                 @media print{{.oil-drawing.oil-drawing{{{light}}}}}\n"
            );
            None
        }
        Paint::Fixed(theme) => Some(theme),
    };
    let colour = |name: &str| match fixed {
        Some(theme) => theme.colour(name).map_or_else(String::new, hex),
        None => format!("var(--oil-{name})"),
    };
    let mut rule = |selector: &str, declarations: &[(&str, &str)]| {
        let _ = write!(css, ".oil-drawing {selector}{{");
        for (property, value) in declarations {
            let value = match value.strip_prefix('@') {
                Some(name) => colour(name),
                None => (*value).to_owned(),
            };
            let _ = write!(css, "{property}:{value};");
        }
        css.push_str("}\n");
    };
    for (selector, declarations) in RULES {
        rule(selector, declarations);
    }
    for role in Role::ALL {
        let word = role.word();
        let (own, edge, text, tint) = (
            format!("@{word}"),
            format!("@{word}-edge"),
            format!("@{word}-text"),
            format!("@{word}-tint"),
        );
        rule(
            &format!(".cell.{word}"),
            &[("fill", &tint), ("stroke", &edge)],
        );
        rule(&format!(".swatch.{word}"), &[("fill", &own)]);
        rule(&format!(".on-{word}"), &[("fill", &text)]);
        let dash = dash(role);
        rule(
            &format!(".core.{word}"),
            &[("stroke", &own), ("stroke-dasharray", dash)],
        );
        rule(&format!(".head.{word}"), &[("fill", &own)]);
    }
    css
}

/// The dashes of a role's line, which say the same as its colour.
fn dash(role: Role) -> &'static str {
    match role {
        Role::Supply => "none",
        Role::Regulated => "14 3",
        Role::Pilot => "5 3",
        Role::Lube => "12 3 3 3",
        Role::Slack => "none",
        Role::Drained => "1 4",
        Role::Contested => "8 3 1 3 1 3",
        Role::Trapped => "3 6",
        Role::Undecided => "1 2 6 2",
    }
}

/// Selectors with their declarations; `@name` stands for a colour.
const RULES: &[(&str, &[(&str, &str)])] = &[
    (".paper", &[("fill", "@paper")]),
    (".more", &[("fill", "@ink")]),
    (
        ".ground-0 *",
        &[("fill", "@ground-0"), ("stroke", "@ground-0")],
    ),
    (
        ".ground-1 *",
        &[("fill", "@ground-1"), ("stroke", "@ground-1")],
    ),
    (
        ".ground-2 *",
        &[("fill", "@ground-2"), ("stroke", "@ground-2")],
    ),
    (
        ".ground-3 *",
        &[("fill", "@ground-3"), ("stroke", "@ground-3")],
    ),
    (
        ".casting .ground-line",
        &[
            ("fill", "none"),
            ("stroke-width", "26"),
            ("stroke-linejoin", "round"),
        ],
    ),
    (
        "text",
        &[
            ("font-family", "'DejaVu Sans',Verdana,system-ui,sans-serif"),
            ("font-size", "12px"),
            ("fill", "@ink"),
        ],
    ),
    (".heading", &[("font-size", "17px")]),
    (".small", &[("font-size", "10px")]),
    (".tiny", &[("font-size", "9px")]),
    (".soft", &[("fill", "@soft")]),
    (".middle", &[("text-anchor", "middle")]),
    (".card", &[("fill", "@card"), ("stroke", "@frame")]),
    (".cell", &[("stroke-width", "2.2")]),
    (
        ".cell.drained",
        &[("stroke-width", "1.2"), ("stroke-dasharray", "1.5 3")],
    ),
    (".cell.slack", &[("stroke-width", "1.2")]),
    (".cell.trapped", &[("stroke-dasharray", "4 4")]),
    (".cell.contested", &[("stroke-dasharray", "8 3 1 3 1 3")]),
    (".cell.undecided", &[("stroke-dasharray", "1 2 6 2")]),
    (
        ".sign",
        &[
            ("fill", "none"),
            ("stroke", "@ink"),
            ("stroke-width", "1.4"),
            ("stroke-linecap", "round"),
            ("stroke-linejoin", "round"),
        ],
    ),
    (".sign .full", &[("fill", "@ink")]),
    (
        ".sign .port",
        &[
            ("stroke", "@frame"),
            ("stroke-width", "1"),
            ("fill", "none"),
        ],
    ),
    (".sign .sump", &[("stroke-width", "1")]),
    (".sign .land", &[("stroke-width", "2.2")]),
    (".item.shut > .card", &[("stroke-dasharray", "3 3")]),
    (".item.unsure > .card", &[("stroke-dasharray", "1 2 6 2")]),
    (
        ".item.faulty > .face",
        &[
            ("stroke", "@fault"),
            ("stroke-width", "3"),
            ("stroke-dasharray", "none"),
        ],
    ),
    (".fault", &[("fill", "@fault")]),
    (".on-fault", &[("fill", "@fault-text")]),
    (".step", &[("fill", "@step")]),
    (".on-step", &[("fill", "@step-text")]),
    (
        ".band",
        &[
            ("fill", "@band"),
            ("stroke", "@frame"),
            ("stroke-width", "0.8"),
        ],
    ),
    (".on-band", &[("fill", "@band-text")]),
    (
        ".under",
        &[
            ("fill", "none"),
            ("stroke", "@paper"),
            ("stroke-width", "7"),
            ("stroke-linejoin", "round"),
        ],
    ),
    (
        ".wall",
        &[
            ("fill", "none"),
            ("stroke", "@wall"),
            ("stroke-width", "4"),
            ("stroke-linejoin", "round"),
        ],
    ),
    (
        ".core",
        &[
            ("fill", "none"),
            ("stroke-width", "2.4"),
            ("stroke-linejoin", "round"),
        ],
    ),
    (".core.drained", &[("stroke-width", "1.6")]),
    (".core.slack", &[("stroke-width", "1.6")]),
    (
        ".pipe.shut .core",
        &[
            ("stroke", "@frame"),
            ("stroke-width", "1"),
            ("stroke-dasharray", "2 5"),
        ],
    ),
    (".pushes .core", &[("stroke-width", "1.6")]),
    (".pushes .wall", &[("stroke-width", "2.6")]),
    (".traced .wall", &[("stroke-width", "7")]),
    (".traced .core", &[("stroke-width", "5")]),
    (
        ".head",
        &[
            ("stroke", "@wall"),
            ("stroke-width", "1"),
            ("stroke-linejoin", "round"),
        ],
    ),
    (".rule", &[("stroke", "@frame"), ("stroke-width", "1")]),
];
