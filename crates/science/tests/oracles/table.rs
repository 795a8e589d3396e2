//! Reading a table of expected values and holding ours against it.

use serde_json::Value;

/// One expected value.
pub struct Row {
    pub case: String,
    pub quantity: String,
    pub inputs: Value,
    pub expected: Vec<f64>,
    pub tolerance: f64,
}

/// What a table's reader makes of a row: our values, nothing (not computed here), or a row it cannot read.
pub type Reckoned = Result<Option<Vec<f64>>, String>;

impl Row {
    /// A number among the inputs.
    pub fn number(&self, name: &str) -> Result<f64, String> {
        self.inputs[name].as_f64().ok_or_else(|| format!("{}: {name} is missing or no number", self.case))
    }

    /// A whole number among the inputs.
    pub fn count(&self, name: &str) -> Result<u64, String> {
        let value = &self.inputs[name];
        let whole = value.as_f64().filter(|v| v.fract() == 0.0 && *v >= 0.0 && *v < 1e15);
        let whole = value.as_u64().or_else(|| whole.and_then(|v| format!("{v:.0}").parse().ok()));
        whole.ok_or_else(|| format!("{}: {name} is missing or no count", self.case))
    }

    /// A list of numbers among the inputs.
    pub fn numbers(&self, name: &str) -> Result<Vec<f64>, String> {
        let list = self.inputs[name].as_array().ok_or_else(|| format!("{}: {name} is no list", self.case))?;
        list.iter()
            .map(|v| v.as_f64().ok_or_else(|| format!("{}: {name} holds no numbers", self.case)))
            .collect()
    }

    pub fn has(&self, name: &str) -> bool {
        !self.inputs[name].is_null()
    }
}

/// Turns a refusal into the harness's words.
pub fn ours<T>(result: Result<T, science::numerics::Unfit>) -> Result<T, String> {
    result.map_err(|no| format!("refused: {no}"))
}

/// A single number as a checked answer.
pub fn one(result: Result<f64, science::numerics::Unfit>) -> Reckoned {
    ours(result).map(|value| Some(vec![value]))
}

/// Counts in the tables are far below 2^53.
#[expect(clippy::cast_precision_loss, reason = "counts far below 2^53")]
pub fn float(count: u64) -> f64 {
    count as f64
}

pub struct Table {
    name: &'static str,
    rows: Vec<Row>,
    doubted: Vec<(&'static str, &'static str)>,
}

pub struct Checked {
    name: &'static str,
    checked: usize,
    left_out: Vec<String>,
}

impl Table {
    pub fn read(name: &'static str) -> Self {
        let path = format!("{}/../../reference/oracles/{name}", env!("CARGO_MANIFEST_DIR"));
        let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|e| panic!("{name}: {e}"));
        let rows = reader
            .records()
            .map(|record| {
                let record = record.expect("a readable row");
                let case = record[0].to_owned();
                let json = |text: &str| serde_json::from_str(text).unwrap_or(Value::String(text.to_owned()));
                Row {
                    inputs: json(&record[2]),
                    expected: flat(&json(&record[3])).unwrap_or_default(),
                    tolerance: record[4].parse().unwrap_or(f64::NAN),
                    quantity: record[1].to_owned(),
                    case,
                }
            })
            .collect();
        Table { name, rows, doubted: vec![] }
    }

    /// A row that we hold to be wrong, with the evidence. It must still disagree, or the doubt has gone stale.
    pub fn doubting(mut self, case: &'static str, quantity: &'static str, evidence: &str) -> Self {
        assert!(evidence.len() > 40, "{case}: a doubt without evidence");
        self.doubted.push((case, quantity));
        self
    }

    /// Every row that is wrong or not understood, worded.
    pub fn failures(&self, reckon: impl Fn(&Row) -> Reckoned) -> Vec<String> {
        self.rows.iter().filter_map(|row| self.failure(row, &reckon(row))).collect()
    }

    fn failure(&self, row: &Row, reckoned: &Reckoned) -> Option<String> {
        let place = format!("{} {} {}", self.name, row.case, row.quantity);
        match reckoned {
            Err(why) => Some(format!("{place}: {why}")),
            Ok(None) => None,
            Ok(Some(values)) => {
                // Half a unit of the twelfth printed digit is the expected value's own rounding.
                let close =
                    |ours: f64, theirs: f64| (ours - theirs).abs() <= row.tolerance + 1e-11 * theirs.abs();
                let same = values.len() == row.expected.len()
                    && !values.is_empty()
                    && values.iter().zip(&row.expected).all(|(&a, &b)| close(a, b));
                (!same).then(|| format!("{place}: {values:?} is not {:?}", row.expected))
            }
        }
    }

    pub fn against(self, reckon: impl Fn(&Row) -> Reckoned) -> Checked {
        let mut left_out: Vec<String> = vec![];
        let mut checked = 0;
        let mut wrong = vec![];
        for row in &self.rows {
            let reckoned = reckon(row);
            if self.doubted.contains(&(row.case.as_str(), row.quantity.as_str())) {
                assert!(
                    self.failure(row, &reckoned).is_some(),
                    "{} {} agrees after all",
                    row.case,
                    row.quantity
                );
                continue;
            }
            match self.failure(row, &reckoned) {
                Some(failure) => wrong.push(failure),
                None if matches!(reckoned, Ok(None)) => left_out.push(row.quantity.clone()),
                None => checked += 1,
            }
        }
        assert!(wrong.is_empty(), "{} rows of {} differ:\n{}", wrong.len(), self.name, wrong.join("\n"));
        let (out, doubted) = (left_out.len(), self.doubted.len());
        println!("{}: {checked} rows checked, {out} left out, {doubted} doubted", self.name);
        left_out.sort();
        left_out.dedup();
        Checked { name: self.name, checked, left_out }
    }
}

impl Checked {
    /// A table that shrinks must not pass unnoticed.
    #[must_use]
    pub fn at_least(self, rows: usize) -> Self {
        assert!(self.checked >= rows, "{}: only {} rows checked, {rows} expected", self.name, self.checked);
        self
    }

    /// The quantities this crate does not compute, exactly.
    pub fn leaving_out(self, quantities: &[&str]) {
        let mut named: Vec<&str> = quantities.to_vec();
        named.sort_unstable();
        assert_eq!(self.left_out, named, "{}: quantities not computed here", self.name);
    }
}

fn flat(value: &Value) -> Option<Vec<f64>> {
    match value {
        Value::Number(number) => Some(vec![number.as_f64()?]),
        Value::Array(list) => {
            let parts: Option<Vec<Vec<f64>>> = list.iter().map(flat).collect();
            Some(parts?.concat())
        }
        _ => None,
    }
}

/// A column of one of the small tables that rows point at.
pub fn column(file: &str, name: &str) -> Vec<String> {
    let path = format!("{}/../../reference/oracles/data/{file}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|e| panic!("{file}: {e}"));
    let place = reader
        .headers()
        .unwrap()
        .iter()
        .position(|head| head == name)
        .unwrap_or_else(|| panic!("{file}: {name}"));
    reader.records().map(|record| record.unwrap()[place].to_owned()).collect()
}
