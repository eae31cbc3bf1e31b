//! A traced way has the numbers of its report, as a drawing and as a tree.

use oilpath::answer::{self, RouteKind};
use oilpath::circuit::{Kind, PartName};
use oilpath::draw::{self, DrawError, Picture, Scope, View};
use oilpath::net::{Net, Stage};
use oilpath::report::page::Block;
use oilpath::report::{self, Strokes, Words};
use oilpath::settle::settle;
use oilpath::units::UnitSystem;

use super::{circuit, files, net};

/// Everything that oil can be followed to.
fn ends(net: &Net<'_>) -> Vec<PartName> {
    let circuit = net.circuit();
    let kinds = [
        Kind::Outlet,
        Kind::Filter,
        Kind::Cooler,
        Kind::Tap,
        Kind::Passage,
    ];
    let ids = |kind| circuit.ids(kind).map(move |id| PartName::new(kind, id));
    kinds.into_iter().flat_map(ids).collect()
}

fn traced(net: &Net<'_>, to: &PartName) -> Result<Picture, DrawError> {
    let view = View {
        scope: Scope::Trace(to.clone()),
        ..View::default()
    };
    draw::picture(net, &view)
}

#[test]
fn the_numbers_are_those_of_the_report() {
    let mut routes = 0;
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        for to in ends(&net) {
            let answer = answer::trace(&net, &to, &[], None, RouteKind::Shortest).unwrap();
            let Some(route) = answer.routes.first() else {
                assert!(matches!(traced(&net, &to), Err(DrawError::NoOil { .. })));
                continue;
            };
            routes += 1;
            let picture = traced(&net, &to).unwrap();
            let at = |step: usize| {
                let items = picture.items.iter();
                let names: Vec<&PartName> = items
                    .filter(|i| i.steps.contains(&step))
                    .map(|i| &i.name)
                    .collect();
                names
            };
            assert_eq!(at(1), [&route.source], "{to}");
            for (hop, step) in route.hops.iter().zip(2..) {
                assert_eq!(at(step), [&hop.part], "{to} step {step}");
            }
            // Each hop is drawn as two pipes with arrows that point on.
            let number = |name: &PartName| {
                let mut items = picture.items.iter();
                items.position(|i| i.name == *name && i.key.starts_with("cavity"))
            };
            for hop in &route.hops {
                let [from, to] = [&hop.from, &hop.to]
                    .map(|id| number(&PartName::new(Kind::Passage, id)).unwrap());
                let goes = |cavity: usize, into: bool| {
                    picture.pipes.iter().any(|p| {
                        let part = p.other(cavity).map(|i| &picture.items[i].name);
                        p.cavity == cavity
                            && p.traced
                            && part == Some(&hop.part)
                            && p.arrows.iter().any(|at| (*at == cavity) == into)
                    })
                };
                assert!(goes(from, false) && goes(to, true), "{hop:?}");
            }
            let last = picture.items.iter().flat_map(|i| &i.steps).max().copied();
            let words = Words {
                circuit: &circuit,
                units: UnitSystem::Metric,
            };
            if picture.items.iter().any(|i| i.name == to) && to.kind != Kind::Passage {
                let first = answer::Trace {
                    routes: vec![route.clone()],
                    ..answer.clone()
                };
                let page = report::trace(&first, &words);
                let told = page.blocks.iter().find_map(|b| match b {
                    Block::Steps(steps) => Some(steps.len()),
                    _ => None,
                });
                assert_eq!(last, told, "{to}");
            }
        }
    }
    assert!(routes > 200, "{routes}");
}

/// The tree has the same steps, fits a terminal, and names every way off the route.
#[test]
fn a_tree_has_the_same_numbers_and_fits() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        let words = Words {
            circuit: &circuit,
            units: UnitSystem::Metric,
        };
        for to in ends(&net) {
            let answer = answer::trace(&net, &to, &[], None, RouteKind::Shortest).unwrap();
            let routes = answer.routes.iter();
            let splits: Vec<_> = routes.map(|r| answer::splits(&net, r, &[])).collect();
            let steps = |page: &report::Page| -> Vec<usize> {
                let count = |block: &Block| match block {
                    Block::Steps(steps) => Some(steps.len()),
                    Block::Tree(lines) => {
                        let text = |line: &report::page::Line| {
                            line.spans().iter().map(|s| s.text()).collect::<String>()
                        };
                        let lines: Vec<String> = lines.iter().map(text).collect();
                        let wide = lines.iter().map(|l| l.chars().count() + 4).max();
                        assert!(wide <= Some(80), "{lines:#?}");
                        let number =
                            |l: &String| l.trim_start().split_once(". ")?.0.parse::<usize>().ok();
                        let numbers: Vec<usize> = lines.iter().filter_map(number).collect();
                        assert!(numbers.iter().copied().eq(1..=numbers.len()), "{lines:#?}");
                        Some(numbers.len())
                    }
                    _ => None,
                };
                page.blocks.iter().filter_map(count).collect()
            };
            let told = steps(&report::trace(&answer, &words));
            for strokes in [Strokes::Boxes, Strokes::Ascii] {
                let tree = report::tree(&answer, &splits, &words, strokes);
                assert_eq!(steps(&tree), told, "{to} of {}", file.display());
            }
        }
    }
}

/// Every open way off a cavity of the route is a split, or a step of the route.
#[test]
fn splits_are_every_way_off_the_route() {
    let mut found = 0;
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        for to in ends(&net) {
            let answer = answer::trace(&net, &to, &[], None, RouteKind::Shortest).unwrap();
            for route in &answer.routes {
                let state = route.states.first().map(|id| circuit.states[id].clone());
                let stage = Stage::new(&net, &state.unwrap_or_default(), &[]);
                let scene = stage.scene(settle(&stage).held(), oilpath::circuit::Level::Low);
                let splits = answer::splits(&net, route, &[]);
                let mut spine = vec![route.start.clone()];
                spine.extend(route.hops.iter().map(|h| h.to.clone()));
                for (at, id) in spine.iter().enumerate() {
                    for link in scene.onward(net.cavity(id).unwrap()) {
                        let part = net.part(scene.way(link.way));
                        let goes = net.name(link.to);
                        let back = spine[..at].iter().any(|c| c == goes);
                        let hop = route.hops.get(at);
                        let step = hop.is_some_and(|h| h.part == *part && h.to == goes);
                        let split = splits
                            .iter()
                            .any(|s| s.from == *id && s.part == *part && s.to == goes);
                        assert_eq!(split, !back && !step, "{id} {part} {goes} to {to}");
                        found += usize::from(split);
                    }
                }
            }
        }
    }
    assert!(found > 500, "{found}");
}

#[test]
fn a_plain_terminal_gets_plain_strokes() {
    let circuit = circuit("circuits/transfer-box.toml");
    let net = net(&circuit);
    let to = circuit.find("chain", &[Kind::Outlet]).unwrap();
    let answer = answer::trace(&net, &to, &[], Some("low"), RouteKind::Shortest).unwrap();
    let splits = vec![answer::splits(&net, &answer.routes[0], &[])];
    let words = Words {
        circuit: &circuit,
        units: UnitSystem::Metric,
    };
    let text = report::markdown(&report::tree(&answer, &splits, &words, Strokes::Ascii));
    assert!(text.is_ascii(), "{text}");
    assert!(
        text.contains("+- front-pilot-feed -> front-pilot"),
        "{text}"
    );
}
