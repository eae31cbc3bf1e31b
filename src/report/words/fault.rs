//! A fault in a sentence.

use super::Words;
use crate::circuit::{Condition, Fault, Kind, PartName};
use crate::report::page::Line;

impl Words<'_> {
    /// A fault as someone would say it: `the hop (hop) is plugged`. One that the circuit does not
    /// know stays as it was typed.
    pub(in crate::report) fn fault(&self, typed: &str) -> Line {
        match self.circuit.fault(typed) {
            Ok(fault) => self.part(&fault.part) + " " + self.condition(&fault),
            Err(_) => Line::id(typed),
        }
    }

    fn condition(&self, fault: &Fault) -> Line {
        let between = |[a, b]: &[String; 2]| self.cavity(a) + " and " + self.cavity(b);
        let places = |[a, b]: &[String; 2]| Line::id(a) + " and " + Line::id(b);
        let other = |id: &str| self.part(&PartName::new(fault.part.kind, id));
        let said = match &fault.condition {
            Condition::Loose => "is loose",
            Condition::LeftOut if fault.part.kind == Kind::Tap => "has no plug",
            Condition::LeftOut => "is left out",
            Condition::Wrong(ways) => {
                let ways = ways.iter().map(|way| Line::id(way));
                return Line::from("is the wrong one, with no hole for ") + Line::list(ways, "and");
            }
            Condition::Leaking(cavities) => {
                return Line::from("leaks between ") + between(cavities);
            }
            Condition::Plugged => "is plugged",
            Condition::Oversize => "is drilled too large",
            Condition::Cracked => "is cracked",
            Condition::Porous(cavity) => {
                return Line::from("leaks through its wall into ") + self.cavity(cavity);
            }
            Condition::StuckSeated => "sticks on its seat",
            Condition::StuckOff if fault.part.kind == Kind::Solenoid => {
                "works as if it had no current"
            }
            Condition::StuckOff => "sticks off its seat",
            Condition::Misplaced(way) => {
                return Line::from("lies at ") + Line::id(way) + " instead of in its pocket";
            }
            Condition::Worn => "is worn",
            Condition::WornBetween(ports) => {
                return Line::from("is worn between ") + between(ports);
            }
            Condition::Cut => "is cut",
            Condition::StuckIn(place) => return Line::from("sticks in ") + Line::id(place),
            Condition::StuckBetween(two) => return Line::from("sticks between ") + places(two),
            Condition::Backwards => "is in the wrong way round",
            Condition::SpringBroken => "has a broken spring",
            Condition::SpringSwapped(id) => {
                return Line::from("has its spring exchanged with that of ") + other(id);
            }
            Condition::PlugOut => "has lost its bore plug",
            Condition::ClipOut => "has lost its clip",
            Condition::VentPlugged => "has its vent plugged",
            Condition::NoCurrent => "gets no current",
            Condition::StuckOn => "works as if it had current",
            Condition::SeatLeaking => "does not shut tight",
            Condition::SealCut => "has a cut O-ring",
            Condition::Swapped(id) => {
                return Line::from("has its connector exchanged with that of ") + other(id);
            }
            Condition::Blocked => "is blocked",
            Condition::StuckOpen => "sticks open",
            Condition::StuckShut => "sticks shut",
            Condition::Jammed => "has a jammed piston",
            Condition::AirLeak => "draws air",
            Condition::OilLow => "draws air because the oil is low",
        };
        said.into()
    }
}
