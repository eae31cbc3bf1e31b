//! How far a size may be off: `1.2 ±0.05 mm`.

use super::Quantity;
use super::error::{Problem, UnitError};
use super::read::leading_number;
use super::table::Spec;

/// What stands between a size and its tolerance; the first is written.
const SIGNS: [&str; 2] = ["±", "+/-"];

/// A size with how far it may be off either way.
///
/// ```
/// use oilpath::units::{Length, Toleranced};
///
/// let bore: Toleranced<Length> = Toleranced::read("1.2 ±0.05 mm")?;
/// assert_eq!(bore.size.m(), 1.2e-3);
/// assert_eq!(bore.off, Some(0.05e-3));
/// assert_eq!(Toleranced::<Length>::read("1.2 mm ±0.05 mm")?, bore);
/// assert_eq!(Toleranced::<Length>::read("1.2 mm")?.off, None);
/// assert_eq!(Toleranced::<Length>::read("2 mm ±5 %")?.write(), "2 ±0.1 mm");
///
/// let error = Toleranced::<Length>::read("1.2 ±2 mm").unwrap_err();
/// assert_eq!(error.to_string(), "a tolerance of `2 mm` leaves nothing of `1.2 mm`");
/// # Ok::<(), oilpath::units::UnitError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Toleranced<Q> {
    /// The size.
    pub size: Q,
    /// How far it may be off, in the SI unit of the size; none where that is not said or nothing.
    pub off: Option<f64>,
}

impl<Q: Quantity> Toleranced<Q> {
    /// Reads a size, and its tolerance where one is given: in a unit of the size, which may then
    /// stand once, or in parts in a hundred of it.
    ///
    /// # Errors
    ///
    /// As for a size alone; and where the tolerance is below nothing or as large as the size.
    pub fn read(text: &str) -> Result<Self, UnitError> {
        let (size, off) = Q::SPEC.read_toleranced(text)?;
        let off = off.filter(|off| *off > 0.0);
        Ok(Toleranced {
            size: Q::from_si(size),
            off,
        })
    }

    /// For a circuit file: reads back to the very same values.
    #[must_use]
    pub fn write(self) -> String {
        let (size, sign) = (self.size.write(), SIGNS[0]);
        let Some(off) = self.off else { return size };
        let off = Q::from_si(off).write();
        // One unit is said once.
        match (size.split_once(' '), off.split_once(' ')) {
            (Some((number, unit)), Some((_, same))) if unit == same => {
                format!("{number} {sign}{off}")
            }
            _ => format!("{size} {sign}{off}"),
        }
    }
}

impl Spec {
    fn read_toleranced(&'static self, text: &str) -> Result<(f64, Option<f64>), UnitError> {
        let sign = SIGNS
            .iter()
            .find_map(|sign| text.find(sign).map(|at| (at, sign.len())));
        let Some((at, long)) = sign else {
            return Ok((self.read(text)?, None));
        };
        let (left, right) = (&text[..at], &text[at + long..]);
        let behind = |mut error: UnitError| {
            error.span = error.span.start + at + long..error.span.end + at + long;
            error
        };
        let off = right.trim();
        let start = at + long + (right.len() - right.trim_start().len());
        let error = |problem| UnitError {
            span: start..start + off.len(),
            problem,
            quantity: self.name,
            accepts: self.accepts,
        };
        let below = || error(Problem::ToleranceBelowNothing(off.to_owned()));
        let number = leading_number(off);
        if number.starts_with(['-', '−']) {
            return Err(below());
        }
        if off[number.len()..].trim() == "%" {
            let size = self.read(left)?;
            let Ok(percent) = number.parse::<f64>() else {
                return Err(error(Problem::NotANumber(number.to_owned())));
            };
            if percent >= 100.0 {
                let (off, size) = (off.to_owned(), left.trim().to_owned());
                return Err(error(Problem::ToleranceTooWide { off, size }));
            }
            return Ok((size, Some(size.abs() * percent / 100.0)));
        }
        // How far it may be off is a difference: where a scale begins does not count.
        let zero = self.read(&format!("0{}", &off[number.len()..]));
        let off_si = self.read(right).map_err(behind)? - zero.map_err(|_| below())?;
        let unit = off[number.len()..].trim();
        let whole = left.trim_end();
        let size_text = match whole.trim_start() == leading_number(whole.trim_start()) {
            true if !whole.trim().is_empty() => format!("{whole} {unit}"),
            _ => whole.to_owned(),
        };
        let size = self.read(&size_text)?;
        if off_si >= size.abs() {
            let (off, size) = (off.to_owned(), size_text.trim().to_owned());
            return Err(error(Problem::ToleranceTooWide { off, size }));
        }
        Ok((size, Some(off_si)))
    }

    /// What is read with a tolerance, as a regular expression, as [`Spec::pattern`] is.
    #[cfg(feature = "report")]
    pub fn toleranced_pattern(&self) -> String {
        let plain = self.pattern();
        let size = plain.trim_start_matches('^').trim_end_matches('$');
        let number = super::read::NUMBER;
        let signs = r"(±|\+/-)";
        format!(
            "^(({size})|({size}|\\s*{number}\\s*){signs}({size})|{size}{signs}\\s*{number}\\s*%\\s*)$"
        )
    }
}

#[cfg(test)]
mod tests {
    use super::super::*;

    fn read(text: &str) -> (f64, f64) {
        let read = Toleranced::<Length>::read(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        (read.size.m() * 1e3, read.off.unwrap_or_default() * 1e3)
    }

    #[test]
    fn many_ways_to_write_a_tolerance() {
        for text in [
            "1.2 ±0.06 mm",
            "1.2±0.06mm",
            "1.2 mm ±0.06 mm",
            "1.2 mm +/- 60 µm",
            "1200 ± 60 µm",
            "0.0012 m ±5 %",
            "1.2 mm ± 5%",
        ] {
            let (size, off) = read(text);
            assert!(
                (size - 1.2).abs() < 1e-12 && (off - 0.06).abs() < 1e-12,
                "{text} {size} {off}"
            );
        }
        assert_eq!(read("1.2 ±0 mm").1, 0.0);
    }

    #[test]
    fn what_is_wrong_is_pointed_at() {
        for (text, wrong, message) in [
            (
                "1.2 ±2 mm",
                "2 mm",
                "a tolerance of `2 mm` leaves nothing of `1.2 mm`",
            ),
            (
                "1.2 mm ±100 %",
                "100 %",
                "a tolerance of `100 %` leaves nothing of `1.2 mm`",
            ),
            (
                "1.2 ±-0.1 mm",
                "-0.1 mm",
                "a tolerance of `-0.1 mm` is below nothing",
            ),
            (
                "1.2 mm ±-5 %",
                "-5 %",
                "a tolerance of `-5 %` is below nothing",
            ),
            ("1.2 ±0.1 bar", "bar", "`bar` measures pressure, not length"),
            (
                "1.2 bar ±0.1 mm",
                "bar",
                "`bar` measures pressure, not length",
            ),
            ("1.2 ±0.1", "0.1", "`0.1` has no unit"),
            ("1.2 ±5 %", "1.2", "`1.2` has no unit"),
            ("1.2 mm ±", "", "no length is written"),
            ("±0.1 mm", "", "no length is written"),
            (
                "1,2 ±0.1 mm",
                "1,2",
                "`1,2` has a comma: decimals take a point, thousands take nothing",
            ),
        ] {
            let error = Toleranced::<Length>::read(text).unwrap_err();
            assert_eq!(error.to_string(), message, "{text}");
            assert_eq!(&text[error.span.clone()], wrong, "{text}");
        }
        let error = "1.2 ±0.1 mm".parse::<Length>().unwrap_err();
        assert_eq!(
            error.to_string(),
            "`±0.1 mm` is a tolerance, and this size takes none"
        );
    }

    #[test]
    fn what_is_written_reads_back() {
        for (text, written) in [
            ("1.2 ±0.05 mm", "1.2 ±0.05 mm"),
            ("0.047 in ±0.05 mm", "0.047 in ±0.05 mm"),
            ("0.047 ±0.002 in", "0.047 ±0.002 in"),
            ("1.2 mm", "1.2 mm"),
        ] {
            let read = Toleranced::<Length>::read(text).unwrap();
            assert_eq!(read.write(), written);
            assert_eq!(Toleranced::read(written), Ok(read));
        }
    }
}
