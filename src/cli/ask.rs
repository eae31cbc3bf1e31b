//! From a question as typed to its answer, shown.

use std::io::{self, Read};
use std::path::Path;

use super::args::{By, Format, InState, Question, Shown, Tree};
use super::failure::{Failure, Mistake};
use crate::answer::{self, Answer, RouteKind, TraceError};
use crate::circuit::{Circuit, Fault, FaultError, FindError, Kind, PartName};
use crate::lint;
use crate::net::Net;
use crate::page::{self, Drawings};
use crate::report::{self, Look, Page, Strokes, Words, diagnostic};
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

/// Parts that something lies before and beyond.
const MIDDLES: &[Kind] = &[
    Kind::Source,
    Kind::Passage,
    Kind::Plate,
    Kind::Port,
    Kind::Orifice,
    Kind::Clearance,
    Kind::Ball,
    Kind::Valve,
    Kind::Regulator,
    Kind::Relief,
    Kind::Solenoid,
    Kind::Filter,
    Kind::Converter,
    Kind::Cooler,
    Kind::Accumulator,
    Kind::Outlet,
    Kind::Tap,
    Kind::Switch,
];

/// Ways listed in each state unless `--most` says otherwise.
const MOST: u16 = 10;

/// An answer as text, and whether it says that something is wrong.
pub(super) struct Reply {
    pub text: String,
    pub wrong: bool,
}

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
            if matches!(show.format, Format::Json) {
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

/// An answer as text.
pub(super) fn render<A: Answer>(
    answer: &A,
    page: impl FnOnce() -> Page,
    format: Format,
    look: Look,
) -> Result<Reply, Failure> {
    render_drawn(answer, page, || Ok(Drawings::default()), format, look)
}

/// An answer as text, with its drawing where the format has room for one.
fn render_drawn<A: Answer>(
    answer: &A,
    page: impl FnOnce() -> Page,
    drawings: impl FnOnce() -> Result<Drawings, Failure>,
    format: Format,
    look: Look,
) -> Result<Reply, Failure> {
    let json = || report::json(answer).map_err(|e| Failure::Unwritten(None, io::Error::other(e)));
    let text = match format {
        Format::Text => report::terminal(&page(), look),
        Format::Markdown => report::markdown(&page()),
        Format::Json => json()?,
        Format::Html => {
            let asked = super::page::asked(A::NAME);
            page::report(&page(), asked.as_deref(), &drawings()?, &json()?)
        }
        Format::Csv | Format::JsonLines => {
            let what = "this answer is not written line by line".to_owned();
            return Err(Failure::one(what, "choose text, markdown, html or json"));
        }
    };
    Ok(Reply {
        text,
        wrong: answer.wrong(),
    })
}

/// How answers are shown.
pub(super) struct Show<'c> {
    words: Words<'c>,
    format: Format,
    look: Look,
}

impl<'c> Show<'c> {
    pub fn of(circuit: &'c Circuit, shown: &Shown, look: Look) -> Self {
        Show {
            words: Words {
                circuit,
                units: shown.units,
            },
            format: shown.format,
            look,
        }
    }

    pub fn words(&self) -> &Words<'c> {
        &self.words
    }

    pub fn reply<A: Answer>(
        &self,
        answer: &A,
        page: impl FnOnce(&Words<'_>) -> Page,
    ) -> Result<Reply, Failure> {
        self.drawn(answer, page, || Ok(Drawings::default()))
    }

    /// The same with drawings, made where the format has room for them.
    pub fn drawn<A: Answer>(
        &self,
        answer: &A,
        page: impl FnOnce(&Words<'_>) -> Page,
        drawings: impl FnOnce() -> Result<Drawings, Failure>,
    ) -> Result<Reply, Failure> {
        render_drawn(
            answer,
            || page(&self.words),
            drawings,
            self.format,
            self.look,
        )
    }

    /// How it is shown.
    pub fn format(&self) -> Format {
        self.format
    }
}

/// What was asked for in a circuit's own terms, and everything in it that makes no sense.
pub(super) struct Asked<'c> {
    pub circuit: &'c Circuit,
    mistakes: Vec<Mistake>,
}

impl<'c> Asked<'c> {
    pub fn of(circuit: &'c Circuit) -> Self {
        Asked {
            circuit,
            mistakes: Vec::new(),
        }
    }

    pub fn mistake(&mut self, what: String, remedy: &str) {
        let remedy = remedy.to_owned();
        self.mistakes.push(Mistake { what, remedy });
    }

    pub fn part(&mut self, text: &str, kinds: &[Kind]) -> Option<PartName> {
        let found = self.circuit.find(text, kinds);
        found.map_err(|e| self.mistakes.push(no_part(e))).ok()
    }

    pub fn state(&mut self, state: &InState) -> Option<String> {
        self.state_id(state.state.as_deref()?)
    }

    /// The id of a state.
    pub fn state_id(&mut self, text: &str) -> Option<String> {
        let found = self.circuit.find(text, &[Kind::State]).map_err(|error| {
            let states: Vec<&str> = self.circuit.ids(Kind::State).collect();
            let remedy = match (&error, &states[..]) {
                (_, []) => "this circuit declares no states: name none".to_owned(),
                (FindError::Unknown { near, .. }, states) if near.is_empty() => {
                    format!("the states are {}", states.join(", "))
                }
                (error, states) => {
                    format!("{} The states are {}", error.remedy(), states.join(", "))
                }
            };
            self.mistakes.push(Mistake {
                what: error.to_string(),
                remedy,
            });
        });
        found.ok().map(|name| name.id)
    }

    pub fn faults(&mut self, texts: &[String]) -> Vec<Fault> {
        let mut faults = Vec::new();
        for text in texts {
            match self.circuit.fault(text) {
                Ok(fault) if faults.contains(&fault) => {}
                Ok(fault) => faults.push(fault),
                Err(FaultError::Part(error)) => self.mistakes.push(no_part(error)),
                Err(error) => self.mistakes.push(Mistake {
                    what: error.to_string(),
                    remedy: error.remedy(),
                }),
            }
        }
        faults
    }

    /// What was found, unless anything made no sense.
    pub fn understood<T>(self, found: Option<T>) -> Result<T, Failure> {
        match found {
            Some(found) if self.mistakes.is_empty() => Ok(found),
            _ => Err(Failure::Mistaken(self.mistakes)),
        }
    }
}

pub(super) fn no_cavity(error: TraceError) -> Failure {
    Failure::one(error.to_string(), "name an outlet, a tap or a passage")
}

fn no_part(error: FindError) -> Mistake {
    let what = match &error {
        // The kinds that would have served are a mouthful.
        FindError::Unknown { id, .. } => format!("there is no such part `{id}`"),
        error => error.to_string(),
    };
    let remedy = match &error {
        FindError::Unknown { near, .. } if near.is_empty() => {
            "list the parts with `oilpath parts FILE`".to_owned()
        }
        FindError::WrongKind { id, is, .. } if MIDDLES.contains(is) => format!(
            "`oilpath before FILE {id}` lists what leads to it, `oilpath beyond FILE {id}` what \
             hangs on it"
        ),
        error => error.remedy(),
    };
    Mistake { what, remedy }
}
