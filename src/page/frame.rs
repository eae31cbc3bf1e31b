//! What every page has: its head, its style, data that no text of a file can break out of.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// What a page may load and run: what stands in it, and nothing from anywhere else.
pub const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; \
     script-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

const STYLE: &str = include_str!("page.css");

/// A whole page around its body.
pub(super) fn frame(title: &str, body: Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body { (body) }
        }
    };
    page.into_string() + "\n"
}

/// JSON as an element of a page, for a script or another program to read.
pub(super) fn data(id: &str, json: &str) -> Markup {
    // Nothing in JSON can end the element then: `<` only stands in its strings.
    let json = json.replace('<', "\\u003c");
    html! { script type="application/json" id=(id) { (PreEscaped(json)) } }
}
