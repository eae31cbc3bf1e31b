//! The oil, the laws of the parts and networks of them, against values from outside and against what must hold for
//! every size and every drop.

mod bench;
mod cases;
mod fill;
mod generated;
mod network;
mod oil;
mod recipe;
mod reference;
mod regulators;
mod shape;
mod sizes;
mod stand_in;
mod valves;
