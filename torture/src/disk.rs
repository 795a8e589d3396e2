//! A disk that forgets what was not synced.
//!
//! Contents are on disk after a sync of the file that began after they were
//! written; names after a sync of their folder. Until then each write may have
//! arrived, or not, or in part, in any order; names arrive in the order in
//! which they were changed, as with a journal of names. Folders themselves are
//! taken as lasting.

use crate::dice::Dice;
use crate::record::Event;
use anyhow::Result;
use std::collections::BTreeMap;
use std::path::Path;

/// What reaches the disk as a whole.
const SECTOR_BYTES: usize = 512;

/// What became of the unsynced writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// All arrived.
    Kept,
    /// None did.
    Dropped,
    /// Some did, each by itself.
    Some,
    /// All did, in another order.
    Reordered,
    /// Each in part, by sectors.
    Torn,
}

/// All fates in turn.
pub const FATES: [Fate; 5] = [Fate::Kept, Fate::Dropped, Fate::Some, Fate::Reordered, Fate::Torn];

#[derive(Debug, Clone)]
enum Change {
    Write { offset: usize, bytes: Vec<u8> },
    Cut { bytes: usize },
}

#[derive(Debug, Clone)]
enum Naming {
    Named { path: String, file: usize },
    Unnamed { path: String },
    Renamed { from: String, to: String },
}

impl Naming {
    fn folder(&self) -> &str {
        let (Naming::Named { path, .. } | Naming::Unnamed { path } | Naming::Renamed { to: path, .. }) = self;
        path.rsplit_once('/').map_or("", |(folder, _)| folder)
    }

    fn apply(&self, names: &mut BTreeMap<String, usize>) {
        match self {
            Naming::Named { path, file } => {
                names.insert(path.clone(), *file);
            }
            Naming::Unnamed { path } => {
                names.remove(path);
            }
            Naming::Renamed { from, to } => {
                if let Some(file) = names.remove(from) {
                    names.insert(to.clone(), file);
                }
            }
        }
    }
}

#[derive(Debug, Clone, Default)]
struct Content {
    on_disk: Vec<u8>,
    pending: Vec<Change>,
    /// How many changes of this file have reached the disk so far.
    arrived: usize,
}

/// The disk.
#[derive(Debug, Clone, Default)]
pub struct Disk {
    files: Vec<Content>,
    now: BTreeMap<String, usize>,
    on_disk: BTreeMap<String, usize>,
    namings: Vec<Naming>,
    begun: BTreeMap<(u32, u32), (usize, usize)>,
    deaf_to: Option<&'static str>,
}

impl Disk {
    /// An empty disk. If it is deaf to names that end so, a sync of such a file does nothing: a disk that lies.
    #[must_use]
    pub fn deaf_to(deaf_to: Option<&'static str>) -> Disk {
        Disk { deaf_to, ..Disk::default() }
    }

    /// Takes in the next event.
    pub fn take(&mut self, event: &Event) {
        match event {
            Event::Created(path) => {
                self.files.push(Content::default());
                let file = self.files.len() - 1;
                self.name(Naming::Named { path: path.clone(), file });
            }
            Event::Unlinked(path) => self.name(Naming::Unnamed { path: path.clone() }),
            Event::Renamed { from, to } => self.name(Naming::Renamed { from: from.clone(), to: to.clone() }),
            Event::Wrote { path, offset, bytes } => {
                self.change(path, Change::Write { offset: *offset, bytes: bytes.clone() });
            }
            Event::Cut { path, bytes } => self.change(path, Change::Cut { bytes: *bytes }),
            Event::SyncBegan { path, sync } => {
                if let Some(&file) = self.now.get(path) {
                    let content = &self.files[file];
                    self.begun.insert(*sync, (file, content.arrived + content.pending.len()));
                }
            }
            Event::Synced { path, sync } => self.synced(path, *sync),
            Event::Told(_) => {}
        }
    }

    fn name(&mut self, naming: Naming) {
        naming.apply(&mut self.now);
        self.namings.push(naming);
    }

    fn change(&mut self, path: &str, change: Change) {
        if let Some(&file) = self.now.get(path) {
            self.files[file].pending.push(change);
        }
    }

    fn synced(&mut self, path: &str, sync: (u32, u32)) {
        if self.deaf_to.is_some_and(|end| path.ends_with(end)) {
            return;
        }
        if let Some((file, until)) = self.begun.remove(&sync) {
            let content = &mut self.files[file];
            let n = until.saturating_sub(content.arrived).min(content.pending.len());
            for change in content.pending.drain(..n) {
                apply(&mut content.on_disk, &change);
            }
            content.arrived += n;
        } else {
            // Not a file: a folder, whose names are then as lasting.
            let on_disk = &mut self.on_disk;
            self.namings.retain(|naming| {
                let here = naming.folder() == path;
                if here {
                    naming.apply(on_disk);
                }
                !here
            });
        }
    }

    /// Writes out what a power cut at this moment leaves, with the folder `from` now at `to`;
    /// only files for which `wanted` says so.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn cut(
        &self,
        fate: Fate,
        dice: &mut Dice,
        (from, to): (&str, &Path),
        wanted: impl Fn(&str) -> bool,
    ) -> Result<()> {
        let mut names = self.on_disk.clone();
        let kept = match fate {
            Fate::Kept => self.namings.len(),
            Fate::Dropped => 0,
            _ => dice.below(self.namings.len() + 1),
        };
        for naming in &self.namings[..kept] {
            naming.apply(&mut names);
        }
        for (path, file) in names {
            // The shared memory of the readers is no part of the book: it is made anew.
            let Some(path) = path.strip_prefix(from).filter(|it| wanted(it) && !it.ends_with("-shm")) else {
                continue;
            };
            let place = to.join(path.trim_start_matches('/'));
            if let Some(folder) = place.parent() {
                std::fs::create_dir_all(folder)?;
            }
            std::fs::write(place, after(&self.files[file], fate, dice))?;
        }
        Ok(())
    }
}

fn apply(bytes: &mut Vec<u8>, change: &Change) {
    match change {
        Change::Cut { bytes: n } => bytes.resize(*n, 0),
        Change::Write { offset, bytes: new } => {
            let end = offset + new.len();
            if bytes.len() < end {
                bytes.resize(end, 0);
            }
            bytes[*offset..end].copy_from_slice(new);
        }
    }
}

fn after(content: &Content, fate: Fate, dice: &mut Dice) -> Vec<u8> {
    let mut bytes = content.on_disk.clone();
    let mut order: Vec<usize> = (0..content.pending.len()).collect();
    if fate == Fate::Reordered {
        for last in (1..order.len()).rev() {
            order.swap(last, dice.below(last + 1));
        }
    }
    for change in order.into_iter().map(|it| &content.pending[it]) {
        match (fate, change) {
            (Fate::Dropped, _) => {}
            (Fate::Kept | Fate::Reordered, change) => apply(&mut bytes, change),
            (Fate::Torn, Change::Write { offset, bytes: new }) => {
                let end = offset + new.len();
                let mut from = *offset;
                while from < end {
                    let to = ((from / SECTOR_BYTES + 1) * SECTOR_BYTES).min(end);
                    if dice.coin() {
                        let sector = new[from - offset..to - offset].to_vec();
                        apply(&mut bytes, &Change::Write { offset: from, bytes: sector });
                    }
                    from = to;
                }
            }
            (Fate::Some | Fate::Torn, change) => {
                if dice.coin() {
                    apply(&mut bytes, change);
                }
            }
        }
    }
    bytes
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    fn wrote(path: &str, bytes: &[u8]) -> Event {
        Event::Wrote { path: path.to_owned(), offset: 0, bytes: bytes.to_vec() }
    }

    fn sync(disk: &mut Disk, path: &str, tag: u32) {
        disk.take(&Event::SyncBegan { path: path.to_owned(), sync: (1, tag) });
        disk.take(&Event::Synced { path: path.to_owned(), sync: (1, tag) });
    }

    fn left(disk: &Disk, fate: Fate) -> Option<Vec<u8>> {
        let folder = tempfile::tempdir().unwrap();
        disk.cut(fate, &mut Dice::seeded(1), ("/d", folder.path()), |_| true).unwrap();
        std::fs::read(folder.path().join("f")).ok()
    }

    #[test]
    fn only_what_was_synced_is_sure() {
        let mut disk = Disk::default();
        disk.take(&Event::Created("/d/f".to_owned()));
        disk.take(&wrote("/d/f", b"one"));
        assert_eq!(left(&disk, Fate::Kept).unwrap(), b"one");
        assert_eq!(left(&disk, Fate::Dropped), None, "the name is not on disk");
        sync(&mut disk, "/d", 1);
        assert_eq!(left(&disk, Fate::Dropped).unwrap(), b"", "the name is, the content is not");
        sync(&mut disk, "/d/f", 2);
        disk.take(&Event::SyncBegan { path: "/d/f".to_owned(), sync: (1, 3) });
        disk.take(&wrote("/d/f", b"two"));
        disk.take(&Event::Synced { path: "/d/f".to_owned(), sync: (1, 3) });
        assert_eq!(left(&disk, Fate::Dropped).unwrap(), b"one", "written while the sync was under way");
        assert_eq!(left(&disk, Fate::Kept).unwrap(), b"two");
    }

    #[test]
    fn a_rename_is_lasting_only_with_its_folder() {
        let mut disk = Disk::default();
        disk.take(&Event::Created("/d/f.new".to_owned()));
        disk.take(&wrote("/d/f.new", b"one"));
        sync(&mut disk, "/d/f.new", 1);
        disk.take(&Event::Renamed { from: "/d/f.new".to_owned(), to: "/d/f".to_owned() });
        assert_eq!(left(&disk, Fate::Dropped), None);
        sync(&mut disk, "/d", 2);
        assert_eq!(left(&disk, Fate::Dropped).unwrap(), b"one");
    }
}
