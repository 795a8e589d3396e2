//! Comma-separated rows with quoted fields (RFC 4180), as the tables of cases are written.

/// Splits a table into rows of fields. A quote left open takes the rest of the text as its field.
pub(super) fn rows(text: &str) -> Vec<Vec<String>> {
    let mut rows = vec![];
    let mut row = vec![];
    let mut field = String::new();
    let mut quoted = false;
    let mut letters = text.trim_start_matches('\u{feff}').chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                field.push('"');
                letters.next();
            }
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(std::mem::take(&mut field)),
            '\r' if !quoted && letters.peek() == Some(&'\n') => {}
            '\n' if !quoted => {
                row.push(std::mem::take(&mut field));
                rows.push(std::mem::take(&mut row));
            }
            _ => field.push(letter),
        }
    }
    if !field.is_empty() || !row.is_empty() {
        row.push(field);
        rows.push(row);
    }
    // A line with nothing on it is no row.
    rows.retain(|row| row.iter().any(|field| !field.is_empty()));
    rows
}

/// Writes one row, quoting where a field needs it.
pub(super) fn write_row(out: &mut String, fields: impl IntoIterator<Item = impl AsRef<str>>) {
    for (index, field) in fields.into_iter().enumerate() {
        let field = field.as_ref();
        if index > 0 {
            out.push(',');
        }
        if field.contains([',', '"', '\n', '\r']) {
            out.push('"');
            out.push_str(&field.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(field);
        }
    }
    out.push('\n');
}
