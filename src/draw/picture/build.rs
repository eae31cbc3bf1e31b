//! From a circuit and a view of it to a picture.

use super::detail::Detail;
use super::error::DrawError;
use super::fault::{blame, wrong_with};
use super::overlay::{Overlay, judge};
use super::part::{Bench, Joint, Toward};
use super::plate::{on_plates, plates};
use super::rank::ranks;
use super::scope;
use super::{Casting, Chip, Item, Passing, Picture, Pipe, Scope, Shape, View};
use crate::answer::states;
use crate::circuit::{Circuit, Fault, Kind, Part, PartName, SealSeat};
use crate::draw::label;
use crate::draw::role::{Role, natures};
use crate::net::{Cavity, Net};

/// Widest text of a chip, as a multiple of its size.
const WIDEST_CHIP: f64 = 9.0;

/// Makes a circuit ready to be drawn.
///
/// # Errors
/// A trace of a part that no oil reaches or that takes none; faults without a state in a circuit
/// that declares states; what lies around a state or an input.
///
/// ```
/// use oilpath::{draw::{self, Scope, View}, circuit::Kind, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let bearing = circuit.find("bearing", &[Kind::Outlet]).unwrap();
/// let view = View { scope: Scope::Trace(bearing), ..View::default() };
/// let picture = draw::picture(&net, &view).unwrap();
/// let hop = picture.items.iter().find(|i| i.key == "orifice-hop").unwrap();
/// // Step 1 is the pump, and the report of the trace says the same.
/// assert_eq!(hop.steps, [2]);
/// ```
pub fn picture(net: &Net<'_>, view: &View<'_>) -> Result<Picture, DrawError> {
    let circuit = net.circuit();
    let route = match &view.scope {
        Scope::Trace(part) => Some(scope::route(net, part, view.faults, view.state)?),
        _ => None,
    };
    // A trace without a state is that of the first state it leads through.
    let traced = route.as_ref().and_then(|r| r.states.first());
    let state = view.state.or(traced.map(String::as_str));
    let laid = match state {
        None if circuit.states.is_empty() => states(circuit, None).pop(),
        None if !view.faults.is_empty() => return Err(DrawError::NoState),
        None => None,
        Some(state) => states(circuit, Some(state)).pop(),
    };
    let mut bench = bench(net, view);
    let over = laid.map(|(_, state)| Overlay::of(net, state, view.faults));
    if let Some(over) = &over {
        over.lay(&mut bench);
        judge(net, &mut bench.items, state, view.faults);
    }
    let plates = plates(&bench, view.faults);
    on_plates(&mut bench);
    small_parts(&mut bench, view.faults);
    blame(&mut bench.items, view.faults);

    let cavities: Vec<Option<usize>> = cavities(&bench);
    let natures = natures(net);
    let roles: Vec<Role> = net
        .cavities()
        .map(|c| match &over {
            Some(over) => over.role(c, natures[c.number()]),
            None => natures[c.number()],
        })
        .collect();
    let mut ranks = ranks(&bench, &cavities);
    let mut pipes: Vec<Pipe> = Vec::with_capacity(bench.joints.len());
    for joint in &bench.joints {
        let Some(cavity) = cavities[joint.cavity.number()] else {
            continue;
        };
        pipes.push(pipe(joint, cavity, &bench, over.as_ref(), &roles, &ranks));
    }
    let mut items = bench.items;
    for (number, role) in roles.iter().enumerate() {
        if let Some(item) = cavities[number] {
            items[item].role = Some(*role);
        }
    }
    in_castings(circuit, &mut items, &pipes, &ranks);

    let kept: Vec<bool> = match (&view.scope, &route) {
        (Scope::Trace(to), Some(route)) => {
            let met = scope::follow(&mut items, &mut pipes, route, to);
            for (order, item) in met.iter().enumerate() {
                ranks[*item] = order as i32;
            }
            (0..items.len()).map(|i| met.contains(&i)).collect()
        }
        (Scope::Around(part), _) => {
            let casting = circuit.castings.get_index_of(&part.id);
            let casting = casting.filter(|_| part.kind == Kind::Casting);
            scope::around(part, &items, &pipes, &plates, casting)
        }
        (Scope::Only(parts), _) => items.iter().map(|i| parts.contains(&i.name)).collect(),
        _ => vec![true; items.len()],
    };
    if let (Scope::Around(part), false) = (&view.scope, kept.contains(&true)) {
        return Err(DrawError::NotDrawn(part.clone()));
    }
    let mut picture = Picture {
        title: label::plain(circuit.title.as_deref().unwrap_or("Oil circuit")),
        about: about(circuit, view, state),
        settled: over.is_some(),
        items,
        pipes,
        castings: castings(circuit),
        plates,
    };
    picture.keep(&kept, &ranks);
    Ok(picture)
}

/// Every item and joint of a circuit, nothing laid over it.
fn bench<'n>(net: &'n Net<'n>, view: &View<'_>) -> Bench<'n> {
    let circuit = net.circuit();
    let mut bench = Bench {
        net,
        items: Vec::new(),
        joints: Vec::new(),
        detail: Detail {
            circuit,
            units: view.units,
        },
    };
    for (name, part) in circuit.parts() {
        bench.add(&name, part);
    }
    bench
}

/// The item of each cavity, by number; the sump has none.
fn cavities(bench: &Bench<'_>) -> Vec<Option<usize>> {
    let mut cavities = vec![None; bench.net.cavity_count()];
    for (number, item) in bench.items.iter().enumerate() {
        if item.shape == Shape::Cavity
            && let Some(cavity) = bench.net.cavity(&item.name.id)
        {
            cavities[cavity.number()] = Some(number);
        }
    }
    cavities
}

fn pipe(
    joint: &Joint,
    cavity: usize,
    bench: &Bench<'_>,
    over: Option<&Overlay<'_>>,
    roles: &[Role],
    ranks: &[i32],
) -> Pipe {
    let part = &bench.items[joint.part].name;
    let leak = bench.items[joint.part].shape == Shape::Leak;
    let (from, to) = match ranks[cavity] <= ranks[joint.part] {
        true => (cavity, joint.part),
        false => (joint.part, cavity),
    };
    Pipe {
        from,
        to,
        cavity,
        arrows: match joint.toward {
            _ if joint.pushes => vec![joint.part],
            Toward::Cavity => vec![cavity],
            Toward::Part | Toward::Either => Vec::new(),
        },
        role: roles[joint.cavity.number()],
        passing: match over {
            Some(over) if !joint.pushes && !leak => over.passing(joint.cavity, part),
            _ => Passing::Open,
        },
        pushes: joint.pushes,
        tag: joint.tag.clone(),
        traced: false,
    }
}

/// Puts each part into the casting of the cavity before it.
fn in_castings(circuit: &Circuit, items: &mut [Item], pipes: &[Pipe], ranks: &[i32]) {
    for item in items.iter_mut().filter(|i| i.shape == Shape::Cavity) {
        let passage = circuit.passages.get(&item.name.id);
        item.casting = passage.and_then(|p| circuit.castings.get_index_of(&p.casting));
    }
    for part in 0..items.len() {
        if items[part].shape == Shape::Cavity {
            continue;
        }
        let joined = pipes.iter().filter(|p| p.other(p.cavity) == Some(part));
        let first = joined.map(|p| p.cavity).min_by_key(|c| (ranks[*c], *c));
        items[part].casting = first.and_then(|cavity| items[cavity].casting);
    }
}

fn castings(circuit: &Circuit) -> Vec<Casting> {
    let name = |id| PartName::new(Kind::Casting, id);
    let ids = circuit.ids(Kind::Casting);
    ids.map(|id| Casting {
        id: id.to_owned(),
        label: label::plain(circuit.label(&name(id))),
    })
    .collect()
}

/// Puts taps, switches and seals on what they sit on.
fn small_parts(bench: &mut Bench<'_>, faults: &[Fault]) {
    let net = bench.net;
    let circuit = net.circuit();
    let passage = |id: &String| {
        let cavity: Cavity = net.cavity(id)?;
        Some(PartName::new(Kind::Passage, net.name(cavity)))
    };
    for (name, part) in circuit.parts() {
        let on = match part {
            Part::Tap(p) => passage(&p.at),
            Part::Switch(p) => passage(&p.at),
            Part::Seal(p) => match &p.seat {
                SealSeat::On(way) => circuit.find(way, &Kind::WAYS).ok(),
                // Between a cavity and the sump it sits on the cavity.
                SealSeat::Between([a, b]) => match circuit.find(a, &[Kind::Passage]) {
                    Ok(_) => passage(a),
                    Err(_) => passage(b),
                },
            },
            _ => continue,
        };
        let item = bench
            .items
            .iter_mut()
            .find(|i| on.as_ref() == Some(&i.name));
        if let Some(item) = item {
            item.chips.push(Chip {
                label: label::cut(&label::plain(circuit.label(&name)), WIDEST_CHIP),
                title: bench.detail.full(&name),
                fault: wrong_with(&name, faults),
                name,
            });
        }
    }
}

/// What the picture is of, below its title.
fn about(circuit: &Circuit, view: &View<'_>, state: Option<&str>) -> String {
    let label = |name: &PartName| label::plain(circuit.label(name));
    let mut about = match &view.scope {
        Scope::Whole | Scope::Only(_) => Vec::new(),
        Scope::Around(part) => vec![format!("around {}", label(part))],
        Scope::Trace(part) => vec![format!("the oil's way to {}", label(part))],
    };
    match state {
        Some(state) => about.push(format!("state {state}")),
        None if circuit.states.is_empty() => {}
        None => about.push("no state: every way as if open".to_owned()),
    }
    about.extend(view.faults.iter().map(|f| circuit.say(f)));
    about.join(" · ")
}
