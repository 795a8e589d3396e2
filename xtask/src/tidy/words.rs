//! A keeper reads the words of the trade, never those of an office.

use super::fault::Fault;
use super::literals::literals;
use super::shipped::{is_for_tests, shipped_part};
use crate::repository::{Page, Repository};

/// Words that no keeper should see, and what to say instead.
const OFFICE: &[(&str, &str)] = &[
    ("asset", "name the thing: a box, a cocoon, leaf"),
    ("inventory", "what is in the house"),
    ("inventories", "what is in the house"),
    ("dashboard", "this morning, or the season"),
    ("transaction", "an entry in the book"),
    ("batch status", "the brood as it stands"),
    ("mortality event", "found dead, or short"),
];

/// Where the words of the faces are written.
const FACES: &[&str] = &["crates/web/", "crates/keeper/", "crates/cocoonery/"];

/// A word that is right in one place after all, with the reason.
const ALLOWED: &[(&str, &str, &str)] =
    &[("crates/web/static/outbox.js", "transaction", "the browser's own name of the method")];

/// Office words in string literals, style, script and page files of the faces. Tests may say them, to see them absent.
pub fn faults(repository: &Repository) -> Vec<Fault> {
    let ours = |page: &&Page| FACES.iter().any(|it| page.path.starts_with(it)) && !is_for_tests(&page.path);
    repository.pages.iter().filter(ours).flat_map(of_page).collect()
}

fn of_page(page: &Page) -> Vec<Fault> {
    let texts = match page.path.rsplit_once('.') {
        Some((_, "rs")) => literals(shipped_part(&page.text)),
        Some((_, "html" | "js" | "css" | "webmanifest" | "txt")) => numbered(&page.text),
        _ => Vec::new(),
    };
    let mut faults = Vec::new();
    for (line, text) in texts {
        let found = OFFICE.iter().filter(|(word, _)| has(&text, word) && !allowed(&page.path, word));
        faults.extend(found.map(|(word, instead)| {
            Fault::at(&page.path, line, format!("says \"{word}\" to a keeper; say {instead}"))
        }));
    }
    faults
}

fn numbered(text: &str) -> Vec<(usize, String)> {
    text.lines().enumerate().map(|(at, line)| (at + 1, line.to_owned())).collect()
}

fn allowed(path: &str, word: &str) -> bool {
    ALLOWED.iter().any(|(place, it, _)| *place == path && *it == word)
}

/// Whether the text holds the word, alone or with an `s`, in any case and across a line break.
fn has(text: &str, word: &str) -> bool {
    let words: Vec<String> = text
        .split(|it: char| !it.is_alphanumeric())
        .filter(|it| !it.is_empty())
        .map(str::to_lowercase)
        .collect();
    let sought: Vec<&str> = word.split(' ').collect();
    let plural = format!("{}s", sought[sought.len() - 1]);
    words.windows(sought.len()).any(|window| {
        let (last, before) = (&window[window.len() - 1], &window[..window.len() - 1]);
        before == &sought[..sought.len() - 1] && (last == sought[sought.len() - 1] || *last == plural)
    })
}

#[cfg(test)]
mod tests {
    use super::super::fault::told;
    use super::*;

    fn found(path: &str, text: &str) -> Vec<String> {
        told(&faults(&Repository::of(&[(path, text)])))
    }

    #[test]
    fn every_office_word_is_caught_in_a_literal() {
        for (word, _) in OFFICE {
            let source = format!("\nfn f() {{ g(\"Your {}.\") }}", word.to_uppercase());
            assert_eq!(found("crates/web/src/views.rs", &source).len(), 1, "{word}");
        }
        assert_eq!(found("crates/keeper/src/round.rs", "x(\"3 mortality\n events\")").len(), 1);
    }

    #[test]
    fn names_comments_tests_and_lower_floors_are_free() {
        let source = "// asset\nfn transaction() {}\n#[cfg(test)]\nmod tests { x(\"dashboard\") }";
        assert!(found("crates/web/src/views.rs", source).is_empty());
        assert!(found("crates/web/tests/pages.rs", "x(\"dashboard\")").is_empty());
        assert!(found("crates/store/src/lib.rs", "x(\"transaction\")").is_empty());
    }

    #[test]
    fn a_longer_word_is_another_word() {
        assert!(found("crates/web/src/views.rs", "x(\"assets1 transactional\")").is_empty());
    }

    #[test]
    fn page_files_are_read_line_by_line() {
        assert_eq!(
            found("crates/web/static/bench.js", "one\nsay('Inventory')\n"),
            ["crates/web/static/bench.js:2: says \"inventory\" to a keeper; say what is in the house"]
        );
    }
}
