//! What some faults are expected to show in one state, as chances.
//!
//! The chances are round numbers (assumptions, no source): they say how often what settling calls
//! starved, weakened or kept is felt as such. A zero says that it cannot be.

use super::fed::Fed;
use super::ground::{Ground, GroundGauge};
use crate::answer::{Reading, Status, SweepState, Verdict};
use crate::circuit::{Fares, Kind, Level, PartName, Shows, Symptom};

/// The chance of each of [`Fares::ALL`].
pub(super) type Fate = [f64; Fares::ALL.len()];

/// The chance of each of [`Shows::ALL`].
pub(super) type Face = [f64; Shows::ALL.len()];

/// What some faults are expected to show in one state.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Outlook {
    /// How each outlet fares.
    pub fates: Vec<Fate>,
    /// What each gauge shows; of a switch `None` is open and `Normal` closed.
    pub faces: Vec<Face>,
}

/// A chance from which on something counts as foretold.
pub(super) const FORETOLD: f64 = 0.3;

/// A chance below which something counts as contradicted.
pub(super) const CANNOT_BE: f64 = 0.01;

// Fine, starved, weak, on, late, harsh.
const STARVED: Fate = [0.0, 0.84, 0.12, 0.0, 0.04, 0.0];
const WEAKENED: Fate = [0.2, 0.25, 0.45, 0.0, 0.1, 0.0];
const KEPT: Fate = [0.93, 0.0, 0.04, 0.0, 0.02, 0.01];
const HARSH: Fate = [0.35, 0.0, 0.03, 0.0, 0.02, 0.6];
const ON_WHEN_OFF: Fate = [0.05, 0.0, 0.0, 0.9, 0.05, 0.0];
const LATE: Fate = [0.35, 0.0, 0.0, 0.05, 0.6, 0.0];
pub(super) const OFF: Fate = [0.97, 0.0, 0.0, 0.0, 0.02, 0.01];
const MAYBE_LOST: Fate = [0.25, 0.25, 0.25, 0.0, 0.15, 0.1];
const MAYBE_ON: Fate = [0.29, 0.0, 0.0, 0.29, 0.29, 0.13];
const ANYTHING: Fate = [0.2, 0.2, 0.2, 0.2, 0.1, 0.1];
/// What has its oil as long as the source it hangs on builds pressure, which that does not.
const UNBUILT: Fate = [0.05, 0.75, 0.2, 0.0, 0.0, 0.0];

// None, low, normal, high.
const AS_SOUND: Face = [0.0, 0.02, 0.97, 0.01];
/// The same level, in a state in which oil is lost somewhere.
const SAME_LEVEL: Face = [0.0, 0.08, 0.9, 0.02];
const NOTHING: Face = [0.85, 0.15, 0.0, 0.0];
const HARDLY_ANY: Face = [0.4, 0.58, 0.02, 0.0];
/// What should show something where the source it hangs on builds no pressure.
const UNBUILT_FACE: Face = [0.6, 0.3, 0.1, 0.0];
const LOWER: Face = [0.1, 0.8, 0.1, 0.0];
const HIGHER: Face = [0.0, 0.02, 0.08, 0.9];
const MAYBE_LOWER: Face = [0.29, 0.29, 0.29, 0.13];
const MAYBE_HIGHER: Face = [0.13, 0.29, 0.29, 0.29];
const MAYBE_BOTH: Face = [0.25, 0.25, 0.25, 0.25];

// Of a switch: open, -, closed, -.
const OPEN: Face = [0.98, 0.0, 0.02, 0.0];
const CLOSED: Face = [0.02, 0.0, 0.98, 0.0];
const EITHER: Face = [0.29, 0.0, 0.29, 0.0];

impl Outlook {
    /// What settling expects: `effect` is what the faults do; none where all is as when sound. Of
    /// `dry` outlets none can let go late: no oil gets to them.
    pub fn settled(
        ground: &Ground,
        state: usize,
        effect: Option<&SweepState>,
        dry: &[PartName],
    ) -> Self {
        let sound = &ground.states[state];
        let unbuilt: Vec<&Fed> = match effect {
            Some(effect) => {
                let fed = ground.fed.iter();
                fed.filter(|fed| effect.will_not_build.contains(&fed.source))
                    .collect()
            }
            None => Vec::new(),
        };
        let failed = |place: usize| unbuilt.iter().any(|fed| fed.outlets.contains(place));
        let fates = sound.has.iter().enumerate();
        let fates = fates.map(|(place, has)| match has {
            Status::On if failed(place) => UNBUILT,
            Status::On => KEPT,
            Status::Off => OFF,
            Status::Unsure => ANYTHING,
        });
        let mut fates: Vec<Fate> = fates.collect();
        let failed = |place: usize| unbuilt.iter().any(|fed| fed.gauges.contains(place));
        let faces = sound.gauges.iter().zip(&ground.gauges).enumerate();
        let quiet = match effect {
            Some(effect) if !effect.is_harmless() => SAME_LEVEL,
            _ => AS_SOUND,
        };
        let faces = faces.map(|(place, (gauge, name))| match name.kind {
            Kind::Switch => switch(gauge.closed.filter(|closed| !(*closed && failed(place)))),
            _ if failed(place) && !gauge.empty => UNBUILT_FACE,
            _ => quiet,
        });
        let mut faces: Vec<Face> = faces.collect();
        if let Some(effect) = effect {
            for (verdict, outlets) in told(effect) {
                for place in outlets {
                    let Some(place) = ground.outlet(place) else {
                        continue;
                    };
                    fates[place] = match verdict {
                        Verdict::Late if dry.contains(&ground.outlets[place].name) => OFF,
                        verdict => fate(verdict, sound.has[place]),
                    };
                }
            }
            for reading in &effect.seen {
                if let Some(place) = ground.gauge(&reading.at) {
                    faces[place] = face(reading);
                }
            }
        }
        Outlook { fates, faces }
    }

    /// The chance that an outlet fares so.
    pub fn fares(&self, outlet: usize, seen: Fares) -> f64 {
        self.fates[outlet][seen as usize]
    }

    /// The chance that a tap shows so; `sound` is what it shows when sound.
    pub fn shows(&self, gauge: usize, sound: GroundGauge, seen: Shows) -> f64 {
        // Where nothing should be, nothing is normal.
        let seen = match seen {
            Shows::None if sound.empty => Shows::Normal,
            seen => seen,
        };
        self.faces[gauge][seen as usize]
    }

    /// The chance that a switch is closed or open.
    pub fn closed(&self, gauge: usize, closed: bool) -> f64 {
        match closed {
            true => self.faces[gauge][Shows::Normal as usize],
            false => self.faces[gauge][Shows::None as usize],
        }
    }

    /// The chance of each of [`Symptom::ALL`]. One cause is behind what outlets do, so they are taken
    /// to go together: what is felt is as likely as it is of the outlet that shows it most. More than
    /// one can hold at once, so they need not add up to one.
    pub fn drives(&self, ground: &Ground, state: usize) -> [f64; Symptom::ALL.len()] {
        let felt = ground.outlets.iter().zip(&ground.states[state].has);
        let felt = felt.zip(&self.fates).filter(|((o, _), _)| o.by_pressure);
        let on = felt.clone().filter(|((_, has), _)| **has != Status::Off);
        let mut off = felt.clone().filter(|((_, has), _)| **has != Status::On);
        let any = |seen: Fares| {
            let chances = felt.clone().map(|(_, fate)| fate[seen as usize]);
            chances.fold(0.0, f64::max)
        };
        let fine = felt.clone().map(|(_, fate)| fate[Fares::Fine as usize]);
        let fine = fine.fold(1.0, f64::min);
        let drives = on.clone().next().is_some();
        let starved = on.map(|(_, fate)| fate[Fares::Starved as usize]);
        let all = match drives {
            true => starved.fold(1.0, f64::min),
            false => 0.0,
        };
        let lost = any(Fares::Starved);
        let extra = match off.next() {
            Some(_) => any(Fares::On),
            None => 0.0,
        };
        // A slip can be called a flare, and a flare of all there is is none.
        let some = (lost - all).max(0.0);
        let (bind, creeps) = match drives {
            true => (0.9 * extra, 0.25 * extra),
            false => (0.0, extra),
        };
        let mut chances = [0.0; Symptom::ALL.len()];
        let mut set = |symptom: Symptom, chance: f64| {
            chances[symptom as usize] = chance.clamp(0.0, 1.0);
        };
        set(Symptom::Fine, fine);
        set(Symptom::None, all + 0.1 * some);
        set(Symptom::Flare, some + 0.29 * all);
        set(Symptom::Bind, bind);
        set(Symptom::Creeps, creeps);
        set(Symptom::Slips, any(Fares::Weak) + 0.25 * lost);
        set(Symptom::Late, any(Fares::Late) + 0.25 * any(Fares::Weak));
        set(Symptom::Harsh, any(Fares::Harsh) + 0.1 * extra);
        chances
    }

    /// The chance that in a state exactly this is applied.
    pub fn applies(&self, ground: &Ground, state: usize, applied: &[usize]) -> f64 {
        let outlets = ground.outlets.iter().enumerate();
        let outlets = outlets.filter(|(_, outlet)| outlet.by_pressure);
        let chances = outlets.map(|(place, _)| {
            let fate = &self.fates[place];
            let on = match ground.states[state].has[place] {
                Status::On => 1.0 - fate[Fares::Starved as usize],
                _ => fate[Fares::On as usize],
            };
            if applied.contains(&place) {
                on
            } else {
                1.0 - on
            }
        });
        chances.product()
    }
}

/// What an effect says of outlets.
fn told(effect: &SweepState) -> impl Iterator<Item = (Verdict, Vec<&PartName>)> {
    let plain = [
        (Verdict::Starved, &effect.starved),
        (Verdict::Weakened, &effect.weakened),
        (Verdict::OnWhenOff, &effect.on_when_off),
        (Verdict::Late, &effect.late),
        (Verdict::Harsh, &effect.harsh),
    ];
    let plain = plain.map(|(verdict, outlets)| (verdict, outlets.iter().collect()));
    let open = effect.undecided.iter().map(|u| &u.outlet).collect();
    plain.into_iter().chain([(Verdict::Undecided, open)])
}

fn fate(verdict: Verdict, sound: Status) -> Fate {
    match (verdict, sound) {
        (Verdict::Starved, _) => STARVED,
        (Verdict::Weakened, _) => WEAKENED,
        (Verdict::Kept, _) => KEPT,
        (Verdict::Harsh, _) => HARSH,
        (Verdict::OnWhenOff, _) => ON_WHEN_OFF,
        (Verdict::Late, _) => LATE,
        (Verdict::Off, _) => OFF,
        (Verdict::Undecided, Status::On) => MAYBE_LOST,
        (Verdict::Undecided, Status::Off) => MAYBE_ON,
        (Verdict::Undecided, Status::Unsure) => ANYTHING,
    }
}

fn switch(closed: Option<bool>) -> Face {
    match closed {
        Some(true) => CLOSED,
        Some(false) => OPEN,
        None => EITHER,
    }
}

fn face(reading: &Reading) -> Face {
    let (sound, now) = (reading.sound, reading.now);
    if reading.at.kind == Kind::Switch {
        return switch(Reading::closed(now));
    }
    if now.highest < sound.lowest {
        return match now.highest {
            Level::Off => NOTHING,
            Level::Fill => HARDLY_ANY,
            _ => LOWER,
        };
    }
    if reading.high || now.lowest > sound.highest {
        return HIGHER;
    }
    match (now.lowest < sound.lowest, now.highest > sound.highest) {
        (true, false) => MAYBE_LOWER,
        (false, true) => MAYBE_HIGHER,
        _ => MAYBE_BOTH,
    }
}
