//! When a suspect shows, and what it shows on the bench, in words.

use super::air::air_signs;
use super::page::Line;
use super::signatures::pattern;
use super::words::Words;
use crate::suspect::{OnBench, SeenTold, ShowsWhen};

/// Whether what was seen at times alone shows so with a suspect.
pub(super) fn shows_when(shows: &ShowsWhen, seen: &[SeenTold], words: &Words<'_>) -> Line {
    let of = &seen[shows.seen];
    let only = of.only.map_or("", |only| only.word());
    let line = Line::id(&of.said) + ": ";
    if shows.outlets.is_empty() {
        return line + "by pressures and flows nothing falls short with it, hot or cold, idling or \
                       fast.";
    }
    let outlets = shows.outlets.iter();
    let told = outlets.map(|o| words.typed(&o.outlet) + " falls short " + pattern(o));
    let line = line + "with it " + Line::list(told, "and");
    match shows.fits {
        true => line + ".",
        false => line + ", not " + only + ".",
    }
}

/// What a suspect shows in a check by air that was made.
pub(super) fn on_bench(shows: &OnBench, seen: &[SeenTold], words: &Words<'_>) -> Line {
    let signs = air_signs(&shows.signs, |_| " moves otherwise", words);
    Line::id(&seen[shows.seen].said) + ": with it " + signs + "."
}
