//! `validation --full` tries the forecasts at full size; `validation` alone at the size of the tests. Prints one table
//! for each check, and ends with 1 if any fails.

use anyhow::{Context, Result, bail};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use validation::checks::dates::{Seasons, by_stage, calibration, sharpness};
use validation::checks::{odds, outlook, ranks, season_a, warning, worlds};
use validation::held::Held;
use validation::size::Size;
use validation::verdict::{Check, Went};
use validation::{figure, page};

const USAGE: &str = "\
validation                     the checks at the size of the tests; writes nothing
validation --full              at full size; writes docs/validation.md and docs/pictures/coverage.svg
validation --full --only PART  one of them at full size; writes no page, and of the pictures that of the ranks
    parts: dates, odds, worlds, warnings, outlook, season-a, ranks";

/// The checks in the order of the page.
const PARTS: [&str; 7] = ["dates", "odds", "worlds", "warnings", "outlook", "season-a", "ranks"];

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let (size, only) = match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        [] => (Size::Small, None),
        ["--full"] => (Size::Full, None),
        ["--full", "--only", part] if PARTS.contains(&part) => (Size::Full, Some(part.to_owned())),
        _ => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    match run(size, only.as_deref()) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(failure) => {
            eprintln!("validation: {failure:#}");
            ExitCode::FAILURE
        }
    }
}

/// Runs every check, or one; true if all passed.
fn run(size: Size, only: Option<&str>) -> Result<bool> {
    let root = root()?;
    let told = |words: &str| eprintln!("  {words}");
    let asked = |part: &str| only.is_none_or(|it| it == part);
    let mut checks: Vec<Check> = Vec::new();
    let mut take = |check: Check| {
        println!("{}", check.in_words());
        checks.push(check);
    };
    let mut shown: Vec<(&str, Held)> = Vec::new();
    let mut stages = String::new();
    if asked("dates") || asked("warnings") {
        let seasons = Seasons::made(size, &told)?;
        if asked("dates") {
            take(calibration(&seasons, size));
            take(sharpness(&seasons, size));
            shown.extend(["seen in L2", "seen in L4", "seen as pupae"].into_iter().zip(seasons.held()));
            stages = by_stage(&seasons).in_words();
        }
        if asked("warnings") {
            take(warning::warns(&seasons, size, &told)?);
        }
    }
    if asked("odds") {
        take(odds::reliable(&odds::broods_for_odds(size, &told)?, size));
    }
    if asked("worlds") {
        let (check, held) = worlds::bend(size, &told)?;
        take(check);
        shown.extend(held);
    }
    if asked("outlook") {
        let (check, held) = outlook::goes_on(size, &told)?;
        take(check);
        shown.extend(held);
    }
    if asked("season-a") {
        take(season_a::holds(&root.join("demo"), &told)?);
    }
    // At the small size the engine's own tests do this.
    if asked("ranks") && size == Size::Full {
        let (check, drawn) = ranks::are_even(&told)?;
        take(check);
        page::write_picture(&root, "ranks.svg", &figure::ranks(&drawn))?;
    }

    let passed = checks.iter().filter(|it| it.passed()).count();
    let missing = checks.iter().flat_map(|it| &it.demands).filter(|it| it.went == Went::Missing).count();
    let verdict = format!("{passed} of {} checks passed; {missing} demands are not there yet.", checks.len());
    println!("{verdict}");
    println!("### By stage\n\n{stages}");
    if size == Size::Full && only.is_none() {
        let rows: Vec<(String, Held)> =
            shown.into_iter().map(|(name, held)| (name.to_owned(), held)).collect();
        let sections: Vec<String> = checks.iter().map(Check::in_words).collect();
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
