//! The book as it grows while a season is read.

use super::files::Table;
use super::ids::{self, Fingerprint};
use super::rows::Told;
use super::{Origin, Tables};
use crate::complaint::{Complaint, Severity};
use jiff::civil::{Date, DateTime};
use rearing::{Deed, Entry, House, Refusal, When};
use std::collections::{BTreeMap, BTreeSet};

/// The row that an entry or a complaint comes from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Source<'t> {
    pub table: Table,
    pub line: usize,
    pub fingerprint: &'t Fingerprint,
}

impl<'t, T> From<&'t Told<T>> for Source<'t> {
    fn from(row: &'t Told<T>) -> Self {
        Source { table: row.table, line: row.line, fingerprint: &row.fingerprint }
    }
}

/// Entries so far, and the house that they make.
pub(super) struct Book<'t> {
    pub house: House,
    season: &'t str,
    zone: &'t str,
    by: &'t str,
    entries: Vec<Entry>,
    origins: Vec<Origin>,
    complaints: Vec<Complaint>,
    /// When the table of boxes sets up each box, for better words.
    set_up_on: BTreeMap<&'t str, Date>,
    /// Boxes, animals and pairings that a refused row speaks of. What is refused
    /// about them later is most likely a consequence, and saying it would only
    /// hide the cause.
    spoilt: BTreeSet<About>,
}

impl<'t> Book<'t> {
    pub fn new(season: &'t str, zone: &'t str, by: &'t str, tables: &'t Tables) -> Self {
        Book {
            house: House::default(),
            season,
            zone,
            by,
            entries: Vec::new(),
            origins: Vec::new(),
            complaints: Vec::new(),
            set_up_on: tables.boxes.iter().map(|it| (it.it.name.as_str(), it.it.opened)).collect(),
            spoilt: BTreeSet::new(),
        }
    }

    pub fn close(self) -> (Vec<Entry>, Vec<Origin>, House, Vec<Complaint>) {
        (self.entries, self.origins, self.house, self.complaints)
    }

    /// The moment of a wall clock.
    pub fn when(&mut self, source: Source<'_>, wall: DateTime) -> Option<When> {
        When::on_the_wall(wall, self.zone)
            .map_err(|error| {
                let says =
                    format!("the moment {wall} cannot be placed in time ({error}): look at the date again");
                self.complaints.push(Complaint::refused(
                    source.table.file_name(),
                    source.line,
                    Some("date"),
                    says,
                ));
            })
            .ok()
    }

    /// Notes a deed; `part` tells apart the entries that one row makes.
    pub fn note(&mut self, source: Source<'_>, wall: DateTime, part: &str, deed: Deed) -> bool {
        let Some(happened) = self.when(source, wall) else { return false };
        let id = ids::id(self.season, source.table.file_name(), source.fingerprint, part, happened.at);
        let entry = Entry { id, noted_at: happened.at, happened, by: self.by.to_owned(), deed };
        let touched = all_about(&entry.deed);
        match self.house.apply(&entry) {
            Ok(()) => {
                if touched.iter().any(|it| self.spoilt.contains(it)) {
                    self.spoilt.extend(touched);
                }
                self.entries.push(entry);
                self.origins.push(Origin { table: source.table, line: source.line });
                true
            }
            Err(refusal) => {
                let says = self.in_words(&refusal);
                let column = blamed(source.table, &refusal, &entry.deed);
                self.complain(source, touched, column, says);
                false
            }
        }
    }

    /// Says what is wrong with a row, unless an earlier complaint about one of
    /// the same things explains it.
    pub fn complain(
        &mut self,
        source: Source<'_>,
        about: impl IntoIterator<Item = About>,
        column: Option<&str>,
        says: impl Into<String>,
    ) {
        let about: Vec<About> = about.into_iter().collect();
        if !about.iter().any(|it| self.spoilt.contains(it)) {
            self.complaints.push(Complaint::refused(source.table.file_name(), source.line, column, says));
        }
        self.spoilt.extend(about);
    }

    /// Says what had to be concluded.
    pub fn infer(&mut self, source: Source<'_>, column: Option<&str>, says: impl Into<String>) {
        let complaint = Complaint::refused(source.table.file_name(), source.line, column, says);
        self.complaints.push(complaint.as_severity(Severity::Inferred));
    }

    /// The words of the book, with what the tables know besides.
    fn in_words(&self, refusal: &Refusal) -> String {
        match refusal {
            Refusal::UnknownBox { name } => match self.set_up_on.get(name.as_str()) {
                Some(on) => {
                    format!("boxes.csv sets up box {name} on {on}, after this: look at both dates again")
                }
                None => format!(
                    "there is no box {name} in boxes.csv: look at the lid again, or add the box there"
                ),
            },
            other => other.to_string(),
        }
    }
}

/// What a row speaks of.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum About {
    Box(String),
    Cocoon(String),
    Moth(String),
    Pairing(String),
}

impl About {
    pub fn the_box(name: &str) -> About {
        About::Box(name.to_owned())
    }

    pub fn cocoon(number: &str) -> About {
        About::Cocoon(number.to_owned())
    }
}

/// Everything that a deed speaks of.
fn all_about(deed: &Deed) -> Vec<About> {
    let mut all: Vec<About> = boxes_of(deed).into_iter().map(About::the_box).collect();
    match deed {
        Deed::CocoonDescribed(it) => all.push(About::cocoon(&it.cocoon)),
        Deed::CocoonWeighed(it) => all.push(About::cocoon(&it.cocoon)),
        Deed::CameOut(it) => {
            all.extend(it.cocoon.iter().map(|it| About::cocoon(it)));
            all.extend(it.moth.iter().map(|it| About::Moth(it.clone())));
        }
        Deed::MothDescribed(it) => all.push(About::Moth(it.moth.clone())),
        Deed::Paired(it) => all.push(About::Pairing(it.pairing.clone())),
        Deed::Laid(it) => all.push(About::Pairing(it.pairing.clone())),
        Deed::EggsLeft(it) => all.push(About::Pairing(it.pairing.clone())),
        Deed::PairingTold(it) => all.push(About::Pairing(it.pairing.clone())),
        _ => {}
    }
    all
}

/// The boxes that a deed speaks of.
fn boxes_of(deed: &Deed) -> Vec<&str> {
    let mut boxes: Vec<&str> = deed.about_box().into_iter().collect();
    match deed {
        Deed::Hatched(it) | Deed::Moved(it) => boxes.push(&it.into),
        Deed::Moulted(it) | Deed::Spun(it) => boxes.extend(it.into.as_deref()),
        _ => {}
    }
    boxes
}

/// The column that holds what was refused.
fn blamed(table: Table, refusal: &Refusal, deed: &Deed) -> Option<&'static str> {
    let target = boxes_of(deed).get(1).copied();
    let column = match (table, refusal) {
        (Table::Events, Refusal::UnknownBox { name } | Refusal::BoxIsClosed { name, .. }) => {
            if target == Some(name) { "to_box" } else { "box" }
        }
        (
            Table::Cocoons,
            Refusal::UnknownBox { .. } | Refusal::BoxIsClosed { .. } | Refusal::NotEnough { .. },
        ) => "tray",
        (_, Refusal::UnknownBox { .. } | Refusal::BoxIsClosed { .. }) => "box",
        (_, Refusal::BoxIsOpen { .. } | Refusal::BoxNotEmpty { .. }) => "box",
        (Table::Events, Refusal::NotEnough { .. } | Refusal::NoneMissing { .. }) => "n",
        (Table::Events, Refusal::OutOfBounds(_)) => "n",
        (Table::Events, Refusal::NotEnoughEggs { .. }) => "n",
        (Table::Pairings, Refusal::NotEnoughEggs { .. }) => "eggs_laid",
        (Table::Events, Refusal::WhichLine { .. }) => "line",
        (Table::Events, Refusal::WrongStage { .. }) => "stage_from",
        (Table::Events, Refusal::UnknownAnimal { .. } | Refusal::AnimalElsewhere { .. }) => "note",
        (Table::Events, Refusal::AnimalKnown { .. } | Refusal::TooManyNumbers { .. }) => "note",
        (Table::Events, Refusal::UnknownPairing { .. } | Refusal::PairingKnown { .. }) => "note",
        (Table::Cocoons, Refusal::UnknownLot { .. }) => "lot",
        (Table::Cocoons, Refusal::AnimalKnown { .. }) => "cocoon",
        (Table::Adults, Refusal::UnknownAnimal { .. } | Refusal::AnimalElsewhere { .. }) => "adult",
        (Table::Weights, Refusal::UnknownAnimal { .. }) => "cocoon",
        (Table::Counts, Refusal::MoreInMoult { .. }) => "in_moult",
        (Table::Leaf, Refusal::MoreLeafLeft { .. }) => "left_g",
        _ => return None,
    };
    Some(column)
}
