//! A whole table of questions at once.

use serde_json::Value;

use super::table::{rows, write_row};
use super::{Refused, reckon};

/// Answers a table of cases: reads the columns `case`, `quantity` and `inputs` (one JSON object) and writes the same
/// rows, every other column kept, with `computed` and `refused` added. One of the two is empty in every row, so a
/// refused question never reads as a figure and never stops the others.
///
/// ```
/// let table = "case,quantity,inputs\nbrood,animals-needed,\"{\"\"survival\"\":0.7,\"\"male_share\"\":0.5,\"\"chance\"\":0.95}\"\n";
/// let answered = keeper::reckon::cases(table).unwrap();
/// assert!(answered.ends_with(",9,\n"));
/// ```
pub fn cases(csv_text: &str) -> Result<String, Refused> {
    let mut table = rows(csv_text).into_iter();
    let mut head = table.next().unwrap_or_default();
    let column = |name: &'static str| {
        head.iter().position(|field| field.trim() == name).ok_or(Refused::NoColumn { name })
    };
    let (_, quantity, inputs) = (column("case")?, column("quantity")?, column("inputs")?);
    let width = head.len();
    head.extend(["computed".to_owned(), "refused".to_owned()]);
    let mut out = String::new();
    write_row(&mut out, &head);
    for mut row in table {
        let given = |column: usize| row.get(column).map_or("", |field| field.trim());
        let answer = ask(given(quantity), given(inputs));
        row.resize(width, String::new());
        match answer {
            Ok(Value::String(words)) => row.extend([words, String::new()]),
            Ok(value) => row.extend([value.to_string(), String::new()]),
            Err(no) => row.extend([String::new(), no.to_string()]),
        }
        write_row(&mut out, &row);
    }
    Ok(out)
}

fn ask(quantity: &str, inputs: &str) -> Result<Value, Refused> {
    let inputs =
        serde_json::from_str(inputs).map_err(|e| Refused::InputsUnreadable { why: e.to_string() })?;
    reckon(quantity, &inputs)
}
