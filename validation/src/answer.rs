//! The engine, asked through its file interface alone, and what it answered.

use crate::assumed::{MOTH, stage_name};
use crate::file::day_of;
use crate::spread::{LEVELS, Spread};
use anyhow::{Context, Result, anyhow, ensure};
use keeper::brood_file::{Asked, answer};
use serde_json::Value;

/// What was answered, as far as the checks look at it.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The date of the median animal into each stage, by stage.
    pub middle: [Option<Spread>; MOTH + 1],
    /// The chance of one pair.
    pub one_pair: f64,
    /// What it warns of, in its own words.
    pub warnings: Vec<String>,
}

impl Answer {
    /// Whether it says that the counts do not look like anything it expects.
    #[must_use]
    pub fn says_unlike(&self) -> bool {
        let says = |it: &String| ["unlike", "expect", "assume"].iter().any(|word| it.contains(word));
        self.warnings.iter().any(says)
    }
}

/// Asks, and reads the answer.
///
/// # Errors
/// If the engine refuses, or answers in another shape than the contract says.
pub fn ask(brood_json: &str, readings_csv: &str, asked: Asked) -> Result<Answer> {
    let said = answer(brood_json, readings_csv, asked, keeper::library)?;
    let mut middle = [None; MOTH + 1];
    for told in said["stages"].as_array().context("the answer has no stages")? {
        let name = told["stage"].as_str().context("a stage has no name")?;
        let stage = (0..=MOTH).find(|it| stage_name(*it) == name);
        let stage = stage.ok_or_else(|| anyhow!("the answer tells of an unknown stage {name}"))?;
        middle[stage] = Some(spread(&told["middle"])?);
    }
    let one_pair = said["odds"]["one_pair"].as_f64().context("the answer has no odds")?;
    ensure!((0.0..=1.0).contains(&one_pair), "odds of {one_pair}");
    let warnings = said["warnings"].as_array().context("the answer has no warnings")?;
    let warnings = warnings.iter().filter_map(Value::as_str).map(str::to_owned).collect();
    Ok(Answer { middle, one_pair, warnings })
}

fn spread(told: &Value) -> Result<Spread> {
    let mut days = [0.0; 7];
    for (day, (level, _)) in days.iter_mut().zip(LEVELS) {
        let words = told[level].as_str().with_context(|| format!("a date has no {level}"))?;
        *day = day_of(words).with_context(|| format!("`{words}` is no date"))?;
    }
    ensure!(days.is_sorted(), "the levels of a date fall: {days:?}");
    Ok(Spread(days))
}
