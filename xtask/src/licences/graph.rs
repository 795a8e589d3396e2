//! What `cargo metadata` says about the crates we build on, and which of them end up in the binary.

use std::collections::{BTreeMap, BTreeSet};

use anyhow::{Context, Result};
use serde_json::Value;

/// One crate in the lock file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Crate {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// The licence expression, if it states one.
    pub licence: Option<String>,
    /// Where it comes from; `None` for a folder of this repository.
    pub source: Option<String>,
}

/// All crates by id, and the ids of those that can reach a keeper.
#[derive(Debug, Default)]
pub struct Graph {
    /// Every crate of the lock file.
    pub crates: BTreeMap<String, Crate>,
    /// The crates that a member uses, not only its tests: what is linked in, and what runs during the build.
    pub shipped: BTreeSet<String>,
}

impl Graph {
    /// Reads the answer of `cargo metadata --format-version 1`.
    pub fn read(text: &str) -> Result<Self> {
        let whole: Value = serde_json::from_str(text).context("cargo metadata did not answer in JSON")?;
        let crates = list(&whole["packages"]).map(|it| Some((word(&it["id"])?, krate(it)?)));
        let crates =
            crates.collect::<Option<BTreeMap<_, _>>>().context("a package without name or version")?;

        let mut arrows = BTreeMap::new();
        for node in list(&whole["resolve"]["nodes"]) {
            let to: Vec<String> =
                list(&node["deps"]).filter(|it| is_shipped(it)).filter_map(|it| word(&it["pkg"])).collect();
            arrows.insert(word(&node["id"]).context("a node without an id")?, to);
        }
        let members = list(&whole["workspace_members"]).filter_map(word).collect();
        Ok(Self { crates, shipped: reached(members, &arrows) })
    }
}

fn reached(from: Vec<String>, arrows: &BTreeMap<String, Vec<String>>) -> BTreeSet<String> {
    let mut seen = BTreeSet::new();
    let mut waiting = from;
    while let Some(id) = waiting.pop() {
        waiting.extend(arrows.get(&id).into_iter().flatten().filter(|it| !seen.contains(*it)).cloned());
        seen.insert(id);
    }
    seen
}

/// A kind of `null` is an ordinary dependency; only `dev` stays behind in the tests.
fn is_shipped(dependency: &Value) -> bool {
    list(&dependency["dep_kinds"]).any(|it| it["kind"] != "dev")
}

fn krate(value: &Value) -> Option<Crate> {
    Some(Crate {
        name: word(&value["name"])?,
        version: word(&value["version"])?,
        licence: word(&value["license"]),
        source: word(&value["source"]),
    })
}

fn list(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().map_or(&[][..], Vec::as_slice).iter()
}

fn word(value: &Value) -> Option<String> {
    value.as_str().map(str::to_owned)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    #[test]
    fn what_only_tests_use_is_not_shipped() {
        let graph = Graph::read(
            r#"{"workspace_members": ["house"], "packages": [
                {"id":"house","name":"house","version":"1.0.0","license":"MIT","source":null},
                {"id":"used","name":"used","version":"1.0.0","license":"MIT","source":"registry+x"},
                {"id":"under","name":"under","version":"1.0.0","license":"MIT","source":"registry+x"},
                {"id":"tried","name":"tried","version":"1.0.0","license":"MIT","source":"registry+x"}],
             "resolve": {"nodes": [
                {"id":"house","deps":[{"pkg":"used","dep_kinds":[{"kind":null}]},
                                      {"pkg":"tried","dep_kinds":[{"kind":"dev"}]}]},
                {"id":"used","deps":[{"pkg":"under","dep_kinds":[{"kind":"build"}]}]},
                {"id":"under","deps":[]}, {"id":"tried","deps":[]}]}}"#,
        )
        .unwrap();
        assert_eq!(graph.crates.len(), 4);
        assert_eq!(graph.shipped.iter().collect::<Vec<_>>(), ["house", "under", "used"]);
    }

    #[test]
    fn an_answer_that_is_not_json_is_a_failure() {
        assert!(Graph::read("error: no lock file").is_err());
    }
}
