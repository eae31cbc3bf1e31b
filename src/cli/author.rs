//! Writing a circuit file.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use super::Streams;
use super::args::{Author, Shown};
use super::failure::Failure;
use super::output;
use super::show::Reply;
use crate::sheet::{self, LARGEST_FILE, Refusal};

impl Author {
    /// Does it; none where what was made has been written already.
    pub fn run(&self, shown: &Shown, streams: &mut Streams<'_>) -> Result<Option<Reply>, Failure> {
        match self {
            Author::New { file, blank } => {
                let text = if *blank { sheet::BLANK } else { sheet::SMALL };
                if is_stream(file) {
                    return Ok(Some(said(text.to_owned())));
                }
                if file.exists() {
                    let what = format!("`{}` is there already", file.display());
                    return Err(Failure::one(
                        what,
                        "give another path: `new` replaces nothing",
                    ));
                }
                output::to_file(file, text.as_bytes(), false)?;
                let next = format!(
                    "`{0}` is written. Type over it, and after each step: oilpath check {0}\n",
                    file.display()
                );
                Ok(Some(said(next)))
            }
            Author::Tidy {
                file,
                in_place,
                check,
            } => {
                let text = read(file, streams)?;
                let tidy = sheet::tidy(&text).map_err(|refusal| called(refusal, file))?;
                match (*in_place && !is_stream(file), *check) {
                    (true, _) if tidy == text => Ok(None),
                    (true, _) => output::to_file(file, tidy.as_bytes(), true).map(|()| None),
                    (_, true) => Ok(Some(checked(file, tidy == text))),
                    _ => Ok(Some(said(tidy))),
                }
            }
            Author::Import { list } => {
                let text = read(list, streams)?;
                let name = name(list);
                let circuit = sheet::import(&name, &text).map_err(Failure::Refused)?;
                if let Some(path) = &shown.output {
                    output::spares(path, [list.as_path()])?;
                }
                let head = format!(
                    "# Made of {name}. What a list of ways cannot say is still to be typed:\n\
                     # regulators, valves and what moves them, solenoids, what plates roof, states.\n\n"
                );
                Ok(Some(said(head + &sheet::write(&circuit))))
            }
        }
    }
}

fn said(text: String) -> Reply {
    Reply { text, wrong: false }
}

fn checked(file: &Path, tidy: bool) -> Reply {
    let name = name(file);
    match tidy {
        true => said(format!("{name} is tidy.\n")),
        false => Reply {
            text: format!("{name} is not tidy: `oilpath tidy {name} --in-place` sets it right.\n"),
            wrong: true,
        },
    }
}

/// Whether a path stands for a stream.
fn is_stream(path: &Path) -> bool {
    path == Path::new("-")
}

/// What messages call a file.
fn name(path: &Path) -> String {
    match is_stream(path) {
        true => "standard-input".to_owned(),
        false => path.display().to_string(),
    }
}

/// The same errors under the name of the file.
fn called(mut refusal: Refusal, file: &Path) -> Failure {
    for source in &mut refusal.sources {
        source.name = name(file);
    }
    Failure::Refused(refusal)
}

/// A text, as long as a circuit file may be.
fn read(path: &Path, streams: &mut Streams<'_>) -> Result<String, Failure> {
    let limit = LARGEST_FILE as u64 + 1;
    let mut bytes = Vec::new();
    let read = match is_stream(path) {
        true => streams.input.take(limit).read_to_end(&mut bytes),
        false => File::open(path).and_then(|f| f.take(limit).read_to_end(&mut bytes)),
    };
    let name = name(path);
    read.map_err(|e| {
        Failure::one(
            format!("cannot read `{name}`: {e}"),
            "give the path of a file",
        )
    })?;
    if bytes.len() > LARGEST_FILE {
        let most = LARGEST_FILE / 1_000_000;
        let what = format!("`{name}` is larger than {most} MB");
        return Err(Failure::one(what, "check that it is the right file"));
    }
    let text = String::from_utf8(bytes);
    text.map_err(|_| Failure::one(format!("`{name}` is no UTF-8 text"), "save it as UTF-8"))
}
