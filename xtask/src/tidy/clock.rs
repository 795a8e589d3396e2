//! One clock: an exception to the ban on `now` is made only in a file called `clock.rs`.

use super::fault::Fault;
use super::shipped::{is_for_tests, shipped_part};
use crate::repository::Repository;

const EXCEPTION: &str = "clippy::disallowed_methods";

/// Exceptions to the banned methods outside the clock file. Tests may make their own.
pub fn faults(repository: &Repository) -> Vec<Fault> {
    let sources = repository.below("crates/").filter(|it| it.ends("rs") && !is_for_tests(&it.path));
    let others = sources.filter(|it| !it.path.ends_with("/clock.rs"));
    let mut faults = Vec::new();
    for page in others {
        for (at, line) in shipped_part(&page.text).lines().enumerate() {
            if line.contains(EXCEPTION) {
                faults.push(Fault::at(&page.path, at + 1, "only the clock file may ask for the time"));
            }
        }
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::super::fault::told;
    use super::*;

    fn found(path: &str, text: &str) -> Vec<String> {
        told(&faults(&Repository::of(&[(path, text)])))
    }

    #[test]
    fn a_second_clock_is_caught() {
        let second = format!("\n#[expect({EXCEPTION}, reason = \"in a hurry\")]\n");
        assert_eq!(
            found("crates/keeper/src/round.rs", &second),
            ["crates/keeper/src/round.rs:2: only the clock file may ask for the time"]
        );
    }

    #[test]
    fn the_clock_and_the_tests_may_ask() {
        let text = format!("#[expect({EXCEPTION}, reason = \"the clock\")]");
        assert!(found("crates/keeper/src/clock.rs", &text).is_empty());
        assert!(found("crates/keeper/tests/season.rs", &text).is_empty());
        let tests = format!("#[cfg(test)]\n#[expect(x)]\nmod tests {{\n{text}\n}}");
        assert!(found("crates/keeper/src/round.rs", &tests).is_empty());
    }
}
