//! Diagnostics drawn with the text they are about.

use std::io;
use std::ops::Range;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use super::terminal::folded;
use crate::circuit::shown;
use crate::sheet::{Diagnostic, Label, Severity, Source};

/// How diagnostics are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// With colour.
    pub colour: bool,
    /// Columns to keep within.
    pub width: usize,
}

/// Draws diagnostics one after the other, each with an empty line behind it.
///
/// # Errors
/// Those of the writer.
pub fn write(
    diagnostics: &[Diagnostic],
    sources: &[Source],
    look: Look,
    out: &mut dyn io::Write,
) -> io::Result<()> {
    for diagnostic in diagnostics {
        writeln!(out, "{}\n", draw(diagnostic, sources, look))?;
    }
    Ok(())
}

/// Fewer columns hold no word.
const NARROWEST: usize = 10;

fn draw(diagnostic: &Diagnostic, sources: &[Source], look: Look) -> String {
    let renderer = if look.colour {
        Renderer::styled().decor_style(DecorStyle::Unicode)
    } else {
        Renderer::plain()
    };
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let lines = |text: &str, before: usize| {
        folded(text, look.width.saturating_sub(before).max(NARROWEST)).join("\n")
    };
    let before = format!("{}[{}]: ", diagnostic.severity, diagnostic.code).len();
    let title = level
        .primary_title(lines(&diagnostic.message, before))
        .id(diagnostic.code);
    let mut group = Group::with_title(title);
    let first = diagnostic.labels.first().map(|label| label.at.file);
    // The file to blame comes first.
    let mut files: Vec<usize> = diagnostic.labels.iter().map(|l| l.at.file).collect();
    files.sort_by_key(|file| (Some(*file) != first, *file));
    files.dedup();
    let mut last_line = 1;
    let mut notes = Vec::new();
    for file in files {
        let Some(source) = sources.get(file) else {
            continue;
        };
        let name = visible(&source.name);
        if source.text.is_empty() {
            group = group.element(Origin::path(name));
            continue;
        }
        let labels = diagnostic.labels.iter().enumerate();
        let (near, far) = apart(source, labels.filter(|(_, label)| label.at.file == file));
        let excerpt = excerpt(source, near.iter().map(|(_, label)| label.at.range()));
        let (first_line, _) = source.line_column(excerpt.start);
        last_line = last_line.max(source.line_column(excerpt.end).0);
        let marks = near.into_iter().map(|(i, Label { at, text })| {
            let kind = match i {
                0 => AnnotationKind::Primary,
                _ => AnnotationKind::Context,
            };
            let mark = kind.span(at.start - excerpt.start..at.end - excerpt.start);
            match &**text {
                "" => mark,
                text => mark.label(visible(text)),
            }
        });
        let snippet = Snippet::source(same_length(&source.text[excerpt.clone()]))
            .path(name.clone())
            .line_start(first_line);
        group = group.element(snippet.annotations(marks));
        for (_, label) in far {
            let (line, column) = source.line_column(label.at.start);
            let text = visible(&label.text);
            let note = format!(
                "{text}{}{name}:{line}:{column}",
                if text.is_empty() { "" } else { ": " }
            );
            notes.push(note);
        }
    }
    for note in notes {
        group = group.element(Level::NOTE.message(note));
    }
    // The help stands behind the column of line numbers.
    let before = last_line.to_string().len() + " = help: ".len();
    let remedy = Level::HELP.message(lines(&diagnostic.remedy, before));
    renderer
        .term_width(look.width)
        .render(&[group.element(remedy)])
}

/// A label and which one of its diagnostic it is.
type Numbered<'d> = (usize, &'d Label);

/// The labels that can be drawn with the first, and those that lie too far from it: a line is
/// cut to what is marked in it, and drawing takes time by the lines it is given.
fn apart<'d>(
    source: &Source,
    labels: impl Iterator<Item = Numbered<'d>>,
) -> (Vec<Numbered<'d>>, Vec<Numbered<'d>>) {
    const BYTES: usize = 1 << 16;
    const COLUMNS: usize = 500;
    let mut anchor = None;
    labels.partition(|(_, label)| {
        let (_, column) = source.line_column(label.at.start);
        let (start, first) = *anchor.get_or_insert((label.at.start, column));
        start.abs_diff(label.at.start) <= BYTES && first.abs_diff(column) <= COLUMNS
    })
}

fn visible(text: &str) -> String {
    text.chars().map(shown).collect()
}

/// The lines of a source that these stretches lie in: drawing takes time by how much it is given.
fn excerpt(source: &Source, marked: impl Iterator<Item = Range<usize>>) -> Range<usize> {
    let (from, to) = marked.fold((source.text.len(), 0), |(from, to), at| {
        (from.min(at.start), to.max(at.end))
    });
    let before = source.text.get(..from).and_then(|text| text.rfind('\n'));
    let after = source.text.get(to..).and_then(|text| text.find('\n'));
    let end = after.map_or(source.text.len(), |at| to + at);
    let returns = source.text[to.min(end)..end].ends_with('\r');
    before.map_or(0, |at| at + 1)..end - usize::from(returns)
}

/// The text without what the renderer lets through and a terminal may obey. No byte moves.
fn same_length(text: &str) -> String {
    let safe = |c: char| match (shown(c), c.len_utf8()) {
        (char::REPLACEMENT_CHARACTER, 2) => '¿',
        // Below that the renderer has a sign for each.
        (char::REPLACEMENT_CHARACTER, 3) => char::REPLACEMENT_CHARACTER,
        _ => c,
    };
    text.chars().map(safe).collect()
}
