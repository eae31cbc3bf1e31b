//! A picture as DOT text, for programs that place graphs themselves.

use std::fmt::Write;

use super::picture::{Item, Passing, Picture, Shape};

/// A picture in the DOT language: castings as clusters, cavities rounded, roles by letter.
///
/// ```
/// use oilpath::{draw, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line"] }
///     [source]
///     pump = { feeds = "line" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let picture = draw::picture(&net, &draw::View::default()).unwrap();
/// assert!(draw::dot(&picture).contains("\"source-pump\" -> \"cavity-line\""));
/// ```
#[must_use]
pub fn dot(picture: &Picture) -> String {
    let mut text = String::from("digraph oil {\n  node [fontname=\"sans-serif\"];\n");
    let title = format!("{}\n{}", picture.title, picture.about);
    let _ = writeln!(text, "  label={};", quoted(&title));
    for (number, casting) in picture.castings.iter().enumerate() {
        let _ = writeln!(text, "  subgraph cluster_{number} {{");
        let _ = writeln!(text, "    label={};", quoted(&casting.label));
        for item in picture.items.iter().filter(|i| i.casting == Some(number)) {
            node(&mut text, item);
        }
        text.push_str("  }\n");
    }
    for item in picture.items.iter().filter(|i| i.casting.is_none()) {
        node(&mut text, item);
    }
    for pipe in &picture.pipes {
        let [from, to] = [pipe.from, pipe.to].map(|i| quoted(&picture.items[i].key));
        let arrow = match pipe.arrows[..] {
            [into] if into == pipe.to => "forward",
            [_] => "back",
            [] => "none",
            _ => "both",
        };
        let style = match (pipe.passing, pipe.pushes) {
            _ if pipe.traced => "bold",
            (Passing::Shut, _) => "dotted",
            (Passing::Unsure, _) | (_, true) => "dashed",
            (Passing::Open, false) => "solid",
        };
        let label = match &*pipe.tag {
            "" => String::new(),
            tag => format!(", label={}", quoted(tag)),
        };
        let _ = writeln!(
            text,
            "  {from} -> {to} [dir={arrow}, style={style}{label}];"
        );
    }
    text.push_str("}\n");
    text
}

fn node(text: &mut String, item: &Item) {
    let mut label = item.label.join("\n");
    if let Some(role) = item.role {
        label = format!("{} {label}", role.letter());
    }
    let more = [&item.detail, &item.fault].into_iter().flatten();
    for line in more {
        let _ = write!(label, "\n{line}");
    }
    if item.tank.is_some() {
        label += "\n(sump)";
    }
    let style = match item.shape {
        Shape::Cavity => "shape=box, style=rounded",
        _ => "shape=box",
    };
    let _ = writeln!(
        text,
        "    {} [{style}, label={}, tooltip={}];",
        quoted(&item.key),
        quoted(&label),
        quoted(&item.title)
    );
}

/// A text as DOT takes it, line breaks as its own.
fn quoted(text: &str) -> String {
    let text = text.replace('\\', "\\\\").replace('"', "\\\"");
    format!("\"{}\"", text.replace('\n', "\\n"))
}
