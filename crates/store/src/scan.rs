//! Reading every row that can still be read, also where the file is damaged.

use crate::chain::Link;
use crate::row::{COLUMNS, Row};
use rusqlite::{Connection, OptionalExtension, params};

/// How far to look on where even the number of the last row cannot be read.
const LOOK_ON: i64 = 20_000;

/// A row as it was found.
#[derive(Debug)]
pub(crate) struct Seen {
    pub seq: i64,
    pub got: Result<(Row, Link), String>,
}

/// All rows in their order. Where reading through breaks off, each row after it is asked for by itself.
pub(crate) fn rows(connection: &Connection) -> Vec<Seen> {
    let mut seen = Vec::new();
    let Err(broke_off) = read_through(connection, &mut seen) else { return seen };
    let after = seen.last().map_or(0, |it| it.seq);
    let last = connection.query_row("SELECT max(seq) FROM entry", [], |row| row.get::<_, Option<i64>>(0));
    let last = last.ok().flatten().filter(|it| *it > after).unwrap_or(after.saturating_add(LOOK_ON));
    let last = last.min(after.saturating_add(1_000 * LOOK_ON));
    let mut found = Vec::new();
    for seq in after.saturating_add(1)..=last {
        let one = connection.query_row(
            &format!("SELECT {COLUMNS}, hash FROM entry WHERE seq = ?1"),
            params![seq],
            |row| Ok((Row::read(row)?, row.get(8)?)),
        );
        match one.optional() {
            Ok(None) => {}
            Ok(Some(got)) => found.push(Seen { seq, got: Ok(got) }),
            Err(error) => found.push(Seen { seq, got: Err(error.to_string()) }),
        }
    }
    // Beyond the last row that reads, a damaged page answers for rows that never were.
    let real = found.iter().rposition(|it| it.got.is_ok()).map_or(0, |it| it + 1);
    found.truncate(real);
    if found.is_empty() {
        seen.push(Seen { seq: after + 1, got: Err(broke_off.to_string()) });
    }
    seen.extend(found);
    seen
}

fn read_through(connection: &Connection, seen: &mut Vec<Seen>) -> rusqlite::Result<()> {
    let mut statement =
        connection.prepare(&format!("SELECT {COLUMNS}, hash, seq FROM entry ORDER BY seq"))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let seq = row.get(9)?;
        let got = Row::read(row).and_then(|it| Ok((it, row.get(8)?))).map_err(|error| error.to_string());
        seen.push(Seen { seq, got });
    }
    Ok(())
}
