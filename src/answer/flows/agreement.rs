//! Do the depths agree: what settling says of every outlet, held against what it keeps of its oil.

use std::collections::BTreeMap;

use serde::Serialize;

use super::cases::Book;
use super::differ::Differ;
use super::holding::Holding;
use super::need::Need;
use super::ranges::{measured, reaching, users};
use super::tally::{Share, Tally};
use super::tried::Tried;
use super::{FlowsError, FlowsQuestion, Range, oil, running};
use crate::answer::batch::{Batch, each};
use crate::answer::sound::Sound;
use crate::answer::{Answer, Depth, Verdict, states};
use crate::circuit::{Fault, Kind, PartName};
use crate::net::Net;

/// How far settling and flow agree, over some faults and states.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Agreement {
    /// How deep the answer looks.
    pub depth: Depth,
    /// The states asked about; empty for a circuit that declares none.
    pub states: Vec<String>,
    /// How many faults were looked at.
    pub faults: usize,
    /// How many sizes stand in for unknown ones: how far faults have gone, above all.
    pub assumed: usize,
    /// Over all faults and states.
    pub whole: Tally,
    /// For each condition of each kind of part, those with most contradictions first.
    pub conditions: Vec<ConditionTally>,
    /// What contradictions come from, each with how many.
    pub causes: Vec<CauseCount>,
    /// Where the two contradict each other.
    pub contradictions: Vec<Contradiction>,
}

/// The same for one condition of one kind of part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ConditionTally {
    /// The kind of part.
    pub kind: Kind,
    /// The condition, without its argument.
    pub condition: String,
    /// Its faults.
    pub tally: Tally,
}

/// How many contradictions come from one thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CauseCount {
    /// What they come from.
    pub cause: Differ,
    /// How many.
    pub count: usize,
}

/// An outlet of which settling and flow say the contrary.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Contradiction {
    /// The fault, as a reader would type it.
    pub fault: String,
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// The outlet.
    pub outlet: PartName,
    /// What settling says.
    pub settled: Verdict,
    /// Whether it says that some source builds pressure.
    pub builds: bool,
    /// What it keeps of its oil.
    pub share: Range,
    /// What that comes from.
    pub cause: Differ,
}

impl Answer for Agreement {
    const NAME: &'static str = "agree";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Asks how far settling and flow agree, over some faults, in some states, or in all where none is
/// named.
///
/// Each outlet that should have oil, and has it when sound, counts once for each fault and state. The
/// two contradict each other where settling calls it starved, or says that no source builds pressure,
/// and it keeps more than four fifths of its oil; or kept and it keeps less than a fifth. What lies in between goes with either, and what
/// settling calls weakened with anything.
///
/// # Errors
///
/// As [`flows`](super::flows), where sizes of the sound circuit are not known. Those of faults may
/// be.
///
/// ```
/// use oilpath::answer::{FlowsQuestion, agreement};
/// use oilpath::{net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     supply = { feeds = "line", pressure = "8 bar" }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube", bore = "1.2 mm" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let plugged = circuit.fault("hop:plugged").unwrap();
/// let answer = agreement(&net, &[plugged], &[], &FlowsQuestion::default()).unwrap();
/// assert_eq!((answer.whole.starved.lost, answer.whole.rate()), (1, Some(1.0)));
/// ```
pub fn agreement(
    net: &Net<'_>,
    faults: &[Fault],
    wanted: &[String],
    question: &FlowsQuestion,
) -> Result<Agreement, FlowsError> {
    let circuit = net.circuit();
    let (oil, _) = oil(circuit, question)?;
    let mut asked = states(circuit, None);
    asked.retain(|(id, _)| {
        wanted.is_empty() || id.is_some_and(|id| wanted.iter().any(|wanted| wanted == id))
    });
    let sets: Vec<Vec<Fault>> = faults.iter().map(|fault| vec![fault.clone()]).collect();
    let batches = Batch::of(net, &sets);
    let sound = Sound::of(net, asked.clone());
    let mut conditions: BTreeMap<(Kind, String), Tally> = BTreeMap::new();
    let (mut contradictions, mut book) = (Vec::new(), Book::default());
    for ((id, state), sound) in asked.iter().zip(&sound.states) {
        let running = running(state, &oil, question)?;
        let tried = Tried::of(net, state, &sets, &batches);
        let mut own = Book::default();
        let base = tried.sound(&running, &question.sizes, &mut own);
        own.settle(question)?;
        book.add(own);
        let outlets = users(net).filter(|o| !o.by_pressure || Need::of(net, o, state).should_apply);
        let outlets = outlets.map(|outlet| (outlet, reaching(measured(&base.cases), outlet)));
        let holding = Holding {
            net,
            tried: &tried,
            running: &running,
            sizes: &question.sizes,
            outlets: outlets.collect(),
            base: &base,
        };
        let numbers: Vec<usize> = (0..sets.len()).collect();
        let found = each(&numbers, |number| {
            let mut book = Book::default();
            let shares = holding.shares(*number, 1.0, &mut book);
            let says = holding.says(&tried.settled(*number, sound));
            let causes = holding.causes(*number, &says, &shares, &mut book);
            (says, shares, causes, book)
        });
        for (fault, (says, shares, causes, more)) in faults.iter().zip(found) {
            book.add(more);
            let key = (fault.part.kind, fault.condition.word().to_owned());
            let tally = conditions.entry(key).or_default();
            let told = holding.outlets.iter().zip(says).zip(shares).zip(causes);
            for ((((outlet, _), says), share), cause) in told {
                let Some(says) = says else { continue };
                tally.count(says, share);
                if let (Some(cause), Share::Of(share)) = (cause, share) {
                    contradictions.push(Contradiction {
                        fault: circuit.say(fault),
                        state: id.map(str::to_owned),
                        outlet: outlet.name.clone(),
                        settled: says.verdict,
                        builds: says.builds,
                        share,
                        cause,
                    });
                }
            }
        }
    }
    let given = FlowsQuestion {
        assume: true,
        ..question.clone()
    };
    book.settle(&given)?;
    let mut whole = Tally::default();
    conditions.values().for_each(|tally| whole.add(tally));
    let conditions = conditions.into_iter();
    let mut conditions: Vec<ConditionTally> = conditions
        .map(|((kind, condition), tally)| ConditionTally {
            kind,
            condition,
            tally,
        })
        .collect();
    conditions.sort_by_key(|c| std::cmp::Reverse(c.tally.contradicted()));
    Ok(Agreement {
        depth: Depth::Flow,
        states: asked
            .iter()
            .filter_map(|(id, _)| id.map(str::to_owned))
            .collect(),
        faults: faults.len(),
        assumed: book.stand_ins.len(),
        whole,
        conditions,
        causes: Differ::ALL
            .iter()
            .map(|cause| CauseCount {
                cause: *cause,
                count: contradictions.iter().filter(|c| c.cause == *cause).count(),
            })
            .filter(|cause| cause.count > 0)
            .collect(),
        contradictions,
    })
}
