//! What is still sound in a damaged book.

use crate::failure::Failure;
use crate::read::{Fault, Problem, read_and_judge};
use crate::sound::Judged;
use crate::{BOOK_FILE, LOG_FILE, schema};
use rearing::Entry;
use rusqlite::Connection;
use std::fs::File;
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::Path;
use uuid::Uuid;

/// What could be saved, and what could not.
#[derive(Debug, Clone, Default)]
pub struct Salvaged {
    /// Settings that could be read.
    pub about: Vec<(String, String)>,
    /// Entries that the chain vouches for.
    pub entries: Vec<Entry>,
    /// Entries that are gone, or that nothing vouches for.
    pub lost: Vec<Lost>,
    /// What is wrong with the book as a whole.
    pub faults: Vec<Fault>,
}

/// An entry that could not be saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// Its place in the book.
    pub seq: i64,
    /// Its id, if that can be read.
    pub id: Option<Uuid>,
    /// The keeper's day as it reads now.
    pub wall: String,
    /// What it says now, in words, if anything; it may be wrong.
    pub says: Option<String>,
    /// Why it is not vouched for.
    pub problem: Problem,
}

impl Salvaged {
    /// Reads what is sound in the book of a folder, from a copy in `scratch`; the book itself is not touched.
    ///
    /// # Errors
    /// If there is no book, or nothing at all can be read of it.
    pub fn from(folder: &Path, scratch: &Path) -> Result<Salvaged, Failure> {
        let unusable = |error: std::io::Error| Failure::folder(folder, &error);
        if !folder.join(BOOK_FILE).exists() {
            return Err(Failure::NoBook { folder: folder.to_owned() });
        }
        for name in [BOOK_FILE, LOG_FILE] {
            if folder.join(name).exists() {
                std::fs::copy(folder.join(name), scratch.join(name)).map_err(unusable)?;
            }
        }
        let file = scratch.join(BOOK_FILE);
        let connection = match open(&file) {
            Err(failure) if failure.is_newer() => return Err(failure),
            Err(_) => {
                mend_header(&file).map_err(unusable)?;
                open(&file)?
            }
            Ok(connection) => connection,
        };
        let (judged, faults) = read_and_judge(&connection);
        let faults = faults.into_iter().filter(|it| it.seq == 0).collect();
        let mut salvaged = Salvaged { about: settings(&connection), faults, ..Salvaged::default() };
        for it in judged {
            salvaged.take(it);
        }
        Ok(salvaged)
    }

    fn take(&mut self, judged: Judged) {
        let lost = |seq, problem| Lost { seq, id: None, wall: String::new(), says: None, problem };
        let last = self.entries.len() + self.lost.len();
        let expected = i64::try_from(last).unwrap_or(i64::MAX).saturating_add(1);
        // A gap is one line on the list, however wide it is.
        if judged.seq > expected && self.lost.last().is_none_or(|it| it.seq < expected) {
            self.lost.push(lost(expected, Problem::Unreadable("it is gone".to_owned())));
        }
        match (judged.sound, judged.row) {
            (Some(entry), _) => self.entries.push(entry),
            (None, Some(row)) => self.lost.push(Lost {
                id: Some(Uuid::from_bytes(row.id)),
                says: row.entry().ok().map(|it| it.deed.in_words()),
                wall: row.wall,
                ..lost(judged.seq, judged.problem.unwrap_or(Problem::BrokenChain))
            }),
            (None, None) => self.lost.push(lost(judged.seq, judged.problem.unwrap_or(Problem::BrokenChain))),
        }
    }
}

fn open(file: &Path) -> Result<Connection, Failure> {
    let connection = Connection::open(file)?;
    schema::settle(&connection)?;
    schema::check_version(&connection)?;
    connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, i64>(0))?;
    Ok(connection)
}

fn settings(connection: &Connection) -> Vec<(String, String)> {
    let Ok(mut statement) = connection.prepare("SELECT key, value FROM about") else { return Vec::new() };
    let Ok(rows) = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?))) else { return Vec::new() };
    rows.filter_map(Result::ok).collect()
}

/// The first hundred bytes are the same in every book of ours but for counts
/// that can be worked out: they are written anew, in the copy.
fn mend_header(file: &Path) -> std::io::Result<()> {
    const PAGE_BYTES: u64 = 4096;
    let mut file = File::options().read(true).write(true).open(file)?;
    let mut header = [0_u8; 100];
    file.read_exact(&mut header)?;
    let pages = u32::try_from(file.metadata()?.len() / PAGE_BYTES).unwrap_or(u32::MAX);
    header[..16].copy_from_slice(b"SQLite format 3\0");
    // Page size; both versions for a write-ahead log; nothing reserved; fixed fractions.
    header[16..24].copy_from_slice(&[0x10, 0x00, 2, 2, 0, 64, 32, 32]);
    header[28..32].copy_from_slice(&pages.to_be_bytes());
    // No free pages, table format 4, UTF-8, no automatic emptying.
    header[32..40].fill(0);
    header[44..48].copy_from_slice(&4_u32.to_be_bytes());
    header[52..56].fill(0);
    header[56..60].copy_from_slice(&1_u32.to_be_bytes());
    header[60..64].copy_from_slice(&1_u32.to_be_bytes());
    header[64..68].fill(0);
    header[68..72].copy_from_slice(b"Coco");
    header[72..92].fill(0);
    // The counter of changes must equal the one that the count of pages is valid for.
    let changes = [header[24], header[25], header[26], header[27]];
    header[92..96].copy_from_slice(&changes);
    file.seek(SeekFrom::Start(0))?;
    file.write_all(&header)?;
    file.sync_all()
}
