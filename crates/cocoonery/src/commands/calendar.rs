//! `calendar`: when the next moult, cocoon or moth comes; from the book or from files.

use super::odds::lines_asked;
use super::print::{self, dates, json_out, out};
use crate::Global;
use crate::exit::{BadWords, Exit};
use anyhow::{Context, Result};
use jiff::civil::DateTime;
use keeper::brood_file::{Asked, answer};
use keeper::say;
use keeper::view::brood::{Brood, RestForecast, StageForecast};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// Possible seasons, where a file is asked without --runs.
const RUNS: u32 = 20_000;
const SEED: u64 = 1;

/// Words of `calendar`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// The line; all lines if none is named
    #[arg(conflicts_with = "brood")]
    line: Option<String>,
    /// Ask a brood from a file, without a book
    #[arg(long, value_name = "FILE.json", requires = "readings")]
    brood: Option<PathBuf>,
    /// The temperatures it had: a table with the header at,air_c
    #[arg(long, value_name = "FILE.csv", requires = "brood")]
    readings: Option<PathBuf>,
    /// Possible seasons to run
    #[arg(long, value_name = "N", requires = "brood")]
    runs: Option<u32>,
    /// Threads to work with; the answer does not depend on it
    #[arg(long, value_name = "N", requires = "brood", default_value_t = 1)]
    threads: usize,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    if let (Some(brood), Some(readings)) = (&words.brood, &words.readings) {
        return from_files(brood, readings, words, global);
    }
    let keeper = global.look()?;
    let mut broods = Vec::new();
    for line in lines_asked(&keeper, words.line.as_deref())? {
        broods.extend(keeper.brood(&line)?);
    }
    if global.json {
        json_out(&json!({ "lines": broods.iter().map(in_json).collect::<Vec<_>>() }))?;
    } else {
        for brood in &broods {
            in_words(brood)?;
        }
    }
    Ok(Exit::Ok)
}

fn from_files(brood: &Path, readings: &Path, words: &Words, global: &Global) -> Result<Exit> {
    let read = |file: &Path| {
        std::fs::read_to_string(file).with_context(|| format!("{} cannot be read as text", file.display()))
    };
    let asked = Asked {
        runs: words.runs.unwrap_or(RUNS),
        seed: global.seed.unwrap_or(SEED),
        threads: words.threads.clamp(1, 64),
    };
    let (brood, readings) = (read(brood)?, read(readings)?);
    let answer = answer(&brood, &readings, asked, keeper::library)
        .map_err(|it| BadWords(format!("{it}; nothing was computed")))?;
    json_out(&answer)?;
    Ok(Exit::Ok)
}

fn in_json(brood: &Brood) -> Value {
    let by_box: Vec<Value> =
        brood.by_box.iter().map(|(name, it)| json!({ "box": name, "next": stage(it) })).collect();
    let in_moult: Vec<Value> = brood
        .in_moult
        .iter()
        .map(|(name, it)| json!({ "box": name, "stage": it.stage.to_string(), "share": it.share, "until": it.until.to_string() }))
        .collect();
    json!({
        "as_of": print::moment(brood.now),
        "line": brood.line,
        "species": brood.species.1,
        "alive": super::round::stages(&brood.alive),
        "stages": brood.stages.iter().map(stage).collect::<Vec<_>>(),
        "by_box": by_box,
        "in_moult": in_moult,
        "moved": brood.moved,
        "rest": brood.rest.as_ref().map(rest),
        "warnings": brood.warnings,
        "rests_on": print::rests_on(&brood.rests_on),
        "receipt": print::receipt(&brood.receipt),
    })
}

fn rest(it: &RestForecast) -> Value {
    let peaks: Vec<Value> =
        it.peaks.iter().map(|it| json!({ "who": it.name, "moths": stage(&it.forecast) })).collect();
    json!({
        "share": { "mean": it.mean, "q05": it.share.0, "q50": it.share.1, "q95": it.share.2 },
        "pupae": { "q05": it.n.0, "q50": it.n.1, "q95": it.n.2 },
        "lying_over": it.lying_over,
        "says": it.says,
        "why": it.why,
        "peaks": peaks,
        "rests_on": print::rests_on(&it.rests_on),
    })
}

fn stage(it: &StageForecast) -> Value {
    json!({
        "stage": it.name,
        "first": dates(&it.first),
        "middle": dates(&it.middle),
        "last": dates(&it.last),
        "entering": dates(&it.entering),
        "reach": { "low": it.reach_n.0, "middle": it.reach_n.1, "high": it.reach_n.2 },
    })
}

fn in_words(brood: &Brood) -> Result<()> {
    let alive: Vec<String> = brood.alive.iter().map(|it| format!("{} {}", it.n, it.stage)).collect();
    out(&format!(
        "{}  {}: {} alive in {}",
        brood.line,
        brood.species.0,
        say::list(&alive),
        say::count(brood.boxes, "box", "boxes")
    ))?;
    for (name, moult) in &brood.in_moult {
        out(&format!("  {name}: {} in moult until about {}", moult.about_n, say::part_of_day(moult.until)))?;
    }
    for it in &brood.stages {
        out(&format!("  {:<10} {}", it.name, it.says))?;
        if it.name == "moth" && brood.rest.as_ref().is_some_and(|it| it.peaks.len() > 1) {
            out(&format!("  {:<10} {} of 20 get there", "", it.reach_of_twenty))?;
            continue;
        }
        let mut days = say::Days::seen_from(brood.now.date());
        let mut day = |at: DateTime| days.say(at.date());
        out(&format!(
            "  {:<10} first {} to {}, last {} to {}; {} of 20 get there",
            "",
            day(it.first.q10),
            day(it.first.q90),
            day(it.last.q10),
            day(it.last.q90),
            it.reach_of_twenty
        ))?;
    }
    if let Some(rest) = &brood.rest {
        out(&format!("  {:<10} {}", "rest", rest.says))?;
        out(&format!("  {:<10} {}", "", rest.why))?;
    }
    if let Some(moved) = &brood.moved {
        out(&format!("  {moved}"))?;
    }
    for warning in &brood.warnings {
        out(&format!("  note: {warning}"))?;
    }
    out(&format!("  {}", print::receipt_line(&brood.receipt)))
}
