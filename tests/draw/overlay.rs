//! What a state and faults make of a picture.

use oilpath::answer::{Scenarios, Verdict, starve};
use oilpath::circuit::{Kind, Level};
use oilpath::draw::{self, DrawError, Item, Layer, Passing, Picture, Role, Shape, Tank, View};
use oilpath::net::Stage;
use oilpath::settle::{Value, settle};

use super::{circuit, files, net};

fn item<'p>(picture: &'p Picture, key: &str) -> &'p Item {
    let mut items = picture.items.iter();
    items
        .find(|i| i.key == key)
        .unwrap_or_else(|| panic!("no {key}"))
}

#[test]
fn a_loose_cover_drains_its_hollow_and_starves_the_bearing() {
    let circuit = circuit("circuits/tractor-powershift.toml");
    let net = net(&circuit);
    let loose = [circuit.fault("hop-cover:loose").unwrap()];
    let view = |faults| View {
        state: Some("neutral"),
        faults,
        ..View::default()
    };
    let sound = draw::picture(&net, &view(&[])).unwrap();
    assert_eq!(item(&sound, "cavity-lube-feed").role, Some(Role::Supply));
    assert_eq!(
        item(&sound, "outlet-pto-bearing").verdict,
        Some(Verdict::Kept)
    );
    assert!(sound.items.iter().all(|i| i.fault.is_none()));
    let faulty = draw::picture(&net, &view(&loose)).unwrap();
    assert_eq!(item(&faulty, "cavity-lube-feed").role, Some(Role::Drained));
    assert_eq!(item(&faulty, "cavity-line").role, Some(Role::Supply));
    assert_eq!(
        item(&faulty, "outlet-pto-bearing").verdict,
        Some(Verdict::Starved)
    );
    let cover = faulty.plates.iter().find(|p| p.id == "hop-cover").unwrap();
    assert_eq!(cover.fault.as_deref(), Some("loose"));
    let leak = faulty
        .items
        .iter()
        .find(|i| i.shape == Shape::Leak)
        .unwrap();
    assert_eq!(leak.name.id, "hop-cover");
    assert_eq!(leak.tank, Some(Tank::Drains));
}

/// Roles, positions and verdicts are those of settling and of `starve`, in every state.
#[test]
fn what_is_drawn_is_what_settling_says() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        for (id, state) in &circuit.states {
            let view = View {
                state: Some(id),
                ..View::default()
            };
            let picture = draw::picture(&net, &view).unwrap();
            let settled = settle(&Stage::new(&net, state, &[]));
            for cavity in net.cavities().skip(1) {
                let name = net.name(cavity);
                let role = item(&picture, &format!("cavity-{name}")).role.unwrap();
                let fed = settled.at_least(Level::Low, cavity);
                let pressed = [Role::Supply, Role::Regulated, Role::Pilot, Role::Lube];
                match role {
                    // Sealed off from both: it holds what it held.
                    Role::Trapped => {}
                    role if pressed.contains(&role) => assert_eq!(fed, Value::Fed, "{id} {name}"),
                    Role::Contested | Role::Undecided => {
                        assert_eq!(fed, Value::Undecided, "{id} {name}");
                    }
                    _ => assert_eq!(fed, Value::Drained, "{id} {name}"),
                }
            }
            for (number, valve) in net.valves().iter().enumerate() {
                let drawn = item(&picture, &format!("valve-{}", valve.name.id));
                let places = settled.positions(number);
                if let [Some(place)] = places[..] {
                    let positions = &circuit.valves[&valve.name.id].positions;
                    let (stands, _) = positions.get_index(place as usize).unwrap();
                    assert_eq!(drawn.detail.as_deref(), Some(stands.as_str()), "{id}");
                }
            }
            let answer = starve(&net, &[], Some(id));
            for outlet in &answer.states[0].outlets {
                let name = &outlet.outlet;
                let drawn = item(&picture, &format!("{}-{}", name.kind, name.id));
                assert_eq!(drawn.verdict, Some(outlet.verdict), "{id} {name}");
            }
        }
    }
}

/// Lesson: the ball sits on the seat of whichever feed is down.
#[test]
fn a_shuttle_shuts_the_feed_that_is_down() {
    let circuit = circuit("circuits/lessons/shuttle.toml");
    let net = net(&circuit);
    for (state, open, shut) in [
        ("lever", "choked-feed", "pedal-feed"),
        ("pedal", "pedal-feed", "choked-feed"),
    ] {
        let view = View {
            state: Some(state),
            ..View::default()
        };
        let picture = draw::picture(&net, &view).unwrap();
        let number = |key: &str| picture.items.iter().position(|i| i.key == key).unwrap();
        let between = |cavity: &str| {
            let (ball, cavity) = (number("ball-either"), number(&format!("cavity-{cavity}")));
            let mut pipes = picture.pipes.iter();
            pipes.find(|p| p.other(cavity) == Some(ball)).unwrap()
        };
        assert_eq!(between(open).passing, Passing::Open, "{state}");
        assert_eq!(between(shut).passing, Passing::Shut, "{state}");
        // Both inlets lie above it.
        assert!(between(open).to == number("ball-either"));
        assert!(between(shut).to == number("ball-either"));
    }
}

/// Lesson: left out, the ball holds no way shut and points nowhere.
#[test]
fn a_ball_left_out_is_marked_and_has_no_direction() {
    let circuit = circuit("circuits/lessons/check-ball.toml");
    let net = net(&circuit);
    let state = circuit.states.keys().next().unwrap();
    let fault = [circuit.fault("quick-off:left-out").unwrap()];
    let arrows = |faults| {
        let view = View {
            state: Some(state),
            faults,
            ..View::default()
        };
        let picture = draw::picture(&net, &view).unwrap();
        let ball = picture
            .items
            .iter()
            .position(|i| i.key == "ball-quick-off")
            .unwrap();
        let pipes = picture.pipes.iter().filter(|p| p.other(ball).is_some());
        let arrows = pipes.map(|p| p.arrows.len()).sum::<usize>();
        (picture.items[ball].fault.clone(), arrows)
    };
    assert_eq!(arrows(&[]), (None, 1));
    assert_eq!(arrows(&fault), (Some("left-out".to_owned()), 0));
}

#[test]
fn faults_want_a_state() {
    let circuit = circuit("circuits/transfer-box.toml");
    let net = net(&circuit);
    let fault = [circuit.fault("chain-cover:loose").unwrap()];
    let view = View {
        faults: &fault,
        ..View::default()
    };
    assert_eq!(draw::picture(&net, &view), Err(DrawError::NoState));
    // A circuit that declares none has one without a name.
    let text = "[casting]\nblock = { passages = ['line'] }\n[source]\npump = { feeds = 'line' }\n";
    let circuit = oilpath::sheet::read(text).unwrap().circuit;
    let net = super::net(&circuit);
    let worn = [circuit.fault("line:cracked").unwrap()];
    let view = View {
        faults: &worn,
        ..View::default()
    };
    let picture = draw::picture(&net, &view).unwrap();
    assert_eq!(
        item(&picture, "cavity-line").fault.as_deref(),
        Some("cracked")
    );
}

/// Whatever the state, a drain is a tank mark at the part, never a shared sump.
#[test]
fn the_sump_is_no_item() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        let picture = draw::picture(&net, &View::default()).unwrap();
        assert!(picture.items.iter().all(|i| i.name.id != "sump"));
        for id in circuit.ids(Kind::Solenoid) {
            let drawn = item(&picture, &format!("solenoid-{id}"));
            let bleeds = matches!(
                circuit.solenoids[id].kind,
                oilpath::circuit::SolenoidKind::Bleed { .. }
            );
            assert_eq!(drawn.tank == Some(Tank::Drains), bleeds, "{id}");
        }
    }
}

/// What is laid over a drawing is what a drawing of its own would show, for every single fault.
#[test]
fn a_layer_is_the_drawing_of_its_state_and_fault() {
    let circuit = circuit("circuits/transfer-box.toml");
    let net = net(&circuit);
    let base = draw::picture(&net, &View::default()).unwrap();
    let layer = Layer::of(&net, &base);
    let mut changed = 0;
    for fault in Scenarios::alone(&circuit, |_| true).faults() {
        let faults = [fault.clone()];
        let view = View {
            state: Some("low"),
            faults: &faults,
            ..View::default()
        };
        let drawn = draw::picture(&net, &view).unwrap();
        let laid = layer.lay(Some("low"), &faults);
        for (i, known) in base.items.iter().enumerate() {
            let now = item(&drawn, &known.key);
            assert_eq!(laid.roles[i], now.role, "{} {}", faults[0], known.key);
            assert_eq!(laid.items[i], now.passing, "{} {}", faults[0], known.key);
            let stands = laid.stands[i].as_ref().or(known.detail.as_ref());
            assert_eq!(stands, now.detail.as_ref(), "{} {}", faults[0], known.key);
            changed += usize::from(now.role != known.role);
        }
        for (laid, pipe) in laid.pipes.iter().zip(&base.pipes) {
            let ends = |picture: &Picture, pipe: &draw::Pipe| {
                let mut ends = [pipe.from, pipe.to].map(|end| picture.items[end].key.clone());
                // A leak may turn round what lies nearer to the source.
                ends.sort();
                (ends, pipe.tag.clone(), pipe.pushes)
            };
            let same = drawn.pipes.iter();
            let mut same = same.filter(|p| ends(&drawn, p) == ends(&base, pipe));
            assert_eq!(*laid, same.next().unwrap().passing, "{}", faults[0]);
        }
    }
    assert!(changed > 0);
}
