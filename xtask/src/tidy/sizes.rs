//! Small rooms: a source file over 500 lines is worth a thought, one over 800 needs a reason on the list below.

use super::fault::Fault;
use crate::repository::{Page, Repository};

const THOUGHT_LINES: usize = 500;
const LIMIT_LINES: usize = 800;

/// Long files that may stay so, each with its reason.
const LONG: &[(&str, &str)] = &[];

/// All style sheets and all scripts of the pages together: a phone in a shed loads them.
const BUDGETS: &[(&str, usize)] = &[("css", 1200), ("js", 400)];

/// Files and folders that are too long, and source files without a word at the door.
pub fn faults(repository: &Repository) -> Vec<Fault> {
    let mut faults = Vec::new();
    for page in sources(repository) {
        let count = page.text.lines().count();
        if count > LIMIT_LINES && !LONG.iter().any(|(path, _)| *path == page.path) {
            faults.push(Fault::of(&page.path, format!("{count} lines, more than {LIMIT_LINES}: split it")));
        }
        if in_src(&page.path) && !has_door_sign(&page.text) {
            faults.push(Fault::of(&page.path, "does not begin with `//!` and what the file is for"));
        }
    }
    for (extension, budget) in BUDGETS {
        let count = lines_of(repository, extension);
        if count > *budget {
            faults.push(Fault::of("crates/web", format!("{count} lines of {extension}, more than {budget}")));
        }
    }
    faults
}

/// Files that are getting long.
pub fn warnings(repository: &Repository) -> Vec<Fault> {
    let counted = sources(repository).map(|it| (it, it.text.lines().count()));
    let long = counted.filter(|(_, count)| (THOUGHT_LINES + 1..=LIMIT_LINES).contains(count));
    long.map(|(page, count)| Fault::of(&page.path, format!("{count} lines: can it be two rooms?"))).collect()
}

fn sources(repository: &Repository) -> impl Iterator<Item = &Page> {
    repository.pages.iter().filter(|it| it.ends("rs"))
}

fn in_src(path: &str) -> bool {
    path.starts_with("xtask/src/") || (path.starts_with("crates/") && path.split('/').nth(2) == Some("src"))
}

fn has_door_sign(text: &str) -> bool {
    let first = text.lines().find(|it| !it.trim().is_empty()).unwrap_or_default();
    first.strip_prefix("//!").is_some_and(|it| !it.trim().is_empty())
}

fn lines_of(repository: &Repository, extension: &str) -> usize {
    repository.below("crates/web/").filter(|it| it.ends(extension)).map(|it| it.text.lines().count()).sum()
}

#[cfg(test)]
mod tests {
    use super::super::fault::told;
    use super::*;

    fn lines(count: usize) -> String {
        format!("//! Long.\n{}", "x\n".repeat(count - 1))
    }

    #[test]
    fn a_file_at_the_limit_passes_and_one_line_more_does_not() {
        let at = Repository::of(&[("crates/web/src/lib.rs", &lines(LIMIT_LINES))]);
        let over = Repository::of(&[("crates/web/src/lib.rs", &lines(LIMIT_LINES + 1))]);
        assert!(faults(&at).is_empty());
        assert_eq!(told(&faults(&over)), ["crates/web/src/lib.rs: 801 lines, more than 800: split it"]);
    }

    #[test]
    fn a_long_file_is_a_warning_first() {
        let fine = Repository::of(&[("crates/web/src/lib.rs", &lines(THOUGHT_LINES))]);
        let long = Repository::of(&[("crates/web/src/lib.rs", &lines(THOUGHT_LINES + 1))]);
        assert!(warnings(&fine).is_empty());
        assert_eq!(warnings(&long).len(), 1);
        assert!(faults(&long).is_empty());
    }

    #[test]
    fn a_file_without_a_door_sign_is_caught_in_src_alone() {
        for text in ["", "use std::fmt;\n//! Late.\n", "//!\nuse std::fmt;\n", "// Not a door sign.\n"] {
            assert_eq!(faults(&Repository::of(&[("crates/web/src/lib.rs", text)])).len(), 1, "{text:?}");
            assert_eq!(faults(&Repository::of(&[("xtask/src/lib.rs", text)])).len(), 1, "{text:?}");
            assert!(faults(&Repository::of(&[("crates/web/tests/pages.rs", text)])).is_empty());
        }
    }

    #[test]
    fn style_and_script_are_counted_together() {
        let half = "a\n".repeat(201);
        let one = Repository::of(&[("crates/web/static/bench.js", &half)]);
        let two = Repository::of(&[("crates/web/static/bench.js", &half), ("crates/web/static/b.js", &half)]);
        assert!(faults(&one).is_empty());
        assert_eq!(told(&faults(&two)), ["crates/web: 402 lines of js, more than 400"]);
    }
}
