//! One end of settling with air blown in: where it gets to and where it comes out.

use crate::answer::runoff::gone_at;
use crate::circuit::{Level, PartName};
use crate::net::{Cavity, SUMP_CAVITY, Stage, Strength};
use crate::settle::{Balance, Point, Value, balance};

/// One end of settling with air blown in.
pub(super) struct Look {
    pub balance: Balance,
    /// By what it comes out, behind which cavity, through what at the narrowest, and whether
    /// surely.
    pub escapes: Vec<(PartName, Cavity, Strength, bool)>,
    /// The cavities the air gets to.
    pub wet: Vec<Cavity>,
}

impl Look {
    pub fn of(stage: &Stage<'_>, end: &Point) -> Self {
        let net = stage.net();
        let scene = stage.scene(&end.held, Level::Low);
        let balance = balance(&scene, Some(&end.pressures.values(Level::Low)));
        // The widest way of the air to each cavity, and whether it is surely open.
        let mut widest: Vec<Option<(Strength, bool)>> = vec![None; net.cavity_count()];
        let mut look = Look {
            balance,
            escapes: Vec::new(),
            wet: Vec::new(),
        };
        for how in [Strength::Open, Strength::Metered, Strength::Leak] {
            let mut queue: Vec<Cavity> = match how {
                Strength::Open => scene.rails().to_vec(),
                _ => look.wet.clone(),
            };
            for rail in scene.rails().iter().filter(|_| how == Strength::Open) {
                widest[rail.number()] = Some((Strength::Open, true));
                look.wet.push(*rail);
            }
            while let Some(at) = queue.pop() {
                let Some((_, sure)) = widest[at.number()] else {
                    continue;
                };
                let fed = look.balance.value(at) == Value::Fed;
                let links: Vec<_> = scene.onward(at).filter(|l| l.strength >= how).collect();
                for link in links {
                    let to = link.to;
                    // From where nothing builds up it only goes on towards the open.
                    if !fed && look.balance.value(to) == Value::Fed {
                        continue;
                    }
                    if to == SUMP_CAVITY {
                        let by = net.part(scene.way(link.way)).clone();
                        look.out(by, at, how, sure && link.sure);
                    } else if widest[to.number()].is_none() {
                        widest[to.number()] = Some((how, sure && link.sure));
                        look.wet.push(to);
                        queue.push(to);
                    }
                }
            }
        }
        for (at, by, most) in gone_at(net) {
            if let Some((how, sure)) = widest[at.number()] {
                look.out(by, at, how.min(most), sure);
            }
        }
        look
    }

    fn out(&mut self, by: PartName, at: Cavity, how: Strength, sure: bool) {
        if !self.escapes.iter().any(|e| e.0 == by && e.1 == at) {
            self.escapes.push((by, at, how, sure));
        }
    }
}
