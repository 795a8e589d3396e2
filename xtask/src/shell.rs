//! Starting other programs, and the one place that reads a clock.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

/// How long a step took. Nothing is ever judged by it.
pub struct Stopwatch(Instant);

impl Stopwatch {
    /// Starts to count.
    #[expect(
        clippy::disallowed_methods,
        reason = "the time of a step is told to a person and decides nothing"
    )]
    pub fn start() -> Self {
        Self(Instant::now())
    }

    /// The time since the start.
    pub fn elapsed(&self) -> Duration {
        self.0.elapsed()
    }
}

/// A cargo command in `root`, without standard input, and plain of colour where nobody watches.
pub fn cargo(root: &Path, words: &[&str]) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.args(words).current_dir(root).stdin(Stdio::null());
    // This program was itself started by cargo. What cargo said about *this* package must not reach the build
    // scripts of others, or they would run again after every check.
    for (name, _) in std::env::vars_os() {
        let name = name.to_string_lossy();
        if name.starts_with("CARGO_PKG_") || name.starts_with("CARGO_MANIFEST_") {
            command.env_remove(name.as_ref());
        }
    }
    if std::env::var_os("CI").is_some() {
        command.env("CARGO_TERM_COLOR", "never").env("CARGO_TERM_PROGRESS_WHEN", "never");
    }
    command
}

/// Runs a command whose output the reader should see; anything but success is an error that names it.
pub fn must(command: &mut Command) -> Result<()> {
    let told = told(command);
    println!("$ {told}");
    let status = command.status().with_context(|| format!("`{told}` could not be started"))?;
    if !status.success() {
        bail!("`{told}` ended with {status}");
    }
    Ok(())
}

/// Runs a command and hands back what it wrote to standard output; its complaints stay visible.
pub fn output(command: &mut Command) -> Result<String> {
    let told = told(command);
    let answer = command
        .stderr(Stdio::inherit())
        .output()
        .with_context(|| format!("`{told}` could not be started"))?;
    if !answer.status.success() {
        bail!("`{told}` ended with {}", answer.status);
    }
    String::from_utf8(answer.stdout).with_context(|| format!("`{told}` wrote something that is not text"))
}

/// Whether a cargo subcommand is installed.
pub fn has_subcommand(root: &Path, name: &str) -> bool {
    let mut command = cargo(root, &[name, "--version"]);
    command.stdout(Stdio::null()).stderr(Stdio::null()).status().is_ok_and(|it| it.success())
}

/// Where a program lies on the search path.
pub fn on_path(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|it| it.join(name)).find(|it| it.is_file())
}

/// The command as a person would type it.
fn told(command: &Command) -> String {
    let program = Path::new(command.get_program()).file_name().unwrap_or(command.get_program());
    std::iter::once(program)
        .chain(command.get_args())
        .map(|it| it.to_string_lossy().into_owned())
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    #[test]
    fn a_failing_command_is_an_error_that_names_it() {
        let complaint = must(cargo(Path::new("."), &["no-such-word"]).stderr(Stdio::null())).unwrap_err();
        assert!(complaint.to_string().contains("cargo no-such-word"), "{complaint}");
    }

    #[test]
    fn a_program_that_is_nowhere_is_not_found() {
        assert_eq!(on_path("no-such-program-in-any-house"), None);
    }
}
