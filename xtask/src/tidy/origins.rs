//! Nothing in the repository knows on whose machine it was written, or by which door its crates came in.

use super::fault::Fault;
use crate::repository::Page;

/// Folders of one machine; written in two halves, so that this file does not carry them.
const MACHINE: &[&str] = &[concat!("/wo", "rk/"), concat!("/ro", "ot/"), concat!("/ho", "me/")];

/// Hosts of package registries. The lock file must name its registry and is exempt.
const REGISTRIES: &[&str] = &[
    concat!("index.", "crates.io"),
    concat!("static.", "crates.io"),
    concat!("//", "crates.io"),
    concat!("rust-lang/", "crates.io-index"),
    concat!("registry.", "npmjs.org"),
    concat!("pypi", ".org"),
    concat!("python", "hosted.org"),
    concat!("deb.", "debian.org"),
];

/// Faults in one file.
pub fn faults(page: &Page) -> Vec<Fault> {
    if page.path == "Cargo.lock" {
        return Vec::new();
    }
    let mut faults = Vec::new();
    for (at, line) in page.text.lines().enumerate() {
        for folder in MACHINE.iter().filter(|it| names_folder(line, it)) {
            faults.push(Fault::at(&page.path, at + 1, format!("`{folder}` is a folder of one machine")));
        }
        for host in REGISTRIES.iter().filter(|it| line.contains(**it)) {
            faults.push(Fault::at(&page.path, at + 1, format!("`{host}` is the address of a registry")));
        }
    }
    faults
}

/// Whether the folder stands at the start of a path: inside `docs/…` it is only a folder of ours.
fn names_folder(line: &str, folder: &str) -> bool {
    let inside = |it: char| it.is_alphanumeric() || "._-~})]>*".contains(it);
    line.match_indices(folder).any(|(at, _)| !line[..at].chars().next_back().is_some_and(inside))
}

#[cfg(test)]
mod tests {
    use super::super::fault::told;
    use super::*;

    fn found(path: &str, text: &str) -> Vec<String> {
        told(&faults(&Page { path: path.to_owned(), text: text.to_owned() }))
    }

    #[test]
    fn every_machine_folder_is_caught() {
        for folder in MACHINE {
            for line in [format!("see {folder}notes"), format!("\"{folder}\""), format!("file://{folder}x")] {
                assert_eq!(found("docs/quirks.md", &line).len(), 1, "{line}");
            }
        }
    }

    #[test]
    fn a_folder_of_ours_with_such_a_name_is_left_alone() {
        for folder in MACHINE {
            assert!(
                found("docs/quirks.md", &format!("docs{folder}x and ..{folder}x")).is_empty(),
                "{folder}"
            );
        }
    }

    #[test]
    fn every_registry_is_caught_except_in_the_lock_file() {
        for host in REGISTRIES {
            assert!(!found("docs/quirks.md", &format!("from https://{host}/x")).is_empty(), "{host}");
            assert!(found("Cargo.lock", &format!("source = \"{host}\"")).is_empty());
        }
    }
}
