//! The page on which the last full run is told.

use anyhow::{Context, Result, bail};
use std::path::Path;

/// From here on the page is written by the run.
const FROM: &str = "<!-- written by `cargo xtask validate` from here -->";
/// Down to here.
const TO: &str = "<!-- to here -->";

/// The page with the part between its marks replaced.
///
/// # Errors
/// If a mark is missing; the page is then left as it was.
fn with_tables(page: &str, tables: &str) -> Result<String> {
    let (Some(from), Some(to)) = (page.find(FROM), page.find(TO)) else {
        bail!("the page has lost one of its marks `{FROM}` and `{TO}`");
    };
    if to < from {
        bail!("the marks of the page are in the wrong order");
    }
    let (before, after) = (&page[..from + FROM.len()], &page[to..]);
    Ok(format!("{before}\n\n{}\n\n{after}", tables.trim()))
}

/// Writes the tables onto the page, and the picture beside it.
///
/// # Errors
/// If a file cannot be read or written.
pub fn write(root: &Path, tables: &str, picture: &str) -> Result<()> {
    let path = root.join("docs/validation.md");
    let page = std::fs::read_to_string(&path).with_context(|| format!("cannot read {}", path.display()))?;
    let page = with_tables(&page, tables)?;
    std::fs::write(&path, page).with_context(|| format!("cannot write {}", path.display()))?;
    write_picture(root, "coverage.svg", picture)
}

/// Writes a picture into the folder of the documents' pictures.
///
/// # Errors
/// If it cannot be written.
pub fn write_picture(root: &Path, name: &str, picture: &str) -> Result<()> {
    let path = root.join("docs/pictures").join(name);
    std::fs::write(&path, picture).with_context(|| format!("cannot write {}", path.display()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn only_what_lies_between_the_marks_is_written() {
        let page = format!("Before.\n\n{FROM}\nold\n{TO}\n\nAfter.\n");
        let once = with_tables(&page, "new\n").unwrap();
        assert!(once.starts_with("Before.") && once.ends_with("After.\n"), "{once}");
        assert!(once.contains("new") && !once.contains("old"), "{once}");
        assert_eq!(with_tables(&once, "new").unwrap(), once);
        assert!(with_tables("Before.", "new").is_err());
    }
}
