//! What is looked at to explain one end of settling.

use super::Asked;
use crate::circuit::Level;
use crate::net::{Net, Scene};
use crate::settle::{Balance, Point, balance};

/// What is looked at to explain one end of settling.
pub(super) struct End<'a, 'n> {
    pub asked: &'a Asked<'a, 'n>,
    pub point: &'a Point,
    pub scene: Scene<'n>,
    pub balance: Balance,
}

impl<'a, 'n> End<'a, 'n> {
    pub fn new(asked: &'a Asked<'a, 'n>, point: &'a Point) -> Self {
        let scene = asked.stage.scene(&point.held, Level::Low);
        let balance = balance(&scene, Some(&point.pressures.values(Level::Low)));
        End {
            asked,
            point,
            scene,
            balance,
        }
    }

    pub fn net(&self) -> &'n Net<'n> {
        self.scene.net()
    }
}
