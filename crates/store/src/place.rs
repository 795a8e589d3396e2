//! Where a book may be lost although the program does all it promises: on a
//! share that two machines write to, and in a folder that another program copies
//! elsewhere behind our back.

use crate::failure::Failure;
use std::path::{Path, PathBuf};

/// Written into a folder by a keeper who knows where it lies.
const KNOWN_FILE: &str = "book.folder-is-known";
/// File systems that are not on a disk of this machine, or that another program serves.
const SHARED: [&str; 12] =
    ["nfs", "nfs4", "cifs", "smb3", "smbfs", "ncpfs", "afs", "9p", "ceph", "glusterfs", "lustre", "davfs"];

/// Writes down that the keeper knows where this folder lies.
///
/// # Errors
/// If the folder cannot be written.
pub fn know_this_folder(folder: &Path) -> Result<(), Failure> {
    let unusable = |error: std::io::Error| Failure::folder(folder, &error);
    std::fs::create_dir_all(folder).map_err(unusable)?;
    let says = what_is_unsure(folder).unwrap_or_default();
    std::fs::write(folder.join(KNOWN_FILE), says).map_err(unusable)
}

/// Refuses a folder where two machines may write to one book, unless the keeper said so.
pub(crate) fn must_be_sure(folder: &Path) -> Result<(), Failure> {
    match what_is_unsure(folder) {
        Some(what) if std::fs::read_to_string(folder.join(KNOWN_FILE)).ok().as_ref() != Some(&what) => {
            Err(Failure::UnsurePlace { folder: folder.to_owned(), what })
        }
        _ => Ok(()),
    }
}

fn what_is_unsure(folder: &Path) -> Option<String> {
    let folder = folder.canonicalize().ok()?;
    let mounts = std::fs::read_to_string("/proc/self/mountinfo").unwrap_or_default();
    if let Some(kind) = kind_of_mount(&mounts, &folder).filter(|it| is_shared(it)) {
        return Some(format!("a network or program-served disk ({kind})"));
    }
    synchronised(&folder).map(|it| format!("a folder that is synchronised elsewhere ({})", it.display()))
}

fn is_shared(kind: &str) -> bool {
    SHARED.contains(&kind) || kind == "fuse" || kind.starts_with("fuse.")
}

/// The kind of file system of a folder: that of the longest mount point above it; of equals the last mounted.
fn kind_of_mount<'a>(mounts: &'a str, folder: &Path) -> Option<&'a str> {
    let mut found: Option<(usize, &str)> = None;
    for line in mounts.lines() {
        let (before, after) = line.split_once(" - ")?;
        let point = unescape(before.split(' ').nth(4)?);
        let kind = after.split(' ').next()?;
        let depth = point.components().count();
        if folder.starts_with(&point) && found.is_none_or(|(deepest, _)| depth >= deepest) {
            found = Some((depth, kind));
        }
    }
    found.map(|(_, kind)| kind)
}

/// Spaces and the like stand as three octal digits in the list of mounts.
fn unescape(text: &str) -> PathBuf {
    let mut bytes = Vec::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('\\') {
        bytes.extend_from_slice(before.as_bytes());
        match after.get(..3).and_then(|it| u8::from_str_radix(it, 8).ok()) {
            Some(byte) => {
                bytes.push(byte);
                rest = &after[3..];
            }
            None => {
                bytes.push(b'\\');
                rest = after;
            }
        }
    }
    bytes.extend_from_slice(rest.as_bytes());
    PathBuf::from(String::from_utf8_lossy(&bytes).into_owned())
}

/// Programs that synchronise a folder leave a hidden mark of their own in its
/// root, whose name says what they do. The folder itself and those above it are asked.
fn synchronised(folder: &Path) -> Option<PathBuf> {
    folder.ancestors().find_map(|above| {
        let marks = std::fs::read_dir(above).ok()?.filter_map(Result::ok);
        marks.map(|it| it.path()).find(|it| {
            let name = it.file_name().map(|it| it.to_string_lossy().to_lowercase()).unwrap_or_default();
            let bare = name.trim_start_matches(['.', '_']);
            bare.len() < name.len() && bare.starts_with("sync")
        })
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    const MOUNTS: &str = "\
22 1 254:1 / / rw,relatime shared:1 - ext4 /dev/sda1 rw
30 22 0:40 / /mnt/share rw - nfs4 shed:/share rw
31 22 0:41 / /mnt/my\\040cloud rw,nosuid shared:7 - fuse.anything any rw
32 30 0:42 / /mnt/share/local rw - ext4 /dev/sdb1 rw
33 22 0:43 / /mnt/win rw - cifs //shed/share rw
";

    #[test]
    fn the_deepest_mount_counts() {
        let kind = |folder: &str| kind_of_mount(MOUNTS, Path::new(folder)).unwrap();
        assert_eq!(kind("/var/moths/book"), "ext4");
        assert_eq!(kind("/mnt/share/book"), "nfs4");
        assert_eq!(kind("/mnt/share/local/book"), "ext4");
        assert_eq!(kind("/mnt/shared/book"), "ext4", "a name that only begins alike");
        assert!(is_shared(kind("/mnt/my cloud/book")) && is_shared(kind("/mnt/win")));
        assert!(!is_shared("ext4") && !is_shared("tmpfs") && !is_shared("fuseblk") && !is_shared("overlay"));
    }

    #[test]
    fn a_mark_of_synchronisation_in_a_folder_above_refuses_until_told() {
        let root = tempfile::tempdir().unwrap();
        let folder = root.path().join("moths").join("book");
        std::fs::create_dir_all(&folder).unwrap();
        assert_eq!(must_be_sure(&folder).ok(), Some(()));
        std::fs::write(root.path().join(".sync_4711.db"), b"").unwrap();
        let refused = must_be_sure(&folder).unwrap_err().to_string();
        assert!(refused.contains("synchronised") && refused.contains("--i-know-this-folder"), "{refused}");
        know_this_folder(&folder).unwrap();
        assert_eq!(must_be_sure(&folder).ok(), Some(()));
    }
}
