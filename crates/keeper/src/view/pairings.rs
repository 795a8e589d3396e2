//! The pairing board of a night.

use super::{Receipt, RestsOn};
use jiff::civil::{Date, DateTime};

/// Who could pair tonight, and what became of earlier pairings.
#[derive(Debug, Clone, PartialEq)]
pub struct Pairings {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// `night of 28/29 April`.
    pub night: String,
    /// The answer in one sentence.
    pub says: String,
    /// Every female that is alive and not paired, with her possible males, best first.
    pub females: Vec<FemaleTonight>,
    /// Males that are alive.
    pub males: Vec<MothTonight>,
    /// Females that have taken and are laying.
    pub laying: Vec<MothTonight>,
    /// Moths alive without a name, which the board cannot pair.
    pub unnamed: u32,
    /// Sunset and the hour of pairing, by kind.
    pub hours: Vec<PairingHour>,
    /// Pairings noted so far, the newest first.
    pub noted: Vec<PairingRow>,
    /// Cautions at the act itself.
    pub cautions: Vec<String>,
    /// What it rests on.
    pub rests_on: Vec<RestsOn>,
    /// How to get it again.
    pub receipt: Receipt,
}

/// A moth that is alive.
#[derive(Debug, Clone, PartialEq)]
pub struct MothTonight {
    /// Its name.
    pub moth: String,
    /// Its line.
    pub line: String,
    /// When it came out.
    pub out_on: Date,
    /// Nights left, this one included: 1 of 10, half, 9 of 10 have fewer; `None` far beyond what its kind reaches.
    pub nights_left: Option<(f64, f64, f64)>,
    /// `about 4 nights left (1 to 7)`.
    pub says: String,
    /// Pairings in which it took.
    pub used: Vec<String>,
    /// The box it is in.
    pub lives_in: String,
}

/// A female and whom she could pair with.
#[derive(Debug, Clone, PartialEq)]
pub struct FemaleTonight {
    /// She.
    pub moth: MothTonight,
    /// Males of her kind that are alive: hers for tonight first, then best first.
    pub males: Vec<Candidate>,
    /// The male that is best for her tonight, if each female gets one of her own.
    pub tonight: Option<String>,
    /// Where there is no male: what is left to do.
    pub options: Vec<String>,
    /// Pairings that were tried with her and did not take.
    pub tried: Vec<String>,
}

/// One male for one female.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// His name.
    pub male: String,
    /// His line.
    pub line: String,
    /// Inbreeding of their young: at least, at most; `None` where the book does not tell.
    pub inbreeding: Option<(f64, f64)>,
    /// The same in words: `0.25: brother and sister`.
    pub kinship: String,
    /// Why he stands where he stands.
    pub because: String,
}

impl Candidate {
    /// The first words of the kinship: `brother and sister`, `not known to be kin`.
    #[must_use]
    pub fn kinship_short(&self) -> &str {
        let words = self.kinship.split(": ");
        let mut words = words.skip_while(|it| it.parse::<f64>().is_ok());
        words.next().unwrap_or(&self.kinship)
    }
}

/// When a kind pairs.
#[derive(Debug, Clone, PartialEq)]
pub struct PairingHour {
    /// The kind.
    pub kind: String,
    /// What is claimed; says so where nothing is.
    pub says: String,
    /// Rests on practice or hearsay alone, not on a measurement or a handbook.
    pub custom: bool,
    /// Sunset, dusk and dawn of this night where the moths are; how to tell the place, if it is not told.
    pub sun: String,
}

/// A pairing that was noted.
#[derive(Debug, Clone, PartialEq)]
pub struct PairingRow {
    /// Its name.
    pub pairing: String,
    /// When.
    pub on: Date,
    /// The female.
    pub female: String,
    /// The male, or words.
    pub male: String,
    /// `took`, `did not take`, `not told yet`.
    pub took: &'static str,
    /// How it was tried.
    pub method: String,
    /// Eggs by the day on which they were found.
    pub laid: Vec<(Date, u32)>,
    /// How many hatched, with the share and its range, in words; empty while nobody has told.
    pub hatch: String,
    /// How many hatched, if that is told.
    pub hatched: Option<u32>,
    /// What was found in the mother under the microscope; empty if nobody looked.
    pub mother_check: String,
}
