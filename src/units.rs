//! Physical quantities (placeholder until the units branch lands).
#![allow(missing_docs)]
macro_rules! q { ($($n:ident),*) => { $(#[derive(Clone,Copy,Debug,PartialEq,PartialOrd)] pub struct $n(pub f64);)* } }
q!(
    Pressure,
    Length,
    Area,
    Volume,
    Flow,
    Temperature,
    KinematicViscosity,
    Density,
    Torque,
    Speed,
    Displacement
);
