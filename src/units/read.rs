//! Reading: a text with a unit to an SI number, or to an error that points.

use super::error::{Problem, UnitError};
use super::table::{ALL, ELSEWHERE, Spec, Unit};

impl Spec {
    /// Reads a number and a unit of this quantity.
    ///
    /// # Errors
    /// A [`UnitError`] for the first thing that is wrong.
    pub fn read(&'static self, text: &str) -> Result<f64, UnitError> {
        let whole = text.trim();
        let start = text.len() - text.trim_start().len();
        let end = start + whole.len();
        let number = leading_number(whole);
        let unit = whole[number.len()..].trim_start();

        let error = |span, problem| UnitError {
            span,
            problem,
            quantity: self.name,
            accepts: self.accepts,
        };
        let at_number = |problem: fn(String) -> Problem| {
            error(start..start + number.len(), problem(number.to_owned()))
        };
        let at_unit = |problem| error(end - unit.len()..end, problem);

        if whole.is_empty() {
            return Err(error(0..text.len(), Problem::Empty));
        }
        if number.is_empty() {
            return Err(error(start..end, Problem::NoNumber(whole.to_owned())));
        }
        if number.contains(',') {
            return Err(at_number(Problem::DecimalComma));
        }
        let Ok(value) = number.replace('−', "-").parse::<f64>() else {
            return Err(at_number(Problem::NotANumber));
        };
        if unit.is_empty() {
            return Err(at_number(Problem::NoUnit));
        }
        if unit.starts_with('±') {
            return Err(at_unit(Problem::NoTolerance(unit.to_owned())));
        }
        let Some(known) = self.unit(unit) else {
            return Err(at_unit(self.stranger(unit)));
        };
        let si = known.to_si(value);
        if !si.is_finite() {
            return Err(error(start..end, Problem::TooLarge(whole.to_owned())));
        }
        if si < 0.0 && !self.negative {
            let (given, least) = (whole.to_owned(), self.write(0.0));
            return Err(error(start..end, Problem::TooLow { given, least }));
        }
        Ok(si)
    }

    /// What [`Spec::read`] takes, as a regular expression of ECMA-262 with Unicode, for editors.
    /// It lets some sizes through that are too large or too low.
    #[cfg(feature = "report")]
    pub fn pattern(&self) -> String {
        let mut units: Vec<String> = Vec::new();
        for unit in self.units.iter().flat_map(Unit::spellings).map(unfold) {
            if !units.contains(&unit) {
                units.push(unit);
            }
        }
        format!(r"^\s*{NUMBER}\s*{PRODUCT}*({}){PRODUCT}*$", units.join("|"))
    }

    fn unit(&self, text: &str) -> Option<&'static Unit> {
        let wanted = fold(text);
        let is_wanted = |unit: &&Unit| unit.spellings().any(|name| fold(name) == wanted);
        self.units.iter().find(is_wanted)
    }

    /// What to say of a unit that is not one of this quantity's.
    fn stranger(&self, text: &str) -> Problem {
        let unit = text.to_owned();
        let folded = fold(text);
        let ours = ALL.iter().find(|spec| spec.unit(text).is_some());
        let others = ELSEWHERE
            .iter()
            .find(|(_, units)| units.iter().any(|name| fold(name) == folded));
        match ours.map(|spec| spec.name).or(others.map(|(name, _)| *name)) {
            Some(measures) => Problem::OtherQuantity { unit, measures },
            None => Problem::UnknownUnit {
                unit,
                nearest: self.nearest(&folded),
            },
        }
    }

    /// The unit that half the letters or more agree with, whatever their case.
    fn nearest(&self, folded: &str) -> Option<&'static str> {
        const LONGEST: usize = 32; // no unit is near a whole paragraph
        if folded.len() > LONGEST {
            return None;
        }
        let wanted = folded.to_lowercase();
        let likeness =
            |name| strsim::normalized_damerau_levenshtein(&fold(name).to_lowercase(), &wanted);
        self.units
            .iter()
            .flat_map(|unit| unit.spellings().map(|name| (unit.name, likeness(name))))
            .filter(|(_, likeness)| *likeness >= 0.5)
            .min_by(|(_, a), (_, b)| b.total_cmp(a))
            .map(|(name, _)| name)
    }
}

impl Unit {
    fn spellings(&self) -> impl Iterator<Item = &'static str> {
        [self.name].into_iter().chain(self.also.iter().copied())
    }
}

/// The part of the text that is meant as the number, well written or not:
/// `1 200`, `1,2` and `1/16` are taken whole so that the error shows them whole.
pub(super) fn leading_number(text: &str) -> &str {
    let in_number = |at: usize, c: char| match c {
        'e' | 'E' => {
            let exponent = text[at + 1..].trim_start_matches(['+', '-', '−']);
            at > 0 && exponent.starts_with(|c: char| c.is_ascii_digit())
        }
        '+' | '-' | '−' | '.' | ',' | '/' | '_' => true,
        _ => c.is_ascii_digit() || c.is_whitespace(),
    };
    let end = text.char_indices().find(|&(at, c)| !in_number(at, c));
    text[..end.map_or(text.len(), |(at, _)| at)].trim_end()
}

/// One spelling for all that a keyboard makes of a unit: `N.m`, `N m` and
/// `N-m` are `N·m`, `cm3` and `cm^3` are `cm³`, either micro sign is `u`.
pub(super) fn fold(unit: &str) -> String {
    let is_product = |c: char| c.is_whitespace() || "·⋅•.*-".contains(c);
    let factors: Vec<_> = unit.split(is_product).filter(|f| !f.is_empty()).collect();
    let joined = factors.join("·").replace("·/", "/").replace("/·", "/");
    let plain = |c| match c {
        '²' => Some('2'),
        '³' => Some('3'),
        'µ' | 'μ' => Some('u'),
        'º' | '˚' => Some('°'),
        '^' => None,
        c => Some(c),
    };
    joined.chars().filter_map(plain).collect()
}

/// A decimal number, as a regular expression.
#[cfg(feature = "report")]
pub(super) const NUMBER: &str = r"[+\-−]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+\-−]?[0-9]+)?";

/// What stands between the factors of a unit, as a regular expression.
#[cfg(feature = "report")]
const PRODUCT: &str = r"[\s·⋅•.*\-]";

/// All that [`fold`] takes for a unit, as a regular expression.
#[cfg(feature = "report")]
fn unfold(unit: &str) -> String {
    let any = |c| match c {
        '·' => format!("{PRODUCT}+"),
        '/' => format!("{PRODUCT}*/{PRODUCT}*"),
        '2' => r"\^*[2²]".to_owned(),
        '3' => r"\^*[3³]".to_owned(),
        'u' => "[uµμ]".to_owned(),
        '°' => "[°º˚]".to_owned(),
        c => c.to_string(),
    };
    fold(unit).chars().map(any).collect()
}

#[cfg(test)]
mod tests {
    use super::super::*;

    fn si<Q: Quantity>(text: &str) -> f64 {
        match text.parse::<Q>() {
            Ok(value) => value.si(),
            Err(error) => panic!("{text}: {error}"),
        }
    }

    /// Every text reads to the value, within the two roundings of reading.
    fn all<Q: Quantity>(texts: &[&str], expected: f64) {
        for text in texts {
            let error = si::<Q>(text) / expected - 1.0;
            assert!(error.abs() <= 2.0 * f64::EPSILON, "{text}: {error:e}");
        }
    }

    #[test]
    fn many_spellings_one_value() {
        all::<Displacement>(
            &[
                "8 cm³/rev",
                "8 cm3/rev",
                "8 cm^3/rev",
                "8cc/rev",
                "8 cc / rev",
            ],
            8e-6 / std::f64::consts::TAU,
        );
        all::<Torque>(
            &[
                "11 N·m", "11 N⋅m", "11 N.m", "11 N m", "11 N-m", "11 N*m", "11Nm",
            ],
            11.0,
        );
        all::<Torque>(
            &[
                "8 lbf·ft",
                "8 ft·lb",
                "8 lb·ft",
                "8 ft-lb",
                "8 ft lbs",
                "8 lb.ft",
                "96 in·lb",
            ],
            8.0 * 0.45359237 * 9.80665 * 0.3048,
        );
        all::<Length>(
            &[
                "25 µm",
                "25 μm",
                "25 um",
                "25 micron",
                " 0.025mm\t",
                "2.5e-5 m",
            ],
            25e-6,
        );
        all::<Length>(
            &[
                "0.5 in", ".5 inch", "5e-1 in.", "+0.5\"", "500 thou", "500 mil",
            ],
            12.7e-3,
        );
        all::<Temperature>(
            &[
                "80 °C", "80C", "80 ºC", "80 deg C", "176 F", "176 °F", "353.15 K",
            ],
            353.15,
        );
        all::<KinematicViscosity>(&["30 cSt", "30 mm²/s", "30mm2/s", "0.3 St"], 30e-6);
        all::<Area>(
            &["2 in²", "2 in2", "2 in^2", "2 sq in", "2 sq. in."],
            2.0 * 0.0254 * 0.0254,
        );
        all::<Flow>(&["1.5 L/min", "1.5 l/min", "1.5 lpm", "25 cc/s"], 25e-6);
    }

    #[test]
    fn signs() {
        assert_eq!(si::<Pressure>("-0.3 bar"), -30e3);
        assert_eq!(si::<Pressure>("−0.3 bar"), -30e3);
        assert_eq!(si::<Temperature>("-40 °C"), si::<Temperature>("-40 °F"));
        assert!(si::<Length>("-0 mm").is_sign_positive());
    }
}
