//! The oil and the laws of the parts, against values from outside and against what must hold for
//! every size and every drop.

mod bench;
mod cases;
mod oil;
mod reference;
mod shape;
mod sizes;
mod valves;
