//! Printing: data on stdout, talk on stderr.

use anyhow::Result;
use keeper::view::{DateRange, LeafRange, Receipt, RestsOn};
use serde_json::{Value, json};
use std::io::Write;

/// Writes one JSON answer. A reader that hangs up is no failure.
pub(crate) fn json_out(answer: &Value) -> Result<()> {
    out(&serde_json::to_string_pretty(answer)?)
}

/// Writes a line of data. A reader that hangs up (`| head`) is no failure.
pub(crate) fn out(line: &str) -> Result<()> {
    match writeln!(std::io::stdout(), "{line}") {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => std::process::exit(0),
        other => Ok(other?),
    }
}

pub(crate) fn leaf(range: &LeafRange) -> Value {
    json!({ "q10": round(range.q10), "q50": round(range.q50), "q90": round(range.q90) })
}

pub(crate) fn dates(range: &DateRange) -> Value {
    json!({
        "q05": range.q05.to_string(), "q10": range.q10.to_string(), "q25": range.q25.to_string(),
        "q50": range.q50.to_string(), "q75": range.q75.to_string(), "q90": range.q90.to_string(),
        "q95": range.q95.to_string(),
    })
}

pub(crate) fn receipt(receipt: &Receipt) -> Value {
    json!({
        "version": receipt.version, "model": receipt.model, "entries": receipt.entries,
        "seed": receipt.seed, "runs": receipt.runs,
    })
}

pub(crate) fn rests_on(rests_on: &[RestsOn]) -> Value {
    let rows = rests_on.iter().map(|it| json!({ "says": it.says, "grade": it.grade, "source": it.source }));
    Value::Array(rows.collect())
}

/// A moment on the keeper's wall, to the second.
pub(crate) fn moment(wall: jiff::civil::DateTime) -> String {
    wall.with().subsec_nanosecond(0).build().unwrap_or(wall).to_string()
}

/// The receipt as one quiet line.
pub(crate) fn receipt_line(receipt: &Receipt) -> String {
    format!(
        "{} · {} · book up to entry {} · {} possible seasons · seed {}",
        receipt.version, receipt.model, receipt.entries, receipt.runs, receipt.seed
    )
}

fn round(grams: f64) -> f64 {
    (grams * 100.0).round() / 100.0
}
