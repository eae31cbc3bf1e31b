//! How long what a state applies takes to take hold: early, late or harsh beside the sound circuit.

use super::cases::{Bench, Book, Case, Near};
use super::holds::{HoldTimes, HoldWord, OutletHolds, TakesHold, TakesHoldState};
use super::need::Need;
use super::ranges::measured;
use super::{FlowsError, FlowsQuestion, Range, SizeUsed, oil, running, temperature};
use crate::answer::{Depth, states};
use crate::circuit::{Condition, Fault, Kind, PartName};
use crate::flow::fill::{Filled, Piston, fill};
use crate::flow::{Filling, Stroke, Strokes};
use crate::net::{Cavity, Net, Stage};
use crate::settle::settle;

/// From where a time is late, of the sound one (our choice: half as long again is felt).
const LATE: f64 = 1.5;

/// Below which part of the sound time pressing is harsh (our choice).
const HARSH: f64 = 0.5;

/// What presses in less time than this when sound has no cushion to lose, in s (our choice).
const NO_CUSHION: f64 = 0.02;

/// Asks how long everything that a state applies takes to take hold, in one state or in all, with
/// some faults beside the sound circuit.
///
/// All fill together from empty once the valves stand where they end up: each piston strokes against
/// its return spring at what the computed flows bring, then the pressure before it rises, held back
/// by accumulators until they are full. Inertia, empty channels and the time that valves take are
/// left out, so times are least times: good to compare. See [`fill`].
///
/// An accumulator is pressed by its spring and by what is behind it: where the pressure behind changes
/// so do its two pressures, as if both its ends had one area (an assumption). One without its spring
/// is pressed by what is behind it alone.
///
/// # Errors
///
/// As [`flows`](super::flows).
///
/// ```
/// use oilpath::answer::{FlowsQuestion, takes_hold};
/// use oilpath::{net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "drum"] }
///     [source]
///     supply = { feeds = "line", pressure = "8 bar" }
///     [orifice]
///     fill = { between = ["line", "drum"], bore = "2 mm" }
///     [outlet.clutch]
///     kind = "clutch"
///     at = "drum"
///     needs = "6 bar"
///     volume = "60 cm³"
///     spring = "1 bar"
///     stroked-at = "1.2 bar"
///     [state]
///     on = { applies = ["clutch"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let answer = takes_hold(&net, &[], None, &FlowsQuestion::default()).unwrap();
/// let clutch = &answer.states[0].outlets[0];
/// let touches = clutch.sound.touches_s.unwrap().least;
/// assert!((0.7..0.9).contains(&touches));
/// ```
pub fn takes_hold(
    net: &Net<'_>,
    faults: &[Fault],
    state: Option<&str>,
    question: &FlowsQuestion,
) -> Result<TakesHold, FlowsError> {
    let circuit = net.circuit();
    let (oil, id) = oil(circuit, question)?;
    let mut book = Book::default();
    let mut told = Vec::new();
    for (id, state) in states(circuit, state) {
        let outlets = net.outlets().iter();
        let outlets = outlets.filter(|o| o.by_pressure && Need::of(net, o, state).should_apply);
        let outlets: Vec<_> = outlets.collect();
        if outlets.is_empty() {
            continue;
        }
        let names: Vec<PartName> = outlets.iter().map(|o| o.name.clone()).collect();
        let running = running(state, &oil, question)?;
        let stage = Stage::new(net, state, &[]);
        let bench = |faults| Bench {
            running: &running,
            sizes: &question.sizes,
            faults,
        };
        let cases = bench(&[]).cases(&stage, &settle(&stage), Near::default(), &mut book);
        let sound = Timing::of(net, &bench(&[]), &cases, &cases, &names, &mut book);
        let now = (!faults.is_empty()).then(|| {
            let stage = stage.with(faults);
            let faulty =
                bench(faults).cases(&stage, &settle(&stage), Near::once(&cases), &mut book);
            Timing::of(net, &bench(faults), &faulty, &cases, &names, &mut book)
        });
        let rows = outlets.iter().enumerate().map(|(i, outlet)| {
            let need = Need::of(net, outlet, state)
                .pa
                .unwrap_or_else(|| 0.8 * sound.rests_at(i));
            let now = now.as_ref().map(|now| now.times(i, need));
            let sound = sound.times(i, need);
            OutletHolds {
                outlet: outlet.name.clone(),
                holds_from_pa: need,
                sound,
                now,
                wrong: now.map(|now| wrong(sound, now)).unwrap_or_default(),
            }
        });
        told.push(TakesHoldState {
            state: id.map(str::to_owned),
            speed_rad_per_s: running.speed.map(|speed| speed.rad_per_s()),
            oil_temperature_k: temperature(state, question).kelvin(),
            outlets: rows.collect(),
            converged: sound.solved && now.as_ref().is_none_or(|now| now.solved),
        });
    }
    book.settle(question)?;
    let sizes = book.stand_ins.iter();
    Ok(TakesHold {
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        depth: Depth::Flow,
        oil: id,
        set: question
            .sizes
            .set()
            .map(|(of, si)| SizeUsed::of(of, si))
            .collect(),
        assumed: sizes.map(|(of, si)| SizeUsed::of(of, *si)).collect(),
        late_from: LATE,
        harsh_below: HARSH,
        states: told,
    })
}

/// How every piston filled, in each case.
struct Timing {
    /// With it, what pushes back on each outlet, in Pa.
    cases: Vec<(Filled, Vec<f64>)>,
    solved: bool,
}

impl Timing {
    /// Fills the pistons of some outlets, and the accumulators, in each case. The first of the sound
    /// cases says what presses accumulators from behind when sound.
    fn of(
        net: &Net<'_>,
        bench: &Bench<'_>,
        cases: &[Case<'_>],
        sound: &[Case<'_>],
        outlets: &[PartName],
        book: &mut Book,
    ) -> Timing {
        let strokes = Strokes::of(net, outlets, bench.faults, bench.sizes);
        book.asked.extend(strokes.asked);
        book.stand_ins.extend(strokes.stand_ins);
        let strokes = strokes.strokes;
        let mut timing = Timing {
            cases: Vec::new(),
            solved: !cases.is_empty() && measured(cases).all(|m| m.converged),
        };
        for case in cases {
            let Some(mut block) = bench.block(case) else {
                timing.solved = false;
                continue;
            };
            let backs = strokes.iter().map(|stroke| behind(stroke, case));
            let backs: Vec<f64> = backs.collect();
            let pistons = strokes.iter().zip(&backs).map(|(stroke, back)| {
                let usual = sound.first().map_or(0.0, |sound| behind(stroke, sound));
                pressed(stroke, *back, usual, bench.faults)
            });
            let pistons: Vec<Piston> = pistons.collect();
            let cavities = strokes.iter().map(|stroke| stroke.at);
            let filled = fill(&pistons, &mut Filling::new(&mut block, cavities.collect()));
            timing.solved &= filled.rests;
            timing.cases.push((filled, backs));
        }
        timing
    }

    /// The pressure an outlet ends with, in Pa; the least over all cases.
    fn rests_at(&self, outlet: usize) -> f64 {
        let ends = self.cases.iter().map(|(filled, backs)| {
            let end = filled.pressures[outlet].last();
            end.map_or(0.0, |(_, pressure)| pressure - backs[outlet])
        });
        ends.fold(f64::INFINITY, f64::min)
    }

    /// The times of an outlet over all cases. The outlets come first among all that stroke.
    fn times(&self, outlet: usize, need: f64) -> HoldTimes {
        let all = |time: &dyn Fn(&Filled, f64) -> Option<f64>| {
            let times = self.cases.iter().map(|(f, backs)| time(f, backs[outlet]));
            Range::of(times.collect::<Option<Vec<f64>>>()?.into_iter())
        };
        let holds = |filled: &Filled, back: f64| {
            let home = filled.home[outlet]?;
            Some(filled.reaches(outlet, need + back)?.max(home))
        };
        HoldTimes {
            touches_s: all(&|filled, _| filled.home[outlet]),
            holds_s: all(&holds),
            presses_s: all(&|filled, back| Some(holds(filled, back)? - filled.home[outlet]?)),
        }
    }
}

/// The pressure behind a piston once all is at rest, in Pa.
fn behind(stroke: &Stroke, case: &Case<'_>) -> f64 {
    let pressure = |back: Cavity| case.measured.pressures[back.number()].unwrap_or_default();
    stroke.back.map_or(0.0, |back| pressure(back).max(0.0))
}

/// A piston with what presses on its back, now and when sound, in Pa.
fn pressed(stroke: &Stroke, back: f64, usual: f64, faults: &[Fault]) -> Piston {
    let Piston {
        volume,
        begins,
        ends,
    } = stroke.piston;
    let springless = faults
        .iter()
        .any(|fault| fault.part == stroke.part && fault.condition == Condition::SpringBroken);
    let [begins, ends] = match stroke.part.kind {
        Kind::Accumulator if springless => [begins.min(back); 2],
        Kind::Accumulator => [begins, ends].map(|p| (p + back - usual).max(0.0)),
        // The release side of a servo pushes back with all it has.
        _ => [begins + back, ends + back],
    };
    Piston {
        volume,
        begins,
        ends,
    }
}

/// What is wrong with how an outlet takes hold; where valves can stand in several places, only what
/// is wrong in each.
fn wrong(sound: HoldTimes, now: HoldTimes) -> Vec<HoldWord> {
    let mut wrong = Vec::new();
    let Some(usual) = sound.holds_s else {
        return wrong;
    };
    let Some(holds) = now.holds_s else {
        return vec![HoldWord::Never];
    };
    if holds.least > LATE * usual.most {
        wrong.push(HoldWord::Late);
    } else if LATE * holds.most < usual.least {
        wrong.push(HoldWord::Early);
    }
    if let Some((usual, presses)) = sound.presses_s.zip(now.presses_s)
        && usual.least > NO_CUSHION
        && presses.most < HARSH * usual.least
    {
        wrong.push(HoldWord::Harsh);
    }
    wrong
}
