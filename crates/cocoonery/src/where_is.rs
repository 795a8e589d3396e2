//! Where things lie, by the XDG base directory convention.

use anyhow::{Context, Result};
use std::path::PathBuf;

/// The folder of the book, if none is named.
pub(crate) fn book() -> Result<PathBuf> {
    let data = match std::env::var_os("XDG_DATA_HOME").filter(|it| !it.is_empty()) {
        Some(data) => PathBuf::from(data),
        None => home()?.join(".local").join("share"),
    };
    Ok(data.join("cocoonery").join("book"))
}

fn home() -> Result<PathBuf> {
    std::env::home_dir()
        .filter(|it| !it.as_os_str().is_empty())
        .context("there is no home folder to keep the book in: name one with --book FOLDER")
}
