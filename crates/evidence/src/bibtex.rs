//! A small, forgiving reader of BibTeX: entries with braced, quoted or bare values.
//!
//! It reads what this project writes (no `@string`, no `#` joins) and steps over the rest, so that one
//! unbalanced brace costs one entry and not the file.

use crate::Complaint;

/// One entry with its fields in the order of the file.
pub(crate) struct Entry {
    pub(crate) kind: String,
    pub(crate) key: String,
    pub(crate) line: usize,
    fields: Vec<(String, String)>,
}

impl Entry {
    /// The field's text without its outer braces, or `None` if it is missing or empty.
    pub(crate) fn field(&self, name: &str) -> Option<String> {
        let (_, text) = self.fields.iter().find(|(known, _)| known == name)?;
        let text: String = text.chars().filter(|c| !matches!(c, '{' | '}')).collect();
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        (!text.is_empty()).then_some(text)
    }
}

/// Every entry of the text. `@comment` is stepped over, and so is anything between entries.
pub(crate) fn read_entries(file: &str, text: &str) -> (Vec<Entry>, Vec<Complaint>) {
    let mut entries = Vec::new();
    let mut complaints = Vec::new();
    for (line, chunk) in chunks(text) {
        let Some((kind, rest)) = chunk.split_once('{') else {
            complaints.push(Complaint::at(file, line, "an entry starts with @ but has no opening brace"));
            continue;
        };
        let kind = kind.trim().to_lowercase();
        if kind == "comment" {
            continue;
        }
        match body(rest).and_then(fields) {
            Ok((key, fields)) => entries.push(Entry { kind, key, line, fields }),
            Err(says) => complaints.push(Complaint::at(file, line, says)),
        }
    }
    (entries, complaints)
}

/// Cuts at every line that starts with `@`, so that a broken entry cannot swallow its neighbour.
fn chunks(text: &str) -> Vec<(usize, &str)> {
    let mut starts = Vec::new();
    let mut offset = 0;
    for (index, line) in text.split_inclusive('\n').enumerate() {
        if line.starts_with('@') {
            starts.push((offset + 1, index + 1));
        }
        offset += line.len();
    }
    let ends = starts.iter().skip(1).map(|&(start, _)| start - 1).chain([text.len()]);
    starts.iter().zip(ends).map(|(&(start, line), end)| (line, text.get(start..end).unwrap_or(""))).collect()
}

/// What stands inside the entry's braces.
fn body(rest: &str) -> Result<&str, String> {
    let mut depth = 1_u32;
    for (at, c) in rest.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return Ok(rest.get(..at).unwrap_or(""));
        }
    }
    Err("the entry's braces do not close".to_owned())
}

type Fields = (String, Vec<(String, String)>);

fn fields(inside: &str) -> Result<Fields, String> {
    let mut parts = split_outside_braces(inside).into_iter();
    let key = parts.next().map(|key| key.trim().to_owned()).unwrap_or_default();
    if key.is_empty() || key.contains('=') {
        return Err("the entry has no key".to_owned());
    }
    let mut fields = Vec::new();
    for part in parts.filter(|part| !part.trim().is_empty()) {
        let Some((name, value)) = part.split_once('=') else {
            return Err(format!("in `{key}`, `{}` is no `name = {{value}}`", part.trim()));
        };
        let value = value.trim().trim_matches('"');
        fields.push((name.trim().to_lowercase(), value.to_owned()));
    }
    Ok((key, fields))
}

/// Splits at the commas that stand in no braces and no quotes.
fn split_outside_braces(text: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let (mut depth, mut quoted, mut start) = (0_u32, false, 0);
    for (at, c) in text.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            '"' if depth == 0 => quoted = !quoted,
            ',' if depth == 0 && !quoted => {
                parts.push(text.get(start..at).unwrap_or(""));
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(text.get(start..).unwrap_or(""));
    parts
}
