//! The text of a file and where in it something stands.

use std::ops::Range;

/// One file as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Its path, as shown to people.
    pub name: String,
    /// Its text, without a byte order mark.
    pub text: String,
    /// Where every [`STRIDE`]th byte stands, so that a place is found without reading the whole
    /// text before it, however long its lines.
    marks: Vec<Position>,
}

/// Bytes from one mark to the next.
const STRIDE: usize = 1024;

/// A line and a column, both from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Position {
    line: usize,
    column: usize,
}

impl Position {
    const START: Position = Position { line: 1, column: 1 };

    /// Where the next byte stands.
    fn after(mut self, byte: u8) -> Self {
        // The first byte of a character counts, those that go on with it do not.
        let goes_on = byte & 0b1100_0000 == 0b1000_0000;
        match byte {
            b'\n' => {
                self.line += 1;
                self.column = 1;
            }
            _ if goes_on => {}
            _ => self.column += 1,
        }
        self
    }
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
    /// A text and what to call it.
    #[must_use]
    pub fn new(name: String, text: String) -> Self {
        let mut at = Position::START;
        let mut marks = Vec::with_capacity(text.len() / STRIDE + 1);
        for chunk in text.as_bytes().chunks(STRIDE) {
            marks.push(at);
            at = chunk.iter().fold(at, |at, byte| at.after(*byte));
        }
        // The end of a text may be one stride on.
        marks.push(at);
        Source { name, text, marks }
    }

    /// Line and column of a byte, both from 1, columns in characters.
    ///
    /// ```
    /// use oilpath::sheet::Source;
    /// let source = Source::new("box.toml".into(), "a = 1\nµ = 2\n".into());
    /// assert_eq!(source.line_column(0), (1, 1));
    /// assert_eq!(source.line_column(9), (2, 3));
    /// ```
    #[must_use]
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        let mut starts = (0..=byte.min(self.text.len())).rev();
        let end = starts.find(|at| self.text.is_char_boundary(*at));
        let end = end.unwrap_or(0);
        let mark = end / STRIDE;
        let known = self.marks.get(mark).copied().unwrap_or(Position::START);
        let between = self.text.as_bytes()[mark * STRIDE..end].iter();
        let Position { line, column } = between.fold(known, |at, byte| at.after(*byte));
        (line, column)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_stands_where_counting_from_the_start_says() {
        let long = "é½x".repeat(STRIDE);
        for text in [
            "",
            "a",
            "\n\n",
            "µ\r\nz",
            &format!("{long}\n{long}"),
            &"x".repeat(STRIDE),
        ] {
            let source = Source::new(String::new(), text.to_owned());
            let (mut line, mut column) = (1, 1);
            for (at, c) in text.char_indices() {
                for byte in at..at + c.len_utf8() {
                    assert_eq!(
                        source.line_column(byte),
                        (line, column),
                        "{byte} of {text:.9}"
                    );
                }
                (line, column) = if c == '\n' {
                    (line + 1, 1)
                } else {
                    (line, column + 1)
                };
            }
            assert_eq!(source.line_column(text.len() + 9), (line, column));
        }
    }
}
