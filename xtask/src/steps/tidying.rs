//! Reads the repository, asks every text rule, and tells what they found.

use std::path::Path;

use anyhow::{Result, bail};

use crate::repository::Repository;
use crate::tidy;

/// Prints warnings and faults; any fault is a failure.
pub fn tidy(root: &Path) -> Result<()> {
    let repository = Repository::read(root)?;
    for warning in tidy::warnings(&repository) {
        println!("warning: {warning}");
    }
    let faults = tidy::faults(&repository);
    for fault in &faults {
        println!("{fault}");
    }
    if !faults.is_empty() {
        bail!("places to mend: {}", faults.len());
    }
    println!("{} text files are tidy", repository.pages.len());
    Ok(())
}
