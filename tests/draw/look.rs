//! The text of a drawing: it parses, everything is in it once, and nothing written covers
//! anything else.

use std::collections::BTreeSet;

use oilpath::draw::layout::Rect;
use oilpath::draw::{self, PAIRS, Paint, Picture, Scope, Style, Theme, View};
use oilpath::{circuit::Kind, sheet};
use roxmltree::{Document, Node};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

use super::{ENGINES, circuit, files, net};

/// The font that names are measured in: a wide one, so that others fit where it does.
const FONT: &[u8] = include_bytes!("../../src/draw/font/DejaVuSans-subset.ttf");

/// A written text and the room it takes.
struct Written {
    text: String,
    room: Rect,
    class: String,
}

fn attribute(node: &Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

fn classes(node: &Node<'_, '_>) -> Vec<String> {
    let class = node.attribute("class").unwrap_or_default();
    class.split(' ').map(str::to_owned).collect()
}

/// What a text of a drawing takes up, measured in the font itself.
fn written(node: &Node<'_, '_>) -> Written {
    let class = classes(node);
    let has = |name: &str| class.iter().any(|c| c == name);
    let size = match () {
        () if has("heading") => 17.0,
        () if has("small") => 10.0,
        () if has("tiny") => 9.0,
        () => 12.0,
    };
    let text = node.text().unwrap_or_default().to_owned();
    let font = FontRef::new(FONT).unwrap();
    let metrics = font.glyph_metrics(Size::new(size as f32), LocationRef::default());
    let advance = |c: char| {
        let glyph = font.charmap().map(c).unwrap_or_else(|| panic!("no {c:?}"));
        f64::from(metrics.advance_width(glyph).unwrap())
    };
    let width: f64 = text.chars().map(advance).sum();
    let (x, y) = (attribute(node, "x"), attribute(node, "y"));
    let x = if has("middle") { x - width / 2.0 } else { x };
    // Capitals reach 0.73 of the size above the line, tails 0.24 below it.
    let room = Rect {
        x,
        y: y - 0.73 * size,
        width,
        height: 0.97 * size,
    };
    Written {
        text,
        room,
        class: class.join(" "),
    }
}

fn rect(node: &Node<'_, '_>) -> Rect {
    Rect {
        x: attribute(node, "x"),
        y: attribute(node, "y"),
        width: attribute(node, "width"),
        height: attribute(node, "height"),
    }
}

fn frame<'a>(item: &Node<'a, 'a>) -> Node<'a, 'a> {
    let rects = item.children().filter(|n| n.has_tag_name("rect"));
    let mut faces = rects.filter(|n| classes(n).contains(&"face".to_owned()));
    faces.next().unwrap()
}

fn is_in(outer: &Rect, inner: &Rect) -> bool {
    inner.x >= outer.x - 0.5
        && inner.right() <= outer.right() + 0.5
        && inner.y >= outer.y - 0.5
        && inner.bottom() <= outer.bottom() + 0.5
}

/// Checks everything that can be said of a drawing without looking at it.
fn check(picture: &Picture, svg: &str, what: &str) {
    let document = Document::parse(svg).unwrap();
    let root = document.root_element();
    let sheet = Rect {
        x: 0.0,
        y: 0.0,
        width: attribute(&root, "width"),
        height: attribute(&root, "height"),
    };
    let ids: Vec<&str> = root
        .descendants()
        .filter_map(|n| n.attribute("id"))
        .collect();
    let once: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(once.len(), ids.len(), "{what}: an id twice");
    let keys: BTreeSet<&str> = picture.items.iter().map(|i| &*i.key).collect();
    assert_eq!(once, keys, "{what}: every item, once");

    let items = root.descendants().filter(|n| n.attribute("id").is_some());
    let items: Vec<_> = items.collect();
    let texts: Vec<(Node<'_, '_>, Written)> = root
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .map(|n| (n, written(&n)))
        .collect();
    for (node, text) in &texts {
        let said = &text.text;
        assert!(
            is_in(&sheet, &text.room),
            "{what}: `{said}` leaves the sheet"
        );
        let home = node.ancestors().find(|n| n.attribute("id").is_some());
        if let Some(item) = home {
            let frame = rect(&frame(&item));
            let id = item.attribute("id").unwrap();
            assert!(is_in(&frame, &text.room), "{what}: `{said}` leaves {id}");
        }
        // Tags are written last, and stand in the item that their pipe ends at.
        let within = items.iter().map(|i| (i, rect(&frame(i))));
        let mut met = within.filter(|(_, frame)| frame.overlaps(&text.room));
        let ground = met.next();
        if let Some((item, frame)) = &ground {
            let id = item.attribute("id").unwrap();
            assert!(is_in(frame, &text.room), "{what}: `{said}` half in {id}");
            assert!(
                home.is_none_or(|home| home == **item),
                "{what}: `{said}` on {id}"
            );
        }
        assert!(met.next().is_none(), "{what}: `{said}` on two items");
        let pair = pair(text, ground.map(|(item, _)| self::frame(item)).as_ref());
        let known = PAIRS.iter().any(|(a, b)| (*a, *b) == (&*pair.0, &*pair.1));
        assert!(known, "{what}: `{said}`: {pair:?} is not among the pairs");
    }
    for (i, (_, text)) in texts.iter().enumerate() {
        for (_, other) in &texts[i + 1..] {
            let (a, b) = (&text.text, &other.text);
            assert!(
                !text.room.overlaps(&other.room),
                "{what}: `{a}` covers `{b}`"
            );
        }
    }
}

/// The colours of a text and of what it stands on.
fn pair(text: &Written, face: Option<&Node<'_, '_>>) -> (String, String) {
    if let Some(on) = text.class.split(' ').find_map(|c| c.strip_prefix("on-")) {
        return (format!("{on}-text"), on.to_owned());
    }
    let ink = match text.class.split(' ').any(|c| c == "soft") {
        true => "soft",
        false => "ink",
    };
    let ground = match face.map(classes) {
        None => "paper".to_owned(),
        Some(classes) if classes.contains(&"card".to_owned()) => "card".to_owned(),
        Some(classes) => format!("{}-tint", classes.last().unwrap()),
    };
    (ink.to_owned(), ground)
}

#[test]
fn every_circuit_can_be_read() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        let picture = draw::picture(&net, &View::default()).unwrap();
        for engine in ENGINES {
            let svg = draw::svg(&picture, engine, &Style::default()).unwrap();
            let what = format!("{} {}", engine.name(), file.display());
            check(&picture, &svg, &what);
            let again = draw::svg(&picture, engine, &Style::default()).unwrap();
            assert_eq!(svg, again, "{what}: other bytes");
        }
    }
}

#[test]
fn every_state_can_be_read() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        for state in circuit.states.keys() {
            let view = View {
                state: Some(state),
                ..View::default()
            };
            let picture = draw::picture(&net, &view).unwrap();
            let svg = draw::svg(&picture, &draw::Plain, &Style::default()).unwrap();
            check(&picture, &svg, &format!("{} {state}", file.display()));
        }
    }
}

#[test]
fn a_circuit_of_loose_plates_can_be_read() {
    let circuit = circuit("circuits/tractor-powershift.toml");
    let net = net(&circuit);
    let faults = [
        "separator:left-out",
        "hop-cover:loose",
        "range:worn=3,4",
        "hop:plugged",
    ];
    let faults = faults.iter().filter_map(|f| circuit.fault(f).ok());
    let faults: Vec<_> = faults.collect();
    assert!(faults.len() >= 3);
    let view = View {
        state: Some("forward-low"),
        faults: &faults,
        ..View::default()
    };
    let picture = draw::picture(&net, &view).unwrap();
    assert!(picture.items.iter().any(|i| i.shape == draw::Shape::Leak));
    for engine in ENGINES {
        let svg = draw::svg(&picture, engine, &Style::default()).unwrap();
        check(&picture, &svg, engine.name());
    }
}

#[test]
fn every_part_is_there() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        let picture = draw::picture(&net, &View::default()).unwrap();
        let svg = draw::svg(&picture, &draw::Plain, &Style::default()).unwrap();
        let document = Document::parse(&svg).unwrap();
        let all = |name: &str| -> BTreeSet<String> {
            let values = document.descendants().filter_map(|n| n.attribute(name));
            values.map(str::to_owned).collect()
        };
        let (parts, cavities) = (all("data-part"), all("data-cavity"));
        for (name, _) in circuit.parts() {
            let there = match name.kind {
                // How it is driven is laid over it and is no part of it.
                Kind::State | Kind::Input | Kind::Oil => continue,
                Kind::Passage => cavities.contains(&name.id),
                _ => parts.contains(&name.to_string()),
            };
            // A plate that touches nothing drawn, a casting without passages.
            let bare = match circuit.get(name.kind, &name.id) {
                Some(oilpath::circuit::Part::Plate(_)) => {
                    !picture.plates.iter().any(|p| p.id == name.id)
                }
                Some(oilpath::circuit::Part::Casting(_)) => {
                    !picture.castings.iter().any(|c| c.id == name.id)
                }
                _ => false,
            };
            assert!(there || bare, "{name} of {}", file.display());
        }
    }
}

#[test]
fn text_stays_text() {
    let circuit = sheet::read(
        r#"
        title = "<script>alert('title')</script> & \"more\""
        [casting]
        block = { label = "<b>block</b>", passages = ["line"] }
        [passage]
        line = { label = "<script>x</script>", note = "]]> <!-- & --> \u202E" }
        [source]
        pump = { feeds = "line", label = "a\" onload=\"x" }
        [tap]
        tap = { at = "line", label = "<i>" }
        "#,
    );
    let circuit = circuit.unwrap().circuit;
    let net = net(&circuit);
    let picture = draw::picture(&net, &View::default()).unwrap();
    for engine in ENGINES {
        let svg = draw::svg(&picture, engine, &Style::default()).unwrap();
        let document = Document::parse(&svg).unwrap();
        let names: BTreeSet<&str> = document
            .descendants()
            .filter(Node::is_element)
            .map(|n| n.tag_name().name())
            .collect();
        let known = [
            "circle", "g", "path", "rect", "style", "svg", "text", "title",
        ];
        assert!(names.is_subset(&known.into()), "{names:?}");
        let loads = document.descendants().any(|n| n.has_attribute("onload"));
        assert!(!loads);
        let mut texts = document.descendants().filter(|n| n.has_tag_name("text"));
        assert!(texts.any(|n| n.text().is_some_and(|t| t.starts_with("<script>"))));
        check(&picture, &svg, engine.name());
    }
    let dot = draw::dot(&picture);
    assert!(dot.contains(r#"a\" onload=\"x"#), "{dot}");
}

#[test]
fn names_too_long_for_any_room_are_cut_and_told_in_full() {
    let long = "an endless drilling that wanders through every wall of the whole case ".repeat(4);
    let text = format!(
        "title = \"{long}\"\n[casting]\nblock = {{ label = \"{long}\", passages = [\"line\"] }}\n\
         [passage]\nline = {{ label = \"{long}\" }}\n\
         [source]\npump = {{ feeds = \"line\", label = \"{}\" }}\n\
         [tap]\nt = {{ at = \"line\", label = \"{long}\" }}\n\
         [plate]\np = {{ kind = \"cover\", roofs = [\"line\"], label = \"{long}\" }}\n",
        "W".repeat(80)
    );
    let circuit = sheet::read(&text).unwrap().circuit;
    let net = net(&circuit);
    let picture = draw::picture(&net, &View::default()).unwrap();
    let svg = draw::svg(&picture, &draw::Layered, &Style::default()).unwrap();
    check(&picture, &svg, "long names");
    assert!(svg.contains(long.trim()));
}

#[test]
fn colours_are_variables_unless_fixed() {
    let circuit = circuit("circuits/lessons/check-ball.toml");
    let net = net(&circuit);
    let picture = draw::picture(&net, &View::default()).unwrap();
    let written = |paint| {
        let style = Style {
            paint,
            prefix: "one-".to_owned(),
            beside: false,
        };
        draw::svg(&picture, &draw::Plain, &style).unwrap()
    };
    let variable = written(Paint::Variables);
    for (name, [r, g, b]) in Theme::Light.colours() {
        let declared = format!("--oil-{name}:#{r:02x}{g:02x}{b:02x};");
        assert!(variable.contains(&declared), "{declared}");
    }
    assert!(variable.contains("prefers-color-scheme:dark"));
    assert!(variable.contains("id=\"one-cavity-line\""));
    for theme in [Theme::Light, Theme::Dark] {
        let fixed = written(Paint::Fixed(theme));
        assert!(!fixed.contains("var("), "{theme:?}");
        assert!(!fixed.contains("@media"), "{theme:?}");
    }
    assert_ne!(
        written(Paint::Fixed(Theme::Light)),
        written(Paint::Fixed(Theme::Dark))
    );
}

#[test]
fn a_part_of_the_circuit_says_where_it_was_cut() {
    let circuit = circuit("circuits/six-speed-bus.toml");
    let net = net(&circuit);
    let whole = draw::picture(&net, &View::default()).unwrap();
    assert!(whole.items.iter().all(|i| !i.cut));
    for text in [
        "limp-feed",
        "pilot-cover",
        "channel-body",
        "line-tap",
        "line",
    ] {
        let part = circuit.find(text, Kind::ALL).unwrap();
        let view = View {
            scope: Scope::Around(part),
            ..View::default()
        };
        let some = draw::picture(&net, &view).unwrap();
        assert!(some.items.len() < whole.items.len(), "{text}");
        assert!(some.items.iter().any(|i| i.cut), "{text}");
        // Whatever lost a pipe says so, and nothing else.
        for item in &some.items {
            let pipes = |picture: &Picture| {
                let number = picture
                    .items
                    .iter()
                    .position(|i| i.key == item.key)
                    .unwrap();
                let pipes = picture.pipes.iter();
                pipes.filter(|p| p.other(number).is_some()).count()
            };
            assert_eq!(
                item.cut,
                pipes(&some) < pipes(&whole),
                "{text}: {}",
                item.key
            );
        }
        let svg = draw::svg(&some, &draw::Layered, &Style::default()).unwrap();
        check(&some, &svg, text);
    }
    let state = circuit.find("first", &[Kind::State]).unwrap();
    let view = View {
        scope: Scope::Around(state),
        ..View::default()
    };
    assert!(draw::picture(&net, &view).is_err());
}

/// What stands beside another drawing has no second title, legend and style sheet, and the same
/// places for everything.
#[test]
fn a_drawing_beside_another_shares_what_serves_for_both() {
    let circuit = circuit("circuits/lessons/check-ball.toml");
    let net = net(&circuit);
    let only = ["passage.line", "passage.lift-apply"].map(|name| circuit.find(name, Kind::ALL));
    let only = Scope::Only(only.map(Result::unwrap).into());
    let view = View {
        scope: only,
        ..View::default()
    };
    let picture = draw::picture(&net, &view).unwrap();
    assert_eq!(picture.items.len(), 2);
    let beside = Style {
        beside: true,
        ..Style::default()
    };
    let written = |style| draw::svg(&picture, &draw::Plain, style).unwrap();
    let (alone, beside) = (written(&Style::default()), written(&beside));
    for part in ["<style>", "class=\"heading\"", "supply: source pressure"] {
        assert!(alone.contains(part) && !beside.contains(part), "{part}");
    }
    assert!(roxmltree::Document::parse(&beside).is_ok());
}
