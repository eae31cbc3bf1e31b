//! Case files: what was seen of one gearbox and done about it, told beside its circuit.

use std::path::Path;

use super::document::{Document, Item, Node, Value};
use super::fields::Fields;
use super::keys;
use super::load::Load;
use super::shape::{List, Log, Shape, Text};
use super::wanted::Wanted;
use super::{Code, Diagnostic, Refusal, Source};
use crate::circuit::{Case, CheckMade, Circuit, Story};

/// Checks a text of a list of the case that is not read here: what is wrong with it and what
/// would be right.
pub type CaseCheck<'c> = &'c dyn Fn(CaseList, &str) -> Result<(), [String; 2]>;

/// A list of a case whose items others can read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CaseList {
    /// How likely faults are.
    Likelihoods,
    /// What checks cost.
    Efforts,
}

/// Reads a case about a circuit from a text.
///
/// # Errors
/// Everything that is wrong with it, each with its place.
///
/// ```
/// use oilpath::sheet;
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line"] }
///     [tap]
///     line-tap = { at = "line" }
/// "#).unwrap().circuit;
/// let case = sheet::read_case("saw = ['line-tap low']", &circuit, &|_, _| Ok(())).unwrap();
/// assert_eq!(case.saw[0].to_string(), "line-tap low");
/// let refusal = sheet::read_case("saw = ['line-tap lo']", &circuit, &|_, _| Ok(())).unwrap_err();
/// assert!(refusal.to_string().starts_with("case:1:18: error[bad-sighting]: "));
/// ```
pub fn read_case(text: &str, circuit: &Circuit, check: CaseCheck<'_>) -> Result<Case, Refusal> {
    let mut load = Load::new(None);
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    load.text("case".into(), text.to_owned());
    told(load, circuit, check)
}

/// Reads a case about a circuit from a file.
///
/// # Errors
/// As [`read_case`], and what keeps the file from being read.
pub fn open_case(
    path: impl AsRef<Path>,
    circuit: &Circuit,
    check: CaseCheck<'_>,
) -> Result<Case, Refusal> {
    let mut from_disk = super::load::from_disk;
    let mut load = Load::new(Some(&mut from_disk));
    load.open(path.as_ref(), None);
    told(load, circuit, check)
}

fn told(load: Load<'_>, circuit: &Circuit, check: CaseCheck<'_>) -> Result<Case, Refusal> {
    let Load {
        files, mut found, ..
    } = load;
    let mut case = Case::default();
    // Only the case itself: it includes nothing.
    if let (Some(source), Some(document)) = (files.sources.first(), files.documents.first()) {
        case = read(source, document, circuit, check, &mut found);
    }
    if found.is_empty() {
        return Ok(case);
    }
    found.sort_by(|a, b| {
        let place = |d: &Diagnostic| d.labels.first().map(|label| label.at.clone());
        place(a).cmp(&place(b))
    });
    Err(Refusal {
        sources: files.sources,
        diagnostics: found,
    })
}

fn read(
    source: &Source,
    document: &Document,
    circuit: &Circuit,
    check: CaseCheck<'_>,
    found: &mut Vec<Diagnostic>,
) -> Case {
    let unreadable = !found.is_empty() && document.root.is_empty();
    let mut log = Log {
        file: 0,
        text: &source.text,
        document,
        found,
        tolerances: Vec::new(),
    };
    let start = 0..source.text.find('\n').unwrap_or(source.text.len());
    let mut fields = Fields::new("a case", &document.root, &start, &mut log);
    let mut story = Story {
        title: fields.may("title", "What the case is, in a line", Text),
        vehicle: fields.may("vehicle", "Which vehicle it is about", Text),
        odometer: fields.may("odometer", "How far it has run", Text),
        date: fields.may("date", "When it came in", Text),
        complaint: fields.may("complaint", "What the customer says", Text),
        note: fields.may("note", "Anything worth knowing", Text),
        done: fields.may("done", "What was done about it", Text),
        ..Story::default()
    };
    let saw = match unreadable {
        true => None,
        false => fields.need("saw", "What was seen", List(Text)),
    };
    let likelihoods = fields.may("likelihood", "How likely faults are", List(Text));
    let efforts = fields.may("effort", "What checks cost", List(Text));
    let renewed = fields.may("renewed", "Parts that were renewed", List(Text));
    story.renewed = renewed.unwrap_or_default();
    let checks = fields.may("check", "A check and what it came to", Checks);
    story.checks = checks.unwrap_or_default();
    let mut case = Case {
        story,
        ..Case::default()
    };
    fields.may("found", "What was found to be wrong", List(Text));
    if !unreadable {
        fields.finish();
    }
    if saw.is_some() {
        texts(document.root.get("saw"), &mut log, |text| {
            let read = circuit.sightings(text);
            case.saw
                .extend(read.map_err(|e| (Some(e.at), [e.what, e.remedy]))?);
            Ok(())
        });
    }
    texts(document.root.get("found"), &mut log, |text| {
        let fault = circuit.fault(text);
        let fault = fault.map_err(|e| (None, [e.to_string(), e.remedy()]))?;
        if !case.found.contains(&fault) {
            case.found.push(fault);
        }
        Ok(())
    });
    let lists = [
        (
            CaseList::Likelihoods,
            "likelihood",
            likelihoods,
            &mut case.likelihoods,
        ),
        (CaseList::Efforts, "effort", efforts, &mut case.efforts),
    ];
    for (list, key, given, into) in lists {
        if let Some(given) = given {
            *into = given;
            let checked = |text: &str| check(list, text).map_err(|said| (None, said));
            texts(document.root.get(key), &mut log, checked);
        }
    }
    case
}

/// The checks of a case, each under a header of its own.
struct Checks;

impl Shape for Checks {
    type Value = Vec<CheckMade>;

    fn wanted(&self) -> Wanted {
        let one = Wanted::Table("check", || keys::of(|f| drop(made(f))));
        Wanted::List(one.into())
    }

    fn read(&self, _: &str, node: &Node, log: &mut Log<'_>) -> Option<Vec<CheckMade>> {
        let Value::List(nodes) = &node.value else {
            unheaded(node, log);
            return None;
        };
        let checks = nodes.iter().filter_map(|node| match node.table() {
            Some(table) => {
                let mut fields = Fields::new("a check", table, &node.at, log);
                let check = made(&mut fields);
                fields.hint("what is said of the case stands above the first [[check]]; ".into());
                fields.finish();
                Some(check)
            }
            None => {
                unheaded(node, log);
                None
            }
        });
        Some(checks.collect())
    }
}

fn made(f: &mut Fields<'_, '_>) -> CheckMade {
    let what = f.need("what", "What was looked at", Text);
    CheckMade {
        what: what.unwrap_or_default(),
        came_to: f.may("came-to", "What it came to; not yet made without it", Text),
    }
}

fn unheaded(node: &Node, log: &mut Log<'_>) {
    let message = "each `check` wants a header of its own, in two brackets".to_owned();
    let remedy = "write [[check]] on a line, below it what = \"...\" and came-to = \"...\"".into();
    log.say(Code::WrongType, node.at.clone(), message, remedy);
}

/// What is wrong with a text, and which of its bytes are to blame; all of it where none are told.
type Blame = (Option<std::ops::Range<usize>>, [String; 2]);

/// Reads each text of a list, and says where it cannot be.
fn texts(item: Option<&Item>, log: &mut Log<'_>, mut read: impl FnMut(&str) -> Result<(), Blame>) {
    let Some(Value::List(nodes)) = item.map(|item| &item.node.value) else {
        return;
    };
    for node in nodes {
        let Some(text) = node.text() else { continue };
        if let Err((at, [what, remedy])) = read(text) {
            let at = at.map_or(node.at.clone(), |at| log.within(&node.at, text, at));
            log.say(Code::BadSighting, at, what, remedy);
        }
    }
}
