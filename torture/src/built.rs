//! The programs that are tried, built beside this one.

use anyhow::{Context, Result, ensure};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

/// The real binary.
///
/// # Errors
/// If it cannot be built.
pub fn cocoonery() -> Result<PathBuf> {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    once(&BUILT, &["-p", "cocoonery", "--bin", "cocoonery"], "cocoonery")
}

/// A house that serves a book which is not synced.
///
/// # Errors
/// If it cannot be built.
pub fn weak_house() -> Result<PathBuf> {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    once(&BUILT, &["-p", "torture", "--features", "weak", "--bin", "weak-house"], "weak-house")
}

fn once(built: &OnceLock<PathBuf>, words: &[&str], name: &str) -> Result<PathBuf> {
    if let Some(path) = built.get() {
        return Ok(path.clone());
    }
    let path = build(words, name)?;
    Ok(built.get_or_init(|| path).clone())
}

/// Builds in the folder and profile in which this program was built.
fn build(words: &[&str], name: &str) -> Result<PathBuf> {
    let us = std::env::current_exe().context("this program does not know where it lies")?;
    let mut profile = us.parent().context("this program lies nowhere")?;
    if profile.ends_with("deps") {
        profile = profile.parent().context("this program lies nowhere")?;
    }
    let target = profile.parent().context("this program lies nowhere")?;
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut command = Command::new(cargo);
    command.args(["build", "--quiet"]).args(words).arg("--target-dir").arg(target);
    if profile.ends_with("release") {
        command.arg("--release");
    }
    let status = command.current_dir(root()).status().context("cargo could not be started")?;
    ensure!(status.success(), "{name} could not be built");
    Ok(profile.join(name))
}

/// The root of the repository.
#[must_use]
pub fn root() -> &'static Path {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here)
}

/// The recorder, compiled into a folder; `None` where there is no C compiler or no way to put it in between.
///
/// # Errors
/// If the compiler finds fault with it.
pub fn recorder(into: &Path) -> Result<Option<PathBuf>> {
    if !cfg!(target_os = "linux") {
        return Ok(None);
    }
    let library = into.join("recorder.so");
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/recorder.c");
    let compiled = Command::new("cc")
        .args(["-shared", "-fPIC", "-O1", "-o"])
        .arg(&library)
        .arg(source)
        .arg("-ldl")
        .status();
    match compiled {
        Err(_) => Ok(None),
        Ok(status) => {
            ensure!(status.success(), "the recorder does not compile");
            Ok(Some(library))
        }
    }
}
