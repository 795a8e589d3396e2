//! Every command and every page has its heading in the guide, and the front page names the two ways in.

use super::fault::Fault;
use crate::repository::Repository;

/// A folder with one file for each thing, and the page that must speak of each.
const DESCRIBED: &[(&str, &str, &str)] = &[
    ("crates/cocoonery/src/commands", "docs/guide/commands.md", "command"),
    ("crates/web/src/routes", "docs/guide/pages.md", "page"),
];

/// Files in those folders that are no command and no page of their own.
const NEITHER: &[&str] = &["mod", "print", "statics"];

/// Commands that cannot be a file of their own name, because the language keeps the word.
const KNOWN_AS: &[(&str, &str)] = &[("try_out", "try"), ("where_is", "where")];

/// What a newcomer must find on the front page.
const WAYS_IN: &[&str] = &["cargo run --release -- try", "cargo xtask check"];

/// Commands and pages that the guide forgot, and ways in that the front page forgot.
pub fn faults(repository: &Repository) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (folder, guide, kind) in DESCRIBED {
        let text = repository.page(guide).map_or("", |it| it.text.as_str());
        let names = repository.names_in(folder).into_iter().map(|it| it.strip_suffix(".rs").unwrap_or(it));
        let names =
            names.map(|it| KNOWN_AS.iter().find(|(file, _)| *file == it).map_or(it, |(_, word)| word));
        for name in names.filter(|it| !NEITHER.contains(it)) {
            if !has_heading(text, name) {
                faults.push(Fault::of(
                    guide,
                    format!("no heading for the {kind} `{}`", name.replace('_', "-")),
                ));
            }
        }
    }
    let front = repository.page("README.md").map_or("", |it| it.text.as_str());
    let silent = WAYS_IN.iter().filter(|it| !front.contains(**it));
    faults.extend(silent.map(|it| Fault::of("README.md", format!("does not name `{it}`"))));
    faults
}

/// Whether a heading holds the words of a name, one after the other (`bring_in` in "## `cocoonery bring-in`").
fn has_heading(text: &str, name: &str) -> bool {
    let name = words(name);
    let mut headings = text.lines().filter(|it| it.starts_with('#')).map(words);
    headings.any(|it| it.windows(name.len()).any(|window| window == name))
}

fn words(text: &str) -> Vec<String> {
    let split = text.split(|it: char| !it.is_alphanumeric());
    split.filter(|it| !it.is_empty()).map(str::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::super::fault::told;
    use super::*;

    const FRONT: (&str, &str) = ("README.md", "Run `cargo run --release -- try`, then `cargo xtask check`.");

    fn found(pages: &[(&str, &str)]) -> Vec<String> {
        told(&faults(&Repository::of(pages)))
    }

    #[test]
    fn a_described_command_passes() {
        let guide = ("docs/guide/commands.md", "## `cocoonery bring-in`\n");
        assert!(found(&[FRONT, guide, ("crates/cocoonery/src/commands/bring_in.rs", "")]).is_empty());
    }

    #[test]
    fn a_command_is_not_described_by_prose_or_by_half_its_name() {
        let guide = ("docs/guide/commands.md", "bring-in is fine\n## `cocoonery bring`\n## bringing in\n");
        assert_eq!(
            found(&[FRONT, guide, ("crates/cocoonery/src/commands/bring_in.rs", "")]),
            ["docs/guide/commands.md: no heading for the command `bring-in`"]
        );
    }

    #[test]
    fn a_page_without_any_guide_is_caught_and_mod_is_no_page() {
        let pages = [FRONT, ("crates/web/src/routes/leaf/show.rs", ""), ("crates/web/src/routes/mod.rs", "")];
        assert_eq!(found(&pages), ["docs/guide/pages.md: no heading for the page `leaf`"]);
    }

    #[test]
    fn a_front_page_without_a_way_in_is_caught() {
        assert_eq!(found(&[("README.md", "cargo xtask check")]).len(), 1);
        assert_eq!(found(&[]).len(), 2);
    }
}
