//! What has its oil where settling ends.

use super::Status;
use crate::circuit::{Level, PartName};
use crate::net::{Cavity, Net, NetOutlet, Stage, User};
use crate::settle::{Balance, Cause, Point, Push, Settled, Value, balance};

/// What one outlet has at all ends of settling: the same at each, or it cannot be said.
pub(super) fn status(settled: &Settled, outlet: &NetOutlet) -> Status {
    let one = |end: &Point| end.pressures.status(outlet.user, outlet.by_pressure);
    let first = one(&settled.ends[0]);
    match settled.ends.iter().all(|end| one(end) == first) {
        true => first,
        false => Status::Unsure,
    }
}

/// The outlets that work by pressure and have it: what is applied, sorted.
pub(super) fn applied<'n>(net: &'n Net<'_>, settled: &Settled) -> Vec<&'n PartName> {
    let outlets = net.outlets().iter().filter(|o| o.by_pressure);
    let on = outlets.filter(|o| status(settled, o) == Status::On);
    let mut on: Vec<&PartName> = on.map(|o| &o.name).collect();
    on.sort();
    on
}

/// Outlets that work by pressure and have, at some end, nothing but what is shut in: it holds until
/// it has leaked off.
pub(super) fn shut_in(stage: &Stage<'_>, settled: &Settled) -> Vec<PartName> {
    let net = stage.net();
    let oil: Vec<Balance> = settled.ends.iter().map(|end| low(stage, end)).collect();
    let held = |o: &&NetOutlet| {
        o.by_pressure
            && status(settled, o) == Status::On
            && oil
                .iter()
                .any(|oil| oil.supply(o.user.feed()) == Push::None)
    };
    let outlets = net.outlets().iter().filter(held);
    outlets.map(|o| o.name.clone()).collect()
}

/// The passages that have oil at every end, sealed off: they keep what they held.
pub(super) fn trapped(stage: &Stage<'_>, settled: &Settled) -> Vec<String> {
    let net = stage.net();
    let oil: Vec<Balance> = settled.ends.iter().map(|end| low(stage, end)).collect();
    let keeps = |c: &Cavity| {
        let trapped =
            |oil: &Balance| oil.value(*c) == Value::Fed && oil.cause(*c) == Cause::Trapped;
        oil.iter().all(trapped)
    };
    net.cavities()
        .filter(keeps)
        .map(|c| net.name(c).to_owned())
        .collect()
}

/// What is weighed at one end of settling.
fn low(stage: &Stage<'_>, end: &Point) -> Balance {
    let scene = stage.scene(&end.held, Level::Low);
    balance(&scene, Some(&end.pressures.values(Level::Low)))
}

/// What a pump draws through is no outlet.
pub(super) fn outlets<'n>(net: &'n Net<'_>) -> impl Iterator<Item = &'n NetOutlet> {
    numbered(net).map(|(_, outlet)| outlet)
}

/// The same, each with its number in the net.
pub(super) fn numbered<'n>(net: &'n Net<'_>) -> impl Iterator<Item = (usize, &'n NetOutlet)> {
    let drawn =
        |o: &NetOutlet| matches!(o.user, User::Through { inlet, .. } if net.draws_through(inlet));
    let outlets = net.outlets().iter().enumerate();
    outlets.filter(move |(_, outlet)| !drawn(outlet))
}
