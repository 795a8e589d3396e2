//! Third-party crates have floors too: one room speaks SQL, one speaks HTTP, one reads the command line.

use super::arrows::crate_at;
use super::fault::Fault;
use super::manifest::{Dependency, Role, dependencies};
use crate::repository::Repository;

/// A crate that only one room may work with.
const ONLY_IN: &[(&str, &str)] = &[
    ("rusqlite", "store"),
    ("postgres", "store"),
    ("tokio-postgres", "store"),
    ("sqlx", "store"),
    ("axum", "web"),
    ("hyper", "web"),
    ("maud", "web"),
    ("tower", "web"),
    ("tower-http", "web"),
    ("clap", "cocoonery"),
    ("clap_complete", "cocoonery"),
    ("clap_mangen", "cocoonery"),
    ("csv", "exchange"),
];

/// What a room may not have at all, and why.
const NEVER: &[(&str, &str, &str)] = &[
    ("science", "serde", "the models do not know how a number is written down"),
    ("science", "serde_json", "the models do not know how a number is written down"),
    ("terms", "tokio", "the words do no I/O"),
    ("rearing", "tokio", "the book as rules does no I/O"),
    ("science", "tokio", "the models do no I/O"),
    ("evidence", "tokio", "claims are text in, values out"),
    ("exchange", "tokio", "formats are text in, values out"),
];

/// Houses beside the crates that look at them from outside. No keeper ever runs them.
const OUTSIDE: &[&str] = &["xtask", "validation", "torture"];

/// Third-party crates on a floor where they do not belong. Tests, and the houses that only test, are free of these rules:
/// a test may well read back a table that was written, or a file of outside values.
pub fn faults(repository: &Repository) -> Vec<Fault> {
    let shared = repository.page("Cargo.toml").map_or("", |it| it.text.as_str());
    let mut faults = Vec::new();
    for page in &repository.pages {
        // A manifest that cannot be read is told by the rule of arrows.
        if let (Some(name), Ok(found)) = (crate_at(&page.path), dependencies(&page.text, shared)) {
            faults.extend(
                found.iter().filter_map(|it| misplaced(name, it)).map(|it| Fault::of(&page.path, it)),
            );
        }
    }
    faults
}

fn misplaced(name: &str, dependency: &Dependency) -> Option<String> {
    if dependency.role == Role::Tests || OUTSIDE.contains(&name) {
        return None;
    }
    let never = NEVER.iter().find(|(room, krate, _)| *room == name && *krate == dependency.name);
    if let Some((_, krate, why)) = never {
        return Some(format!("`{krate}` may not enter `{name}`: {why}"));
    }
    let (krate, room) = ONLY_IN.iter().find(|(krate, _)| *krate == dependency.name)?;
    (*room != name).then(|| format!("`{krate}` belongs only in `{room}`, not in `{name}`"))
}

#[cfg(test)]
mod tests {
    use super::super::fault::told;
    use super::*;

    const SHARED: &str = "[workspace.dependencies]\nsql = { package = 'rusqlite', version = '0' }\n";

    fn found(path: &str, manifest: &str) -> Vec<String> {
        told(&faults(&Repository::of(&[("Cargo.toml", SHARED), (path, manifest)])))
    }

    #[test]
    fn each_is_welcome_at_home() {
        for (krate, room) in ONLY_IN {
            let manifest = format!("[dependencies]\n{krate} = '1'");
            assert!(found(&format!("crates/{room}/Cargo.toml"), &manifest).is_empty(), "{krate} in {room}");
        }
    }

    #[test]
    fn each_is_caught_elsewhere() {
        for (krate, _) in ONLY_IN {
            let manifest = format!("[dependencies]\n{krate} = '1'");
            assert_eq!(found("crates/keeper/Cargo.toml", &manifest).len(), 1, "{krate} in keeper");
        }
    }

    #[test]
    fn a_new_name_does_not_hide_it() {
        assert_eq!(found("crates/web/Cargo.toml", "[dependencies]\nsql.workspace = true").len(), 1);
    }

    #[test]
    fn what_a_room_may_never_have_is_caught_unless_only_its_tests_have_it() {
        for (room, krate, _) in NEVER {
            let path = format!("crates/{room}/Cargo.toml");
            assert_eq!(
                found(&path, &format!("[build-dependencies]\n{krate} = '1'")).len(),
                1,
                "{krate} in {room}"
            );
            assert!(found(&path, &format!("[dev-dependencies]\n{krate} = '1'")).is_empty());
        }
        assert!(found("crates/cocoonery/Cargo.toml", "[dev-dependencies]\ncsv = '1'").is_empty());
        assert!(found("xtask/Cargo.toml", "[dependencies]\ncsv = '1'").is_empty());
    }
}
