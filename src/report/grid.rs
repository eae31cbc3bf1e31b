//! Two quantities varied, in words: a map of what falls short, and where each outlet begins to.

use super::page::{Block, Line, Page, Role};
use super::sizes::rests_on;
use super::vary::{asked, never, outcome};
use super::words::{Words, plural};
use crate::answer::{Grid, GridAxis, GridOutlet, GridRegion, Varied};

/// Signs along a map, and rows of one, at most.
const ALONG: usize = 60;
const UP: usize = 30;

/// Up to so many signs stand apart from each other.
const APART: usize = 30;

/// Outlets that get a column of their own at most.
const COLUMNS: usize = 3;

/// The report of two quantities varied: a map, its legend, and where on each of its rows an outlet
/// has what it needs. `varied` is what is varied along the map and up it.
#[must_use]
pub fn grid(answer: &Grid, varied: &[Varied; 2], words: &Words<'_>) -> Page {
    let told = Told {
        answer,
        varied,
        words,
    };
    let changing: Vec<&GridOutlet> = told.with(|outlet| !outlet.boundary.is_empty());
    let mut blocks = vec![Block::Lead(told.lead(changing.len()))];
    let steady = |met| {
        let same =
            told.with(|o| o.boundary.is_empty() && o.met.iter().flatten().all(|m| *m == met));
        same.iter()
            .map(|o| words.typed(&o.outlet))
            .collect::<Vec<_>>()
    };
    blocks.extend(never(steady(Some(true)), "falls short"));
    blocks.extend(never(steady(Some(false)), "has what it needs"));
    if !answer.outlets.is_empty() {
        told.map(&mut blocks);
    }
    told.limits(&changing, &mut blocks);
    if answer.unsolved > 0 {
        let line = Line::role(Role::Unsure, "Not solved at some points")
            + format!(" ({}): nothing is said of them.", answer.unsolved).as_str();
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

struct Told<'a> {
    answer: &'a Grid,
    varied: &'a [Varied; 2],
    words: &'a Words<'a>,
}

impl<'a> Told<'a> {
    fn with(&self, is: impl Fn(&GridOutlet) -> bool) -> Vec<&'a GridOutlet> {
        let outlets = self.answer.outlets.iter();
        outlets.filter(|outlet| is(outlet)).collect()
    }

    fn along(&self, value: f64) -> String {
        self.varied[0].show(value, self.words.units)
    }

    fn up(&self, value: f64) -> String {
        self.varied[1].show(value, self.words.units)
    }

    fn lead(&self, changing: usize) -> Line {
        let Grid { along, up, .. } = self.answer;
        let over = |axis: &GridAxis, show: &dyn Fn(f64) -> String| {
            let ends = [axis.values.first(), axis.values.last()];
            let [first, last] = ends.map(|value| show(value.copied().unwrap_or_default()));
            Line::id(&axis.varied) + format!(" from {first} to {last}").as_str()
        };
        let both = over(along, &|v| self.along(v)) + " and " + over(up, &|v| self.up(v));
        let asked = asked(self.answer.state.as_deref(), &self.answer.faults);
        let mut all = self
            .answer
            .outlets
            .iter()
            .flat_map(|o| o.met.iter().flatten());
        let said = match changing == 0 && all.any(Option::is_none) {
            true => ": where an outlet surely has what it needs never changes.".to_owned(),
            false => outcome(self.answer.outlets.len(), changing),
        };
        both + asked + said.as_str()
    }

    /// The rows of the map from its top down, and its columns, thinned where they are too many.
    fn shown(&self) -> [Vec<usize>; 2] {
        let thinned = |axis: &GridAxis, most: usize| {
            let count = axis.values.len();
            (0..count).step_by(count.div_ceil(most)).collect::<Vec<_>>()
        };
        let mut rows = thinned(&self.answer.up, UP);
        rows.reverse();
        [rows, thinned(&self.answer.along, ALONG)]
    }

    fn map(&self, blocks: &mut Vec<Block>) {
        let (regions, at) = self.answer.regions();
        let [rows, columns] = self.shown();
        let labels: Vec<String> = rows
            .iter()
            .map(|r| self.up(self.answer.up.values[*r]))
            .collect();
        let wide = labels.iter().map(|label| label.chars().count()).max();
        let wide = wide.unwrap_or_default();
        let gap = if columns.len() > APART { "" } else { " " };
        let mut lines = vec![Line::role(Role::Faint, &self.answer.up.varied)];
        for (row, label) in rows.iter().zip(&labels) {
            let mut line = Line::from(format!("  {label:>wide$} │{gap}"));
            for column in &columns {
                let region = &regions[at[*row][*column]];
                line = line + Line::role(role(region), &region.sign.to_string()) + gap;
            }
            lines.push(line);
        }
        let pitch = 1 + gap.len();
        let across = columns.len() * pitch;
        lines.push(format!("  {:wide$} └{}", "", "─".repeat(across)).into());
        // The first value stands under its column, the last ends under its own.
        let values = &self.answer.along.values;
        let ends = [columns.first(), columns.last()];
        let ends = ends.map(|column| column.map_or(String::new(), |c| self.along(values[*c])));
        let [first, last] = &ends;
        let room = across.saturating_sub(first.chars().count());
        let ends = match room > last.chars().count() {
            true => format!("{first}{last:>room$}"),
            false => format!("{first} to {last}"),
        };
        lines.push(format!("  {:wide$}  {gap}{ends}", "").into());
        let pad = wide + 4 + gap.len();
        lines
            .push(Line::from(" ".repeat(pad)) + Line::role(Role::Faint, &self.answer.along.varied));
        blocks.push(Block::Heading("What falls short where".into()));
        blocks.push(Block::Tree(lines));
        let thinned = columns.len() < values.len() || rows.len() < self.answer.up.values.len();
        let legend = regions.iter().map(|region| self.legend(region));
        blocks.push(Block::List(legend.collect()));
        if thinned {
            blocks.push(Block::Text(
                "The map shows some of the points; JSON and the plot rest on all.".into(),
            ));
        }
    }

    fn legend(&self, region: &GridRegion) -> Line {
        let names = |numbers: &[usize]| {
            let outlets = numbers.iter().map(|n| &self.answer.outlets[*n].outlet);
            Line::list(outlets.map(|outlet| self.words.typed(outlet)), "and")
        };
        let says = match (&region.short[..], &region.undecided[..]) {
            ([], []) => Line::from("nothing falls short"),
            ([], open) => Line::from("cannot be said of ") + names(open),
            (short, []) => Line::from("short: ") + names(short),
            (short, open) => {
                Line::from("short: ") + names(short) + "; cannot be said of " + names(open)
            }
        };
        let sign = Line::role(role(region), &region.sign.to_string());
        sign + " " + says + format!(" ({})", plural(region.points, "point")).as_str()
    }

    /// For each row of the map, where along it each outlet that changes has what it needs; outlets
    /// of which the same is said share a column.
    fn limits(&self, changing: &[&GridOutlet], blocks: &mut Vec<Block>) {
        let [rows, _] = self.shown();
        let mut columns: Vec<(Vec<Line>, Vec<Line>)> = Vec::new();
        for outlet in changing {
            let cells: Vec<Line> = rows.iter().map(|row| self.has_it(outlet, *row)).collect();
            let name = self.words.typed(&outlet.outlet);
            match columns.iter_mut().find(|(known, _)| *known == cells) {
                Some((_, names)) => names.push(name),
                None => columns.push((cells, vec![name])),
            }
        }
        let told = &columns[..columns.len().min(COLUMNS)];
        if told.is_empty() {
            return;
        }
        let names = told.iter().map(|(_, names)| names[0].clone());
        let names = std::iter::once(Line::default()).chain(names).collect();
        let rows = rows.iter().enumerate().map(|(i, row)| {
            let at = Line::from(self.up(self.answer.up.values[*row]));
            let cells = told.iter().map(|(cells, _)| cells[i].clone());
            std::iter::once(at).chain(cells).collect()
        });
        let heading = Line::from("Where along ") + Line::id(&self.answer.along.varied);
        blocks.push(Block::Heading(heading + " each has what it needs"));
        blocks.push(Block::Table {
            head: ["at", "", "", ""][..=told.len()].to_vec(),
            rows: std::iter::once(names).chain(rows).collect(),
        });
        let same = told.iter().filter(|(_, names)| names.len() > 1);
        let same = same.map(|(_, names)| {
            names[0].clone() + ": also " + Line::list(names[1..].iter().cloned(), "and")
        });
        let same: Vec<Line> = same.collect();
        if !same.is_empty() {
            blocks.push(Block::List(same));
        }
        let more = columns[told.len()..].iter().flat_map(|(_, names)| names);
        let more: Vec<Line> = more.cloned().collect();
        if !more.is_empty() {
            let more = Line::from("Elsewhere again, as JSON says: ") + Line::list(more, "and");
            blocks.push(Block::Text(more + "."));
        }
    }

    /// Where along one row of the map an outlet has what it needs.
    fn has_it(&self, outlet: &GridOutlet, row: usize) -> Line {
        let values = &self.answer.along.values;
        let falls = values.first() > values.last();
        let points = outlet.boundary.iter().flatten();
        let here = points.filter(|point| point.up == self.answer.up.values[row]);
        let mut changes: Vec<f64> = here.map(|point| point.along).collect();
        changes.sort_by(f64::total_cmp);
        changes.dedup();
        let met = &outlet.met[row];
        let first = if falls { met.last() } else { met.first() };
        let mut has = first == Some(&Some(true));
        if changes.is_empty() {
            return if has { "all along" } else { "nowhere" }.into();
        }
        // What stands before each change: the value from which it has it, if it has.
        let mut since: Option<f64> = None;
        let mut stretches: Vec<Line> = Vec::new();
        let strong =
            |value: f64| Line::role(Role::Strong, &self.varied[0].brief(value, self.words.units));
        for change in changes {
            match (has, since) {
                (true, Some(since)) => stretches.push(strong(since) + " to " + strong(change)),
                (true, None) => stretches.push(Line::from("up to ") + strong(change)),
                (false, _) => since = Some(change),
            }
            has = !has;
        }
        if let Some(since) = since.filter(|_| has) {
            stretches.push(Line::from("from ") + strong(since));
        }
        Line::list(stretches, "and")
    }
}

fn role(region: &GridRegion) -> Role {
    match (region.short.is_empty(), region.undecided.is_empty()) {
        (true, true) => Role::Supplied,
        (true, false) => Role::Unsure,
        _ => Role::Drained,
    }
}
