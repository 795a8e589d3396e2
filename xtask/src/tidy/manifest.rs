//! Which crates a manifest names, under their real names and in which role.

use toml::{Table, Value};

/// What a dependency is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Linked in, or run during the build.
    Works,
    /// Used by tests and benches alone.
    Tests,
}

/// One line of a manifest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dependency {
    /// The name under which the crate is published, whatever it is called here.
    pub name: String,
    /// What it is for.
    pub role: Role,
}

impl Dependency {
    /// The short name, if the crate is one of ours (`terms` for `cocoonery-terms`).
    pub fn ours(&self) -> Option<&str> {
        if self.name == "cocoonery" { Some("cocoonery") } else { self.name.strip_prefix("cocoonery-") }
    }
}

/// The dependencies in one manifest. `shared` is the root manifest, where most of them are declared.
pub fn dependencies(manifest: &str, shared: &str) -> Result<Vec<Dependency>, String> {
    let manifest: Table = manifest.parse().map_err(|it: toml::de::Error| it.message().to_owned())?;
    let shared: Table = shared.parse().map_err(|it: toml::de::Error| it.message().to_owned())?;
    let none = Table::new();
    let declared = shared
        .get("workspace")
        .and_then(|it| it.get("dependencies"))
        .and_then(Value::as_table)
        .unwrap_or(&none);

    let mut found = Vec::new();
    read(&manifest, declared, &mut found);
    // Dependencies for one system only hide a level deeper.
    for target in manifest.get("target").and_then(Value::as_table).unwrap_or(&none).values() {
        read(target.as_table().unwrap_or(&none), declared, &mut found);
    }
    Ok(found)
}

fn read(table: &Table, declared: &Table, found: &mut Vec<Dependency>) {
    let kinds = [
        ("dependencies", Role::Works),
        ("build-dependencies", Role::Works),
        ("dev-dependencies", Role::Tests),
    ];
    for (key, role) in kinds {
        for (alias, value) in table.get(key).and_then(Value::as_table).into_iter().flatten() {
            let inherited = value.get("workspace").and_then(Value::as_bool) == Some(true);
            let value = if inherited { declared.get(alias).unwrap_or(value) } else { value };
            let name = value.get("package").and_then(Value::as_str).unwrap_or(alias);
            found.push(Dependency { name: name.to_owned(), role });
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    const SHARED: &str =
        "[workspace.dependencies]\nterms = { package = 'cocoonery-terms', path = 'x' }\ncsv = '1'";

    fn names(manifest: &str) -> Vec<String> {
        dependencies(manifest, SHARED).unwrap().into_iter().map(|it| it.name).collect()
    }

    #[test]
    fn a_crate_is_known_by_its_own_name_wherever_it_was_renamed() {
        assert_eq!(names("[dependencies]\nterms.workspace = true"), ["cocoonery-terms"]);
        assert_eq!(names("[dependencies]\nbook = { package = 'rusqlite', version = '1' }"), ["rusqlite"]);
        assert_eq!(names("[dependencies]\ncsv.workspace = true"), ["csv"]);
    }

    #[test]
    fn every_kind_of_table_is_read() {
        let manifest = "[build-dependencies]\na = '1'\n[dev-dependencies]\nb = '1'\n\
                        [target.'cfg(unix)'.dependencies]\nc = '1'\n[target.x.dev-dependencies]\nd = '1'";
        let found = dependencies(manifest, SHARED).unwrap();
        let roles: Vec<_> = found.iter().map(|it| (it.name.as_str(), it.role)).collect();
        assert_eq!(roles, [("a", Role::Works), ("b", Role::Tests), ("c", Role::Works), ("d", Role::Tests)]);
    }

    #[test]
    fn ours_are_told_from_others() {
        let ours =
            |name: &str| Dependency { name: name.to_owned(), role: Role::Works }.ours().map(str::to_owned);
        assert_eq!(ours("cocoonery-terms").as_deref(), Some("terms"));
        assert_eq!(ours("cocoonery").as_deref(), Some("cocoonery"));
        assert_eq!(ours("terms"), None);
    }

    #[test]
    fn a_manifest_that_cannot_be_read_is_not_an_empty_one() {
        assert!(dependencies("[dependencies", SHARED).is_err());
    }
}
