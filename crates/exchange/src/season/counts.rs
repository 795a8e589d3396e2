//! Counts, and what the keeper had expected.
//!
//! A count is noted in the morning. Where the figure that the keeper expected
//! is only reached by something that the log puts later on the same day (one
//! was found in the evening, two were preserved at noon), the two tables agree
//! only if the count came after it, so it is noted then and said so.

use super::book::{About, Book};
use super::rows::{CountRow, EventRow, Happening, Told};
use super::scene::Scene;
use jiff::civil::DateTime;
use rearing::Deed;
use rearing::deed::{BoxNote, Counted, Seen};

/// Counts that wait for something later on their day.
#[derive(Default)]
pub(super) struct Waiting<'t> {
    rows: Vec<Vec<&'t Told<CountRow>>>,
}

impl<'t> Waiting<'t> {
    /// All stages of one box and day are one count, because they were seen in
    /// one look.
    pub fn count(
        &mut self,
        book: &mut Book<'t>,
        scene: &Scene<'t>,
        first: &'t Told<CountRow>,
        wall: DateTime,
    ) {
        let rows = scene.counts.get(&(first.it.date, first.it.name.as_str())).cloned().unwrap_or_default();
        if unexpected(book, &rows).is_some() && is_changed_after(scene, &first.it, wall) {
            self.rows.push(rows);
            return;
        }
        note(book, &rows, wall);
    }

    /// Something happened: does a count that waits for it fit now?
    pub fn after(&mut self, book: &mut Book<'t>, scene: &Scene<'t>, event: &EventRow) {
        for rows in std::mem::take(&mut self.rows) {
            let Some(first) = rows.first().copied() else { continue };
            let concerned = first.it.date == event.date && changes(event, &first.it.name);
            let fits = unexpected(book, &rows).is_none();
            if !concerned || (!fits && is_changed_after(scene, &first.it, event.wall())) {
                self.rows.push(rows);
                continue;
            }
            if fits {
                let says = format!(
                    "the log leads to the expected figure in box {} only at {}, so this count is noted then",
                    first.it.name,
                    event.time.strftime("%H:%M")
                );
                book.infer(first.into(), Some("expected_from_events"), says);
            }
            note(book, &rows, event.wall());
        }
    }
}

/// Can an event change how many are in a box?
fn changes(event: &EventRow, name: &str) -> bool {
    let no_change = matches!(
        event.happening,
        Happening::Quarantine
            | Happening::LetBack
            | Happening::CloseBox
            | Happening::DisinfectEggs
            | Happening::Note
            | Happening::Pair
            | Happening::Lay
    );
    !no_change && (event.boxes.iter().any(|it| it == name) || event.to_box.as_deref() == Some(name))
}

fn is_changed_after(scene: &Scene<'_>, count: &CountRow, wall: DateTime) -> bool {
    let mut events = scene.tables.events.iter().map(|it| &it.it);
    events.any(|it| it.date == count.date && it.wall() > wall && changes(it, &count.name))
}

/// The first stage of which the keeper expected another number than the book has.
fn unexpected<'t>(book: &Book<'_>, rows: &[&'t Told<CountRow>]) -> Option<(&'t Told<CountRow>, u32, u32)> {
    rows.iter().find_map(|row| {
        let has = book.house.boxes.get(&row.it.name).map_or(0, |it| it.count(None, row.it.stage));
        row.it.expected.filter(|it| *it != has).map(|expected| (*row, expected, has))
    })
}

fn note<'t>(book: &mut Book<'t>, rows: &[&'t Told<CountRow>], wall: DateTime) {
    let Some(first) = rows.first().copied() else { return };
    let name = first.it.name.clone();
    let mut notes: Vec<&str> = Vec::new();
    for row in rows.iter().filter(|it| !it.it.note.is_empty()) {
        if !notes.contains(&row.it.note.as_str()) {
            notes.push(&row.it.note);
        }
    }
    let note = notes.join("; ");
    let mut seen: Vec<Seen> = rows
        .iter()
        .filter_map(|it| Some(Seen { stage: it.it.stage, n: it.it.counted?, in_moult: it.it.in_moult }))
        .collect();
    seen.sort_by_key(|it| it.stage);
    let expected = unexpected(book, rows);
    let deed = if seen.is_empty() {
        Deed::FedOnly(BoxNote { name: name.clone(), note })
    } else {
        Deed::Counted(Counted { name: name.clone(), seen, beside: Vec::new(), note })
    };
    if book.note(first.into(), wall, "", deed)
        && let Some((row, expected, has)) = expected
    {
        let says = format!(
            "{expected} in {} are expected in box {name}, but the log leads to {has}: look for a row that is missing or wrong, or leave the cell empty",
            row.it.stage
        );
        // One animal too few stays too few every day, so a box is told of once.
        book.complain(row.into(), [About::the_box(&name)], Some("expected_from_events"), says);
    }
}
