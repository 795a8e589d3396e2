//! The settings of the book are few and change rarely; one hash over all of
//! them makes a changed one show.

use crate::chain::hex;
use crate::failure::Failure;
use rusqlite::{Connection, OptionalExtension, params};
use sha2::{Digest, Sha256};

const SEAL: &str = "seal";

/// Puts settings and seals them all; the caller's transaction, if any, holds them together.
pub(crate) fn put(connection: &Connection, about: &[(&str, &str)]) -> Result<(), Failure> {
    let mut put = connection.prepare_cached(
        "INSERT INTO about (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = ?2",
    )?;
    for (key, value) in about {
        put.execute(params![key, value])?;
    }
    put.execute(params![SEAL, of(connection)?])?;
    Ok(())
}

/// Are the settings as they were sealed? A book from before there were seals has none to break.
pub(crate) fn holds(connection: &Connection) -> Result<bool, Failure> {
    let sealed: Option<String> = connection
        .query_row("SELECT value FROM about WHERE key = ?1", params![SEAL], |row| row.get(0))
        .optional()?;
    match sealed {
        Some(sealed) => Ok(sealed == of(connection)?),
        None => Ok(true),
    }
}

fn of(connection: &Connection) -> Result<String, Failure> {
    let mut statement =
        connection.prepare_cached("SELECT key, value FROM about WHERE key <> ?1 ORDER BY key")?;
    let mut rows = statement.query(params![SEAL])?;
    let mut hasher = Sha256::new();
    hasher.update(b"cocoonery about 1");
    while let Some(row) = rows.next()? {
        for field in [row.get::<_, String>(0)?, row.get::<_, String>(1)?] {
            hasher.update((field.len() as u64).to_be_bytes());
            hasher.update(field.as_bytes());
        }
    }
    let seal: [u8; 32] = hasher.finalize().into();
    Ok(hex(&seal))
}
