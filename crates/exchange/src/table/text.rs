//! From bytes to text: what is no table is told apart here.

use crate::complaint::Complaint;

/// The text of a file without its byte order mark.
pub(super) fn text_of<'a>(table: &str, bytes: &'a [u8]) -> Result<&'a str, Complaint> {
    const HOW: &str = "save it again as CSV in UTF-8 and bring it in then";
    let no = |line, says: String| Err(Complaint::refused(table, line, None, says));
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return no(
            1,
            "the file is empty: save the table again, with its header in the first line".to_owned(),
        );
    }
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        return no(1, format!("this is text in UTF-16: {HOW}"));
    }
    if bytes.starts_with(b"PK\x03\x04") {
        return no(1, format!("this is a packed spreadsheet, not a plain table: {HOW}"));
    }
    if let Some(place) = bytes.iter().position(|it| *it == 0) {
        let line = lines_before(bytes, place) + 1;
        return no(line, format!("there is a NUL byte here, so this is no plain text: {HOW}"));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text),
        Err(bad) => {
            let line = lines_before(bytes, bad.valid_up_to()) + 1;
            no(line, format!("a letter here is not in UTF-8: {HOW}"))
        }
    }
}

/// How many line ends stand before a place; CR, LF and CRLF each end a line.
pub(super) fn lines_before(bytes: &[u8], place: usize) -> usize {
    let before = bytes.get(..place).unwrap_or(bytes);
    let lone_cr = |(index, it): (usize, &u8)| *it == b'\r' && bytes.get(index + 1) != Some(&b'\n');
    before.iter().enumerate().filter(|(index, it)| **it == b'\n' || lone_cr((*index, *it))).count()
}

/// The sign between the cells: whichever of comma, semicolon and tab stands
/// most often in the header, outside of quotes.
pub(super) fn delimiter_of(text: &str) -> u8 {
    let mut counts = [(b',', 0), (b';', 0), (b'\t', 0)];
    let mut quoted = false;
    for it in text.trim_start().bytes() {
        match it {
            b'"' => quoted = !quoted,
            b'\n' | b'\r' if !quoted => break,
            _ if !quoted => {
                for (sign, n) in &mut counts {
                    *n += usize::from(*sign == it);
                }
            }
            _ => {}
        }
    }
    // On a tie the earlier sign wins, so a single column is read with commas.
    counts.iter().rev().max_by_key(|(_, n)| *n).map_or(b',', |(sign, _)| *sign)
}

/// The line of a double quote that is opened and never closed.
pub(super) fn open_quote(text: &str, delimiter: u8) -> Option<usize> {
    #[derive(PartialEq)]
    enum At {
        CellStart,
        Plain,
        Quoted(usize),
        QuoteInQuoted(usize),
    }
    let mut at = At::CellStart;
    for (place, it) in text.bytes().enumerate() {
        at = match (at, it) {
            (At::Quoted(from), b'"') => At::QuoteInQuoted(from),
            (At::Quoted(from), _) => At::Quoted(from),
            (At::QuoteInQuoted(from), b'"') => At::Quoted(from),
            (At::CellStart, b'"') => At::Quoted(place),
            (_, b'\n' | b'\r') => At::CellStart,
            (_, it) if it == delimiter => At::CellStart,
            _ => At::Plain,
        };
    }
    match at {
        At::Quoted(from) => Some(lines_before(text.as_bytes(), from) + 1),
        _ => None,
    }
}
