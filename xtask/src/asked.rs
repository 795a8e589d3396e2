//! What was asked for on the command line.

use crate::oracles::Asking;
use crate::step::Step;

/// Shown for `--help` and after a word that is not understood.
pub const USAGE: &str = "\
cargo xtask check              everything that CI runs, stopping at the first failure
cargo xtask check --only STEP  only that step (may be given more than once)
cargo xtask check --list       the steps, in order
cargo xtask torture [TRIAL]    tries to lose a note, at full size (some twenty minutes)
cargo xtask validate           tries the forecasts at full size (some thirty minutes)
cargo xtask tidy               only the rules that read text
cargo xtask oracles            fresh random questions to `reckon` and to public libraries (needs python3)
                               [--seed N] [--rounds N]";

/// One request, with nothing left to decide.
#[derive(Debug, PartialEq, Eq)]
pub enum Asked {
    /// Print how to use this tool.
    Help,
    /// Print the steps of `check`.
    ListSteps,
    /// Run these steps in this order.
    Check(Vec<Step>),
    /// Run the text rules alone.
    Tidy,
    /// Try the forecasts at full size.
    Validate,
    /// Ask public libraries the same as `reckon`.
    Oracles(Asking),
    /// Try to lose a note: these trials, or all.
    Torture(Vec<String>),
}

/// Reads the words after `cargo xtask`, or says which of them is not understood.
pub fn read(words: &[String]) -> Result<Asked, String> {
    let mut words = words.iter().map(String::as_str);
    match words.next() {
        None | Some("help" | "--help" | "-h") => Ok(Asked::Help),
        Some("tidy") => alone(Asked::Tidy, "tidy", words.next()),
        Some("validate") => alone(Asked::Validate, "validate", words.next()),
        Some("check") => read_check(words),
        Some("oracles") => read_oracles(words),
        Some("torture") => Ok(Asked::Torture(words.map(str::to_owned).collect())),
        Some(other) => Err(format!("there is no `{other}`")),
    }
}

/// A request that takes no further word.
fn alone(asked: Asked, name: &str, further: Option<&str>) -> Result<Asked, String> {
    further.map_or(Ok(asked), |it| Err(format!("`{name}` takes no `{it}`")))
}

fn read_check<'a>(mut words: impl Iterator<Item = &'a str>) -> Result<Asked, String> {
    let mut only = Vec::new();
    while let Some(word) = words.next() {
        match word {
            "--help" | "-h" => return Ok(Asked::Help),
            "--list" => return Ok(Asked::ListSteps),
            "--only" => only.push(step_named(words.next())?),
            other => return Err(format!("`check` takes no `{other}`")),
        }
    }
    // The order of the house holds even when the words came in another one.
    let steps = Step::ALL.iter().copied().filter(|it| only.is_empty() || only.contains(it));
    Ok(Asked::Check(steps.collect()))
}

fn read_oracles<'a>(mut words: impl Iterator<Item = &'a str>) -> Result<Asked, String> {
    let mut asking = Asking { seed: None, rounds: 50 };
    while let Some(word) = words.next() {
        match word {
            "--help" | "-h" => return Ok(Asked::Help),
            "--seed" => asking.seed = Some(number(word, words.next())?),
            "--rounds" => asking.rounds = number(word, words.next())?,
            other => return Err(format!("`oracles` takes no `{other}`")),
        }
    }
    Ok(Asked::Oracles(asking))
}

fn number(option: &str, word: Option<&str>) -> Result<u32, String> {
    let word = word.ok_or_else(|| format!("`{option}` needs a number"))?;
    word.parse().map_err(|_| format!("`{option}` needs a whole number, not `{word}`"))
}

fn step_named(word: Option<&str>) -> Result<Step, String> {
    let names = || Step::ALL.map(Step::name).join(", ");
    let word = word.ok_or_else(|| format!("`--only` needs a step: {}", names()))?;
    Step::ALL
        .into_iter()
        .find(|it| it.name() == word)
        .ok_or_else(|| format!("there is no step `{word}`: {}", names()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    fn ask(line: &str) -> Result<Asked, String> {
        read(&line.split_whitespace().map(str::to_owned).collect::<Vec<_>>())
    }

    #[test]
    fn check_alone_means_every_step() {
        assert_eq!(ask("check"), Ok(Asked::Check(Step::ALL.to_vec())));
    }

    #[test]
    fn only_keeps_the_order_of_the_house() {
        assert_eq!(ask("check --only tidy --only fmt"), Ok(Asked::Check(vec![Step::Fmt, Step::Tidy])));
    }

    #[test]
    fn an_unknown_step_is_named_with_the_known_ones() {
        let complaint = ask("check --only formatting").unwrap_err();
        assert!(complaint.contains("formatting") && complaint.contains("clippy"), "{complaint}");
    }

    #[test]
    fn validate_stands_alone_and_is_in_the_help() {
        assert_eq!(ask("validate"), Ok(Asked::Validate));
        assert!(ask("validate --full").unwrap_err().contains("--full"));
        assert!(USAGE.contains("cargo xtask validate"));
    }

    #[test]
    fn a_step_left_out_is_not_taken_for_all_steps() {
        assert!(ask("check --only").is_err());
        assert!(ask("check fmt").is_err());
        assert!(ask("tidy --only arrows").is_err());
    }

    #[test]
    fn oracles_take_a_seed_and_a_number_of_rounds() {
        assert_eq!(ask("oracles"), Ok(Asked::Oracles(Asking { seed: None, rounds: 50 })));
        assert_eq!(
            ask("oracles --seed 7 --rounds 3"),
            Ok(Asked::Oracles(Asking { seed: Some(7), rounds: 3 }))
        );
        assert!(ask("oracles --seed").is_err() && ask("oracles --seed -1").is_err());
    }
}
