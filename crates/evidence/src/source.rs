//! Where a figure was printed.

use crate::Complaint;
use crate::bibtex::{Entry, read_entries};

/// A source as it stands in `reference/sources.bib`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The key that claims name, such as `dash2016` or `practice-057`.
    pub key: String,
    /// The kind of entry, such as `article`, `book` or `misc`.
    pub kind: String,
    /// The authors, only for published works; `None` for pages that report practice.
    pub author: Option<String>,
    /// The year of printing, where it is known.
    pub year: Option<String>,
    /// The title, or `public web page (practice)`.
    pub title: String,
    /// Where it appeared (journal, volume, pages), where it is known.
    pub appeared_in: Option<String>,
    /// What a reader must know before quoting it.
    pub note: Option<String>,
}

impl Source {
    /// The short form that stands beside a figure: author and year where there are any, else the title.
    pub fn short(&self) -> String {
        match (&self.author, &self.year) {
            (Some(author), Some(year)) => format!("{author} {year}"),
            (Some(author), None) => format!("{author}, year not known"),
            (None, Some(year)) => format!("{} ({year})", self.title),
            (None, None) => self.title.clone(),
        }
    }
}

/// Reads a BibTeX file; an entry that cannot be used is complained of and the others are kept.
///
/// ```
/// let text = "@article{dash2016, author = {Dash and Jena}, year = 2016, title = {Leaf}}";
/// let (sources, complaints) = evidence::read_sources("sources.bib", text);
/// assert_eq!(sources[0].short(), "Dash and Jena 2016");
/// assert!(complaints.is_empty());
/// ```
pub fn read_sources(file: &str, text: &str) -> (Vec<Source>, Vec<Complaint>) {
    let (entries, mut complaints) = read_entries(file, text);
    let mut sources: Vec<Source> = Vec::new();
    for entry in entries {
        if sources.iter().any(|known| known.key == entry.key) {
            complaints.push(Complaint::at(
                file,
                entry.line,
                format!("the key `{}` is used twice; the first entry is kept", entry.key),
            ));
            continue;
        }
        match entry.field("title") {
            Some(title) => sources.push(source(&entry, title)),
            None => complaints.push(Complaint::at(
                file,
                entry.line,
                format!("the source `{}` has no title", entry.key),
            )),
        }
    }
    (sources, complaints)
}

fn source(entry: &Entry, title: String) -> Source {
    let place = ["journal", "booktitle", "publisher", "howpublished"]
        .iter()
        .find_map(|name| entry.field(name))
        .map(|name| match (entry.field("volume"), entry.field("pages")) {
            (Some(volume), Some(pages)) => format!("{name} {volume}: {pages}"),
            (Some(volume), None) => format!("{name} {volume}"),
            (None, Some(pages)) => format!("{name}: {pages}"),
            (None, None) => name,
        });
    Source {
        key: entry.key.clone(),
        kind: entry.kind.clone(),
        author: entry.field("author"),
        year: entry.field("year"),
        title,
        appeared_in: place,
        note: entry.field("note"),
    }
}
