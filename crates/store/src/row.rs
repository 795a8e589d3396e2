//! An entry as a row of the table, and back.

use jiff::Timestamp;
use jiff::civil::DateTime;
use rearing::{Deed, Entry, When};
use uuid::Uuid;

/// An entry as it lies on disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Row {
    pub id: [u8; 16],
    pub happened_us: i64,
    pub zone: String,
    pub wall: String,
    pub noted_us: i64,
    pub by: String,
    pub kind: String,
    pub what: String,
}

/// The columns in the order in which [`Row::read`] takes them.
pub(crate) const COLUMNS: &str = "id, happened_us, zone, wall, noted_us, by, kind, what";

/// A row that cannot be an entry of this program.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub(crate) struct Unreadable(pub String);

impl Row {
    pub fn read(row: &rusqlite::Row<'_>) -> rusqlite::Result<Row> {
        Ok(Row {
            id: row.get(0)?,
            happened_us: row.get(1)?,
            zone: row.get(2)?,
            wall: row.get(3)?,
            noted_us: row.get(4)?,
            by: row.get(5)?,
            kind: row.get(6)?,
            what: row.get(7)?,
        })
    }

    pub fn of(entry: &Entry) -> Result<Row, Unreadable> {
        let unreadable = |error: serde_json::Error| Unreadable(error.to_string());
        let deed = serde_json::to_value(&entry.deed).map_err(unreadable)?;
        let kind = deed.get("kind").and_then(|it| it.as_str()).unwrap_or_default().to_owned();
        let what = deed.get("what").cloned().unwrap_or_default();
        let row = Row {
            id: *entry.id.as_bytes(),
            happened_us: entry.happened.at.as_microsecond(),
            zone: entry.happened.zone.clone(),
            wall: entry.happened.wall.to_string(),
            noted_us: entry.noted_at.as_microsecond(),
            by: entry.by.clone(),
            kind,
            what: what.to_string(),
        };
        // A number that is none (NaN, infinity) would be written as nothing.
        if row.entry().is_ok_and(|it| it.deed == entry.deed) {
            Ok(row)
        } else {
            Err(Unreadable("a number in it is none, so it would not be read back as it was noted".to_owned()))
        }
    }

    pub fn entry(&self) -> Result<Entry, Unreadable> {
        let say = |what: &str, error: &dyn std::fmt::Display| Unreadable(format!("{what}: {error}"));
        let what: serde_json::Value =
            serde_json::from_str(&self.what).map_err(|error| say("what was noted", &error))?;
        let deed = serde_json::json!({ "kind": self.kind, "what": what });
        let deed: Deed = serde_json::from_value(deed).map_err(|error| say(&self.kind, &error))?;
        let wall: DateTime = self.wall.parse().map_err(|error| say("the wall clock", &error))?;
        let instant = |us| Timestamp::from_microsecond(us).map_err(|error| say("the instant", &error));
        Ok(Entry {
            id: Uuid::from_bytes(self.id),
            happened: When { at: instant(self.happened_us)?, zone: self.zone.clone(), wall },
            noted_at: instant(self.noted_us)?,
            by: self.by.clone(),
            deed,
        })
    }
}
