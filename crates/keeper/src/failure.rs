//! A rule said no, or the disk did: the keeper needs to know which.

use rearing::Refusal;

/// The book could not be read or written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Failure {
    /// The store said no.
    #[error("{0}")]
    Store(#[from] store::Failure),
    /// The entries do not follow from one another.
    #[error("the book does not add up at {0}; nothing was changed: run `cocoonery check`")]
    BookDoesNotFollow(#[from] rearing::NotReplayed),
    /// The time zone of the book is not known here.
    #[error("the time zone {zone} is not known; nothing was changed: name one such as Europe/London")]
    UnknownZone {
        /// What was asked for.
        zone: String,
    },
    /// The numbers that ship with the program are not in order.
    #[error("the reference numbers of the program are damaged ({0}); nothing was changed")]
    Reference(String),
    /// A file could not be read.
    #[error("{file} cannot be read ({detail}); nothing was saved")]
    File {
        /// The file.
        file: String,
        /// What the system said.
        detail: String,
    },
}

/// Why a note was not taken.
#[derive(Debug, thiserror::Error)]
pub enum NotNoted {
    /// A rule said no. Nothing was saved.
    #[error("{0}. Nothing was saved.")]
    Refused(String),
    /// The book could not be written.
    #[error("{0}")]
    Failed(#[from] Failure),
}

impl From<Refusal> for NotNoted {
    fn from(it: Refusal) -> Self {
        NotNoted::Refused(it.to_string())
    }
}

impl From<store::Failure> for NotNoted {
    fn from(it: store::Failure) -> Self {
        NotNoted::Failed(Failure::Store(it))
    }
}
