//! The programs that the page tests call: a browser and its driver.

use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

use crate::shell::{must, on_path, output};

/// A command that the tests start, and the package that brings it on Debian and its kin.
const NEEDED: &[(&str, &str)] = &[("chromium", "chromium"), ("chromedriver", "chromium-driver")];

/// What is installed when one is missing: without fonts a page is boxes, and printed sheets are read back as text.
const PACKAGES: &[&str] =
    &["chromium", "chromium-driver", "fonts-dejavu-core", "fonts-liberation", "poppler-utils"];

/// Makes sure of the tools: finds them, installs them where that is ours to do, or says what to install.
pub fn tools() -> Result<()> {
    let lacking = missing(|it| on_path(it).is_some());
    if !lacking.is_empty() {
        if !may_install() {
            bail!("{}", advice(&lacking));
        }
        install().with_context(|| advice(&lacking))?;
        let still = missing(|it| on_path(it).is_some());
        if !still.is_empty() {
            bail!("{}", advice(&still));
        }
    }
    for (command, _) in NEEDED {
        println!("{command} is there");
    }
    Ok(())
}

fn missing(there: impl Fn(&str) -> bool) -> Vec<&'static str> {
    NEEDED.iter().filter(|(command, _)| !there(command)).map(|(_, package)| *package).collect()
}

fn advice(packages: &[&str]) -> String {
    format!("please install {}: the page tests drive a real browser", packages.join(" and "))
}

/// Only root may install, and only where the package tool of Debian is at hand.
fn may_install() -> bool {
    on_path("apt-get").is_some() && output(Command::new("id").arg("-u")).is_ok_and(|it| it.trim() == "0")
}

fn install() -> Result<()> {
    must(&mut apt(&["update", "-qq"]))?;
    must(apt(&["install", "-y", "-qq", "--no-install-recommends"]).args(PACKAGES))
}

fn apt(words: &[&str]) -> Command {
    let mut command = Command::new("apt-get");
    command.args(words).env("DEBIAN_FRONTEND", "noninteractive").stdin(Stdio::null());
    command
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_package_is_named_not_the_command() {
        assert_eq!(missing(|it| it == "chromium"), ["chromium-driver"]);
        assert!(advice(&missing(|_| false)).contains("chromium and chromium-driver"));
    }

    #[test]
    fn nothing_is_asked_for_when_all_is_there() {
        assert!(missing(|_| true).is_empty());
    }

    #[test]
    fn every_needed_package_is_among_those_installed() {
        assert!(NEEDED.iter().all(|(_, package)| PACKAGES.contains(package)));
    }
}
