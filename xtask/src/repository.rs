//! The text of the repository, read once and handed to every rule.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

/// Folders that are made, not written.
const MADE: &[&str] = &[".git", "target", "pictures-of-tests"];

/// One text file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// From the root, with forward slashes.
    pub path: String,
    /// All of it.
    pub text: String,
}

impl Page {
    /// Whether the name ends so (`rs`, `css`).
    pub fn ends(&self, extension: &str) -> bool {
        self.path.rsplit_once('.').is_some_and(|(_, it)| it == extension)
    }
}

/// Every text file, and the path of every file and folder.
#[derive(Debug, Default)]
pub struct Repository {
    /// Text files in the order of their paths.
    pub pages: Vec<Page>,
    paths: BTreeSet<String>,
}

impl Repository {
    /// Reads everything under `root` except what is made.
    pub fn read(root: &Path) -> Result<Self> {
        let mut found = Vec::new();
        walk(root, root, &mut found)?;
        found.sort();
        let mut repository = Self::default();
        for path in found {
            let whole = root.join(&path);
            let bytes = fs::read(&whole).with_context(|| format!("cannot read {}", whole.display()))?;
            repository.note(path.clone());
            // Pictures and other bytes have a path, but no lines to look at.
            if let Ok(text) = String::from_utf8(bytes) {
                repository.pages.push(Page { path, text });
            }
        }
        Ok(repository)
    }

    /// Remembers a file and the folders it lies in. An empty folder does not count: git would not keep it.
    fn note(&mut self, path: String) {
        for (at, _) in path.match_indices('/') {
            self.paths.insert(path[..at].to_owned());
        }
        self.paths.insert(path);
    }

    /// The page at a path.
    pub fn page(&self, path: &str) -> Option<&Page> {
        self.pages.iter().find(|it| it.path == path)
    }

    /// Whether a file or folder is there.
    pub fn has(&self, path: &str) -> bool {
        self.paths.contains(path.trim_end_matches('/'))
    }

    /// The pages below a folder (`crates/web/`).
    pub fn below<'a>(&'a self, folder: &'a str) -> impl Iterator<Item = &'a Page> {
        self.pages.iter().filter(move |it| it.path.starts_with(folder))
    }

    /// The names of the files and folders that lie directly in a folder.
    pub fn names_in(&self, folder: &str) -> BTreeSet<&str> {
        let start = format!("{folder}/");
        self.paths.iter().filter_map(|it| it.strip_prefix(&start)?.split('/').next()).collect()
    }

    /// A repository out of thin air, for the tests of the rules.
    #[cfg(test)]
    pub fn of(pages: &[(&str, &str)]) -> Self {
        let mut repository = Self::default();
        for (path, text) in pages {
            repository.note((*path).to_owned());
            repository.pages.push(Page { path: (*path).to_owned(), text: (*text).to_owned() });
        }
        repository
    }
}

/// The root: the nearest folder upwards whose manifest declares the workspace.
pub fn root() -> Result<PathBuf> {
    let here = std::env::current_dir().context("cannot tell the current folder")?;
    for folder in here.ancestors() {
        let manifest = fs::read_to_string(folder.join("Cargo.toml")).unwrap_or_default();
        if manifest.lines().any(|it| it.trim() == "[workspace]") {
            return Ok(folder.to_owned());
        }
    }
    bail!("no Cargo.toml with [workspace] in {} or above", here.display())
}

fn walk(root: &Path, folder: &Path, found: &mut Vec<String>) -> Result<()> {
    let entries = fs::read_dir(folder).with_context(|| format!("cannot list {}", folder.display()))?;
    for entry in entries {
        let entry = entry.with_context(|| format!("cannot list {}", folder.display()))?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let kind = entry.file_type().with_context(|| format!("cannot look at {name}"))?;
        if kind.is_dir() && !MADE.contains(&name.as_str()) {
            walk(root, &entry.path(), found)?;
        } else if kind.is_file() {
            let path = entry.path();
            let from_root = path.strip_prefix(root).unwrap_or(&path);
            found.push(from_root.to_string_lossy().replace('\\', "/"));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_brings_its_folders() {
        let repository = Repository::of(&[("crates/web/src/lib.rs", "")]);
        assert!(repository.has("crates/web/src"));
        assert!(repository.has("crates/web/"));
        assert!(!repository.has("crates/we"));
    }

    #[test]
    fn names_in_a_folder_are_told_once() {
        let repository = Repository::of(&[("crates/web/src/lib.rs", ""), ("crates/web/Cargo.toml", "")]);
        assert_eq!(repository.names_in("crates").into_iter().collect::<Vec<_>>(), ["web"]);
    }
}
