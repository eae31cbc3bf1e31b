//! One quantity varied, in words.

use super::page::{Block, Line, Page, Role};
use super::sizes::rests_on;
use super::words::Words;
use crate::answer::{Gets, Range, Varied, Vary, VaryLimit, VaryPoint};

/// Outlets that get a column of their own at most.
const COLUMNS: usize = 4;

/// A change of an outlet's figure over the range that is worth a column.
const WORTH: f64 = 0.02;

/// The report of a quantity varied: where each outlet stops having enough, and a table.
#[must_use]
pub fn vary(answer: &Vary, varied: &Varied, words: &Words<'_>) -> Page {
    let told = Told {
        answer,
        varied,
        words,
    };
    let mut blocks = vec![Block::Lead(told.lead())];
    told.limits(&mut blocks);
    told.table(&mut blocks);
    if answer.points.iter().any(|point| !point.converged) {
        let line = Line::role(Role::Unsure, "Not solved at some values: ")
            + "those figures do not balance and are no answer.";
        blocks.push(Block::Text(line));
    }
    let bands = answer.bands.as_ref();
    let rests_on = rests_on(&answer.assumed, bands, answer.band, answer.depth, words);
    blocks.extend(rests_on);
    Page {
        title: words.title(),
        blocks,
    }
}

/// Whether what can be said of an outlet's need changes within the range.
fn changes(limit: &VaryLimit) -> bool {
    !(limit.changes.is_empty() && limit.fails.is_empty())
}

/// What can be said of it at the first value.
fn at_first(limit: &VaryLimit) -> Option<bool> {
    match (limit.met_at_first, limit.fails_at_first) {
        (true, _) => Some(true),
        (_, true) => Some(false),
        _ => None,
    }
}

/// In which state and with which faults it was asked.
pub(super) fn asked(state: Option<&str>, faults: &[String]) -> Line {
    let state = state.map(|state| Line::from(" in ") + Line::id(state));
    let faults = match faults {
        [] => Line::default(),
        faults => Line::from(" with ") + Line::list(faults.iter().map(|f| Line::id(f)), "and"),
    };
    state.unwrap_or_default() + faults
}

/// What came of it, of so many outlets whose need is known.
pub(super) fn outcome(outlets: usize, changing: usize) -> String {
    match (outlets, changing) {
        (0, _) => ": no outlet says how much it needs.".to_owned(),
        (_, 0) => ": nothing changes whether an outlet has what it needs.".to_owned(),
        (_, 1) => ": one outlet has what it needs over a part of it alone.".to_owned(),
        (_, n) => format!(": {n} outlets have what they need over a part of it alone."),
    }
}

/// What some outlets never do within the range.
pub(super) fn never(outlets: Vec<Line>, what: &str) -> Option<Block> {
    let text = Line::from(format!("Never within this range {what}: "));
    (!outlets.is_empty()).then(|| Block::Text(text + Line::list(outlets, "and") + "."))
}

struct Told<'a> {
    answer: &'a Vary,
    varied: &'a Varied,
    words: &'a Words<'a>,
}

impl Told<'_> {
    fn show(&self, value: f64) -> String {
        self.varied.show(value, self.words.units)
    }

    fn lead(&self) -> Line {
        let ends = [self.answer.points.first(), self.answer.points.last()];
        let ends = ends.map(|p| p.map_or(0.0, |point| point.value));
        let range = format!(" from {} to {}", self.show(ends[0]), self.show(ends[1]));
        let varied = Line::id(&self.answer.varied) + range.as_str();
        let asked = varied + asked(self.answer.state.as_deref(), &self.answer.faults);
        let changing = self.answer.limits.iter().filter(|l| changes(l)).count();
        asked + outcome(self.answer.limits.len(), changing).as_str()
    }

    /// Where each outlet stops or begins to have enough; those that never do, together.
    fn limits(&self, blocks: &mut Vec<Block>) {
        let limits = || self.answer.limits.iter();
        let changing = limits().filter(|limit| changes(limit));
        let changing: Vec<Line> = changing.map(|limit| self.limit(limit)).collect();
        if !changing.is_empty() {
            blocks.push(Block::List(changing));
        }
        let same = |met| {
            let same = limits().filter(move |l| !changes(l) && at_first(l) == met);
            same.map(|l| self.words.typed(&l.outlet)).collect()
        };
        blocks.extend(never(same(Some(true)), "falls short"));
        blocks.extend(never(same(Some(false)), "has what it needs"));
        blocks.extend(never(
            same(None),
            "surely has or surely lacks what it needs",
        ));
    }

    fn limit(&self, limit: &VaryLimit) -> Line {
        let need = match (limit.needs_pa, limit.needs_m3_per_s) {
            (Some(pa), _) => self.words.pa(pa),
            (None, Some(flow)) => self.words.flow(flow),
            (None, None) => String::new(),
        };
        let told = |changes: &[Range], mut holds: bool, [begins, ends]: [&str; 2]| {
            let changes = changes.iter().map(|range| {
                holds = !holds;
                let verb = if holds { begins } else { ends };
                let at = self.show((range.least + range.most) / 2.0);
                Line::from(verb) + " from " + Line::role(Role::Strong, &at) + " on"
            });
            changes.collect::<Vec<Line>>()
        };
        let (met, fails) = (limit.met_at_first, limit.fails_at_first);
        let changes = match limit.changes == limit.fails {
            true => told(&limit.changes, met, ["has it", "falls short"]),
            false => {
                let mut changes = told(&limit.changes, met, ["surely has it", "may fall short"]);
                changes.extend(told(
                    &limit.fails,
                    fails,
                    ["surely falls short", "may have it"],
                ));
                changes
            }
        };
        let needs = format!(", which needs {need}: ");
        self.words.name(&limit.outlet).capital() + needs.as_str() + Line::list(changes, "and") + "."
    }

    /// What the outlets that change most get at each value.
    fn table(&self, blocks: &mut Vec<Block>) {
        let Some(first) = self.answer.points.first() else {
            return;
        };
        let mut ranked: Vec<(f64, usize)> = (0..first.outlets.len())
            .map(|number| (self.spread(number), number))
            .filter(|(spread, _)| *spread > WORTH)
            .collect();
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        ranked.truncate(COLUMNS);
        let mut numbers: Vec<usize> = ranked.into_iter().map(|(_, number)| number).collect();
        numbers.sort_unstable();
        if numbers.is_empty() {
            blocks.push(Block::Text(
                "No outlet gets noticeably more or less over this range.".into(),
            ));
            return;
        }
        // Columns are named by a first row: what heads a table is the same in every report.
        let outlets = numbers.iter().map(|number| &first.outlets[*number].outlet);
        let names = outlets.map(|outlet| self.words.typed(outlet));
        let names = std::iter::once(Line::default()).chain(names).collect();
        let rows = self
            .answer
            .points
            .iter()
            .map(|point| self.row(point, &numbers));
        blocks.push(Block::Heading("What changes most".into()));
        blocks.push(Block::Table {
            head: ["at", "", "", "", ""][..=numbers.len()].to_vec(),
            rows: std::iter::once(names).chain(rows).collect(),
        });
    }

    fn row(&self, point: &VaryPoint, numbers: &[usize]) -> Vec<Line> {
        let mut row = vec![Line::from(self.show(point.value))];
        row.extend(numbers.iter().map(|number| {
            let gets = point.outlets[*number].gets;
            match gets.flow_m3_per_s {
                Some(flow) => self.words.flows(Some(flow)),
                None => self.words.pressures(gets.pressure_pa),
            }
        }));
        row
    }

    /// How much of its most an outlet's figure changes over the range.
    fn spread(&self, number: usize) -> f64 {
        let figure = |gets: &Gets| -> Option<Range> { gets.flow_m3_per_s.or(gets.pressure_pa) };
        let figures = self.answer.points.iter();
        let figures = figures.filter_map(|p| Some(figure(&p.outlets[number].gets)?.least));
        let (least, most) = figures.fold((f64::INFINITY, 0.0_f64), |(least, most), figure| {
            (least.min(figure), most.max(figure))
        });
        if most > 0.0 {
            (most - least.max(0.0)) / most
        } else {
            0.0
        }
    }
}
