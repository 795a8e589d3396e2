//! Which of our crates may name which. Arrows point down; anything not listed is forbidden.

use super::fault::Fault;
use super::manifest::{Dependency, Role, dependencies};
use crate::repository::Repository;

/// A crate, its floor counted from the ground, and what it may name.
struct Room {
    name: &'static str,
    floor: u8,
    may: &'static [&'static str],
}

/// The house. `ARCHITECTURE.md` shows the same in words.
const HOUSE: &[Room] = &[
    Room { name: "terms", floor: 0, may: &[] },
    Room { name: "rearing", floor: 1, may: &["terms"] },
    Room { name: "science", floor: 1, may: &["terms"] },
    Room { name: "evidence", floor: 1, may: &["terms"] },
    Room { name: "exchange", floor: 2, may: &["evidence", "rearing", "terms"] },
    Room { name: "store", floor: 2, may: &["evidence", "rearing", "terms"] },
    Room { name: "keeper", floor: 3, may: &["evidence", "exchange", "rearing", "science", "store", "terms"] },
    Room { name: "web", floor: 4, may: &["keeper", "terms"] },
    Room { name: "cocoonery", floor: 5, may: &["keeper", "store", "terms", "web"] },
    // Beside the crates.
    Room { name: "validation", floor: 4, may: &["keeper", "science"] },
    Room { name: "fuzz", floor: 3, may: &["exchange", "terms"] },
    Room { name: "torture", floor: 5, may: &["keeper", "rearing", "store", "web"] },
    Room { name: "xtask", floor: 0, may: &[] },
];

/// Forbidden arrows in every manifest of the repository.
pub fn faults(repository: &Repository) -> Vec<Fault> {
    let shared = repository.page("Cargo.toml").map_or("", |it| it.text.as_str());
    let mut faults = Vec::new();
    for page in &repository.pages {
        if let Some(name) = crate_at(&page.path) {
            match dependencies(&page.text, shared) {
                Ok(found) => {
                    faults.extend(forbidden(name, &found).into_iter().map(|it| Fault::of(&page.path, it)))
                }
                Err(complaint) => faults.push(Fault::of(&page.path, complaint)),
            }
        }
    }
    faults
}

/// The crate whose manifest lies at a path.
pub fn crate_at(path: &str) -> Option<&str> {
    let folder = path.strip_suffix("/Cargo.toml")?;
    Some(folder.strip_prefix("crates/").unwrap_or(folder)).filter(|it| !it.contains('/'))
}

/// The forbidden arrows of one crate. Its tests may look at any lower floor: a season played through the binary
/// must be able to read the book that it wrote.
fn forbidden(name: &str, dependencies: &[Dependency]) -> Vec<String> {
    let Some(room) = HOUSE.iter().find(|it| it.name == name) else {
        return vec![format!("`{name}` has no place in the table of arrows (xtask/src/tidy/arrows.rs)")];
    };
    let mut faults = Vec::new();
    for dependency in dependencies {
        let Some(to) = dependency.ours() else { continue };
        let lower = HOUSE.iter().any(|it| it.name == to && it.floor < room.floor);
        let fine = room.may.contains(&to) || (dependency.role == Role::Tests && lower);
        if !fine {
            faults.push(format!("`{name}` may not know `{to}`"));
        }
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::super::fault::told;
    use super::*;

    const SHARED: &str = "[workspace.dependencies]\n\
        terms = { package = 'cocoonery-terms', path = 'crates/terms' }\n\
        rearing = { package = 'cocoonery-rearing', path = 'crates/rearing' }\n\
        science = { package = 'cocoonery-science', path = 'crates/science' }\n\
        store = { package = 'cocoonery-store', path = 'crates/store' }\n\
        web = { package = 'cocoonery-web', path = 'crates/web' }\n";

    fn found(path: &str, manifest: &str) -> Vec<String> {
        told(&faults(&Repository::of(&[("Cargo.toml", SHARED), (path, manifest)])))
    }

    #[test]
    fn an_arrow_down_is_fine() {
        assert!(found("crates/rearing/Cargo.toml", "[dependencies]\nterms.workspace = true").is_empty());
    }

    #[test]
    fn an_arrow_up_is_caught() {
        let faults = found("crates/store/Cargo.toml", "[dependencies]\nweb.workspace = true");
        assert_eq!(faults, ["crates/store/Cargo.toml: `store` may not know `web`"]);
    }

    #[test]
    fn an_arrow_across_a_floor_is_caught() {
        assert_eq!(found("crates/science/Cargo.toml", "[dependencies]\nrearing.workspace = true").len(), 1);
        assert_eq!(found("crates/web/Cargo.toml", "[dependencies]\nscience.workspace = true").len(), 1);
    }

    #[test]
    fn a_renamed_arrow_and_one_for_one_system_are_caught() {
        let renamed = "[dependencies]\nface = { package = 'cocoonery-web', path = '../web' }";
        assert_eq!(found("crates/terms/Cargo.toml", renamed).len(), 1);
        let hidden = "[target.'cfg(windows)'.dependencies]\nweb.workspace = true";
        assert_eq!(found("crates/terms/Cargo.toml", hidden).len(), 1);
    }

    #[test]
    fn tests_may_look_down_but_never_up_or_across() {
        let dev = |it: &str| format!("[dev-dependencies]\n{it}.workspace = true");
        assert!(found("crates/cocoonery/Cargo.toml", &dev("science")).is_empty());
        assert_eq!(found("crates/science/Cargo.toml", &dev("rearing")).len(), 1);
        assert_eq!(found("crates/terms/Cargo.toml", &dev("web")).len(), 1);
    }

    #[test]
    fn a_crate_without_a_place_is_caught() {
        assert!(found("crates/attic/Cargo.toml", "")[0].contains("no place"));
        assert!(found("attic/Cargo.toml", "")[0].contains("no place"));
    }

    #[test]
    fn the_table_itself_points_down() {
        for room in HOUSE {
            for to in room.may {
                let lower = HOUSE.iter().any(|it| it.name == *to && it.floor < room.floor);
                assert!(lower, "{} -> {to}", room.name);
            }
        }
    }
}
