//! Text of a circuit as it may reach a screen.

/// A character as it may be shown. Line breaks and tabs become spaces; other control characters
/// and those that turn the direction of writing, which could forge what a reader sees, become
/// the replacement character.
pub(crate) fn shown(c: char) -> char {
    match c {
        '\n' | '\r' | '\t' => ' ',
        '\u{200B}'..='\u{200F}'
        | '\u{2028}'..='\u{202E}'
        | '\u{2060}'..='\u{206F}'
        | '\u{FEFF}' => char::REPLACEMENT_CHARACTER,
        c if c.is_control() => char::REPLACEMENT_CHARACTER,
        c => c,
    }
}
