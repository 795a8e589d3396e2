//! What each number of a profile stands on.

use toml::{Table, Value};

/// What one number (or saying) of a profile stands on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Footing {
    /// Where it stands in the profile, such as `egg.days` or `winter.lying_over`.
    pub path: String,
    /// Ids of the claims it rests on.
    pub claims: Vec<String>,
    /// Why we chose it, where it is a judgement.
    pub judgement: Option<String>,
}

impl Footing {
    /// Does it stand on anything at all?
    pub fn stands(&self) -> bool {
        !self.claims.is_empty() || self.judgement.as_ref().is_some_and(|why| !why.trim().is_empty())
    }
}

/// Every number and every saying of a profile with what it stands on.
///
/// It walks the file itself and not the typed profile, so that a number added later cannot slip past.
pub fn footings(profile: &Table) -> Vec<Footing> {
    let mut found = Vec::new();
    walk("", profile, &mut found);
    found
}

fn walk(path: &str, table: &Table, found: &mut Vec<Footing>) {
    let holds_something =
        table.iter().any(|(key, value)| key == "says" || key == "plant" || is_numeric(value));
    if holds_something {
        found.push(Footing {
            path: path.to_owned(),
            claims: words(table.get("claims")),
            judgement: table.get("judgement").and_then(Value::as_str).map(str::to_owned),
        });
    }
    for (key, value) in table {
        match value {
            Value::Table(inner) => walk(&join(path, key), inner, found),
            Value::Array(list) => {
                for (index, inner) in list.iter().enumerate() {
                    if let Value::Table(inner) = inner {
                        let name = inner
                            .get("stage")
                            .and_then(Value::as_str)
                            .map_or_else(|| format!("{key}.{}", index + 1), str::to_owned);
                        walk(&join(path, &name), inner, found);
                    }
                }
            }
            _ => {}
        }
    }
}

fn is_numeric(value: &Value) -> bool {
    match value {
        Value::Integer(_) | Value::Float(_) => true,
        Value::Array(list) => list.iter().any(is_numeric),
        _ => false,
    }
}

fn words(value: Option<&Value>) -> Vec<String> {
    let list = value.and_then(Value::as_array).map(Vec::as_slice).unwrap_or_default();
    list.iter().filter_map(Value::as_str).map(str::to_owned).collect()
}

fn join(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}
