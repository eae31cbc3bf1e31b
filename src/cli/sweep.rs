//! A sweep: long work that streams, can be stopped, and goes on where it was.

use std::io::{ErrorKind, Write};
use std::ops::Range;
use std::path::Path;

use rayon::ThreadPool;

use super::Streams;
use super::args::{Format, Shown, Swept};
use super::failure::{Failure, say};
use super::origin::{self, Origin};
use super::partial::{Left, Partial, Shape};
use super::scenarios::{Understood, sensible};
use super::show::{Reply, render};
use crate::answer::{SweepRecord, Sweeper};
use crate::circuit::Circuit;
use crate::net::Net;
use crate::report::{self, Look, Words};
use crate::sheet::Sheet;

/// How far long work is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Done {
    /// Scenarios made.
    pub scenarios: usize,
    /// Of how many.
    pub of: usize,
}

/// Sweeps a circuit. What is written line by line goes out as it is made; the rest is the reply.
pub(super) fn run(
    asked: &Swept,
    sheet: &Sheet,
    shown: &Shown,
    streams: &mut Streams<'_>,
) -> Result<Option<Reply>, Failure> {
    let circuit = &sheet.circuit;
    let net = Net::new(circuit).map_err(|e| Failure::one(e.to_string(), "check the file"))?;
    sensible(asked, shown)?;
    // Whoever stops it finds someone listening from the start, and so an end in good order.
    (streams.stopped)();
    let Understood {
        scenarios,
        states,
        said,
    } = Understood::of(asked, circuit)?;
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(asked.threads.map_or(0, usize::from))
        .build()
        .map_err(|e| Failure::one(e.to_string(), "ask for fewer `--threads`"))?;
    if asked.pairs {
        let (pairs, alone) = (scenarios.count(), scenarios.faults().len());
        let line = format!("{pairs} pairs of {alone} faults.");
        // Only to say how long it may take.
        let _ = say(line.into(), streams.err_look, streams.err);
    }
    let sweeper = pool.install(|| Sweeper::new(&net, scenarios, &states));
    let slice = asked.part.unwrap_or_default();
    let work = Work {
        range: sweeper.scenarios().slice(slice.k, slice.n),
        pool,
        sweeper,
        stopped: streams.stopped,
        progress: streams.progress,
    };
    let first = slice.k == 1;
    let lines = |csv| Lines::new(csv, first, &work.sweeper, circuit);
    match (shown.format, &shown.output) {
        (Format::Csv | Format::JsonLines, Some(path)) => {
            let lines = lines(shown.format == Format::Csv);
            let texts = sheet.sources().iter().map(|source| source.text.as_ref());
            let said = match lines.csv {
                true => "--format csv".to_owned() + &said,
                false => "--format json-lines".to_owned() + &said,
            };
            let origin = Origin::of(texts, said);
            work.to_file(path, shown.force, asked.resume, &lines, &origin)?;
            Ok(None)
        }
        (Format::Csv | Format::JsonLines, None) => {
            work.to_stream(&lines(shown.format == Format::Csv), streams.out)?;
            Ok(None)
        }
        (format, _) => {
            let words = Words {
                circuit,
                units: shown.units,
            };
            work.at_once(format, &words, streams.out_look).map(Some)
        }
    }
}

/// How scenarios are written line by line.
struct Lines<'c> {
    csv: bool,
    head: String,
    circuit: &'c Circuit,
    states: Vec<String>,
}

impl<'c> Lines<'c> {
    fn new(csv: bool, first: bool, sweeper: &Sweeper<'_>, circuit: &'c Circuit) -> Self {
        Lines {
            csv,
            // Only the first slice has one, so that they join to the whole.
            head: match csv && first {
                true => report::sweep_csv_head(),
                false => String::new(),
            },
            circuit,
            states: sweeper.states(),
        }
    }

    fn shape(&self) -> Shape<'_> {
        Shape {
            head: &self.head,
            lines: match self.csv {
                true => self.states.len().max(1),
                false => 1,
            },
        }
    }

    fn text(&self, record: &SweepRecord) -> Result<String, Failure> {
        match self.csv {
            true => report::sweep_csv(record, &self.states, self.circuit),
            false => report::json_line(record).map_err(std::io::Error::other),
        }
        .map_err(|e| Failure::Unwritten(None, e))
    }

    fn texts(&self, records: &[SweepRecord]) -> Result<String, Failure> {
        records.iter().map(|record| self.text(record)).collect()
    }
}

struct Work<'n, 's> {
    sweeper: Sweeper<'n>,
    pool: ThreadPool,
    /// The scenarios wanted.
    range: Range<usize>,
    stopped: &'s dyn Fn() -> bool,
    progress: &'s dyn Fn(Option<Done>),
}

impl Work<'_, '_> {
    fn records(&self, numbers: Range<usize>) -> Vec<SweepRecord> {
        let sweeper = &self.sweeper;
        self.pool.install(|| sweeper.records(numbers))
    }

    /// Makes records in order, some at once, until all are made or nobody takes more. Where
    /// someone stops it, that is answered with how to go on.
    fn each(
        &self,
        from: usize,
        shown: bool,
        go_on: &str,
        mut take: impl FnMut(Vec<SweepRecord>) -> Result<bool, Failure>,
    ) -> Result<(), Failure> {
        let done = |next: usize| Done {
            scenarios: next - self.range.start,
            of: self.range.len(),
        };
        let mut next = from;
        let mut wanted = true;
        if shown {
            (self.progress)(Some(done(next)));
        }
        let stopped = loop {
            if next >= self.range.end || !wanted {
                break false;
            }
            if (self.stopped)() {
                break true;
            }
            let upto = self.range.end.min(next + Sweeper::AT_ONCE);
            wanted = take(self.records(next..upto))?;
            next = upto;
            if shown {
                (self.progress)(Some(done(next)));
            }
        };
        (self.progress)(None);
        let Done { scenarios, of } = done(next);
        match stopped {
            true => Err(Failure::one(
                format!("stopped after {scenarios} of {of} scenarios"),
                go_on,
            )),
            false => Ok(()),
        }
    }

    fn to_stream(&self, lines: &Lines<'_>, out: &mut dyn Write) -> Result<(), Failure> {
        let mut write = |text: &str| match out.write_all(text.as_bytes()).and_then(|()| out.flush())
        {
            // A reader that has seen enough.
            Err(e) if e.kind() == ErrorKind::BrokenPipe => Ok(false),
            Err(e) => Err(Failure::Unwritten(None, e)),
            Ok(()) => Ok(true),
        };
        if !write(&lines.head)? {
            return Ok(());
        }
        let go_on = "with `--output FILE` a run that is stopped can be resumed";
        self.each(self.range.start, false, go_on, |records| {
            write(&lines.texts(&records)?)
        })
    }

    fn to_file(
        &self,
        path: &Path,
        force: bool,
        resume: bool,
        lines: &Lines<'_>,
        origin: &Origin,
    ) -> Result<(), Failure> {
        let left = match resume {
            true => Partial::left(path, lines.shape(), origin)?,
            false => None,
        };
        let (mut partial, done) = match left {
            Some((mut partial, left)) => {
                self.ours(path, &left, lines)?;
                partial.cut(&left)?;
                (partial, left.scenarios)
            }
            None => (Partial::begin(path, force, origin)?, 0),
        };
        if done == 0 {
            partial.add(&lines.head)?;
        }
        let go_on = "the same command with `--resume` goes on after them";
        self.each(self.range.start + done, true, go_on, |records| {
            partial.add(&lines.texts(&records)?)?;
            Ok(true)
        })?;
        partial.finish(force)
    }

    /// Refuses what is not what this run would write, by its samples: it may have been changed, or
    /// made by another build of the same version.
    fn ours(&self, path: &Path, left: &Left, lines: &Lines<'_>) -> Result<(), Failure> {
        let mut same = !left.foreign && left.scenarios <= self.range.len();
        for (place, sample) in left.samples.iter().filter(|_| same).collect::<Vec<_>>() {
            let number = self.range.start + place;
            let text = lines.texts(&self.records(number..number + 1))?;
            same &= text.as_bytes() == sample;
        }
        match same {
            true => Ok(()),
            false => Err(Failure::one(
                format!(
                    "`{}` does not hold what this run would have written so far",
                    Partial::path(path).display()
                ),
                origin::REMEDY,
            )),
        }
    }

    /// All of it as one answer. Of pairs, text tells only those that do worse than each alone.
    fn at_once(&self, format: Format, words: &Words<'_>, look: Look) -> Result<Reply, Failure> {
        let mut answer = self.sweeper.blank();
        let brief = answer.pairs && format != Format::Json;
        let go_on = "ask for less with `--of`, `--kind` or `--state`, or write csv or json-lines \
                     with `--output`: what is made then can be resumed";
        self.each(self.range.start, true, go_on, |records| {
            for record in records {
                answer.summary.count(&record);
                if !brief || record.adds() {
                    answer.records.push(record);
                }
            }
            Ok(true)
        })?;
        render(&answer, || report::sweep(&answer, words), format, look)
    }
}
