//! How wide text is, and how a name is cut to what a drawing has room for.

use crate::circuit::shown;

/// Advance of each printable ASCII character in thousandths of the font's size, rounded up: of
/// DejaVu Sans 2.37, measured from the font. It is among the widest faces a viewer may have, so
/// text in another face needs no more room than this.
const ADVANCES: [u16; 95] = [
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337, 637, 637, 637,
    637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 531, 1000, 685, 687, 699, 771, 632,
    576, 775, 752, 295, 295, 656, 558, 863, 749, 788, 604, 788, 695, 635, 611, 732, 685, 989, 686,
    611, 686, 391, 337, 391, 838, 500, 500, 613, 635, 550, 635, 616, 353, 635, 634, 278, 278, 580,
    278, 975, 634, 612, 635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637, 337, 637, 838,
];

/// Width of a text, as a multiple of its size.
pub(super) fn width(text: &str) -> f64 {
    let advance = |c: char| match c {
        ' '..='~' => f64::from(ADVANCES[c as usize - 32]) / 1000.0,
        // Latin, Greek and Cyrillic letters are no wider than an M; the rest may fill a square.
        '\u{A0}'..='\u{52F}' => 0.95,
        _ => 1.1,
    };
    text.chars().map(advance).sum()
}

/// A text without line breaks and without what could forge what a reader sees.
pub(super) fn plain(text: &str) -> String {
    text.chars().map(shown).collect()
}

/// A name in lines no wider than `most` times its size, two at most; what does not fit becomes an
/// ellipsis. Breaks stand at spaces and after hyphens.
pub(super) fn lines(name: &str, most: f64) -> Vec<String> {
    let name = plain(name);
    let mut lines = vec![String::new()];
    for word in name.split_inclusive([' ', '-']) {
        let last = lines.len() - 1;
        let joined = format!("{}{word}", lines[last]);
        if lines[last].is_empty() || width(joined.trim_end()) <= most {
            lines[last] = joined;
        } else if lines.len() < 2 {
            lines.push(word.to_owned());
        } else {
            // What is left goes where it will be cut.
            lines[last] = joined;
        }
    }
    lines.iter().map(|line| cut(line.trim(), most)).collect()
}

/// A text no wider than `most` times its size, its end cut off where it is.
pub(super) fn cut(text: &str, most: f64) -> String {
    if width(text) <= most {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if width(&kept) + width("…") > most {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_name_is_kept_and_a_long_one_is_cut_to_two_lines() {
        assert_eq!(lines("line", 9.0), ["line"]);
        assert_eq!(
            lines("pump-outlet-drilling", 9.0),
            ["pump-outlet-", "drilling"]
        );
        let long = lines("case drilling to the rear clutch of the second shaft", 9.0);
        assert_eq!(long.len(), 2);
        assert!(long[1].ends_with('…'), "{long:?}");
        for line in &long {
            assert!(width(line) <= 9.0, "{line}");
        }
    }

    #[test]
    fn one_long_word_is_cut() {
        assert_eq!(lines("abcdefghijklmnopqrstuvwxyz", 5.0).len(), 1);
        assert!(width(&cut("wwwwwwwwwwwwwwwwww", 5.0)) <= 5.0);
    }

    #[test]
    fn nothing_that_forges_text_is_drawn() {
        assert_eq!(plain("a\u{202E}b\nc"), "a\u{FFFD}b c");
    }
}
