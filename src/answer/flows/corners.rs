//! Faults looked at with cold and hot oil, idling and fast, for the pattern in which each shows.

use super::cases::{Base, Book, Case};
use super::gathered::kept;
use super::need::Need;
use super::pattern::{Corner, Pattern};
use super::ranges::{measured, reaching, users};
use super::signature::{
    CornerRuns, ExtentPattern, FaultSignature, OutletSignature, SignatureQuestion, Signatures,
    SoundShort, StateSignature,
};
use super::tried::Tried;
use super::{FlowsError, FlowsQuestion, Gets, SizeUsed, oil};
use crate::answer::batch::{Batch, each};
use crate::answer::{Depth, states};
use crate::circuit::{Fault, State};
use crate::flow::{Oil, Running, Sizes};
use crate::net::{Net, NetOutlet};
use crate::units::{Speed, Temperature};

/// Asks in what pattern each of some faults shows: which outlets fall short hot only, cold only, at
/// idle only, at speed only, in some states, or in all where none is named.
///
/// Pressures and flows are computed at the four corners of cold and hot, idling and fast. An outlet
/// falls short where its need is no longer met, or, where its need is not known or not met when
/// sound, where it keeps less than [`SignatureQuestion::keeps`]. How far a fault has gone no file
/// can know: what is usual stands in and is told, and each fault is also looked at gone less and
/// more far. A pattern that shows only in between is not seen.
///
/// # Errors
///
/// As [`flows`](super::flows), where sizes of the sound circuit are not known. Those of faults may
/// be.
///
/// ```
/// use oilpath::answer::{Pattern, SignatureQuestion, signatures};
/// use oilpath::{net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "drum"] }
///     [source]
///     pump = { feeds = "line", displacement = "10 cm³/rev" }
///     [regulator]
///     main = { holds = "line", at = "8 bar", spills = ["sump"], band = "0.5 bar", bore = "8 mm" }
///     [orifice]
///     fill = { between = ["line", "drum"], bore = "1.5 mm" }
///     [seal]
///     ring = { between = ["drum", "sump"] }
///     [outlet]
///     clutch = { kind = "clutch", at = "drum", needs = "6 bar" }
///     [state]
///     on = { applies = ["clutch"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let cut = circuit.fault("ring:cut").unwrap();
/// let answer = signatures(&net, &[cut], &[], &SignatureQuestion::default()).unwrap();
/// let clutch = &answer.faults[0].states[0].outlets[0];
/// assert_eq!(clutch.patterns[1].pattern, Pattern::Always);
/// ```
pub fn signatures(
    net: &Net<'_>,
    faults: &[Fault],
    wanted: &[String],
    question: &SignatureQuestion,
) -> Result<Signatures, FlowsError> {
    let circuit = net.circuit();
    let (oil, id) = oil(circuit, &question.flows)?;
    let runs = Corner::ALL
        .iter()
        .map(|corner| question.runs(*corner, &oil));
    let runs: Vec<Running> = runs.collect::<Result<_, _>>()?;
    let mut asked = states(circuit, None);
    asked.retain(|(id, _)| {
        wanted.is_empty() || id.is_some_and(|id| wanted.iter().any(|wanted| wanted == id))
    });
    let sets: Vec<Vec<Fault>> = faults.iter().map(|fault| vec![fault.clone()]).collect();
    let batches = Batch::of(net, &sets);
    let mut extents = question.extents.clone();
    extents.sort_by(f64::total_cmp);
    let mut told: Vec<FaultSignature> = faults
        .iter()
        .map(|fault| FaultSignature {
            fault: circuit.say(fault),
            has_extent: false,
            states: Vec::new(),
        })
        .collect();
    let (mut sound, mut book) = (Vec::new(), Book::default());
    for (id, state) in &asked {
        let tried = Tried::of(net, state, &sets, &batches);
        let mut own = Book::default();
        let corners = runs.iter().map(|running| {
            let base = tried.sound(running, &question.flows.sizes, &mut own);
            SoundCorner::of(net, state, running, base)
        });
        let corners: Vec<SoundCorner<'_>> = corners.collect();
        own.settle(&question.flows)?;
        book.add(own);
        let looking = Looking {
            tried,
            corners,
            question,
            extents: &extents,
        };
        sound.extend(looking.short(*id));
        let numbers: Vec<usize> = (0..sets.len()).collect();
        let found = each(&numbers, |number| looking.outlets(*number));
        for (told, (found, has_extent, asked)) in told.iter_mut().zip(found) {
            book.add(asked);
            told.has_extent |= has_extent;
            if !found.is_empty() {
                told.states.push(StateSignature {
                    state: id.map(str::to_owned),
                    outlets: found,
                });
            }
        }
    }
    let given = FlowsQuestion {
        assume: true,
        ..question.flows.clone()
    };
    book.settle(&given)?;
    let corners = Corner::ALL.iter().map(|corner| CornerRuns {
        corner: *corner,
        speed_rad_per_s: question.speed_at(*corner).rad_per_s(),
        oil_temperature_k: question.oil_at(*corner).kelvin(),
    });
    let used = |(of, si): (_, &f64)| SizeUsed::of(of, *si);
    Ok(Signatures {
        depth: Depth::Flow,
        oil: id,
        corners: corners.collect(),
        extents,
        keeps: question.keeps,
        set: given
            .sizes
            .set()
            .map(|(of, si)| SizeUsed::of(of, si))
            .collect(),
        assumed: book.stand_ins.iter().map(used).collect(),
        states: asked
            .iter()
            .filter_map(|(id, _)| id.map(str::to_owned))
            .collect(),
        sound,
        tried: told.len(),
        seen: None,
        faults: told,
    })
}

impl SignatureQuestion {
    fn oil_at(&self, corner: Corner) -> Temperature {
        match corner {
            Corner::ColdIdle | Corner::ColdFast => self.oil[0],
            Corner::HotIdle | Corner::HotFast => self.oil[1],
        }
    }

    fn speed_at(&self, corner: Corner) -> Speed {
        match corner {
            Corner::ColdIdle | Corner::HotIdle => self.speed[0],
            Corner::ColdFast | Corner::HotFast => self.speed[1],
        }
    }

    fn runs(&self, corner: Corner, oil: &Oil) -> Result<Running, FlowsError> {
        let (speed, warm) = (self.speed_at(corner), self.oil_at(corner));
        Ok(Running::new(Some(speed), oil.clone(), warm)?)
    }
}

/// The sound circuit in one state at one corner.
struct SoundCorner<'a> {
    running: &'a Running,
    base: Base<'a>,
    /// Every outlet that should have oil, with what reaches it and what it needs.
    outlets: Vec<(&'a NetOutlet, Gets, Need)>,
}

impl<'a> SoundCorner<'a> {
    fn of(
        net: &'a Net<'_>,
        state: &State,
        running: &'a Running,
        base: Base<'a>,
    ) -> SoundCorner<'a> {
        let outlets = users(net).map(|outlet| (outlet, Need::of(net, outlet, state)));
        let should = outlets.filter(|(outlet, need)| !outlet.by_pressure || need.should_apply);
        let outlets =
            should.map(|(outlet, need)| (outlet, reaching(measured(&base.cases), outlet), need));
        SoundCorner {
            running,
            outlets: outlets.collect(),
            base,
        }
    }
}

/// One state, in which faults are looked at one after the other.
struct Looking<'a> {
    tried: Tried<'a>,
    corners: Vec<SoundCorner<'a>>,
    question: &'a SignatureQuestion,
    extents: &'a [f64],
}

impl Looking<'_> {
    /// Outlets that fall short when sound.
    fn short(&self, state: Option<&str>) -> Vec<SoundShort> {
        let outlets = self.corners[0].outlets.iter().enumerate();
        let short = outlets.map(|(number, (outlet, ..))| {
            let mut fails = [Some(false); 4];
            for (fails, corner) in fails.iter_mut().zip(&self.corners) {
                let (_, gets, need) = corner.outlets[number];
                if need.counts() {
                    *fails = need.met(&gets).map(|met| !met);
                }
            }
            SoundShort {
                state: state.map(str::to_owned),
                outlet: outlet.name.clone(),
                pattern: Pattern::of(fails),
            }
        });
        short.filter(|s| s.pattern != Pattern::Never).collect()
    }

    /// What one fault does to each outlet; whether it can have gone more or less far; and which
    /// sizes were asked for.
    fn outlets(&self, number: usize) -> (Vec<OutletSignature>, bool, Book) {
        let mut book = Book::default();
        let usual = self.patterns(number, 1.0, &mut book);
        let has_extent = book
            .asked
            .iter()
            .any(|((part, measure), _)| measure.is_extent(part));
        let extents: &[f64] = if has_extent { self.extents } else { &[1.0] };
        let by_extent = extents.iter().map(|extent| match extent {
            1.0 => usual.clone(),
            extent => self.patterns(number, *extent, &mut book),
        });
        let by_extent: Vec<Vec<Pattern>> = by_extent.collect();
        let outlets = self.corners[0].outlets.iter().enumerate();
        let told = outlets.map(|(i, (outlet, ..))| OutletSignature {
            outlet: outlet.name.clone(),
            patterns: extents
                .iter()
                .zip(&by_extent)
                .map(|(extent, patterns)| ExtentPattern {
                    extent: *extent,
                    pattern: patterns[i],
                })
                .collect(),
        });
        let falls = |o: &OutletSignature| o.patterns.iter().any(|p| p.pattern != Pattern::Never);
        (told.filter(falls).collect(), has_extent, book)
    }

    /// The pattern of each outlet with one fault, so far gone.
    fn patterns(&self, number: usize, extent: f64, book: &mut Book) -> Vec<Pattern> {
        let sizes: Sizes = self.question.flows.sizes.gone(extent);
        let fails = self.corners.iter().map(|corner| {
            let running = corner.running;
            let cases = self
                .tried
                .faulty(number, running, &sizes, &corner.base, book);
            self.fails(corner, &cases)
        });
        let fails: Vec<Vec<Option<bool>>> = fails.collect();
        let outlets = 0..self.corners[0].outlets.len();
        let patterns = outlets.map(|i| {
            let mut at = [None; 4];
            for (at, corner) in at.iter_mut().zip(&fails) {
                *at = corner[i];
            }
            Pattern::of(at)
        });
        patterns.collect()
    }

    /// Whether each outlet falls short at a corner that it does not fall short at when sound.
    fn fails(&self, corner: &SoundCorner<'_>, cases: &[Case<'_>]) -> Vec<Option<bool>> {
        let solved =
            !cases.is_empty() && measured(cases).all(|m| m.converged && m.dead_ended.is_empty());
        let outlets = corner.outlets.iter().map(|(outlet, sound, need)| {
            if !solved {
                return None;
            }
            let now = reaching(measured(cases), outlet);
            if need.met(sound) == Some(true) {
                return need.met(&now).map(|met| !met);
            }
            // What has nothing when sound has nothing to lose.
            let Some(kept) = kept(now, *sound, outlet) else {
                return Some(false);
            };
            let keeps = self.question.keeps;
            match (kept.most < keeps, kept.least < keeps) {
                (true, _) => Some(true),
                (_, false) => Some(false),
                _ => None,
            }
        });
        outlets.collect()
    }
}
