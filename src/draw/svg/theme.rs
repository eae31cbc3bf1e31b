//! Colours: a light and a dark theme, as CSS variables or fixed.

use crate::draw::role::Role;

/// A set of colours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Theme {
    /// Dark on light; for paper.
    Light,
    /// Light on dark.
    Dark,
}

/// How colours are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paint {
    /// As CSS variables that a page may set, with the light theme as default, the dark one where
    /// the reader prefers it, the light one again on paper.
    #[default]
    Variables,
    /// As the colours of one theme, for what knows no variables.
    Fixed(Theme),
}

/// A colour: red, green, blue.
type Rgb = [u8; 3];

/// Colours by Okabe and Ito (Color Universal Design, 2008), which colour-blind eyes tell apart.
const GREEN: Rgb = [0, 158, 115];
const BLUE: Rgb = [0, 114, 178];
const SKY: Rgb = [86, 180, 233];
const YELLOW: Rgb = [240, 228, 66];
const VERMILLION: Rgb = [213, 94, 0];
const ORANGE: Rgb = [230, 159, 0];
const PURPLE: Rgb = [204, 121, 167];

const BLACK: Rgb = [0, 0, 0];
const WHITE: Rgb = [255, 255, 255];

/// How many grounds tell neighbouring castings apart.
pub(super) const GROUNDS: usize = 4;

/// A text colour and what it stands on, as names of variables.
pub type Pair = (&'static str, &'static str);

/// Every pair of text and background that a drawing uses.
pub const PAIRS: &[Pair] = &[
    ("ink", "paper"),
    ("soft", "paper"),
    ("ink", "card"),
    ("soft", "card"),
    ("ink", "supply-tint"),
    ("ink", "regulated-tint"),
    ("ink", "pilot-tint"),
    ("ink", "lube-tint"),
    ("ink", "slack-tint"),
    ("ink", "drained-tint"),
    ("ink", "contested-tint"),
    ("ink", "trapped-tint"),
    ("ink", "undecided-tint"),
    ("supply-text", "supply"),
    ("regulated-text", "regulated"),
    ("pilot-text", "pilot"),
    ("lube-text", "lube"),
    ("slack-text", "slack"),
    ("drained-text", "drained"),
    ("contested-text", "contested"),
    ("trapped-text", "trapped"),
    ("undecided-text", "undecided"),
    ("band-text", "band"),
    ("fault-text", "fault"),
    ("step-text", "step"),
];

impl Theme {
    /// Every variable with its colour, in the order they are written.
    #[must_use]
    pub fn colours(self) -> Vec<(String, [u8; 3])> {
        let light = self == Theme::Light;
        let pick = |on_light: Rgb, on_dark: Rgb| if light { on_light } else { on_dark };
        let paper = pick(WHITE, [21, 24, 27]);
        let ink = pick([26, 26, 26], [236, 236, 236]);
        let mut colours: Vec<(String, Rgb)> = [
            ("paper", paper),
            ("ink", ink),
            ("soft", pick([82, 82, 82], [184, 188, 192])),
            ("card", pick(WHITE, [31, 35, 39])),
            ("frame", pick([138, 138, 138], [124, 131, 138])),
            ("wall", pick([60, 60, 60], [200, 200, 200])),
            ("ground-0", pick([240, 238, 232], [34, 33, 29])),
            ("ground-1", pick([228, 234, 240], [28, 36, 44])),
            ("ground-2", pick([236, 230, 240], [40, 34, 46])),
            ("ground-3", pick([230, 239, 232], [29, 41, 34])),
            ("band", pick([206, 206, 200], [78, 84, 90])),
            ("band-text", pick([26, 26, 26], WHITE)),
            ("fault", VERMILLION),
            ("fault-text", BLACK),
            ("step", ink),
            ("step-text", paper),
        ]
        .map(|(name, colour)| (name.to_owned(), colour))
        .into();
        for role in Role::ALL {
            let (colour, text) = match role {
                Role::Supply => (GREEN, BLACK),
                Role::Regulated => (BLUE, WHITE),
                Role::Pilot => (SKY, BLACK),
                Role::Lube => (YELLOW, BLACK),
                Role::Slack => (pick([110, 110, 110], [160, 160, 160]), pick(WHITE, BLACK)),
                Role::Drained => (VERMILLION, BLACK),
                Role::Contested => (ORANGE, BLACK),
                Role::Trapped => (PURPLE, BLACK),
                Role::Undecided => (ink, paper),
            };
            let share = match role {
                // Much of a circuit is drained at any time: it steps back.
                Role::Drained | Role::Slack | Role::Undecided => 6,
                _ => pick([24, 0, 0], [36, 0, 0])[0],
            };
            let word = role.word();
            colours.push((word.to_owned(), colour));
            colours.push((format!("{word}-text"), text));
            colours.push((format!("{word}-tint"), mix(colour, paper, share)));
            // Yellow on white would be no border.
            colours.push((format!("{word}-edge"), mix(colour, ink, 65)));
        }
        colours
    }

    /// The colour of a variable.
    #[must_use]
    pub fn colour(self, name: &str) -> Option<[u8; 3]> {
        let colours = self.colours();
        let found = colours.iter().find(|(n, _)| n == name);
        found.map(|(_, colour)| *colour)
    }
}

/// A colour with this many hundredths of it over another.
fn mix(colour: Rgb, over: Rgb, hundredths: u8) -> Rgb {
    let share = u16::from(hundredths);
    let channel = |i: usize| {
        let sum = u16::from(colour[i]) * share + u16::from(over[i]) * (100 - share);
        (sum / 100) as u8
    };
    [channel(0), channel(1), channel(2)]
}

pub(super) fn hex([r, g, b]: Rgb) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}
