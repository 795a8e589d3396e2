//! Places whose air is read, with names that fit on a label.

use super::Tables;
use crate::complaint::Complaint;
use std::collections::{BTreeMap, BTreeSet};
use terms::label::LABEL_CHARS_MAX;

/// Places by the words in which the table names them.
#[derive(Debug, Default)]
pub(super) struct Places<'t> {
    labels: BTreeMap<&'t str, String>,
    first: String,
}

impl<'t> Places<'t> {
    pub fn of(tables: &'t Tables) -> (Self, Vec<Complaint>) {
        let mut places = Places::default();
        let mut complaints = Vec::new();
        for row in &tables.air {
            let told = row.it.place.as_str();
            if places.labels.contains_key(told) {
                continue;
            }
            let label = short(told);
            let says = match places.labels.iter().find(|(_, known)| **known == label) {
                Some((other, _)) => format!(
                    "`{told}` and `{other}` would both be called {label} on a label: let them differ before the first bracket or comma"
                ),
                None if label.is_empty() => format!("`{told}` is no name for a place: begin it with a word"),
                None => {
                    if places.first.is_empty() {
                        places.first.clone_from(&label);
                    }
                    places.labels.insert(told, label);
                    continue;
                }
            };
            complaints.push(Complaint::refused(row.table.file_name(), row.line, Some("place"), says));
        }
        (places, complaints)
    }

    /// The place that was read first, where boxes stand unless told otherwise.
    pub fn first(&self) -> String {
        self.first.clone()
    }

    pub fn label(&self, told: &str) -> String {
        self.labels.get(told).cloned().unwrap_or_else(|| short(told))
    }

    /// The place that shares most words with what was said about a store: a
    /// note of the cold tub leads to the thermometer in the cold tub.
    pub fn meant_by(&self, said: &[&str]) -> String {
        let words: BTreeSet<String> = said.iter().flat_map(|it| words(it)).collect();
        let shared = |told: &str| words_of(told).intersection(&words).count();
        let best = self.labels.iter().max_by_key(|(told, _)| shared(told));
        let score = best.map_or(0, |(told, _)| shared(told));
        let alone = self.labels.keys().filter(|told| shared(told) == score).count() == 1;
        match best {
            Some((_, label)) if score > 0 && alone => label.clone(),
            _ => self.first(),
        }
    }
}

fn words_of(text: &str) -> BTreeSet<String> {
    words(text).collect()
}

fn words(text: &str) -> impl Iterator<Item = String> + '_ {
    const NO_WORDS: [&str; 5] = ["the", "and", "for", "about", "invented"];
    text.split(|it: char| !it.is_alphabetic())
        .map(str::to_lowercase)
        .filter(|it| it.chars().count() > 2 && !NO_WORDS.contains(&it.as_str()))
}

/// The words before the first bracket or comma, as far as they fit on a label.
fn short(told: &str) -> String {
    let name = told.split(['(', ',']).next().unwrap_or("").trim();
    let name: String = name
        .chars()
        .map(|it| {
            if it.is_control() || matches!(it, '/' | '?' | '#' | '%' | '\u{2028}'..='\u{202e}') {
                '-'
            } else {
                it
            }
        })
        .collect();
    if name.chars().count() <= LABEL_CHARS_MAX {
        return name;
    }
    let cut: String = name.chars().take(LABEL_CHARS_MAX).collect();
    cut.rsplit_once(' ').map_or(cut.as_str(), |(whole_words, _)| whole_words).trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_fit_on_a_label() {
        assert_eq!(short("Brackenfold shed (invented), about 52.3 N 1.1 W"), "Brackenfold shed");
        assert_eq!(short("loft 1/2"), "loft 1-2");
        assert_eq!(
            short("a long shelf on the north wall behind the potting shed"),
            "a long shelf on the north wall behind"
        );
        assert!(short(&"x".repeat(50)).chars().count() == LABEL_CHARS_MAX);
    }
}
