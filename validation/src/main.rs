//! `validation --full` tries the forecasts at full size; `validation` alone at the size of the tests. Prints one table
//! for each check, and ends with 1 if any fails.

use anyhow::{Context, Result, bail};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use validation::checks::dates::{Seasons, by_stage, calibration, sharpness};
use validation::checks::{odds, outlook, season_a, warning, worlds};
use validation::held::Held;
use validation::size::Size;
use validation::verdict::{Check, Went};
use validation::{figure, page};

const USAGE: &str = "\
validation          the checks at the size of the tests; writes nothing
validation --full   at full size; writes docs/validation.md and docs/pictures/coverage.svg";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let size = match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        [] => Size::Small,
        ["--full"] => Size::Full,
        _ => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    match run(size) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(failure) => {
            eprintln!("validation: {failure:#}");
            ExitCode::FAILURE
        }
    }
}

/// Runs every check; true if all passed.
fn run(size: Size) -> Result<bool> {
    let root = root()?;
    let told = |words: &str| eprintln!("  {words}");
    let seasons = Seasons::made(size, &told)?;
    let mut checks: Vec<Check> = Vec::new();
    let mut take = |check: Check| {
        println!("{}", check.in_words());
        checks.push(check);
    };
    take(calibration(&seasons, size));
    take(sharpness(&seasons, size));
    take(odds::reliable(&odds::broods_for_odds(size, &told)?, size));
    let (wrong, shown_wrong) = worlds::bend(size, &told)?;
    take(wrong);
    take(warning::warns(&seasons, size, &told)?);
    let (ahead, shown_ahead) = outlook::goes_on(size, &told)?;
    take(ahead);
    take(season_a::holds(&root.join("demo"), &told)?);

    let passed = checks.iter().filter(|it| it.passed()).count();
    let missing = checks.iter().flat_map(|it| &it.demands).filter(|it| it.went == Went::Missing).count();
    let verdict = format!("{passed} of {} checks passed; {missing} demands are not there yet.", checks.len());
    println!("{verdict}");
    if size == Size::Full {
        let situations = ["seen in L2", "seen in L4", "seen as pupae"].into_iter().zip(seasons.held());
        let rows: Vec<(String, Held)> = situations
            .chain(shown_wrong)
            .chain(shown_ahead)
            .map(|(name, held)| (name.to_owned(), held))
            .collect();
        let sections: Vec<String> = checks.iter().map(Check::in_words).collect();
        let stages = by_stage(&seasons).in_words();
        let tables = format!("{verdict}\n\n{}\n### By stage\n\n{stages}", sections.join("\n"));
        page::write(&root, &tables, &figure::coverage(&rows))?;
    }
    Ok(passed == checks.len())
}

/// The root of the repository, where the demo seasons and the pages are.
fn root() -> Result<PathBuf> {
    let here = std::env::current_dir().context("cannot tell the current folder")?;
    match here.ancestors().find(|it| it.join("demo/README.md").is_file() && it.join("docs").is_dir()) {
        Some(root) => Ok(Path::to_owned(root)),
        None => bail!("run this inside the repository: the demo seasons are needed"),
    }
}
