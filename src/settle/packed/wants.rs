//! Where everything that moves would go, in many scenes at once: the same as
//! [`wants`](crate::settle::wants) says of each alone.

use super::moving::union;
use super::point::{PackedPoint, PackedPressures};
use crate::circuit::Level;
use crate::net::{
    Cavity, Lanes, LanesAt, NetShuttle, NetValve, Pack, PackedStage, Spring, Strength, Sweep, Term,
    Tide,
};

/// Where all movers would go: valves by number, then shuttle balls.
#[derive(Clone, Debug)]
pub(super) struct PackedWants {
    /// For each mover and each of its places the scenes in which it would go there from
    /// elsewhere.
    pub going: Vec<Vec<Lanes>>,
    /// For each regulator the scenes in which it is boosted.
    pub boosted: Vec<Lanes>,
    /// Scenes in which it cannot be said of some mover where it would go.
    pub undecided: Lanes,
}

impl PackedWants {
    /// Scenes in which a mover would go anywhere.
    pub fn moves(&self, mover: usize) -> Lanes {
        union(&self.going[mover])
    }
}

/// Works out where everything would go in some scenes. `pack` is those scenes with everything
/// standing as at the point, asked at low.
pub(super) fn wants(
    stage: &PackedStage<'_>,
    pack: &Pack<'_>,
    point: &PackedPoint<'_>,
) -> PackedWants {
    let net = stage.net();
    let (held, pressures) = (&point.held, &point.pressures);
    let mut undecided = Lanes::NONE;
    let mut going = Vec::with_capacity(held.movers());
    // Looked up only where something would move at all.
    let mut strokes: Option<Strokes> = None;
    for (i, valve) in net.valves().iter().enumerate() {
        let places = held.places(i);
        let stands = union(places);
        let (mut goes, mut any) = goes(stage, i, valve, pressures);
        for (to, there) in goes.iter_mut().zip(places) {
            *to &= !*there;
        }
        let mut may = pack.all() & !stage.fixed(i);
        if ((union(&goes) | any) & may).any() {
            let strokes = strokes.get_or_insert_with(|| Strokes::of(pack));
            may &= !stands | strokes.can(valve);
        }
        any &= may;
        goes.iter_mut().for_each(|to| *to &= may & !any);
        undecided |= any;
        going.push(goes);
    }
    for (shuttle, open) in net.shuttles().iter().zip(&held.shuttles) {
        let ([a, b], any) = crosses(shuttle, pressures);
        undecided |= any & pack.all();
        going.push(vec![a & !open[0] & pack.all(), b & !open[1] & pack.all()]);
    }
    let low = pressures.at_least(Level::Low);
    let boosted = net.regulators().iter().map(|regulator| {
        let boost = regulator.boost.iter();
        boost.fold(Lanes::NONE, |any, c| any | low.fed[c.number()])
    });
    PackedWants {
        going,
        boosted: boosted.collect(),
        undecided,
    }
}

/// Where oil can leave a cavity to, or come from.
pub(super) struct Strokes {
    /// Scenes in which each cavity's oil can go to where pressure is held or let go or used up.
    leaves: LanesAt,
    /// Scenes in which oil can come from a source.
    fed: LanesAt,
}

impl Strokes {
    pub fn of(pack: &Pack<'_>) -> Self {
        let net = pack.net();
        let mut takes = LanesAt::none(net, pack.all());
        let mut fed = takes.clone();
        for (at, lanes) in pack.vents().iter().chain(pack.rails()).chain(pack.held()) {
            takes.add(*at, *lanes);
        }
        for cavity in net.cavities().filter(|c| net.consumes(*c)) {
            takes.add(cavity, pack.all());
        }
        for (at, lanes) in pack.rails() {
            fed.add(*at, *lanes);
        }
        spread(pack, Tide::Drain, &mut takes);
        spread(pack, Tide::Supply, &mut fed);
        Strokes { leaves: takes, fed }
    }

    /// Scenes in which a spool can stroke: the oil at each of its ends can go somewhere or come
    /// from somewhere.
    pub fn can(&self, valve: &NetValve) -> Lanes {
        let ends = valve.ends.iter();
        ends.fold(Lanes::ALL, |can, end| {
            can & (self.leaves.at(*end) | self.fed.at(*end))
        })
    }
}

/// Spreads scenes with supply where oil goes on to, or against it where it comes from, until nothing
/// is added.
fn spread(pack: &Pack<'_>, tide: Tide, reached: &mut LanesAt) {
    let mut sweep = Sweep::over(pack.net(), tide, reached);
    while let Some(cavity) = sweep.pop() {
        let here = reached.at(cavity);
        let visit = |to: Cavity, lanes| {
            if reached.is_all(to) {
                return;
            }
            let new = here & lanes & !reached.at(to);
            if new.any() {
                reached.add(to, new);
                sweep.push(to);
            }
        };
        match tide {
            Tide::Drain => pack.come_from(cavity, Strength::Leak, visit),
            Tide::Supply => pack.go_on(tide, cavity, Strength::Leak, visit),
        }
    }
}

/// Where the rules of a valve put it: for each position the scenes, and those in which it may be in
/// several.
fn goes(
    stage: &PackedStage<'_>,
    number: usize,
    valve: &NetValve,
    pressures: &PackedPressures<'_>,
) -> (Vec<Lanes>, Lanes) {
    let truths = valve.rules.iter().map(|rule| match rule {
        Some(rule) => truth(rule, stage, pressures),
        None => (Lanes::NONE, Lanes::ALL),
    });
    let truths: Vec<(Lanes, Lanes)> = truths.collect();
    let holds: Vec<Lanes> = truths.iter().map(|(yes, _)| *yes).collect();
    let open: Vec<Lanes> = truths.iter().map(|(yes, no)| !(*yes | *no)).collect();
    let (surely, surely_two) = (union(&holds), twice(&holds));
    let (maybe, maybe_two) = (union(&open), twice(&open));
    let broken = stage.spoiled(number, Spring::Broken);
    let wrong = stage.spoiled(number, Spring::Wrong);
    let one = surely & !surely_two;
    let none = !surely;
    // One rule alone may hold and there is nowhere else to be.
    let only_maybe = none & maybe & !maybe_two;
    let rest = valve.rest.map(|rest| rest as usize);
    let mut goes = vec![Lanes::NONE; truths.len()];
    let mut any = surely_two;
    for (place, to) in goes.iter_mut().enumerate() {
        let own = holds[place] & one;
        let elsewhere = Lanes::all_if(rest.is_some_and(|rest| rest != place));
        // What should push it over meets a spring that may be too strong.
        *to = own & !(wrong & elsewhere);
        any |= own & wrong & elsewhere;
        let unsure = open[place] & only_maybe & !broken;
        *to |= unsure & !elsewhere;
        any |= unsure & elsewhere;
    }
    any |= none & maybe_two & !broken;
    // With nothing pushing and no spring it may stand anywhere.
    match &mut goes[..] {
        [only] => *only |= none & broken,
        _ => any |= none & broken,
    }
    if let Some(rest) = rest {
        goes[rest] |= none & !maybe & !broken;
    }
    (goes, any)
}

/// The scenes in which a rule holds, and those in which it does not.
fn truth(term: &Term, stage: &PackedStage<'_>, pressures: &PackedPressures<'_>) -> (Lanes, Lanes) {
    let known = |holds: Lanes| (holds, !holds);
    let drives = stage.sound().drives();
    let each = |terms: &[Term]| -> Vec<(Lanes, Lanes)> {
        let terms = terms.iter();
        terms.map(|term| truth(term, stage, pressures)).collect()
    };
    match term {
        Term::Fed(cavity) => {
            let low = pressures.at_least(Level::Low);
            (low.fed[cavity.number()], low.drained[cavity.number()])
        }
        Term::Current(solenoid) => known(stage.works(*solenoid, Level::Low, true)),
        Term::Input(input) => known(Lanes::all_if(drives.inputs[*input])),
        Term::Lever(detent) => match drives.lever {
            Some(stands) => known(Lanes::all_if(stands == *detent)),
            None => (Lanes::NONE, Lanes::NONE),
        },
        Term::Not(term) => {
            let (yes, no) = truth(term, stage, pressures);
            (no, yes)
        }
        Term::All(terms) => each(terms)
            .into_iter()
            .fold((Lanes::ALL, Lanes::NONE), |(all, none), (yes, no)| {
                (all & yes, none | no)
            }),
        Term::Any(terms) => each(terms)
            .into_iter()
            .fold((Lanes::NONE, Lanes::ALL), |(any, none), (yes, no)| {
                (any | yes, none & no)
            }),
    }
}

/// The higher inlet pushes a shuttle ball onto the lower; equal ones leave it where it is. The
/// scenes in which it goes to each inlet, and those in which that cannot be said.
fn crosses(shuttle: &NetShuttle, pressures: &PackedPressures<'_>) -> ([Lanes; 2], Lanes) {
    let mut over = [Lanes::NONE; 2];
    let mut vague = Lanes::NONE;
    // For each inlet the scenes in which it surely and in which it possibly has a level.
    let mut surely = [Lanes::NONE; 2];
    let mut possibly = [Lanes::NONE; 2];
    for level in [Level::Full, Level::Low, Level::Fill] {
        let values = pressures.at_least(level);
        for (side, inlet) in shuttle.inlets.iter().enumerate() {
            surely[side] |= values.fed[inlet.number()];
            possibly[side] |= !values.drained[inlet.number()];
        }
        for side in [0, 1] {
            over[side] |= surely[side] & !possibly[1 - side];
            vague |= possibly[side] & !surely[side];
        }
    }
    (over, vague & !(over[0] | over[1]))
}

/// The scenes that are in more than one.
pub(super) fn twice(lanes: &[Lanes]) -> Lanes {
    let (mut once, mut twice) = (Lanes::NONE, Lanes::NONE);
    for lanes in lanes {
        twice |= once & *lanes;
        once |= *lanes;
    }
    twice
}
