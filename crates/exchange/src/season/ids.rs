//! Numbers of entries that come out the same each time the same row is read.

use jiff::Timestamp;
use sha2::{Digest, Sha256};
use uuid::{Builder, Uuid};

/// Which row an entry comes from, in a form that does not change when rows are
/// put in before it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Fingerprint {
    /// The cells that are read, by name.
    pub content: String,
    /// Two rows can say the same, for two animals that died alike.
    pub occurrence: u32,
}

/// An identifier in the shape of a version 7 UUID: the moment first, so that
/// entries sort by it, and in the place of chance the hash of what the row says.
pub(super) fn id(season: &str, table: &str, row: &Fingerprint, part: &str, at: Timestamp) -> Uuid {
    let mut hash = Sha256::new();
    for text in [season, table, &row.content, part] {
        // The length keeps "ab" + "c" apart from "a" + "bc".
        hash.update((text.len() as u64).to_be_bytes());
        hash.update(text.as_bytes());
    }
    hash.update(row.occurrence.to_be_bytes());
    let digest = hash.finalize();
    let mut bits = [0; 10];
    bits.iter_mut().zip(digest.iter()).for_each(|(bit, byte)| *bit = *byte);
    let millis = u64::try_from(at.as_millisecond()).unwrap_or(0);
    Builder::from_unix_timestamp_millis(millis, &bits).into_uuid()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_part_of_the_row_counts() {
        let at = Timestamp::UNIX_EPOCH;
        let row = |content: &str, occurrence| Fingerprint { content: content.to_owned(), occurrence };
        let one = id("s", "t", &row("c", 0), "p", at);
        assert_eq!(one, id("s", "t", &row("c", 0), "p", at));
        assert_eq!(one.get_version_num(), 7);
        for other in [
            id("st", "", &row("c", 0), "p", at),
            id("s", "t", &row("c", 1), "p", at),
            id("s", "t", &row("cp", 0), "", at),
            id("s", "t", &row("d", 0), "p", at),
        ] {
            assert_ne!(one, other);
        }
    }
}
