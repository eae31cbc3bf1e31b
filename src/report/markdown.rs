//! Pages as Markdown (CommonMark with the tables of GitHub Flavored Markdown).

use super::page::{Block, Line, Page, Role, Span};

/// The page as Markdown. Labels and notes show as they were typed: nothing in them is markup.
#[must_use]
pub fn markdown(page: &Page) -> String {
    let mut text = format!("# {}\n", inline(&page.title));
    for block in &page.blocks {
        text.push('\n');
        text += &match block {
            Block::Lead(line) => format!("**{}**\n", inline(line)),
            Block::Heading(line) => format!("## {}\n", inline(line)),
            Block::Text(line) => inline(line) + "\n",
            Block::Note(line) => format!("> {}\n", inline(line)),
            Block::List(items) => {
                let items = items.iter().map(|item| format!("- {}\n", inline(item)));
                items.collect()
            }
            Block::Steps(items) => {
                let items = items.iter().enumerate();
                let items = items.map(|(i, item)| format!("{}. {}\n", i + 1, inline(item)));
                items.collect()
            }
            Block::Table { head, rows } => table(head, rows),
            Block::Code(lines) => fenced(lines, "toml"),
            Block::Tree(lines) => fenced(lines, "text"),
        };
    }
    text
}

/// A fence longer than any run of backticks in it.
fn fenced(lines: &[Line], language: &str) -> String {
    let text = |line: &Line| {
        line.spans()
            .iter()
            .map(|span| span.text())
            .collect::<String>()
    };
    let text: String = lines.iter().map(|line| text(line) + "\n").collect();
    let mut fence = "```".to_owned();
    while text.contains(&fence) {
        fence.push('`');
    }
    format!("{fence}{language}\n{text}{fence}\n")
}

fn table(head: &[&str], rows: &[Vec<Line>]) -> String {
    let row = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    let mut text = row(head.iter().map(|h| (*h).to_owned()).collect());
    text += &row(vec!["---".to_owned(); head.len()]);
    for cells in rows {
        text += &row(cells.iter().map(inline).collect());
    }
    text
}

fn inline(line: &Line) -> String {
    let text: String = line.spans().iter().map(span).collect();
    let text = text.trim();
    // What would start a list, a rule or a quoted line.
    let digits = text.trim_start_matches(|c: char| c.is_ascii_digit());
    match text.chars().next() {
        Some('-' | '+' | '=') => format!("\\{text}"),
        Some('0'..='9') if digits.starts_with(['.', ')']) => {
            let (number, rest) = text.split_at(text.len() - digits.len());
            format!("{number}\\{rest}")
        }
        _ => text.to_owned(),
    }
}

fn span(span: &Span) -> String {
    match span.role() {
        Role::Id | Role::Word => code_span(span.text()),
        _ => escape(span.text()),
    }
}

fn escape(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '&' | '#' | '$'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// A code span; an id has no backtick, but a circuit need not come from a file.
fn code_span(text: &str) -> String {
    if text.is_empty() || text.contains(['`', '|', ' ']) {
        return escape(text);
    }
    format!("`{text}`")
}
