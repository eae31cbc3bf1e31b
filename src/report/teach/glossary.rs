//! What the words of the trade mean.

use crate::report::page::Line;
use crate::teach::Term;

use super::strong;

/// A word and what it means.
pub(super) fn meaning(term: Term) -> Line {
    let (word, means) = match term {
        Term::Sump => (
            "sump",
            "where all oil ends and the pump draws it from again",
        ),
        Term::Cavity => (
            "cavity",
            "a passage, chamber or pocket: one body of oil at one pressure",
        ),
        Term::Casting => ("casting", "a body with passages in it: block, case, shaft"),
        Term::Pump => (
            "pump",
            "makes the oil move; pressure comes only where it is held back",
        ),
        Term::Regulator => (
            "regulator",
            "a valve that holds a cavity at a pressure by letting go what is too much, or by \
             letting in no more than enough",
        ),
        Term::Port => (
            "port",
            "an open way between two cavities, often across a joint",
        ),
        Term::MeteringHole => (
            "metering hole",
            "a hole small enough to choke the flow; what lies before it keeps its pressure",
        ),
        Term::Clearance => (
            "clearance",
            "the gap of a running fit: it always leaks a little",
        ),
        Term::CheckBall => (
            "check ball",
            "a ball on a seat: oil can go one way and not back",
        ),
        Term::ShuttleBall => (
            "shuttle ball",
            "a ball between two seats: the higher pressure gets through and shuts the other",
        ),
        Term::Valve => (
            "valve",
            "a spool in a bore: where it stands decides which ports are joined",
        ),
        Term::Solenoid => ("solenoid", "a valve that current moves"),
        Term::SeparatorPlate => (
            "separator plate",
            "the drilled plate between two castings: it roofs passages and keeps neighbours apart",
        ),
        Term::Gasket => (
            "gasket",
            "seals a joint; blown, neighbours leak into each other",
        ),
        Term::Cover => (
            "cover",
            "a plate that roofs passages; in a bridge cover oil hops along its hollow",
        ),
        Term::Seal => (
            "seal",
            "ring, O-ring, grommet or lip: it keeps oil in a joint",
        ),
        Term::Filter => (
            "filter",
            "cleans the oil that passes; blocked, it starves what follows",
        ),
        Term::Converter => (
            "converter",
            "a coupling full of oil between engine and gearbox",
        ),
        Term::Cooler => ("cooler", "takes the heat out of the oil that passes"),
        Term::Outlet => (
            "outlet",
            "what the oil is for: clutch, brake, servo, bearing, gear; some need pressure, some \
             need flow",
        ),
        Term::Starved => ("starved", "it should have oil and has none"),
    };
    strong(word) + ": " + means + "."
}
