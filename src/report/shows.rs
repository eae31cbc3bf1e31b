//! When a suspect shows, and what it shows on the bench, in words.

use super::air::air_signs;
use super::page::Line;
use super::signatures::said;
use super::words::Words;
use crate::answer::OutletSignature;
use crate::suspect::{OnBench, SeenTold, ShowsWhen};

/// Outlets named at most.
const NAMED: usize = 3;

/// Whether what was seen at times alone shows so with a suspect.
pub(super) fn shows_when(shows: &ShowsWhen, seen: &[SeenTold], words: &Words<'_>) -> Line {
    let of = &seen[shows.seen];
    let line = Line::id(&of.said) + ": ";
    if shows.outlets.is_empty() {
        return line
            + "by pressures and flows nothing falls short with it, hot or cold, idling or fast.";
    }
    let told = shows.outlets.iter();
    let told = told
        .filter(|o| !shows.fits || o.fits(shows.when))
        .take(NAMED);
    let told = told.map(|outlet| {
        let falls = match shows.fits {
            true => falls_then(outlet, shows),
            false => falls(outlet),
        };
        words.typed(&outlet.outlet) + " falls short " + falls
    });
    let line = line + "with it " + Line::list(told, "and");
    match (shows.fits, of.only) {
        (false, Some(only)) => line + ", not " + only.word() + ".",
        _ => line + ".",
    }
}

/// In what pattern an outlet falls short where that fits what was seen, and how far gone the fault
/// is then, if further or less far than usual.
fn falls_then(outlet: &OutletSignature, shows: &ShowsWhen) -> String {
    let mut fitting: Vec<_> = outlet.patterns.iter().collect();
    fitting.retain(|p| p.pattern.fits(shows.when));
    let usual = fitting.iter().find(|p| p.extent == 1.0);
    match (usual, fitting.first()) {
        (Some(usual), _) => said(usual.pattern.word()),
        (None, Some(first)) => format!(
            "{} once it has gone {} times as far as is usual",
            said(first.pattern.word()),
            first.extent
        ),
        (None, None) => String::new(),
    }
}

/// In what pattern an outlet falls short with the fault gone as far as is usual, else further.
fn falls(outlet: &OutletSignature) -> String {
    let usual = outlet.patterns.iter().find(|p| p.extent == 1.0);
    let shown = usual.or(outlet.patterns.last());
    shown.map_or(String::new(), |p| said(p.pattern.word()))
}

/// What a suspect shows in a check by air that was made.
pub(super) fn on_bench(shows: &OnBench, seen: &[SeenTold], words: &Words<'_>) -> Line {
    let signs = air_signs(&shows.signs, |_| " moves otherwise", words);
    Line::id(&seen[shows.seen].said) + ": with it " + signs + "."
}
