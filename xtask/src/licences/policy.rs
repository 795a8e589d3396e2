//! The part of `deny.toml` that our own check understands.

use anyhow::{Context, Result, bail};
use toml::{Table, Value};

/// What may come in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Policy {
    allowed: Vec<String>,
    exceptions: Vec<(String, Vec<String>)>,
}

impl Policy {
    /// Reads the allow-list and the exceptions by crate.
    pub fn read(text: &str) -> Result<Self> {
        let whole: Table = text.parse().context("deny.toml is not TOML")?;
        let licenses = whole.get("licenses").context("deny.toml has no [licenses]")?;
        let allowed = strings(licenses.get("allow")).context("deny.toml: licenses.allow is not a list")?;
        if allowed.is_empty() {
            bail!("deny.toml allows no licence at all");
        }
        let listed = licenses.get("exceptions").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
        let exceptions = listed.iter().map(exception).collect::<Option<Vec<_>>>();
        let exceptions = exceptions.context("deny.toml: each exception needs `crate` and `allow`")?;
        Ok(Self { allowed, exceptions })
    }

    /// Whether any crate may come in under this licence.
    pub fn allows(&self, licence: &str) -> bool {
        self.allowed.iter().any(|it| it == licence)
    }

    /// Whether this crate may, by an exception of its own.
    pub fn excepts(&self, krate: &str, licence: &str) -> bool {
        self.exceptions.iter().any(|(name, allowed)| name == krate && allowed.iter().any(|it| it == licence))
    }

    /// The crates that have an exception.
    pub fn excepted(&self) -> impl Iterator<Item = &str> {
        self.exceptions.iter().map(|(name, _)| name.as_str())
    }
}

fn strings(value: Option<&Value>) -> Option<Vec<String>> {
    value?.as_array()?.iter().map(|it| it.as_str().map(str::to_owned)).collect()
}

fn exception(value: &Value) -> Option<(String, Vec<String>)> {
    Some((value.get("crate")?.as_str()?.to_owned(), strings(value.get("allow"))?))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    #[test]
    fn an_exception_holds_for_its_crate_alone() {
        let text = "[licenses]\nallow = ['MIT']\nexceptions = [{ crate = 'a', allow = ['MPL-2.0'] }]";
        let policy = Policy::read(text).unwrap();
        assert!(policy.allows("MIT") && !policy.allows("MPL-2.0"));
        assert!(policy.excepts("a", "MPL-2.0") && !policy.excepts("b", "MPL-2.0"));
    }

    #[test]
    fn a_rule_that_cannot_be_read_is_not_an_empty_rule() {
        for broken in ["", "[licenses]", "[licenses]\nallow = []", "[licenses]\nallow = 'MIT'", "[licenses"] {
            assert!(Policy::read(broken).is_err(), "{broken:?} was taken for a rule");
        }
        assert!(Policy::read("[licenses]\nallow = ['MIT']\nexceptions = [{ allow = ['ISC'] }]").is_err());
    }
}
