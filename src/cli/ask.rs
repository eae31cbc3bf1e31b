//! From a question as typed to its answer, shown.

use std::io::Read;
use std::path::Path;

use super::args::{By, Format, Question, Shown, Tree};
use super::asked::{Asked, MIDDLES, no_cavity};
use super::failure::Failure;
use super::show::{Reply, Show};
use crate::answer::{self, RouteKind};
use crate::circuit::Kind;
use crate::lint;
use crate::net::Net;
use crate::report::{self, Look, Strokes, diagnostic};
use crate::sheet::{self, LARGEST_FILE, Sheet};

/// Parts that oil can be followed to.
pub(super) const ENDS: &[Kind] = &[
    Kind::Outlet,
    Kind::Passage,
    Kind::Tap,
    Kind::Switch,
    Kind::Filter,
    Kind::Converter,
    Kind::Cooler,
    Kind::Accumulator,
];

/// Parts that need oil.
pub(super) const OUTLETS: &[Kind] = &[Kind::Outlet, Kind::Filter, Kind::Converter, Kind::Cooler];

/// Ways listed in each state unless `--most` says otherwise.
const MOST: u16 = 10;

impl Question {
    /// The circuit file it is about.
    pub fn file(&self) -> &Path {
        match self {
            // Where no file is named codes are explained, and none is read.
            Question::Check { file, .. } => file.as_deref().unwrap_or(Path::new("-")),
            Question::Parts { file, .. }
            | Question::Trace { file, .. }
            | Question::Starve { file, .. }
            | Question::Why { file, .. } => &file.file,
            Question::Before(side) | Question::Beyond(side) => &side.file.file,
            Question::LivesBy(asked) => &asked.file.file,
            Question::Bench(asked) => &asked.file.file,
            Question::Charts(charts) => charts.file(),
            Question::Flowing(flowing) => flowing.file(),
            Question::Seeking(seeking) => seeking.file(),
            Question::Measuring(measuring) => measuring.file(),
            Question::Teach(teach) => teach.file(),
        }
    }
}

impl Question {
    /// The case file that is read beside the circuit.
    pub fn case(&self) -> Option<&Path> {
        match self {
            Question::Seeking(seeking) => seeking.case(),
            _ => None,
        }
    }
}

/// Answers a question about a circuit that was read.
pub(super) fn ask(
    question: &Question,
    sheet: &Sheet,
    shown: &Shown,
    look: Look,
) -> Result<Reply, Failure> {
    let circuit = &sheet.circuit;
    let net = Net::new(circuit).map_err(|e| Failure::one(e.to_string(), "check the file"))?;
    let show = Show::of(circuit, shown, look);
    match question {
        Question::Check { .. } => {
            let warnings = report::located(sheet, &lint::lint(&net));
            let answer = report::Check::new(sheet, &warnings);
            let drawn = shown.format == Format::Text;
            let mut reply = show.reply(&answer, |words| report::check(&answer, words, drawn))?;
            if drawn {
                let mut text = Vec::new();
                let written = diagnostic::write(&warnings, sheet.sources(), look, &mut text);
                written.map_err(|e| Failure::Unwritten(None, e))?;
                reply.text.insert_str(0, &String::from_utf8_lossy(&text));
            }
            Ok(reply)
        }
        Question::Parts { kinds, faults, .. } => {
            let answer = answer::parts(&net, kinds);
            let page = if *faults {
                report::faults
            } else {
                report::parts
            };
            show.reply(&answer, |words| page(&answer, words))
        }
        Question::Trace {
            part,
            state,
            by,
            most,
            faults,
            tree,
            ..
        } => {
            let kind = match (by, most) {
                (By::All, most) => RouteKind::All(most.unwrap_or(MOST).into()),
                (_, Some(_)) => {
                    let what = "`--most` goes with `--by all` only".to_owned();
                    return Err(Failure::one(what, "add `--by all`, or leave `--most` out"));
                }
                (By::Shortest, None) => RouteKind::Shortest,
                (By::Widest, None) => RouteKind::LeastRestricted,
            };
            let mut asked = Asked::of(circuit);
            let part = asked.part(part, ENDS);
            let state = asked.state(state);
            let faults = asked.faults(faults);
            let part = asked.understood(part)?;
            let traced = answer::trace(&net, &part, &faults, state.as_deref(), kind);
            let answer = traced.map_err(no_cavity)?;
            let Some(tree) = tree else {
                return show.reply(&answer, |words| report::trace(&answer, words));
            };
            if matches!(show.format(), Format::Json) {
                let what = "a tree is for reading".to_owned();
                return Err(Failure::one(what, "leave out `--tree`, or choose text"));
            }
            let strokes = match tree {
                Tree::Boxes => Strokes::Boxes,
                Tree::Ascii => Strokes::Ascii,
            };
            let routes = answer.routes.iter();
            let splits: Vec<_> = routes.map(|r| answer::splits(&net, r, &faults)).collect();
            show.reply(&answer, |words| {
                report::tree(&answer, &splits, words, strokes)
            })
        }
        Question::Starve { faults, state, .. } => {
            let mut asked = Asked::of(circuit);
            let faults = asked.faults(faults);
            let state = asked.state(state);
            asked.understood(Some(()))?;
            let answer = answer::starve(&net, &faults, state.as_deref());
            let drawing = || super::page::starving(&net, &answer, &faults, shown.units);
            show.drawn(&answer, |words| report::starve(&answer, words), drawing)
        }
        Question::Why {
            part,
            faults,
            state,
            ..
        } => {
            let mut asked = Asked::of(circuit);
            let part = asked.part(part, ENDS);
            let faults = asked.faults(faults);
            let state = asked.state(state);
            let part = asked.understood(part)?;
            let told = answer::why(&net, &part, &faults, state.as_deref());
            let answer = told.map_err(no_cavity)?;
            show.reply(&answer, |words| report::why(&answer, words))
        }
        Question::LivesBy(asked) => asked.ask(&net, &show),
        Question::Bench(asked) => asked.ask(&net, &show),
        Question::Charts(charts) => charts.ask(&net, &show),
        Question::Flowing(flowing) => flowing.ask(&net, &show),
        Question::Seeking(seeking) => seeking.ask(&net, &show),
        Question::Measuring(measuring) => measuring.ask(&net, &show),
        Question::Teach(teach) => teach.ask(&net, &show),
        Question::Before(asking) | Question::Beyond(asking) => {
            let side = match question {
                Question::Before(_) => answer::Side::Before,
                _ => answer::Side::Beyond,
            };
            let mut asked = Asked::of(circuit);
            let part = asked.part(&asking.part, MIDDLES);
            let state = asked.state(&asking.state);
            let part = asked.understood(part)?;
            let answer = answer::around(&net, &part, side, state.as_deref());
            show.reply(&answer, |words| report::around(&answer, words))
        }
    }
}

/// Reads the circuit; `-` is standard input.
pub(super) fn read(file: &Path, input: &mut dyn Read) -> Result<Sheet, Failure> {
    let sheet = match file.to_str() {
        Some("-") => sheet::open_with("standard-input", &mut |path| {
            let mut bytes = Vec::new();
            let limit = LARGEST_FILE as u64 + 1;
            match path.to_str() {
                Some("standard-input") => input.take(limit).read_to_end(&mut bytes)?,
                _ => std::fs::File::open(path)?
                    .take(limit)
                    .read_to_end(&mut bytes)?,
            };
            Ok(bytes)
        }),
        _ => sheet::open(file),
    };
    sheet.map_err(Failure::Refused)
}
