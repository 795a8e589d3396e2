//! Licences and origins: our own rule always, and the fuller tool beside it where it is installed.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};

use crate::licences::{Graph, Policy, doubles, faults};
use crate::shell::{cargo, has_subcommand, must, output};

/// Both readers take their rule from `deny.toml`, so a machine without the tool holds the same line.
pub fn deny(root: &Path) -> Result<()> {
    let rule = fs::read_to_string(root.join("deny.toml")).context("cannot read deny.toml")?;
    let policy = Policy::read(&rule)?;
    let metadata = output(&mut cargo(root, &["metadata", "--locked", "--format-version", "1"]))?;
    let graph = Graph::read(&metadata)?;

    for double in doubles(&graph) {
        println!("warning: {double}");
    }
    let faults = faults(&policy, &graph);
    for fault in &faults {
        println!("{fault}");
    }
    if !faults.is_empty() {
        bail!("breaking the rule of deny.toml: {}", faults.len());
    }
    let (all, shipped) = (graph.crates.len(), graph.shipped.len());
    println!("{all} crates, at most {shipped} of which reach a keeper: all licences and origins are allowed");

    if has_subcommand(root, "deny") {
        let words = ["deny", "--locked", "check", "--hide-inclusion-graph", "licenses", "bans", "sources"];
        must(&mut cargo(root, &words))?;
    }
    Ok(())
}
