//! The pages under `docs/` say what the crate does.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may panic")]

use std::collections::HashSet;

use evidence::{Grade, QUANTITIES, library, read_claims};

fn page(name: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs").join(name);
    std::fs::read_to_string(path).unwrap()
}

#[test]
fn every_grade_has_its_heading() {
    let page = page("evidence.md");
    for grade in Grade::ALL {
        let found = page.lines().any(|line| {
            line.strip_prefix("### ").is_some_and(|heading| heading.split(':').next() == Some(grade.letter()))
        });
        assert!(found, "no heading for {grade}");
    }
}

#[test]
fn the_example_claim_can_be_read() {
    let page = page("evidence.md");
    let example: Vec<&str> = page
        .lines()
        .skip_while(|line| line.trim() != "```toml")
        .skip(1)
        .take_while(|line| line.trim() != "```")
        .map(str::trim)
        .collect();
    let (claims, complaints) = read_claims("docs/evidence.md", &example.join("\n"));
    assert_eq!(complaints, []);
    assert_eq!(claims.len(), 1);
    assert!(library().claim(&claims[0].id).is_none(), "the example must not be taken for a claim of ours");
}

#[test]
fn each_word_stands_once() {
    let page = page("vocabulary.md");
    let words: Vec<&str> = page
        .lines()
        .filter_map(|line| line.strip_prefix("| "))
        .filter_map(|line| line.split(" | ").next())
        .filter(|word| *word != "word" && !word.starts_with("---"))
        .collect();
    assert!(words.len() > 50);
    let mut seen = HashSet::new();
    for word in words {
        assert!(seen.insert(word), "`{word}` stands twice");
    }
}

#[test]
fn every_quantity_is_used_and_named_once() {
    let mut seen = HashSet::new();
    for quantity in QUANTITIES {
        assert!(seen.insert(quantity.name), "{} stands twice", quantity.name);
        let used = library().claims.iter().any(|claim| claim.quantity == quantity.name);
        assert!(used, "no claim speaks of {}", quantity.name);
    }
}
