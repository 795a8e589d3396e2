//! The log of the recorder: what was done to the files, in order, with what was acknowledged in between.

use anyhow::{Context, Result, bail};
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};

const HEAD_BYTES: usize = 32;
const TOLD: u32 = 8;

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Event {
    /// A file came into being.
    Created(String),
    /// Bytes were written.
    Wrote {
        /// The file.
        path: String,
        /// From where on.
        offset: usize,
        /// What.
        bytes: Vec<u8>,
    },
    /// A file was cut or lengthened.
    Cut {
        /// The file.
        path: String,
        /// Its length since.
        bytes: usize,
    },
    /// A sync began; what was written before is meant.
    SyncBegan {
        /// The file or folder.
        path: String,
        /// Process and number of the sync.
        sync: (u32, u32),
    },
    /// That sync ended well.
    Synced {
        /// The file or folder.
        path: String,
        /// Process and number of the sync.
        sync: (u32, u32),
    },
    /// A name was taken away.
    Unlinked(String),
    /// A name was changed.
    Renamed {
        /// From.
        from: String,
        /// To.
        to: String,
    },
    /// The trial wrote down what it saw.
    Told(String),
}

/// A log, and the way to add to it.
#[derive(Debug)]
pub struct Log {
    file: PathBuf,
}

impl Log {
    /// A log that lies in a file.
    #[must_use]
    pub fn at(file: &Path) -> Log {
        Log { file: file.to_owned() }
    }

    /// Writes down what the trial saw, in its place among the writes.
    ///
    /// # Errors
    /// If the log cannot be written.
    pub fn tell(&self, what: &str) -> Result<()> {
        let mut record = Vec::with_capacity(HEAD_BYTES + what.len());
        for word in [TOLD, std::process::id(), u32::try_from(what.len())?, 0] {
            record.extend_from_slice(&word.to_ne_bytes());
        }
        record.extend_from_slice(&[0; 16]);
        record.extend_from_slice(what.as_bytes());
        let mut log = File::options().create(true).append(true).open(&self.file)?;
        Ok(log.write_all(&record)?)
    }

    /// Everything in order. A record that was cut off by a kill ends it.
    ///
    /// # Errors
    /// If the log cannot be read or holds something else.
    pub fn read(&self) -> Result<Vec<Event>> {
        let all = std::fs::read(&self.file).context("there is no log: was the recorder put in between?")?;
        let mut rest = all.as_slice();
        let mut events = Vec::new();
        while let Some((event, after)) = next(rest)? {
            events.push(event);
            rest = after;
        }
        Ok(events)
    }
}

fn next(rest: &[u8]) -> Result<Option<(Event, &[u8])>> {
    let Some((head, rest)) = rest.split_first_chunk::<HEAD_BYTES>() else { return Ok(None) };
    let word = |at: usize| u32::from_ne_bytes([head[at], head[at + 1], head[at + 2], head[at + 3]]);
    let long = |at: usize| -> Result<usize> {
        let bytes = head[at..at + 8].try_into()?;
        Ok(usize::try_from(u64::from_ne_bytes(bytes))?)
    };
    let (kind, pid, path_bytes, tag) = (word(0), word(4), usize::try_from(word(8))?, word(12));
    let (offset, bytes) = (long(16)?, long(24)?);
    let data_bytes = if matches!(kind, 2 | 7) { bytes } else { 0 };
    let Some((path, rest)) = rest.split_at_checked(path_bytes) else { return Ok(None) };
    let Some((data, rest)) = rest.split_at_checked(data_bytes) else { return Ok(None) };
    let text = |it: &[u8]| String::from_utf8_lossy(it).into_owned();
    let path = text(path);
    let event = match kind {
        1 => Event::Created(path),
        2 => Event::Wrote { path, offset, bytes: data.to_vec() },
        3 => Event::Cut { path, bytes: offset },
        4 => Event::SyncBegan { path, sync: (pid, tag) },
        5 => Event::Synced { path, sync: (pid, tag) },
        6 => Event::Unlinked(path),
        7 => Event::Renamed { from: path, to: text(data) },
        TOLD => Event::Told(path),
        other => bail!("the log holds a record of kind {other}"),
    };
    Ok(Some((event, rest)))
}
