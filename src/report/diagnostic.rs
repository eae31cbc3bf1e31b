//! Diagnostics drawn with the text they are about.

use std::io;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

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
    let title = level
        .primary_title(&*diagnostic.message)
        .id(diagnostic.code);
    let remedy = Level::HELP.message(&*diagnostic.remedy);
    let mut group = Group::with_title(title);
    let first = diagnostic.labels.first().map(|label| label.at.file);
    // The file to blame comes first.
    let mut files: Vec<usize> = diagnostic.labels.iter().map(|l| l.at.file).collect();
    files.sort_by_key(|file| (Some(*file) != first, *file));
    files.dedup();
    for file in files {
        let Some(source) = sources.get(file) else {
            continue;
        };
        if source.text.is_empty() {
            group = group.element(Origin::path(&*source.name));
            continue;
        }
        let labels = diagnostic.labels.iter().enumerate();
        let marks = labels.filter(|(_, l)| l.at.file == file).map(|(i, label)| {
            let kind = match i {
                0 => AnnotationKind::Primary,
                _ => AnnotationKind::Context,
            };
            let Label { at, text } = label;
            let mark = kind.span(at.range());
            match &**text {
                "" => mark,
                text => mark.label(text),
            }
        });
        let snippet = Snippet::source(&*source.text).path(&*source.name);
        group = group.element(snippet.annotations(marks));
    }
    renderer
        .term_width(look.width)
        .render(&[group.element(remedy)])
}
