//! Cavities that a valve joins, from a table.

use crate::circuit::Join;
use crate::sheet::document::{Node, Value};
use crate::sheet::fields::Fields;
use crate::sheet::keys;
use crate::sheet::shape::{CAVITY, List, Log, Shape, size};
use crate::sheet::wanted::Wanted;

/// A run of joined cavities, or a table with `between` and a `bore`.
pub(super) struct Joined;

impl Shape for Joined {
    type Value = Join;

    fn wanted(&self) -> Wanted {
        let run = List(CAVITY).wanted();
        let keyed = Wanted::Table("metered join", || keys::of(|f| drop(metered(f))));
        Wanted::Or(run.into(), keyed.into())
    }

    fn read(&self, key: &str, node: &Node, log: &mut Log<'_>) -> Option<Join> {
        match &node.value {
            Value::List(_) => {
                let cavities = List(CAVITY).read(key, node, log)?;
                Some(Join {
                    cavities,
                    bore: None,
                })
            }
            Value::Table(table) => {
                let mut fields = Fields::new("this join", table, &node.at, log);
                let join = metered(&mut fields);
                fields.finish();
                Some(join)
            }
            _ => self.refuse(key, node, log),
        }
    }
}

fn metered(f: &mut Fields<'_, '_>) -> Join {
    f.about("Cavities that run together through a metered opening");
    Join {
        cavities: f
            .need("between", "The cavities", List(CAVITY))
            .unwrap_or_default(),
        bore: f.may("bore", "Diameter of the opening", size()),
    }
}
