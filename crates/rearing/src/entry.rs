//! One line of the book.

use crate::deed::Deed;
use jiff::Timestamp;
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// When something happened, as it was written down.
///
/// The instant orders the book. The wall clock and its zone are kept as they
/// were read, because a day in the book is the keeper's day, also after the
/// keeper or the clocks have moved.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct When {
    /// The instant.
    pub at: Timestamp,
    /// The name of the time zone in which it was written, such as `Europe/London`.
    pub zone: String,
    /// Date and time on the keeper's wall.
    pub wall: DateTime,
}

impl When {
    /// The moment that a wall clock showed in a zone. A time that the clocks
    /// skipped is read as the time after the jump, a doubled one as the first.
    ///
    /// # Errors
    /// If the zone is not known or the date lies outside what can be counted.
    pub fn on_the_wall(wall: DateTime, zone: &str) -> Result<When, jiff::Error> {
        let zoned = wall.in_tz(zone)?;
        Ok(When { at: zoned.timestamp(), zone: zone.to_owned(), wall })
    }
}

/// One thing that was noted. Entries are never changed; a mistake is mended by
/// another entry that sets the first aside.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Made by whoever notes it, so that sending twice is noting once.
    pub id: Uuid,
    /// When it happened.
    pub happened: When,
    /// When it was written down.
    pub noted_at: Timestamp,
    /// Who wrote it down.
    pub by: String,
    /// What happened.
    pub deed: Deed,
}
