//! Two tables side by side: what libraries answer and what we compute.

use std::collections::BTreeMap;
use std::fmt;

use anyhow::{Context, Result, bail};
use jiff::Timestamp;
use serde_json::Value;

/// What was found, by quantity, field and library.
#[derive(Debug, Default)]
pub struct Found(BTreeMap<(String, String, String), Tally>);

#[derive(Debug, Default)]
struct Tally {
    asked: usize,
    outside: usize,
    /// The largest difference in parts of what is allowed.
    worst: f64,
    /// The first that is outside, in words.
    example: Option<String>,
}

impl Found {
    /// Figures outside their tolerance.
    pub fn outside(&self) -> usize {
        self.0.values().map(|it| it.outside).sum()
    }

    /// Whether nothing was compared.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl fmt::Display for Found {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(to, "{:>6} {:>8} {:>14}  figure (who says so)", "asked", "outside", "worst/allowed")?;
        for ((quantity, field, who), tally) in &self.0 {
            let figure = format!("{quantity} {field}");
            writeln!(
                to,
                "{:>6} {:>8} {:>14.2e}  {} ({who})",
                tally.asked,
                tally.outside,
                tally.worst,
                figure.trim_end()
            )?;
            if let Some(example) = &tally.example {
                writeln!(to, "       {example}")?;
            }
        }
        Ok(())
    }
}

/// Every answer against what was computed for its case.
pub fn compare(answers: &str, computed: &str) -> Result<Found> {
    let ours: BTreeMap<String, BTreeMap<String, String>> =
        rows(computed)?.into_iter().map(|row| (row.get("case").cloned().unwrap_or_default(), row)).collect();
    let mut found = Found::default();
    for answer in rows(answers)? {
        let cell = |name: &str| answer.get(name).map_or("", String::as_str);
        let row = ours.get(cell("case")).with_context(|| format!("no row for {}", cell("case")))?;
        let quantity = row.get("quantity").cloned().unwrap_or_default();
        let field = cell("field");
        // Animals of a pedigree are many and all alike.
        let shown = if quantity == "inbreeding" { "" } else { field };
        let tally = found.0.entry((quantity, shown.to_owned(), cell("who").to_owned())).or_default();
        tally.asked += 1;
        let apart = apart(row, field, cell("expected"), cell("relative"), cell("absolute"))
            .with_context(|| format!("{} {field}", cell("case")))?;
        tally.worst = tally.worst.max(apart);
        if apart > 1.0 {
            tally.outside += 1;
            let inputs = row.get("inputs").map_or("", String::as_str);
            let got = row.get("computed").filter(|it| !it.is_empty()).or_else(|| row.get("refused"));
            let got = got.map_or("nothing", String::as_str);
            tally.example.get_or_insert_with(|| {
                format!("{field} of {inputs}: they say {}, we say {got}", cell("expected"))
            });
        }
    }
    Ok(found)
}

/// The difference in parts of the tolerance; infinite where we have no such figure.
fn apart(
    row: &BTreeMap<String, String>,
    field: &str,
    expected: &str,
    relative: &str,
    absolute: &str,
) -> Result<f64> {
    let Ok(whole) = serde_json::from_str::<Value>(row.get("computed").map_or("", String::as_str)) else {
        return Ok(f64::INFINITY);
    };
    let value = match (&whole, field) {
        (_, "") => Some(&whole),
        (Value::Array(items), at) => items.get(at.parse::<usize>()?),
        (_, name) => whole.get(name),
    };
    let absolute: f64 = absolute.parse()?;
    let (difference, allowed) = match value {
        Some(Value::String(instant)) => {
            let (ours, theirs): (Timestamp, Timestamp) = (instant.parse()?, expected.parse()?);
            (ours.duration_since(theirs).as_secs_f64().abs(), absolute)
        }
        Some(Value::Number(number)) => {
            let theirs: f64 = expected.parse()?;
            let ours = number.as_f64().unwrap_or(f64::NAN);
            ((ours - theirs).abs(), relative.parse::<f64>()?.mul_add(theirs.abs(), absolute))
        }
        _ => return Ok(f64::INFINITY),
    };
    Ok(match difference {
        0.0 => 0.0,
        it if it.is_nan() => f64::INFINITY,
        it => it / allowed,
    })
}

fn rows(text: &str) -> Result<Vec<BTreeMap<String, String>>> {
    let rows = csv::Reader::from_reader(text.as_bytes()).deserialize().collect::<Result<Vec<_>, _>>()?;
    if rows.is_empty() {
        bail!("a table without rows");
    }
    Ok(rows)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    const ANSWERS: &str = "case,field,expected,relative,absolute,who\n\
        a,,2.0,1e-6,0,one\n\
        b,low,0.5,0,0.01,two\n\
        c,sunrise,2024-06-01T02:53:40Z,0,60,three\n";

    fn outside(computed: &str) -> usize {
        compare(ANSWERS, &format!("case,quantity,inputs,computed,refused\n{computed}")).unwrap().outside()
    }

    #[test]
    fn figures_within_their_tolerance_pass() {
        assert_eq!(
            outside(
                "a,x,{},2.000001,\nb,y,{},\"{\"\"low\"\":0.509}\",\nc,z,{},\"{\"\"sunrise\"\":\"\"2024-06-01T02:54:30Z\"\"}\",\n"
            ),
            0
        );
    }

    #[test]
    fn figures_outside_are_counted_each() {
        assert_eq!(
            outside(
                "a,x,{},2.00001,\nb,y,{},\"{\"\"low\"\":0.52}\",\nc,z,{},\"{\"\"sunrise\"\":\"\"2024-06-01T02:55:30Z\"\"}\",\n"
            ),
            3
        );
    }

    #[test]
    fn a_refusal_or_a_missing_field_is_outside() {
        assert_eq!(outside("a,x,{},,too cold\nb,y,{},\"{\"\"high\"\":0.5}\",\nc,z,{},null,\n"), 3);
    }

    #[test]
    fn a_case_that_was_not_computed_is_an_error() {
        assert!(compare(ANSWERS, "case,quantity,inputs,computed,refused\na,x,{},2,\n").is_err());
    }
}
