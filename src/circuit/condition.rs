//! What can be wrong with a part, and the word for it.

use std::fmt;

/// What can be wrong with a part.
///
/// Where a condition concerns two things alike, they are sorted, so that equal faults are equal.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Condition {
    /// Plate not tight: what it roofs opens to the sump, what it separates runs together.
    Loose,
    /// Part not fitted. A tap left out is a missing plug: its cavity stands open to the sump.
    LeftOut,
    /// Plate of another model, or turned the wrong way round: these ports, orifices and balls,
    /// sorted, have no hole in it and are shut.
    Wrong(Vec<String>),
    /// Gasket blown or porous between two cavities, or between one and the sump.
    Leaking([String; 2]),
    /// Nothing passes a way or a cavity: dirt, a slug of sealant, a forgotten plug.
    Plugged,
    /// Metering hole drilled or worn too large to meter.
    Oversize,
    /// Cavity open to the sump.
    Cracked,
    /// Casting leaks between this cavity and a neighbour.
    Porous(String),
    /// Ball held on its seat: nothing passes.
    StuckSeated,
    /// Ball held off its seat: oil passes both ways. Solenoid that works as if it had no current.
    StuckOff,
    /// Ball missing from its own pocket, which passes oil both ways, and lying on this port or
    /// orifice, which it can shut.
    Misplaced(String),
    /// Seat, seal or running fit worn: it leaks. A worn pump makes less than it should.
    Worn,
    /// Spool land or bore worn: these neighbouring ports leak into each other.
    WornBetween([String; 2]),
    /// Seal cut through.
    Cut,
    /// Valve held in a position.
    StuckIn(String),
    /// Valve held between two positions. A lever that stands between two detents has no part of
    /// its own: it is this, on the valve the lever moves.
    StuckBetween([String; 2]),
    /// Spool fitted the wrong way round: every land stands where its mirror image should.
    Backwards,
    /// Spring of a valve or an accumulator broken: nothing pushes back.
    SpringBroken,
    /// Springs of this valve and another exchanged: one moves too soon, the other too late.
    SpringSwapped(String),
    /// Bore plug missing or blown out: the end it closes stands open to the sump.
    PlugOut,
    /// Clip or pin missing: the plug can walk out under pressure.
    ClipOut,
    /// The spring pocket's way out plugged: trapped oil holds the spool where it is.
    VentPlugged,
    /// Solenoid gets no current: wire, connector or driver. It rests as its spring has it.
    NoCurrent,
    /// Solenoid works as if it had current.
    StuckOn,
    /// Solenoid whose seat or vent does not shut tight: it leaks although shut.
    SeatLeaking,
    /// O-ring of a solenoid cut: its oil runs to the sump beside it.
    SealCut,
    /// Connectors of this solenoid and another exchanged: each gets the other's current.
    Swapped(String),
    /// Oil cannot pass a filter, converter, cooler or solenoid screen.
    Blocked,
    /// Regulator or relief held open.
    StuckOpen,
    /// Regulator or relief held shut.
    StuckShut,
    /// Accumulator piston seized in its bore: it takes no oil and cushions nothing.
    Jammed,
    /// Pump draws air with the oil: cracked pickup, hard suction seal.
    AirLeak,
    /// Oil level below the pickup, always or when it surges: the pump draws air at times.
    OilLow,
}

impl Condition {
    /// The word before any `=`.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Condition::Loose => "loose",
            Condition::LeftOut => "left-out",
            Condition::Wrong(_) => "wrong",
            Condition::Leaking(_) | Condition::SeatLeaking => "leaking",
            Condition::Plugged => "plugged",
            Condition::Oversize => "oversize",
            Condition::Cracked => "cracked",
            Condition::Porous(_) => "porous",
            Condition::StuckSeated => "stuck-seated",
            Condition::StuckOff => "stuck-off",
            Condition::Misplaced(_) => "misplaced",
            Condition::Worn | Condition::WornBetween(_) => "worn",
            Condition::Cut => "cut",
            Condition::StuckIn(_) => "stuck",
            Condition::StuckBetween(_) => "stuck-between",
            Condition::Backwards => "backwards",
            Condition::SpringBroken => "spring-broken",
            Condition::SpringSwapped(_) => "spring-swapped",
            Condition::PlugOut => "plug-out",
            Condition::ClipOut => "clip-out",
            Condition::VentPlugged => "vent-plugged",
            Condition::NoCurrent => "no-current",
            Condition::StuckOn => "stuck-on",
            Condition::SealCut => "seal-cut",
            Condition::Swapped(_) => "swapped",
            Condition::Blocked => "blocked",
            Condition::StuckOpen => "stuck-open",
            Condition::StuckShut => "stuck-shut",
            Condition::Jammed => "jammed",
            Condition::AirLeak => "air-leak",
            Condition::OilLow => "oil-low",
        }
    }

    /// Whether it keeps a valve in one of its positions.
    #[must_use]
    pub fn sticks(&self) -> bool {
        matches!(self, Condition::StuckIn(_))
    }
}

impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())?;
        match self {
            Condition::Leaking([a, b])
            | Condition::WornBetween([a, b])
            | Condition::StuckBetween([a, b]) => write!(f, "={a}+{b}"),
            Condition::Porous(one)
            | Condition::StuckIn(one)
            | Condition::Misplaced(one)
            | Condition::SpringSwapped(one)
            | Condition::Swapped(one) => write!(f, "={one}"),
            Condition::Wrong(ways) => write!(f, "={}", ways.join("+")),
            _ => Ok(()),
        }
    }
}
