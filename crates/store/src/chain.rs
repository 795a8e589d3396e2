//! Each entry is hashed together with the hash of the one before, so that a
//! changed, dropped or swapped entry shows.

use crate::row::Row;
use sha2::{Digest, Sha256};

/// A hash of an entry and of everything before it.
pub(crate) type Link = [u8; 32];

/// What the first entry is chained to.
pub(crate) const START: Link = [0; 32];

/// SHA-256 over the previous hash and the fields of the row, each led by its
/// length, so that no two rows write the same bytes.
pub(crate) fn link(previous: &Link, row: &Row) -> Link {
    let mut hasher = Sha256::new();
    let (happened, noted) = (row.happened_us.to_be_bytes(), row.noted_us.to_be_bytes());
    let fields: [&[u8]; 10] = [
        b"cocoonery entry 1",
        previous,
        &row.id,
        &happened,
        row.zone.as_bytes(),
        row.wall.as_bytes(),
        &noted,
        row.by.as_bytes(),
        row.kind.as_bytes(),
        row.what.as_bytes(),
    ];
    for field in fields {
        hasher.update((field.len() as u64).to_be_bytes());
        hasher.update(field);
    }
    hasher.finalize().into()
}

/// Bytes as a person with a database shell reads them.
pub(crate) fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write;
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row() -> Row {
        Row {
            id: [7; 16],
            happened_us: 1,
            zone: "UTC".to_owned(),
            wall: "2025-06-01T07:40:00".to_owned(),
            noted_us: 2,
            by: "keeper".to_owned(),
            kind: "remarked".to_owned(),
            what: "{}".to_owned(),
        }
    }

    #[test]
    fn every_field_and_the_entry_before_change_the_link() {
        let base = link(&START, &row());
        let changes: [fn(&mut Row); 8] = [
            |it| it.id[0] = 8,
            |it| it.happened_us += 1,
            |it| it.zone.push('x'),
            |it| it.wall.push('x'),
            |it| it.noted_us += 1,
            |it| it.by.push('x'),
            |it| it.kind.push('x'),
            |it| it.what.push(' '),
        ];
        for change in changes {
            let mut other = row();
            change(&mut other);
            assert_ne!(link(&START, &other), base);
        }
        assert_ne!(link(&base, &row()), base);
    }

    #[test]
    fn what_moves_from_one_field_to_the_next_shows() {
        let (mut one, mut two) = (row(), row());
        (one.by, one.kind) = ("ab".to_owned(), "c".to_owned());
        (two.by, two.kind) = ("a".to_owned(), "bc".to_owned());
        assert_ne!(link(&START, &one), link(&START, &two));
    }
}
