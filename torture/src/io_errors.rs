//! A disk that says no: the n-th call fails, for one n after the other.

use crate::dice::Dice;
use crate::house::{BOX, House, make_book, serve};
use crate::judge::judge;
use crate::slip::{Answer, Slip};
use crate::{Outcome, built, scratch};
use anyhow::{Result, ensure};
use std::path::Path;
use std::process::Command;

const NAME: &str = "failing disk";
const SYNCS: &str = "fsync,fdatasync";

/// How much of it.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// The first call that fails, and how many later starts are tried.
    pub starts: usize,
    /// Notes in each run.
    pub notes: usize,
}

/// Full size, for a release.
pub const FULL: Size = Size { starts: 24, notes: 40 };
/// Small size, for every change.
pub const SMALL: Size = Size { starts: 1, notes: 16 };

/// Which call fails, how, and at which distance it fails again.
const PLANS: [(&str, &str, &str); 7] = [
    (SYNCS, "EIO", "+5"),
    (SYNCS, "EIO", "+"),
    ("pwrite64", "EIO", "+23"),
    ("pwrite64", "ENOSPC", "+17"),
    ("pwrite64", "ENOSPC", "+"),
    ("ftruncate", "EIO", "+2"),
    ("unlink", "EIO", "+"),
];

/// Lets calls fail in one run after the other.
///
/// # Errors
/// If the trial itself could not be carried out.
pub fn run(size: Size, seed: u64) -> Result<Outcome> {
    if !Command::new("strace").args(["-qq", "-e", "trace=none", "true"]).status().is_ok_and(|it| it.success())
    {
        return Ok(Outcome::skipped(NAME, "strace is not installed, or may not be used here"));
    }
    let binary = built::cocoonery()?;
    let (mut runs, mut noted, mut refused, mut wrong) = (0, 0, 0, Vec::new());
    for (call, error, again) in PLANS {
        for start in 0..size.starts {
            // Spread so that opening the book is hit too, and every place in a note.
            let first = if size.starts == 1 { 30 } else { 1 + start * start / 2 };
            let inject = format!("{call}:error={error}:when={first}{again}");
            let run = one(&binary, &inject, size.notes, seed + runs)?;
            runs += 1;
            noted += run.noted;
            refused += run.refused;
            wrong.extend(run.wrong.into_iter().map(|it| format!("{inject}: {it}")));
        }
    }
    let did = format!(
        "{runs} runs with failing calls: {noted} notes acknowledged, {refused} refused with a sentence"
    );
    Ok(Outcome::of(NAME, did, wrong))
}

#[derive(Default)]
struct Run {
    noted: usize,
    refused: usize,
    wrong: Vec<String>,
}

fn one(binary: &Path, inject: &str, notes: usize, seed: u64) -> Result<Run> {
    let folder = scratch::on_disk()?;
    let (book, errors) = (folder.path().join("book"), folder.path().join("errors"));
    make_book(binary, &book)?;
    let mut dice = Dice::seeded(seed);
    let slips: Vec<Slip> = (0..notes).map(|n| Slip::nth(n, &mut dice)).collect();
    let mut run = Run::default();
    let mut noted = Vec::new();
    let plain = serve(binary, &book);
    let mut failing = Command::new("strace");
    // With -D the process that is started is the house itself, and can be killed.
    failing.args(["-D", "-f", "-qq", "-o", "/dev/null", "-e"]).arg(format!("trace={}", traced(inject)));
    failing.args(["-e", &format!("inject={inject}")]).arg(plain.get_program()).args(plain.get_args());
    match House::start(failing, &errors) {
        Ok(house) => {
            for slip in &slips {
                match slip.send(house.at, BOX) {
                    Answer::Noted => noted.push(slip.clone()),
                    Answer::Refused { status: 500, page } if says_so(&page) => run.refused += 1,
                    other => run.wrong.push(format!("{}: {}", slip.text, short(&other))),
                }
            }
            house.kill()?;
        }
        // A book that cannot even be opened is refused with a sentence.
        Err(refused) => {
            let said = refused.to_string();
            ensure!(said.contains("cocoonery: ") && !said.contains("panicked"), "no sentence: {said}");
            run.refused += 1;
        }
    }
    run.noted = noted.len();
    run.wrong.extend(judge(&book, &noted, &slips));
    let house = House::start(serve(binary, &book), &errors)?;
    for slip in &slips {
        let answer = slip.send(house.at, BOX);
        if answer != Answer::Noted {
            run.wrong.push(format!(
                "{}: not taken although the disk works again: {}",
                slip.text,
                short(&answer)
            ));
        }
    }
    house.kill()?;
    run.wrong.extend(judge(&book, &slips, &slips));
    Ok(run)
}

fn traced(inject: &str) -> &str {
    inject.split(':').next().unwrap_or(inject)
}

/// The page says what happened to the note.
fn says_so(page: &str) -> bool {
    ["othing of this note was saved", "othing was saved", "not sure whether the note is in the book"]
        .iter()
        .any(|it| page.contains(it))
}

fn short(answer: &Answer) -> String {
    match answer {
        Answer::Refused { status, page } => {
            let at = page.find("<main").unwrap_or(0);
            format!("{status} {}", page[at..].chars().take(900).collect::<String>())
        }
        other => format!("{other:?}"),
    }
}
