//! The steps that cargo does for us.

use std::path::Path;

use anyhow::Result;

use crate::shell::{cargo, has_subcommand, must};

/// Layout of the source.
pub fn fmt(root: &Path) -> Result<()> {
    must(&mut cargo(root, &["fmt", "--all", "--check"]))
}

/// Tries to lose a note, at full size, with the binary as a keeper gets it.
pub fn torture(root: &Path, trials: &[String]) -> Result<()> {
    let words = ["run", "--release", "--locked", "--quiet", "-p", "torture", "--"];
    must(cargo(root, &words).args(trials))
}

/// Lints, as errors.
pub fn clippy(root: &Path) -> Result<()> {
    must(&mut cargo(root, &["clippy", "--workspace", "--all-targets", "--locked", "--", "-D", "warnings"]))
}

/// Documentation, as errors.
pub fn doc(root: &Path) -> Result<()> {
    let words = ["doc", "--workspace", "--no-deps", "--document-private-items", "--locked"];
    must(cargo(root, &words).env("RUSTDOCFLAGS", "-D warnings"))
}

/// The forecasts at full size; prints a table for each check and fails if any does.
pub fn validate(root: &Path) -> Result<()> {
    must(&mut cargo(root, &["run", "--release", "--package", "validation", "--locked", "--", "--full"]))
}

/// All tests. Nextest cannot run the examples in the documentation, so these are asked for beside it. Neither runner
/// stops at the first failure: a list of what is broken is worth the extra minute.
pub fn tests(root: &Path) -> Result<()> {
    if !has_subcommand(root, "nextest") {
        return must(&mut cargo(root, &["test", "--workspace", "--locked", "--no-fail-fast"]));
    }
    let words = ["nextest", "run", "--workspace", "--locked", "--no-fail-fast", "--status-level", "slow"];
    must(&mut cargo(root, &words))?;
    must(&mut cargo(root, &["test", "--workspace", "--locked", "--doc", "--no-fail-fast"]))
}
