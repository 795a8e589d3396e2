//! What of the source reaches a keeper, and what stays behind in the tests.

/// Whether a whole file is for tests, benches or examples.
pub fn is_for_tests(path: &str) -> bool {
    path.split('/').any(|it| ["tests", "tests.rs", "benches", "examples"].contains(&it))
}

/// The text before the test module at the foot of a file. A single helper marked for tests does not hide what follows.
pub fn shipped_part(text: &str) -> &str {
    let mut marks = text.match_indices("#[cfg(test)]").map(|(at, _)| at);
    marks.find(|at| after_attributes(&text[*at..]).starts_with("mod ")).map_or(text, |at| &text[..at])
}

/// Skips attributes, which may run over several lines.
fn after_attributes(text: &str) -> &str {
    let mut rest = text.trim_start();
    while rest.starts_with("#[") {
        let mut depth = 0_usize;
        let end = rest.find(|it| {
            match it {
                '[' => depth += 1,
                ']' => depth -= 1,
                _ => {}
            }
            it == ']' && depth == 0
        });
        rest = end.map_or("", |at| rest[at + 1..].trim_start());
    }
    rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_test_module_is_cut_off_behind_attributes_of_any_length() {
        for attributes in
            ["", "#[allow(x)]\n", "#[allow(\n    x[0],\n    reason = \"a test\"\n)]\n#[rustfmt::skip]\n"]
        {
            let text = format!("fn f() {{}}\n#[cfg(test)]\n{attributes}mod tests {{ \"asset\" }}");
            assert_eq!(shipped_part(&text), "fn f() {}\n", "{attributes}");
        }
    }

    #[test]
    fn a_helper_for_tests_does_not_hide_what_follows() {
        let text = "#[cfg(test)]\nfn helper() {}\nfn f() {}";
        assert_eq!(shipped_part(text), text);
        assert_eq!(shipped_part("#[cfg(test"), "#[cfg(test");
    }

    #[test]
    fn folders_and_files_for_tests_are_known_by_their_whole_name() {
        assert!(is_for_tests("crates/web/tests/pages.rs") && is_for_tests("crates/web/src/tests.rs"));
        assert!(!is_for_tests("crates/web/src/contests.rs"));
    }
}
