//! Runs the steps one after the other and says how long each took.

use std::io::Write;
use std::path::Path;
use std::time::Duration;

use anyhow::{Result, anyhow};

use crate::shell::Stopwatch;
use crate::step::Step;
use crate::steps;

/// Prints the steps in order. A reader who has seen enough may close the pipe.
pub fn list() {
    let mut out = std::io::stdout().lock();
    for step in Step::ALL {
        if writeln!(out, "{:8} {}", step.name(), step.about()).is_err() {
            return;
        }
    }
}

/// Runs the given steps; the first failure ends the run and becomes one line that says what to do.
pub fn run(root: &Path, chosen: &[Step]) -> Result<()> {
    let whole = Stopwatch::start();
    for &step in chosen {
        println!("\n== {}: {} ==", step.name(), step.about());
        let clock = Stopwatch::start();
        let outcome = one(root, step);
        let took = seconds(clock.elapsed());
        outcome.map_err(|it| anyhow!("{}", failed(step, &took, &format!("{it:#}"))))?;
        println!("== {}: passed in {took} ==", step.name());
    }
    println!("\nThe whole run took {}.", seconds(whole.elapsed()));
    if chosen.len() == Step::ALL.len() {
        println!("check: all steps passed");
    } else {
        let names: Vec<_> = chosen.iter().map(|it| it.name()).collect();
        println!("check: passed {} (only these were asked for)", names.join(", "));
    }
    Ok(())
}

fn one(root: &Path, step: Step) -> Result<()> {
    match step {
        Step::Tools => steps::tools(),
        Step::Fmt => steps::fmt(root),
        Step::Clippy => steps::clippy(root),
        Step::Doc => steps::doc(root),
        Step::Tests => steps::tests(root),
        Step::Tidy => steps::tidy(root),
        Step::Deny => steps::deny(root),
        Step::Release => steps::release(root),
    }
}

fn failed(step: Step, took: &str, cause: &str) -> String {
    let name = step.name();
    format!("{name} failed after {took} ({cause}): {}, then `cargo xtask check --only {name}`", step.remedy())
}

fn seconds(span: Duration) -> String {
    format!("{:.1} s", span.as_secs_f64())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failure_is_one_line_that_says_what_to_do() {
        let line = failed(Step::Fmt, "0.4 s", "`cargo fmt` ended with exit status: 1");
        assert_eq!(line.lines().count(), 1);
        assert!(line.contains("run `cargo fmt --all`") && line.contains("--only fmt"), "{line}");
    }
}
