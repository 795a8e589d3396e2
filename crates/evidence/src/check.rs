//! Checks that hold between the files: every pointer points at something, and disagreement is said from both sides.

use std::collections::{HashMap, HashSet};

use crate::{Claim, Complaint, Grade, Library};

/// Everything that is wrong between the files of a library.
pub(crate) fn cross_check(library: &Library) -> Vec<Complaint> {
    let mut says = Vec::new();
    let keys: HashSet<&str> = library.sources.iter().map(|source| source.key.as_str()).collect();
    let mut claims: HashMap<&str, &Claim> = HashMap::new();
    for claim in &library.claims {
        if claims.insert(&claim.id, claim).is_some() {
            says.push(format!("the id `{}` stands in two files", claim.id));
        }
    }
    for claim in &library.claims {
        for key in claim.sources.iter().filter(|key| !keys.contains(key.as_str())) {
            says.push(format!("claim `{}` names the source `{key}`, which is not in sources.bib", claim.id));
        }
        for id in &claim.disagrees_with {
            match claims.get(id.as_str()) {
                None => {
                    says.push(format!("claim `{}` disagrees with `{id}`, which does not exist", claim.id))
                }
                Some(other) if !other.disagrees_with.contains(&claim.id) => says.push(format!(
                    "claim `{}` disagrees with `{id}`, but `{id}` does not say so of it",
                    claim.id
                )),
                Some(_) => {}
            }
        }
        for id in claim.derived_from.iter().filter(|id| !claims.contains_key(id.as_str())) {
            says.push(format!("claim `{}` is worked out from `{id}`, which does not exist", claim.id));
        }
        let explained = !claim.derived_from.is_empty() || claim.note.is_some();
        if matches!(claim.grade, Grade::Derived | Grade::Judgement) && !explained {
            says.push(format!(
                "claim `{}` must say what it was worked out from, or why it was chosen",
                claim.id
            ));
        }
    }
    for question in &library.questions {
        for side in &question.sides {
            for id in side.claims.iter().filter(|id| !claims.contains_key(id.as_str())) {
                says.push(format!("question `{}` names the claim `{id}`, which does not exist", question.id));
            }
        }
    }
    for profile in &library.profiles {
        for footing in &profile.footings {
            for id in footing.claims.iter().filter(|id| !claims.contains_key(id.as_str())) {
                says.push(format!(
                    "{}: {} names the claim `{id}`, which does not exist",
                    profile.slug, footing.path
                ));
            }
        }
        let twins = library.profiles.iter().filter(|other| other.is_called(&profile.latin)).count();
        if twins > 1 {
            says.push(format!("two profiles answer to `{}`", profile.latin));
        }
    }
    says.into_iter().map(|says| Complaint::in_file("reference", says)).collect()
}
