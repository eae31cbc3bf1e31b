//! Whether two laws are the same.

use std::any::Any;

use super::Law;

/// What can be held against any law: the same kind with the same figures is the same law.
pub trait Same: Any {
    /// Whether it is the same as another law.
    fn same(&self, other: &dyn Law) -> bool;
}

impl<T: Any + PartialEq> Same for T {
    fn same(&self, other: &dyn Law) -> bool {
        let other: &dyn Any = other;
        other.downcast_ref() == Some(self)
    }
}

impl PartialEq for dyn Law {
    fn eq(&self, other: &dyn Law) -> bool {
        self.same(other)
    }
}

#[cfg(test)]
mod tests {
    use crate::flow::Oil;
    use crate::flow::law::{Hole, Law, OneWay, Orifice};
    use crate::units::{Length, Pressure};

    #[test]
    fn kind_and_figures_make_a_law() {
        let oil = Oil::generic().at("80 °C".parse().unwrap()).unwrap();
        let hole = |mm: f64| {
            let bore = Length::from_m(mm / 1e3);
            Orifice::new(Hole::drilled(bore, Length::from_m(1e-3)), oil).unwrap()
        };
        let ball = OneWay::new(hole(1.0), Pressure::from_pa(0.0), 0.0).unwrap();
        let laws: [Box<dyn Law>; 3] = [Box::new(hole(1.0)), Box::new(hole(1.1)), Box::new(ball)];
        for (i, a) in laws.iter().enumerate() {
            for (j, b) in laws.iter().enumerate() {
                assert_eq!(a == b, i == j, "{a:?} {b:?}");
            }
        }
        let again: Box<dyn Law> = Box::new(hole(1.0));
        assert!(laws[0] == again);
    }
}
