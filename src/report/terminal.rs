//! Pages as text for a terminal.

use anstyle::{Effects, RgbColor, Style};
use unicode_width::UnicodeWidthChar;

use super::Look;
use super::page::{Block, Line, Page, Role, Span};

/// Beyond this many columns prose is hard to read, however wide the terminal.
const WIDEST: usize = 100;
/// Fewer columns hold no word.
const NARROWEST: usize = 20;

/// The page as text, no line wider than the look allows.
#[must_use]
pub fn terminal(page: &Page, look: Look) -> String {
    let width = look.width.clamp(NARROWEST, WIDEST);
    let mut text = String::new();
    for (i, block) in page.blocks.iter().enumerate() {
        // A heading stands on what it is about.
        let before = i.checked_sub(1).map(|i| &page.blocks[i]);
        if before.is_some_and(|b| !matches!(b, Block::Heading(_))) {
            text.push('\n');
        }
        let paragraph = |role, line: &Line| wrap(&with_role(line, role), "", "", width, look);
        text += &match block {
            Block::Lead(line) => paragraph(Role::Strong, line),
            Block::Heading(line) => paragraph(Role::Strong, &(line.clone() + ":")),
            Block::Text(line) => paragraph(Role::Plain, line),
            Block::Note(line) => paragraph(Role::Faint, line),
            Block::List(items) => items
                .iter()
                .map(|item| wrap(&chars(item), "  - ", "    ", width, look))
                .collect(),
            Block::Steps(items) => {
                let digits = items.len().to_string().len();
                let steps = items.iter().enumerate().map(|(i, item)| {
                    let number = format!(" {:>digits$}. ", i + 1);
                    wrap(
                        &chars(item),
                        &number,
                        &" ".repeat(number.len()),
                        width,
                        look,
                    )
                });
                steps.collect()
            }
            Block::Table { head, rows } => table(head, rows, width, look),
            // Broken lines could not be typed again.
            Block::Code(lines) => lines.iter().map(code).collect(),
            Block::Tree(lines) => lines.iter().map(|line| cut(&code(line), width)).collect(),
        };
    }
    text
}

fn chars(line: &Line) -> Vec<(char, Role)> {
    let quote = |span: &Span| match span.role() {
        Role::Word => "`",
        _ => "",
    };
    let spans = line.spans().iter();
    spans
        .flat_map(|s| {
            let text = quote(s)
                .chars()
                .chain(s.text().chars())
                .chain(quote(s).chars());
            text.map(|c| (c, s.role()))
        })
        .collect()
}

/// The characters of a line, its prose and ids in a role of their own.
fn with_role(line: &Line, role: Role) -> Vec<(char, Role)> {
    let mut chars = chars(line);
    for (_, own) in &mut chars {
        if matches!(own, Role::Plain | Role::Id) && role != Role::Plain {
            *own = role;
        }
    }
    chars
}

/// A text in lines that are no wider than this.
pub(super) fn folded(text: &str, width: usize) -> Vec<String> {
    let lines = fold(&chars(&Line::from(text)), width.max(1));
    let plain = |line: Vec<(char, Role)>| line.into_iter().map(|(c, _)| c).collect();
    lines.into_iter().map(plain).collect()
}

fn wrap(text: &[(char, Role)], first: &str, next: &str, width: usize, look: Look) -> String {
    let mut out = String::new();
    for (i, line) in fold(text, width - first.len()).iter().enumerate() {
        out += if i == 0 { first } else { next };
        paint(line, look, &mut out);
        out.push('\n');
    }
    out
}

/// Breaks at spaces, and inside a word only where it alone is too wide.
fn fold(text: &[(char, Role)], room: usize) -> Vec<Vec<(char, Role)>> {
    let mut lines: Vec<Vec<(char, Role)>> = vec![Vec::new()];
    let mut used = 0;
    for word in text.split(|(c, _)| *c == ' ').filter(|w| !w.is_empty()) {
        if used > 0 && used + 1 + wide(word) > room {
            lines.push(Vec::new());
            used = 0;
        }
        let line = lines.last_mut();
        if let Some(line) = line.filter(|_| used > 0) {
            // The space between two words of one role has that role.
            let before = line.last().map_or(Role::Plain, |(_, role)| *role);
            let role = if before == word[0].1 {
                before
            } else {
                Role::Plain
            };
            line.push((' ', role));
            used += 1;
        }
        for c in word {
            if used + wide(&[*c]) > room {
                lines.push(Vec::new());
                used = 0;
            }
            if let Some(line) = lines.last_mut() {
                line.push(*c);
            }
            used += wide(&[*c]);
        }
    }
    lines
}

fn code(line: &Line) -> String {
    let text: String = line.spans().iter().map(|span| span.text()).collect();
    format!("    {text}").trim_end().to_owned() + "\n"
}

/// A line no wider than this, its end cut off where it is: broken it would be no branch any more.
fn cut(line: &str, width: usize) -> String {
    let wide = |text: &str| -> usize { text.chars().map(|c| c.width().unwrap_or(0)).sum() };
    let line = line.trim_end();
    if wide(line) <= width {
        return format!("{line}\n");
    }
    let mut kept = line.to_owned();
    while wide(&kept) + 2 > width {
        kept.pop();
    }
    format!("{}..\n", kept.trim_end())
}

/// Space before each column.
const GAP: usize = 2;

/// Cells are laid out before they are painted, so that colour changes no width.
fn table(head: &[&str], rows: &[Vec<Line>], width: usize, look: Look) -> String {
    let head = head.iter().map(|h| chars(&Line::role(Role::Faint, h)));
    let rows = rows.iter().map(|row| row.iter().map(chars).collect());
    let rows: Vec<Vec<Cell>> = std::iter::once(head.collect()).chain(rows).collect();
    let widths = columns(&rows, width);
    let mut out = String::new();
    for row in &rows {
        let cells = row
            .iter()
            .zip(&widths)
            .map(|(cell, room)| laid(cell, *room));
        let cells: Vec<Vec<Cell>> = cells.collect();
        for i in 0..cells.iter().map(Vec::len).max().unwrap_or_default() {
            // Spaces wait for what stands behind them: no line ends in any.
            let mut spaces = 0;
            for (cell, room) in cells.iter().zip(&widths) {
                let line = cell.get(i).map_or(&[][..], Vec::as_slice);
                if !line.is_empty() {
                    out += &" ".repeat(spaces + GAP);
                    spaces = 0;
                    paint(line, look, &mut out);
                } else {
                    spaces += GAP;
                }
                spaces += room - wide(line);
            }
            out.push('\n');
        }
    }
    out
}

type Cell = Vec<(char, Role)>;

/// How wide each column is, in a table no wider than this. Narrow columns have what they need; the
/// wide ones share what is left, none less than its longest word where all those have room, and what
/// one does not use once its cells are broken the next has.
fn columns(rows: &[Vec<Cell>], width: usize) -> Vec<usize> {
    let count = rows.iter().map(Vec::len).max().unwrap_or_default();
    let cells = |column: usize| rows.iter().filter_map(move |row| row.get(column));
    let needs = |column: usize| cells(column).map(|c| wide(c)).max().unwrap_or_default();
    let longest = |column: usize| {
        let words = cells(column).flat_map(|cell| cell.split(|(c, _)| *c == ' '));
        words.map(wide).max().unwrap_or_default()
    };
    let mut narrowest: Vec<(usize, usize)> = (0..count).map(|c| (needs(c), c)).collect();
    narrowest.sort_unstable();
    let mut widths = vec![0; count];
    let mut room = width.saturating_sub(count * GAP);
    let mut words: usize = (0..count).map(longest).sum();
    let whole = words <= room;
    for (done, (needs, column)) in narrowest.into_iter().enumerate() {
        let mut share = room / (count - done);
        if whole {
            words -= longest(column);
            share = share.max(longest(column)).min(room - words);
        }
        let share = share.max(1);
        let broken = || {
            let lines = cells(column).flat_map(|cell| laid(cell, share));
            lines.map(|line| wide(&line)).max().unwrap_or_default()
        };
        widths[column] = if needs <= share { needs } else { broken() };
        room = room.saturating_sub(widths[column]);
    }
    widths
}

/// The lines of a cell in a column so wide.
fn laid(cell: &Cell, room: usize) -> Vec<Cell> {
    match wide(cell) <= room {
        true => vec![cell.clone()],
        false => fold(cell, room),
    }
}

/// How many columns a text takes.
fn wide(text: &[(char, Role)]) -> usize {
    text.iter().map(|(c, _)| c.width().unwrap_or(0)).sum()
}

/// Writes characters, runs of one role in its colour.
fn paint(text: &[(char, Role)], look: Look, out: &mut String) {
    for run in text.chunk_by(|a, b| a.1 == b.1) {
        let style = if look.colour {
            style(run[0].1)
        } else {
            Style::new()
        };
        out.push_str(&style.render().to_string());
        out.extend(run.iter().map(|(c, _)| c));
        out.push_str(&style.render_reset().to_string());
    }
}

/// Colours of the palette by Okabe and Ito (Color Universal Design, 2008), which colour-blind
/// eyes tell apart.
fn style(role: Role) -> Style {
    let coloured = |r, g, b| Style::new().fg_color(Some(RgbColor(r, g, b).into()));
    match role {
        Role::Plain | Role::Id | Role::Word => Style::new(),
        Role::Strong => Style::new().effects(Effects::BOLD),
        Role::Faint => Style::new().effects(Effects::DIMMED),
        Role::Supplied => coloured(0, 158, 115),
        Role::Drained => coloured(213, 94, 0).bold(),
        Role::Contested => coloured(230, 159, 0),
        Role::Stray => coloured(204, 121, 167).bold(),
        Role::Trapped => coloured(204, 121, 167),
        Role::Unsure => coloured(86, 180, 233),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look(colour: bool) -> Look {
        Look { colour, width: 40 }
    }

    fn unpainted(text: &str) -> String {
        let mut parts = text.split("\u{1b}[");
        let first = parts.next().unwrap().to_owned();
        parts.fold(first, |text, part| {
            text + part.split_once('m').map_or("", |(_, rest)| rest)
        })
    }

    /// Reds and greens of many words, so that cells must be broken inside a colour.
    #[test]
    fn colour_changes_no_width_of_a_table_whose_cells_are_broken() {
        let long = "the oil in it runs off through an open way and a hole";
        let cell = |from: usize, to: usize| {
            let words: Vec<&str> = long.split(' ').collect();
            let words = words[from..to].join(" ");
            Line::from("it: ") + Line::role(Role::Drained, &words) + ", so"
        };
        for (from, to) in (0..12).flat_map(|from| (from + 1..=12).map(move |to| (from, to))) {
            let rows = [
                vec![cell(from, to), Line::id("a"), cell(0, 12)],
                vec![Line::id("second"), Line::default(), cell(0, to)],
            ];
            let [plain, painted] =
                [false, true].map(|c| table(&["one", "", "three"], &rows, 40, look(c)));
            assert_eq!(unpainted(&painted), plain);
            assert!(painted != plain);
            assert!(
                plain.lines().all(|line| line.chars().count() <= 40),
                "{plain}"
            );
        }
    }

    /// Two narrow columns have what they need, the wide one the rest: worked out by hand.
    #[test]
    fn narrow_columns_are_not_broken_and_no_line_ends_in_a_space() {
        let rows = [
            vec![
                Line::id("hop"),
                Line::from("one two three four"),
                Line::id("8 bar"),
            ],
            vec![Line::id("jet"), Line::from("five"), Line::default()],
        ];
        let text = table(&["part", "what", ""], &rows, 24, look(false));
        assert_eq!(
            text,
            "  part  what\n  hop   one two  8 bar\n        three\n        four\n  jet   five\n"
        );
    }
}
