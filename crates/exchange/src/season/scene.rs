//! The tables of a season with everything that is looked up in them.

use super::Tables;
use super::lots;
use super::places::Places;
use super::rows::{CocoonRow, CountRow, EventRow, LotRow, MothRow, PairingRow, Told};
use crate::complaint::Complaint;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// See the module.
pub(super) struct Scene<'t> {
    pub tables: &'t Tables,
    pub places: Places<'t>,
    /// Cocoons by number.
    pub cocoons: BTreeMap<&'t str, &'t Told<CocoonRow>>,
    /// Moths by the number of their cocoon.
    pub moth_of: BTreeMap<&'t str, &'t Told<MothRow>>,
    /// Pairings by name.
    pub pairings: BTreeMap<&'t str, &'t Told<PairingRow>>,
    /// Counts by day and box: what was seen in one look.
    pub counts: BTreeMap<(Date, &'t str), Vec<&'t Told<CountRow>>>,
    /// Lots by the line of the event that receives them.
    pub received: BTreeMap<usize, &'t Told<LotRow>>,
}

impl<'t> Scene<'t> {
    pub fn of(tables: &'t Tables) -> (Self, Vec<Complaint>) {
        let (places, mut complaints) = Places::of(tables);
        let received = lots::matched(tables, &mut complaints);
        let mut counts: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for row in &tables.counts {
            counts.entry((row.it.date, row.it.name.as_str())).or_default().push(row);
        }
        let scene = Scene {
            tables,
            places,
            cocoons: tables.cocoons.iter().map(|it| (it.it.cocoon.as_str(), it)).collect(),
            moth_of: tables.moths.iter().map(|it| (it.it.cocoon.as_str(), it)).collect(),
            pairings: tables.pairings.iter().map(|it| (it.it.pairing.as_str(), it)).collect(),
            counts,
            received,
        };
        (scene, complaints)
    }

    /// Is there a row in the table of boxes?
    pub fn is_in_boxes(&self, name: &str) -> bool {
        self.tables.boxes.iter().any(|it| it.it.name == name)
    }

    /// The pairing that the note of an event begins with, such as `P26-1: ...`.
    pub fn pairing_named(&self, event: &EventRow) -> Option<&'t Told<PairingRow>> {
        self.pairings.get(first_word(&event.note)).copied()
    }
}

/// The words of a note without the signs around them: names are words.
pub(super) fn words(note: &str) -> impl Iterator<Item = &str> {
    note.split([' ', ',', ';', ':', '\n', '\t']).filter(|it| !it.is_empty())
}

pub(super) fn first_word(note: &str) -> &str {
    words(note).next().unwrap_or("")
}
