//! The binary as a keeper gets it, and one question that it must be able to answer.

use std::path::Path;

use anyhow::{Context, Result, bail};
use serde_json::Value;

use crate::shell::{cargo, must, output};

/// Builds the release binary and asks it what it can reckon.
pub fn release(root: &Path) -> Result<()> {
    must(&mut cargo(root, &["build", "--release", "--locked"]))?;
    let words = ["run", "--release", "--locked", "--quiet", "--", "reckon", "--list", "--json"];
    let known = quantities(&output(&mut cargo(root, &words))?)?;
    println!("the binary reckons {known} quantities");
    Ok(())
}

/// How many quantities the answer lists. An empty list is a broken binary, not a modest one.
fn quantities(answer: &str) -> Result<usize> {
    let value: Value =
        serde_json::from_str(answer).context("`reckon --list --json` did not answer in JSON")?;
    let list = match &value {
        Value::Array(list) => Some(list),
        Value::Object(fields) => fields.values().find_map(Value::as_array),
        _ => None,
    };
    match list.map_or(0, Vec::len) {
        0 => bail!("`reckon --list --json` lists no quantity"),
        count => Ok(count),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_counted_bare_or_under_a_name() {
        assert_eq!(quantities(r#"[{"quantity":"sun"}]"#).unwrap(), 1);
        assert_eq!(quantities(r#"{"quantities":[{"quantity":"sun"},{"quantity":"rate"}]}"#).unwrap(), 2);
    }

    #[test]
    fn silence_and_empty_lists_are_failures() {
        assert!(quantities("").is_err());
        assert!(quantities("[]").is_err());
        assert!(quantities("{}").is_err());
        assert!(quantities("\"sun\"").is_err());
    }
}
