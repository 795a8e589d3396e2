//! Names from lids as parts of an address, and back.

use std::fmt::Write;

/// A name as one segment of a path or one value of a cookie.
///
/// ```
/// assert_eq!(web::url::segment("H 07/ä"), "H%2007%2F%C3%A4");
/// ```
#[must_use]
pub fn segment(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'~') {
            out.push(char::from(byte));
        } else if byte == b'.' && name.len() > 2 {
            // A name of dots alone would climb up the path.
            out.push('.');
        } else {
            // Writing into a String cannot fail.
            let _ = write!(out, "%{byte:02X}");
        }
    }
    out
}

/// What [`segment`] wrote, read back; `None` if it is no such thing.
#[must_use]
pub fn unsegment(written: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(written.len());
    let mut rest = written.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let pair = [rest.next()?, rest.next()?];
            bytes.push(u8::from_str_radix(std::str::from_utf8(&pair).ok()?, 16).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

/// The page of one box.
#[must_use]
pub fn round(box_name: &str) -> String {
    format!("/round/{}", segment(box_name))
}

/// The part of the whole round that belongs to one box.
#[must_use]
pub fn round_part(box_name: &str) -> String {
    format!("/round#{}", part(box_name))
}

/// The name of a box's part in the page of the whole round, as it stands in an address.
#[must_use]
pub fn part(box_name: &str) -> String {
    format!("box-{}", segment(box_name))
}

/// The page of one box as a whole: split, merge, set apart.
#[must_use]
pub fn boxes(box_name: &str) -> String {
    format!("/boxes/{}", segment(box_name))
}

/// The page of one place's air.
#[must_use]
pub fn air(place: &str) -> String {
    format!("/air?place={}", segment(place))
}

/// The page of one line's brood.
#[must_use]
pub fn brood(line: &str) -> String {
    format!("/brood/{}", segment(line))
}

/// The page of one line's odds.
#[must_use]
pub fn odds(line: &str) -> String {
    format!("/odds/{}", segment(line))
}

/// The page of one line's cocoons.
#[must_use]
pub fn cocoons(line: &str) -> String {
    format!("/cocoons/{}", segment(line))
}

/// A path that may be gone back to: on this site, and nowhere else.
///
/// ```
/// assert_eq!(web::url::back_to("/leaf"), "/leaf");
/// assert_eq!(web::url::back_to("//evil.example"), "/");
/// assert_eq!(web::url::back_to("https://evil.example"), "/");
/// ```
#[must_use]
pub fn back_to(path: &str) -> &str {
    let here = path.starts_with('/')
        && !path.starts_with("//")
        && path.bytes().all(|it| it.is_ascii_graphic() && !matches!(it, b'\\' | b'"' | b'<' | b'>'));
    if here { path } else { "/" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        for name in ["H07", "Kiste Ä 1", "a.b", "..", ".", "%41", "a;b,c", "\u{1f41b}"] {
            assert_eq!(unsegment(&segment(name)).as_deref(), Some(name));
            assert!(!matches!(segment(name).as_str(), "." | ".."));
        }
        assert_eq!(unsegment("%4"), None);
        assert_eq!(unsegment("%FF"), None);
    }

    #[test]
    fn nowhere_else() {
        for path in ["/\\evil.example", "\\/x", "", "javascript:alert(1)", "/a\r\nSet-Cookie: x", "/ä"] {
            assert_eq!(back_to(path), "/", "{path:?}");
        }
    }
}
