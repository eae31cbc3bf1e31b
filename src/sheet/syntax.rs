//! What is wrong with a text that is no TOML, said once a statement and in plain words.

use std::ops::Range;

use ::toml::de::Error;

/// One thing wrong with one statement.
pub(super) struct Fault {
    pub at: Range<usize>,
    pub message: String,
    pub remedy: String,
    /// Where it shows at last, and what to say there.
    pub end: Option<(Range<usize>, &'static str)>,
}

/// No more statements that swallow others are looked for in one go: each costs a scan.
const RUNAWAYS: usize = 64;

/// The statements to blame for a parser's errors: what is wrong with each, and how much of the
/// text goes with it. After one that swallows others the parser's errors may be its doing, and
/// only brackets and quotes without their partners count.
pub(super) fn explain(text: &str, errors: &[Error]) -> Vec<(Fault, Range<usize>)> {
    let statements = statements(text);
    let mut errors: Vec<(usize, &Error)> = errors
        .iter()
        .map(|e| (e.span().map_or(0, |at| at.start), e))
        .collect();
    errors.sort_by_key(|(at, _)| *at);
    let mut found: Vec<(Fault, Range<usize>)> = Vec::new();
    let mut astray = false;
    for (i, statement) in statements.iter().enumerate() {
        let mut range = statement.range.clone();
        if found.last().is_some_and(|(_, lost)| lost.end > range.start) {
            continue;
        }
        let last = i + 1 == statements.len();
        let own = |at: usize| range.contains(&at) || (last && at >= range.end);
        let error = errors.iter().find(|(at, _)| own(*at) && !astray);
        let fault = match (&statement.slip, error) {
            (Some(slip), _) => slip.explain(text, statement),
            (None, Some((_, error))) => reword(text, error),
            (None, None) => continue,
        };
        if statement.header {
            // Nothing says whose the lines under a broken header are.
            let next = statements[i + 1..].iter().find(|s| s.header);
            range.end = next.map_or(text.len(), |s| s.range.start);
        }
        astray |= statement.runs_away();
        found.push((fault, range));
    }
    found
}

/// A header, a `key = value`, or a comment, up to the start of the next.
struct Statement {
    range: Range<usize>,
    header: bool,
    slip: Option<Slip>,
}

impl Statement {
    /// Whether the parser takes what follows for a part of it.
    fn runs_away(&self) -> bool {
        !self.header && matches!(self.slip, Some(Slip::Open { .. } | Slip::Quote(_)))
    }
}

/// A bracket or quote without its partner, by the bytes of each.
enum Slip {
    Quote(usize),
    Open { open: usize, met: Option<usize> },
    Close(usize),
}

impl Slip {
    fn explain(&self, text: &str, statement: &Statement) -> Fault {
        let sign = |at: usize| text[at..].chars().next().unwrap_or(' ');
        let partner = |c| match c {
            '[' => ']',
            '{' => '}',
            ']' => '[',
            _ => '{',
        };
        match *self {
            Slip::Quote(at) if text[..at].ends_with(char::is_alphanumeric) => Fault {
                at: at..at + 1,
                message: "this quote stands inside a word".into(),
                remedy: "put the whole text between two `\"`".into(),
                end: None,
            },
            Slip::Quote(at) => {
                let line = text[at..].lines().next().unwrap_or("");
                Fault {
                    at: at..at + line.trim_end().len(),
                    message: "this text has no closing quote".into(),
                    remedy: format!("end it with `{}` on the same line", sign(at)),
                    end: None,
                }
            }
            Slip::Open { open, .. } if statement.header => Fault {
                at: open..open + 1,
                message: "this header is never closed".into(),
                remedy: "end it with `]`".into(),
                end: None,
            },
            Slip::Open { open, met } => {
                let (what, close) = (sign(open), partner(sign(open)));
                Fault {
                    at: open..open + 1,
                    message: format!("this `{what}` is never closed"),
                    remedy: format!("add `{close}` where it ends"),
                    end: met.map(|at| (at..at + 1, "it should be closed before this")),
                }
            }
            Slip::Close(at) => Fault {
                at: at..at + 1,
                message: format!("this `{}` closes nothing", sign(at)),
                remedy: format!("remove it, or add the `{}` it closes", partner(sign(at))),
                end: None,
            },
        }
    }
}

/// Cuts a text into statements that together cover it, down to the last runaway that is
/// looked for.
fn statements(text: &str) -> Vec<Statement> {
    let mut found: Vec<Statement> = Vec::new();
    let mut runaways = 0;
    let mut at = 0;
    while at < text.len() {
        let rest = &text[at..];
        let begin = at + (rest.len() - rest.trim_start().len());
        let mut statement = scan(text, begin);
        if statement.slip.is_some() && !statement.header {
            // What is wrong may be far below. Rather look no further than the next statement.
            let near = scan(&text[..statement.range.end], begin);
            statement.slip = near.slip.or(statement.slip);
        }
        statement.range.start = at;
        at = statement.range.end;
        runaways += usize::from(statement.runs_away());
        found.push(statement);
        if runaways == RUNAWAYS {
            break;
        }
    }
    found
}

fn scan(text: &str, begin: usize) -> Statement {
    let bytes = text.as_bytes();
    let header = bytes.get(begin) == Some(&b'[');
    let mut open: Vec<usize> = Vec::new();
    let mut slip = None;
    let mut at = begin;
    while let (Some(&byte), None) = (bytes.get(at), &slip) {
        match byte {
            b'\n' if open.is_empty() || header => break,
            b'#' => {
                at = line_end(text, at);
                continue;
            }
            b'"' | b'\'' => match quoted(text, at) {
                Some(end) => {
                    at = end;
                    continue;
                }
                None => slip = Some(Slip::Quote(at)),
            },
            b'[' | b'{' => open.push(at),
            b']' | b'}' => match open.pop() {
                None => slip = Some(Slip::Close(at)),
                // `[` is followed by `]` two further on in ASCII, and so is `{` by `}`.
                Some(from) if bytes[from] + 2 != byte => {
                    let next = text[at + 1..].trim_start().bytes().next();
                    slip = Some(match next {
                        // Without this one the next would fit.
                        Some(next) if bytes[from] + 2 == next => Slip::Close(at),
                        _ => Slip::Open {
                            open: from,
                            met: Some(at),
                        },
                    });
                }
                Some(_) => {}
            },
            _ => {}
        }
        at += 1;
    }
    if slip.is_none()
        && let Some(&open) = open.last()
    {
        slip = Some(Slip::Open { open, met: None });
    }
    let end = match slip {
        Some(_) if !header => resume(text, begin),
        _ => line_end(text, at.min(text.len())),
    };
    Statement {
        range: begin..end,
        header,
        slip,
    }
}

fn line_end(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |n| at + n)
}

/// The end of a quoted text that starts at a quote, if it has one.
fn quoted(text: &str, at: usize) -> Option<usize> {
    let sign = text.as_bytes()[at];
    let long = text.as_bytes()[at..].starts_with(&[sign; 3]);
    let (mut next, mark): (usize, &[u8]) = if long {
        (at + 3, &[sign; 3])
    } else {
        (at + 1, &[sign])
    };
    loop {
        let rest = &text.as_bytes()[next..];
        match rest.first()? {
            _ if rest.starts_with(mark) => return Some(next + mark.len()),
            b'\\' if sign == b'"' => next += 2.min(rest.len()),
            b'\n' if !long => return None,
            _ => next += 1,
        }
    }
}

/// The next line that surely starts a statement: at its left edge, a header or a key.
fn resume(text: &str, begin: usize) -> usize {
    let mut at = line_end(text, begin);
    while at < text.len() {
        let line = &text[at + 1..line_end(text, at + 1)];
        let word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
        let starts = match line.strip_prefix('[') {
            Some(name) => {
                let name = name.split('#').next().unwrap_or("").trim_end();
                name.starts_with(word) && name.chars().all(|c| word(c) || matches!(c, ']' | ' '))
            }
            None => {
                let rest = line.trim_start_matches(word);
                rest.len() < line.len() && rest.trim_start().starts_with('=')
            }
        };
        if starts {
            return at;
        }
        at = line_end(text, at + 1);
    }
    text.len()
}

/// The parser's own finding in plain words.
fn reword(text: &str, error: &Error) -> Fault {
    let at = error.span().unwrap_or(0..0);
    let given = text.get(at.clone()).unwrap_or("");
    let control = text.get(at.start..).and_then(|rest| rest.chars().next());
    let (message, remedy) = match error.message().split(',').next().unwrap_or("") {
        "string values must be quoted" if given.contains(['“', '”', '„', '‘', '’']) => (
            format!("{given} has curly quotes"),
            "use the straight quote `\"`".into(),
        ),
        "string values must be quoted" if !given.is_empty() => (
            format!("`{given}` needs quotes"),
            format!("write \"{given}\""),
        ),
        "string values must be quoted" | "invalid literal string" => (
            "a value is missing here".into(),
            "write `name = value`, text and sizes in quotes".into(),
        ),
        "missing comma between array elements" | "missing comma between key-value pairs" => (
            "a comma is missing here".into(),
            "put `,` between the two".into(),
        ),
        "extra comma in inline table" | "extra comma in array" => {
            ("one comma too many".into(), "remove it".into())
        }
        "invalid unquoted key" | "key with no value" if text[at.start..].starts_with(':') => (
            "a name and its value are joined by `=`, not `:`".into(),
            "write `name = value`".into(),
        ),
        "invalid unquoted key" | "key with no value"
            if text[at.start..].starts_with([';', '/']) =>
        {
            (
                "a comment begins with `#` here".into(),
                "write `#` before it".into(),
            )
        }
        "unclosed table" => (
            "a header is one name, or two joined by a point".into(),
            "write it like [outlet.rear-bearing]".into(),
        ),
        "key with no value" | "missing assignment between key-value pairs" => (
            "there is no `=` here".into(),
            "write `name = value`; the words of a name are joined by `-`".into(),
        ),
        "invalid unquoted key" => (
            format!("`{given}` has a letter or sign that must be quoted in a name"),
            format!("write \"{given}\", or use plain letters, digits, `-` and `_`"),
        ),
        "unexpected key or value" => (
            "nothing more can stand on this line".into(),
            "remove it, or start a new line".into(),
        ),
        "missing escaped value" => (
            "a backslash means something special here".into(),
            "write `\\\\` for a backslash".into(),
        ),
        "carriage return must be followed by newline" => (
            "there is a stray carriage return here".into(),
            "remove it, or save the file with ordinary line ends".into(),
        ),
        _ if control.is_some_and(|c| c.is_control() && !c.is_whitespace()) => (
            "there is a control character here, which no text needs".into(),
            "remove it".into(),
        ),
        "unexpected leading zero" => (
            "a number cannot start with 0".into(),
            "remove the zero; sizes and ids are written in quotes".into(),
        ),
        _ => (
            format!("this cannot be read: {}", error.message()),
            "check the quotes, commas and brackets here".into(),
        ),
    };
    Fault {
        at,
        message,
        remedy,
        end: None,
    }
}
