//! How likely each fault is taken to be.

use crate::circuit::{Circuit, Condition, Fault, FaultError, Kind, PartName};

/// How likely faults are, given or assumed.
#[derive(Clone, Debug, Default)]
pub struct Likelihoods {
    given: Vec<(Meant, f64)>,
}

/// Which faults a likelihood is of.
#[derive(Clone, Debug)]
enum Meant {
    /// One fault.
    Fault(Fault),
    /// Every condition of a part with this word.
    Part(PartName, String),
    /// Every condition with this word of every part of a kind.
    Kind(Kind, String),
}

/// Why a text gives no likelihood.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LikelihoodError {
    /// What it is of is no fault.
    #[error("{0}")]
    Fault(FaultError),
    /// No number at its end, or one that is no likelihood.
    #[error("`{0}` gives no likelihood from 0 to 1")]
    Number(String),
}

impl LikelihoodError {
    /// What to type instead.
    #[must_use]
    pub fn remedy(&self) -> String {
        match self {
            LikelihoodError::Fault(error) => error.remedy(),
            LikelihoodError::Number(_) => {
                "write `part:condition=0.01` or `kind:condition=0.01`".to_owned()
            }
        }
    }
}

impl Likelihoods {
    /// Takes `fault=0.01`, `part:condition=0.01` for every fault of a part with that word, or
    /// `kind:condition=0.01` for every part of a kind. What names a fault or a part goes before
    /// what names a kind, and what comes later before what came earlier.
    ///
    /// # Errors
    /// It names no fault, or no number from 0 to 1.
    ///
    /// ```
    /// use oilpath::answer::Likelihoods;
    /// let circuit = oilpath::sheet::read(r#"
    ///     [casting]
    ///     block = { passages = ["line", "lube"] }
    ///     [orifice]
    ///     hop = { between = ["line", "lube"] }
    ///     jet = { between = ["lube", "sump"] }
    /// "#).unwrap().circuit;
    /// let mut likelihoods = Likelihoods::default();
    /// likelihoods.give(&circuit, "hop:plugged=0.2").unwrap();
    /// likelihoods.give(&circuit, "orifice:plugged=0.1").unwrap();
    /// let of = |fault| likelihoods.of(&circuit.fault(fault).unwrap());
    /// assert_eq!((of("hop:plugged"), of("jet:plugged")), (0.2, 0.1));
    /// assert!(likelihoods.give(&circuit, "hop:plugged=2").is_err());
    /// ```
    pub fn give(&mut self, circuit: &Circuit, text: &str) -> Result<(), LikelihoodError> {
        let number = || LikelihoodError::Number(text.to_owned());
        let (of, likelihood) = text.rsplit_once('=').ok_or_else(number)?;
        let likelihood: f64 = likelihood.trim().parse().map_err(|_| number())?;
        if !(0.0..=1.0).contains(&likelihood) {
            return Err(number());
        }
        self.given.push((meant(circuit, of)?, likelihood));
        Ok(())
    }

    /// How likely a fault is.
    #[must_use]
    pub fn of(&self, fault: &Fault) -> f64 {
        let by_kind = |meant: &Meant| matches!(meant, Meant::Kind(..));
        let fits = |kind: bool| {
            let given = self.given.iter().rev();
            let mut fitting = given.filter(|(meant, _)| by_kind(meant) == kind && meant.is(fault));
            fitting.next().map(|(_, likelihood)| *likelihood)
        };
        let given = fits(false).or_else(|| fits(true));
        given.unwrap_or_else(|| assumed(&fault.condition))
    }

    /// Whether a fault's likelihood was given, not assumed.
    #[must_use]
    pub fn has(&self, fault: &Fault) -> bool {
        self.given.iter().any(|(meant, _)| meant.is(fault))
    }
}

impl Meant {
    fn is(&self, fault: &Fault) -> bool {
        match self {
            Meant::Fault(of) => of == fault,
            Meant::Part(part, word) => *part == fault.part && word == fault.condition.word(),
            Meant::Kind(kind, word) => *kind == fault.part.kind && word == fault.condition.word(),
        }
    }
}

fn meant(circuit: &Circuit, of: &str) -> Result<Meant, LikelihoodError> {
    let error = match circuit.fault(of) {
        Ok(fault) => return Ok(Meant::Fault(fault)),
        Err(error) => error,
    };
    let Some((name, word)) = of.split_once(':').map(|(a, b)| (a.trim(), b.trim())) else {
        return Err(LikelihoodError::Fault(error));
    };
    let known = |faults: &[Fault]| faults.iter().any(|f| f.condition.word() == word);
    if let Ok(part) = circuit.find(name, Kind::ALL)
        && known(&circuit.faults_of(&part))
    {
        return Ok(Meant::Part(part, word.to_owned()));
    }
    if let Ok(kind) = name.parse::<Kind>() {
        let mut faults = circuit.faults();
        faults.retain(|fault| fault.part.kind == kind);
        if known(&faults) {
            return Ok(Meant::Kind(kind, word.to_owned()));
        }
    }
    Err(LikelihoodError::Fault(error))
}

/// The chance taken that a part of a box on the bench is in a condition, where none is given:
/// round numbers that set apart what dirt, age and hands do often, at times and hardly ever.
/// Assumption; no source.
fn assumed(condition: &Condition) -> f64 {
    use Condition as C;
    const OFTEN: f64 = 0.02;
    const AT_TIMES: f64 = 0.005;
    const RARELY: f64 = 0.001;
    const HARDLY: f64 = 0.0002;
    match condition {
        C::Worn | C::WornBetween(_) | C::StuckIn(_) | C::Blocked | C::OilLow | C::SeatLeaking => {
            OFTEN
        }
        C::Plugged
        | C::Cut
        | C::Leaking(_)
        | C::NoCurrent
        | C::StuckOn
        | C::StuckOff
        | C::SealCut
        | C::StuckSeated
        | C::AirLeak => AT_TIMES,
        C::Loose
        | C::LeftOut
        | C::StuckBetween(_)
        | C::SpringBroken
        | C::VentPlugged
        | C::StuckOpen
        | C::StuckShut
        | C::Jammed
        | C::Misplaced(_)
        | C::Oversize => RARELY,
        C::Wrong(_)
        | C::Cracked
        | C::Porous(_)
        | C::Backwards
        | C::SpringSwapped(_)
        | C::PlugOut
        | C::ClipOut
        | C::Swapped(_) => HARDLY,
    }
}
