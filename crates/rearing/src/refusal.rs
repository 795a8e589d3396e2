//! Every rule that can say no, worded for the bench.

use jiff::civil::Date;
use terms::Stage;
use terms::bounds::OutOfBounds;
use terms::label::BadLabel;
use uuid::Uuid;

/// Why an entry was refused. Every rule that can say no is listed here, so the
/// list doubles as what the book guarantees. Nothing of a refused entry is kept.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Refusal {
    /// No such box.
    #[error("there is no box {name}: open it first, or look at the lid again")]
    UnknownBox {
        /// What was written.
        name: String,
    },
    /// The box is put away.
    #[error("box {name} was closed on {on}: open it again before anything is put in")]
    BoxIsClosed {
        /// The box.
        name: String,
        /// Since when.
        on: Date,
    },
    /// Two boxes cannot have one name at a time.
    #[error("box {name} is open already: give the new one another name")]
    BoxIsOpen {
        /// The box.
        name: String,
    },
    /// A box with animals in it cannot be put away.
    #[error("box {name} still holds {n}: move them or note what became of them before closing it")]
    BoxNotEmpty {
        /// The box.
        name: String,
        /// How many.
        n: u32,
    },
    /// A box stands in one place.
    #[error("box {name} was given two places on the shelf: name it once")]
    TwicePlaced {
        /// The box.
        name: String,
    },
    /// A place on earth needs both numbers.
    #[error("{place} needs a latitude and a longitude: name both, or neither")]
    HalfAPlace {
        /// The place.
        place: String,
    },
    /// More animals than there are.
    #[error(
        "box {name} holds {has} in {stage}, not {asked}: count again, or note the moult or the find first"
    )]
    NotEnough {
        /// The box.
        name: String,
        /// The stage.
        stage: Stage,
        /// How many the book has there.
        has: u32,
        /// How many were named.
        asked: u32,
    },
    /// A box holds several lines and none was named.
    #[error("box {name} holds {lines}: say which line you mean")]
    WhichLine {
        /// The box.
        name: String,
        /// The lines in it.
        lines: String,
    },
    /// A stage that cannot do this.
    #[error("{stage} cannot {deed}: only {only} can")]
    WrongStage {
        /// The stage named.
        stage: Stage,
        /// What was to be noted.
        deed: &'static str,
        /// Which stages can.
        only: &'static str,
    },
    /// More turned up than were ever missing.
    #[error("of line {line} {missing} are missing, so {asked} cannot have been found: was it counted twice?")]
    NoneMissing {
        /// The line.
        line: String,
        /// How many are missing.
        missing: u32,
        /// How many were named.
        asked: u32,
    },
    /// A lot is received once.
    #[error("lot {lot} is in the book already: give the new one another name")]
    LotKnown {
        /// The lot.
        lot: String,
    },
    /// No such lot.
    #[error("there is no lot {lot} in the book")]
    UnknownLot {
        /// What was written.
        lot: String,
    },
    /// No such cocoon or moth.
    #[error("there is no {what} {name} in the book: look at the number again")]
    UnknownAnimal {
        /// Cocoon or moth.
        what: &'static str,
        /// What was written.
        name: String,
    },
    /// A numbered animal cannot come twice.
    #[error("{what} {name} is in the book already: give this one another number")]
    AnimalKnown {
        /// Cocoon or moth.
        what: &'static str,
        /// What was written.
        name: String,
    },
    /// The numbered animal is gone or elsewhere.
    #[error("{what} {name} is {now}: look at the number again")]
    AnimalElsewhere {
        /// Cocoon or moth.
        what: &'static str,
        /// What was written.
        name: String,
        /// Where the book has it.
        now: String,
    },
    /// More numbers than animals.
    #[error("{numbers} numbers were given for {n} animals")]
    TooManyNumbers {
        /// How many numbers.
        numbers: usize,
        /// How many animals.
        n: u32,
    },
    /// No such pairing.
    #[error("there is no pairing {pairing} in the book")]
    UnknownPairing {
        /// What was written.
        pairing: String,
    },
    /// A pairing is noted once.
    #[error("pairing {pairing} is in the book already: give the new one another name")]
    PairingKnown {
        /// What was written.
        pairing: String,
    },
    /// More eggs than were laid.
    #[error("of the laying {pairing} {has} eggs are left, not {asked}")]
    NotEnoughEggs {
        /// The pairing.
        pairing: String,
        /// How many are left.
        has: u32,
        /// How many were named.
        asked: u32,
    },
    /// An entry that is not there cannot be set aside.
    #[error("entry {0} is not in the book, or comes later: nothing was changed")]
    UnknownEntry(Uuid),
    /// An entry is set aside once.
    #[error("entry {0} has been set aside already")]
    AlreadySetAside(Uuid),
    /// More in moult than seen.
    #[error("{in_moult} in moult of {n} in {stage}: more than were seen")]
    MoreInMoult {
        /// The stage.
        stage: Stage,
        /// How many were seen.
        n: u32,
        /// How many of them in moult.
        in_moult: u32,
    },
    /// More leaf left than offered.
    #[error("{left_g} g of leaf left of {offered_g} g offered: weigh again, wet leaf weighs more")]
    MoreLeafLeft {
        /// Offered.
        offered_g: f64,
        /// Left.
        left_g: f64,
    },
    /// The lowest is above the highest.
    #[error("the lowest {what} ({min}) is above the highest ({max}): were the two swapped?")]
    MinAboveMax {
        /// What was read.
        what: &'static str,
        /// The lowest.
        min: f64,
        /// The highest.
        max: f64,
    },
    /// A number outside its range.
    #[error("{0}")]
    OutOfBounds(OutOfBounds),
    /// A name that cannot stand on a lid.
    #[error("{0}")]
    BadLabel(BadLabel),
}

impl From<OutOfBounds> for Refusal {
    fn from(it: OutOfBounds) -> Self {
        Refusal::OutOfBounds(it)
    }
}

impl From<BadLabel> for Refusal {
    fn from(it: BadLabel) -> Self {
        Refusal::BadLabel(it)
    }
}
