//! The rule itself: allowed licences, one registry, and exceptions only for what stays in the tests.

use std::collections::BTreeMap;

use super::expression::permits;
use super::graph::{Crate, Graph};
use super::policy::Policy;

/// Each crate that breaks the rule, with why.
pub fn faults(policy: &Policy, graph: &Graph) -> Vec<String> {
    let mut faults = Vec::new();
    for (id, krate) in &graph.crates {
        let about = format!("{} {}", krate.name, krate.version);
        faults.extend(
            licence_fault(policy, krate, graph.shipped.contains(id)).map(|it| format!("{about}: {it}")),
        );
        faults.extend(source_fault(krate).map(|it| format!("{about}: {it}")));
    }
    let gone = policy.excepted().filter(|it| !graph.crates.values().any(|krate| krate.name == *it));
    faults.extend(gone.map(|it| format!("{it}: has an exception in deny.toml but is no longer used")));
    faults
}

fn licence_fault(policy: &Policy, krate: &Crate, shipped: bool) -> Option<String> {
    let Some(licence) = &krate.licence else {
        return Some("states no licence".to_owned());
    };
    if permits(licence, |it| policy.allows(it)) {
        return None;
    }
    if !permits(licence, |it| policy.allows(it) || policy.excepts(&krate.name, it)) {
        return Some(format!("its licence `{licence}` is not on the list"));
    }
    shipped
        .then(|| format!("its licence `{licence}` is excepted for tests only, but it would reach a keeper"))
}

fn source_fault(krate: &Crate) -> Option<String> {
    let source = krate.source.as_deref()?;
    let known = source.starts_with("registry+") && source.ends_with("/crates.io-index");
    (!known).then(|| format!("comes from `{source}`, not from the common registry"))
}

/// Crates that come in more than one version: told, not refused.
pub fn doubles(graph: &Graph) -> Vec<String> {
    let mut versions: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for id in &graph.shipped {
        if let Some(krate) = graph.crates.get(id) {
            versions.entry(&krate.name).or_default().push(&krate.version);
        }
    }
    versions.retain(|_, it| it.len() > 1);
    versions
        .iter()
        .map(|(name, it)| format!("{name} comes in {} versions: {}", it.len(), it.join(", ")))
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    const REGISTRY: &str = "registry+somewhere/crates.io-index";

    fn policy() -> Policy {
        Policy::read("[licenses]\nallow = ['MIT']\nexceptions = [{ crate = 'driver', allow = ['MPL-2.0'] }]")
            .unwrap()
    }

    fn graph(crates: &[(&str, &str, Option<&str>, &str, bool)]) -> Graph {
        let mut graph = Graph::default();
        for &(name, version, licence, source, shipped) in crates {
            let id = format!("{name} {version}");
            let krate = Crate {
                name: name.to_owned(),
                version: version.to_owned(),
                licence: licence.map(str::to_owned),
                source: Some(source.to_owned()),
            };
            graph.crates.insert(id.clone(), krate);
            if shipped {
                graph.shipped.insert(id);
            }
        }
        graph
    }

    #[test]
    fn an_exception_that_stays_in_the_tests_passes() {
        let driver = ("driver", "1.0.0", Some("MPL-2.0"), REGISTRY, false);
        assert_eq!(faults(&policy(), &graph(&[driver])), Vec::<String>::new());
    }

    #[test]
    fn an_exception_that_would_ship_is_refused() {
        let driver = ("driver", "1.0.0", Some("MPL-2.0"), REGISTRY, true);
        assert!(faults(&policy(), &graph(&[driver]))[0].contains("reach a keeper"));
    }

    #[test]
    fn unknown_licences_silence_and_strange_origins_are_refused() {
        let fine = ("driver", "1.0.0", Some("MIT"), REGISTRY, true);
        let cases = [
            ("other", "1.0.0", Some("MPL-2.0"), REGISTRY, false),
            ("other", "1.0.0", None, REGISTRY, false),
            ("other", "1.0.0", Some("MIT"), "git+somewhere", false),
            ("other", "1.0.0", Some("MIT"), "git+somewhere/crates.io-index", false),
            ("other", "1.0.0", Some("MIT"), "registry+somewhere/else", false),
        ];
        for case in cases {
            let found = faults(&policy(), &graph(&[fine, case]));
            assert_eq!(found.len(), 1, "{case:?}: {found:?}");
            assert!(found[0].starts_with("other 1.0.0"), "{found:?}");
        }
    }

    #[test]
    fn an_exception_nobody_needs_is_told() {
        assert!(faults(&policy(), &graph(&[]))[0].contains("no longer used"));
    }

    #[test]
    fn only_shipped_doubles_are_told() {
        let crates = [
            ("twice", "1.0.0", Some("MIT"), REGISTRY, true),
            ("twice", "2.0.0", Some("MIT"), REGISTRY, true),
            ("tried", "1.0.0", Some("MIT"), REGISTRY, true),
            ("tried", "2.0.0", Some("MIT"), REGISTRY, false),
        ];
        assert_eq!(doubles(&graph(&crates)), ["twice comes in 2 versions: 1.0.0, 2.0.0"]);
    }
}
