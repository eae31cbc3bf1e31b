//! States and faults laid over a picture that is drawn already.

use super::overlay::Overlay;
use super::{Passing, Picture};
use crate::answer::states;
use crate::circuit::{Fault, Kind, PartName};
use crate::draw::role::{Role, natures};
use crate::net::{Cavity, Net};

/// A picture of a whole circuit without a state, ready to have states and faults laid over it: so
/// it is placed once, whatever is asked of it.
///
/// ```
/// use oilpath::{draw::{self, Layer, Passing, Role, View}, net::Net, sheet};
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
/// let picture = draw::picture(&net, &View::default()).unwrap();
/// let lube = picture.items.iter().position(|i| i.key == "cavity-lube").unwrap();
/// let layer = Layer::of(&net, &picture);
/// let plugged = [circuit.fault("hop:plugged").unwrap()];
/// assert_eq!(layer.lay(None, &[]).roles[lube], Some(Role::Supply));
/// assert_eq!(layer.lay(None, &plugged).roles[lube], Some(Role::Drained));
/// ```
pub struct Layer<'l> {
    net: &'l Net<'l>,
    picture: &'l Picture,
    natures: Vec<Role>,
    /// The cavity of each item that is one.
    cavities: Vec<Option<Cavity>>,
}

/// What a state and faults make of a picture; all in the order of its items and pipes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Laid {
    /// What has become of the oil of each item; none for what is no cavity.
    pub roles: Vec<Option<Role>>,
    /// Whether oil passes each item.
    pub items: Vec<Passing>,
    /// Whether oil passes each pipe.
    pub pipes: Vec<Passing>,
    /// Where each valve stands, and whether each solenoid has current.
    pub stands: Vec<Option<String>>,
}

impl<'l> Layer<'l> {
    /// Gets ready to lay over a picture of the whole of this net's circuit.
    #[must_use]
    pub fn of(net: &'l Net<'l>, picture: &'l Picture) -> Self {
        let cavity = |name: &PartName| match name.kind {
            Kind::Passage => net.cavity(&name.id),
            _ => None,
        };
        Layer {
            net,
            picture,
            natures: natures(net),
            cavities: picture.items.iter().map(|i| cavity(&i.name)).collect(),
        }
    }

    /// Lays a state over it, with faults; no state for a circuit that declares none. A state that
    /// the circuit has not leaves everything as it is drawn.
    #[must_use]
    pub fn lay(&self, state: Option<&str>, faults: &[Fault]) -> Laid {
        let Some((_, state)) = states(self.net.circuit(), state).pop() else {
            return self.as_drawn();
        };
        let over = Overlay::of(self.net, state, faults);
        let items = &self.picture.items;
        let pipes = self.picture.pipes.iter().map(|pipe| {
            let part = pipe.other(pipe.cavity);
            match (self.cavities[pipe.cavity], part) {
                (Some(cavity), Some(part)) if !pipe.pushes => {
                    over.passing(cavity, &items[part].name)
                }
                _ => Passing::Open,
            }
        });
        let roles = self.cavities.iter().map(|cavity| {
            let cavity = (*cavity)?;
            Some(over.role(cavity, self.natures[cavity.number()]))
        });
        Laid {
            roles: roles.collect(),
            items: items.iter().map(|item| over.through(&item.name)).collect(),
            pipes: pipes.collect(),
            stands: items.iter().map(|item| over.stands(item)).collect(),
        }
    }

    fn as_drawn(&self) -> Laid {
        let (items, pipes) = (&self.picture.items, &self.picture.pipes);
        Laid {
            roles: items.iter().map(|item| item.role).collect(),
            items: items.iter().map(|item| item.passing).collect(),
            pipes: pipes.iter().map(|pipe| pipe.passing).collect(),
            stands: vec![None; items.len()],
        }
    }
}
