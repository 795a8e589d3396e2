//! Everything the pages need besides themselves, inside the program.
//!
//! An address holds a fingerprint of the content, so that a phone may keep a
//! file for a year and still never sees an old one.

/// One file.
#[derive(Debug, Clone, Copy)]
pub struct StaticFile {
    /// Its name without the fingerprint.
    pub name: &'static str,
    /// How it is read.
    pub kind: &'static str,
    /// What is in it.
    pub content: &'static str,
}

/// All files.
pub const ALL: [StaticFile; 7] = [
    StaticFile { name: "colours.css", kind: CSS, content: include_str!("../static/colours.css") },
    StaticFile { name: "base.css", kind: CSS, content: include_str!("../static/base.css") },
    StaticFile { name: "layout.css", kind: CSS, content: include_str!("../static/layout.css") },
    StaticFile { name: "print.css", kind: CSS, content: include_str!("../static/print.css") },
    StaticFile {
        name: "bench.js",
        kind: "text/javascript; charset=utf-8",
        content: include_str!("../static/bench.js"),
    },
    StaticFile {
        name: "outbox.js",
        kind: "text/javascript; charset=utf-8",
        content: include_str!("../static/outbox.js"),
    },
    StaticFile { name: "favicon.svg", kind: "image/svg+xml", content: include_str!("../static/favicon.svg") },
];

const CSS: &str = "text/css; charset=utf-8";

/// A fingerprint that changes with the content (FNV-1a, 64 bits); it guards no secret.
const fn fingerprint(content: &str) -> u64 {
    let bytes = content.as_bytes();
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut index = 0;
    while index < bytes.len() {
        hash ^= bytes[index] as u64;
        hash = hash.wrapping_mul(0x0100_0000_01b3);
        index += 1;
    }
    hash
}

impl StaticFile {
    /// The file name in its address: `base.0123456789abcdef.css`.
    #[must_use]
    pub fn file(&self) -> String {
        let (stem, ending) = self.name.rsplit_once('.').unwrap_or((self.name, ""));
        format!("{stem}.{:016x}.{ending}", fingerprint(self.content))
    }
}

/// The address of a file.
#[must_use]
pub fn href(name: &str) -> String {
    ALL.iter().find(|it| it.name == name).map(|it| format!("/static/{}", it.file())).unwrap_or_default()
}

/// The file at an address below `/static/`.
#[must_use]
pub fn find(file: &str) -> Option<&'static StaticFile> {
    ALL.iter().find(|it| it.file() == file)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fingerprint_is_fnv_1a() {
        // Published test values of FNV-1a 64: "" and "a" (draft-eastlake-fnv, appendix C).
        assert_eq!(fingerprint(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fingerprint("a"), 0xaf63_dc4c_8601_ec8c);
    }

    #[test]
    fn every_file_is_found_under_its_address_only() {
        for file in &ALL {
            assert_eq!(
                href(file.name).strip_prefix("/static/").and_then(find).map(|it| it.name),
                Some(file.name)
            );
            assert!(find(file.name).is_none());
        }
    }
}
