//! The text of a file and where in it something stands.

use std::ops::Range;

/// One file as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Its path, as shown to people.
    pub name: String,
    /// Its text, without a byte order mark.
    pub text: String,
}

/// A stretch of text in one of the files of a sheet.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Location {
    /// Index of the source.
    pub file: usize,
    /// First byte.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
}

impl Location {
    /// A stretch of one file.
    #[must_use]
    pub fn new(file: usize, bytes: Range<usize>) -> Self {
        Location {
            file,
            start: bytes.start,
            end: bytes.end,
        }
    }

    /// Its bytes.
    #[must_use]
    pub fn range(&self) -> Range<usize> {
        self.start..self.end
    }
}

impl Source {
    /// Line and column of a byte, both from 1, columns in characters.
    ///
    /// ```
    /// use oilpath::sheet::Source;
    /// let source = Source { name: "box.toml".into(), text: "a = 1\nµ = 2\n".into() };
    /// assert_eq!(source.line_column(0), (1, 1));
    /// assert_eq!(source.line_column(9), (2, 3));
    /// ```
    #[must_use]
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        let end = (0..=byte.min(self.text.len()))
            .rev()
            .find(|at| self.text.is_char_boundary(*at));
        let before = &self.text[..end.unwrap_or(0)];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let line = before.bytes().filter(|b| *b == b'\n').count() + 1;
        (line, before[line_start..].chars().count() + 1)
    }
}
