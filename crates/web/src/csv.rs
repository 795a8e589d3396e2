//! Tables as CSV: RFC 4180, UTF-8, one header row.

/// A table with its column names.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Table {
    /// The column names, units last.
    pub head: Vec<&'static str>,
    /// The rows, each as long as `head`.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// The table as text.
    ///
    /// A cell that a spreadsheet would take for a formula gets a leading
    /// apostrophe, because the words in it were typed by somebody.
    ///
    /// ```
    /// let table = web::csv::Table { head: vec!["box", "says"], rows: vec![vec!["H07".into(), "2, \"ripe\"".into()]] };
    /// assert_eq!(table.to_csv(), "box,says\r\nH07,\"2, \"\"ripe\"\"\"\r\n");
    /// ```
    #[must_use]
    pub fn to_csv(&self) -> String {
        let mut out = String::new();
        line(&mut out, self.head.iter().copied());
        for row in &self.rows {
            line(&mut out, row.iter().map(String::as_str));
        }
        out
    }
}

fn line<'a>(out: &mut String, cells: impl Iterator<Item = &'a str>) {
    for (index, cell) in cells.enumerate() {
        if index > 0 {
            out.push(',');
        }
        let formula = cell.starts_with(['=', '+', '@', '\t', '\r'])
            || (cell.starts_with('-') && cell.parse::<f64>().is_err());
        let safe = if formula { format!("'{cell}") } else { cell.to_owned() };
        if safe.contains([',', '"', '\n', '\r']) {
            out.push('"');
            out.push_str(&safe.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(&safe);
        }
    }
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_is_a_formula() {
        let table = Table {
            head: vec!["a"],
            rows: ["=1+1", "-2", "-x", "@sum", "+1"].iter().map(|it| vec![(*it).to_owned()]).collect(),
        };
        assert_eq!(table.to_csv(), "a\r\n'=1+1\r\n-2\r\n'-x\r\n'@sum\r\n'+1\r\n");
    }
}
