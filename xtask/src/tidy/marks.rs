//! Marks that are meant to be temporary, and space at the end of a line that only a difference shows.

use super::fault::Fault;
use crate::repository::Page;

/// Each mark is written in two halves, so that this file does not carry it.
const UNFINISHED: &[&str] = &[
    concat!("TO", "DO"),
    concat!("FIX", "ME"),
    concat!("XX", "X"),
    concat!("dbg", "!"),
    concat!("#[ig", "nore"),
];

/// Kinds of file in which people write; tables of numbers may hold any letters.
const WRITTEN: &[&str] = &["rs", "md", "toml", "css", "js", "html", "sh", "py"];

/// Faults in one file. Fixtures are left alone: a smudged line may be what a reader is tried with.
pub fn faults(page: &Page) -> Vec<Fault> {
    if page.path.contains("/fixtures/") || page.path == "Cargo.lock" {
        return Vec::new();
    }
    let written = WRITTEN.iter().any(|it| page.ends(it));
    let mut faults = Vec::new();
    for (at, line) in page.text.lines().enumerate() {
        if line.ends_with([' ', '\t']) {
            faults.push(Fault::at(&page.path, at + 1, "ends in a space"));
        }
        let left = UNFINISHED.iter().filter(|it| written && has_word(line, it));
        faults.extend(
            left.map(|it| Fault::at(&page.path, at + 1, format!("`{it}`: finish it, or open an issue"))),
        );
    }
    faults
}

/// Whether a word stands by itself, and is not part of a longer one.
fn has_word(line: &str, word: &str) -> bool {
    line.match_indices(word).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        let after = line[at + word.len()..].chars().next();
        let joins = |it: Option<char>| it.is_some_and(|it| it.is_alphanumeric() || it == '_');
        // Only a word that ends in a letter can run on into a longer one.
        let runs_on = word.ends_with(char::is_alphanumeric) && joins(after);
        !joins(before) && !runs_on
    })
}

#[cfg(test)]
mod tests {
    use super::super::fault::told;
    use super::*;

    fn found(path: &str, text: &str) -> Vec<String> {
        told(&faults(&Page { path: path.to_owned(), text: text.to_owned() }))
    }

    #[test]
    fn every_mark_is_caught_where_people_write() {
        for mark in UNFINISHED {
            assert_eq!(found("crates/web/src/lib.rs", &format!("\n// {mark}: x")).len(), 1, "{mark}");
            assert_eq!(found("docs/quirks.md", &format!("{mark}(x)")).len(), 1, "{mark}");
        }
    }

    #[test]
    fn a_longer_word_and_a_table_are_left_alone() {
        let todo = UNFINISHED[0];
        assert!(found("crates/web/src/lib.rs", &format!("{todo}S_LEFT MY{todo}")).is_empty());
        assert!(found("reference/oracles/a.csv", &format!("{todo},1")).is_empty());
    }

    #[test]
    fn space_at_the_end_is_caught_everywhere_but_in_fixtures() {
        assert_eq!(found("demo/a.csv", "a,b\n1,2 \n"), ["demo/a.csv:2: ends in a space"]);
        assert_eq!(found("docs/quirks.md", "a\t").len(), 1);
        assert!(found("crates/exchange/tests/fixtures/smudged.csv", "a \n").is_empty());
    }
}
