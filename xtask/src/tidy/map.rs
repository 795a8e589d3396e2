//! The map is under test: every crate is on it, and every path that a page of ours names is there.

use super::fault::Fault;
use crate::repository::{Page, Repository};

const MAP: &str = "ARCHITECTURE.md";

/// A word in backticks that starts so is meant as a path.
const ROOTS: &[&str] = &["crates/", "docs/", "reference/", "demo/", "xtask/", "validation/", "fuzz/"];

/// Rooms the map forgot, and rooms that our pages only dream of.
pub fn faults(repository: &Repository) -> Vec<Fault> {
    let mut faults = match repository.page(MAP) {
        Some(map) => forgotten(map, repository),
        None => vec![Fault::of(MAP, "there is no map of the house")],
    };
    let prose = repository.pages.iter().filter(|it| it.ends("md"));
    faults.extend(prose.flat_map(|it| dreamt(it, repository)));
    faults
}

fn forgotten(map: &Page, repository: &Repository) -> Vec<Fault> {
    let on_map = |name: &str| map.text.contains(&format!("`crates/{name}`"));
    let rooms = repository.names_in("crates").into_iter().filter(|it| !on_map(it));
    rooms.map(|it| Fault::of(MAP, format!("`crates/{it}` is not on the map"))).collect()
}

fn dreamt(page: &Page, repository: &Repository) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (number, line) in prose_lines(&page.text) {
        for quoted in line.split('`').skip(1).step_by(2) {
            if let Some(path) = as_path(quoted).filter(|it| !repository.has(it)) {
                faults.push(Fault::at(&page.path, number, format!("there is no `{path}`")));
            }
        }
    }
    faults
}

/// Lines with their number, without fenced blocks: these show examples, and their backticks do not pair.
fn prose_lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut fenced = false;
    text.lines().enumerate().filter_map(move |(at, line)| {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
            return None;
        }
        (!fenced).then_some((at + 1, line))
    })
}

/// The path that is meant, without an anchor or a line number. `NAME` and `*` stand for something, and name nothing.
fn as_path(quoted: &str) -> Option<&str> {
    let path = quoted.split(['#', ':']).next()?;
    let pattern = path.contains("NAME") || path.contains(['*', '<', '{', ' ', '…']);
    (ROOTS.iter().any(|it| path.starts_with(it)) && !pattern).then_some(path)
}

#[cfg(test)]
mod tests {
    use super::super::fault::told;
    use super::*;

    fn found(pages: &[(&str, &str)]) -> Vec<String> {
        told(&faults(&Repository::of(pages)))
    }

    #[test]
    fn a_true_map_passes() {
        let map =
            "`crates/terms` starts at `crates/terms/src/lib.rs`, see `crates/terms/src/` and `crates/NAME`.";
        assert!(found(&[(MAP, map), ("crates/terms/src/lib.rs", "")]).is_empty());
    }

    #[test]
    fn a_forgotten_room_is_caught() {
        assert_eq!(
            found(&[(MAP, "Nothing here."), ("crates/terms/src/lib.rs", "")]),
            ["ARCHITECTURE.md: `crates/terms` is not on the map"]
        );
    }

    #[test]
    fn a_dreamt_room_is_caught_with_its_line_on_any_page() {
        assert_eq!(
            found(&[(MAP, ""), ("docs/quirks.md", "\nSee `docs/attic.md#roof`.")]),
            ["docs/quirks.md:2: there is no `docs/attic.md`"]
        );
    }

    #[test]
    fn fenced_examples_are_left_alone() {
        assert!(found(&[(MAP, "```text\n`crates/attic`\n```\n")]).is_empty());
        assert_eq!(found(&[(MAP, "```text\n```\n`crates/attic`\n")]).len(), 1);
    }

    #[test]
    fn a_missing_map_is_caught() {
        assert_eq!(found(&[]).len(), 1);
    }
}
