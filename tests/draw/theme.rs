//! Every text can be read on what it stands on.

use std::collections::BTreeSet;

use oilpath::draw::{PAIRS, Theme};

/// Relative luminance of a colour (WCAG 2.2, W3C Recommendation, "relative luminance").
fn luminance(colour: [u8; 3]) -> f64 {
    let [r, g, b] = colour.map(|channel| {
        let share = f64::from(channel) / 255.0;
        match share <= 0.04045 {
            true => share / 12.92,
            false => ((share + 0.055) / 1.055).powf(2.4),
        }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

/// Contrast of two colours (WCAG 2.2, "contrast ratio").
fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn black_on_white_is_the_most_there_is() {
    // WCAG 2.2: ratios range from 1 to 21.
    assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
    assert!((contrast([9; 3], [9; 3]) - 1.0).abs() < 1e-9);
}

/// Success criterion 1.4.3, level AA: 4.5 to 1 for text of any size.
#[test]
fn every_text_meets_level_aa_in_both_themes() {
    for theme in [Theme::Light, Theme::Dark] {
        for (text, ground) in PAIRS {
            let [a, b] = [text, ground].map(|name| theme.colour(name).unwrap());
            let ratio = contrast(a, b);
            assert!(ratio >= 4.5, "{theme:?}: {text} on {ground} is {ratio:.2}");
        }
    }
}

#[test]
fn both_themes_have_the_same_colours_by_name() {
    let names = |theme: Theme| -> BTreeSet<String> {
        theme.colours().into_iter().map(|(name, _)| name).collect()
    };
    assert_eq!(names(Theme::Light), names(Theme::Dark));
    assert_eq!(names(Theme::Light).len(), Theme::Light.colours().len());
}
