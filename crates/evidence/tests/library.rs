//! The library that is built in: whole, every pointer pointing at something, disagreement kept apart.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    reason = "a test may panic, and numbers read from a file are compared as they were read"
)]

use std::path::Path;

use evidence::{Figure, Grade, Library, library};

fn reference() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference")
}

fn files(folder: &str) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = std::fs::read_dir(reference().join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| {
            (path.file_stem().unwrap().to_string_lossy().into_owned(), std::fs::read_to_string(path).unwrap())
        })
        .collect();
    found.sort();
    found
}

/// The library as it is built in, but with one file's text changed.
fn with_change(name: &str, change: impl Fn(&str) -> String) -> Library {
    let patch = |(file, text): (String, String)| {
        let text = if file == name { change(&text) } else { text };
        (file, text)
    };
    let claims: Vec<_> = files("claims").into_iter().map(patch).collect();
    let species: Vec<_> = files("species").into_iter().map(patch).collect();
    let questions = claims.iter().find(|(file, _)| file == "questions").unwrap().1.clone();
    let bib = std::fs::read_to_string(reference().join("sources.bib")).unwrap();
    let bib = if name == "sources" { change(&bib) } else { bib };
    let borrowed = |list: &[(String, String)]| -> Vec<(String, String)> {
        list.iter().filter(|(file, _)| file != "questions").cloned().collect()
    };
    let (claims, species) = (borrowed(&claims), borrowed(&species));
    let claims: Vec<(&str, &str)> = claims.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let species: Vec<(&str, &str)> = species.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    Library::read(("sources.bib", &bib), &claims, ("questions", &questions), &species)
}

/// Changes exactly one place, so that a planted error cannot silently miss.
fn once(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "nothing to change: {from}");
    text.replacen(from, to, 1)
}

fn says(library: &Library, part: &str) -> bool {
    library.complaints.iter().any(|complaint| complaint.to_string().contains(part))
}

#[test]
fn nothing_to_complain_of() {
    assert_eq!(library().complaints, []);
    assert!(library().claims.len() > 600, "{} claims", library().claims.len());
    assert_eq!(library().profiles.len(), 14, "thirteen species and one for a species unknown");
}

#[test]
fn every_file_in_the_folder_is_built_in() {
    let read: usize = files("claims")
        .iter()
        .map(|(_, text)| text.lines().filter(|line| *line == "[[claim]]").count())
        .sum();
    assert_eq!(library().claims.len(), read);
    let slugs: Vec<String> = files("species").into_iter().map(|(name, _)| name).collect();
    let mut built: Vec<String> = library().profiles.iter().map(|profile| profile.slug.clone()).collect();
    built.sort();
    assert_eq!(built, slugs);
}

#[test]
fn every_source_exists_and_a_planted_gap_is_found() {
    for claim in &library().claims {
        for key in &claim.sources {
            assert!(library().source(key).is_some(), "{} names {key}", claim.id);
        }
    }
    let broken = with_change("sources", |text| once(text, "@article{dash2016,", "@article{dash2061,"));
    assert!(says(&broken, "`leaf/mylitta-eaten` names the source `dash2016`"));
}

#[test]
fn every_number_of_a_profile_stands_on_something() {
    for profile in &library().profiles {
        assert!(profile.footings.len() > 60, "{} has {} footings", profile.slug, profile.footings.len());
        for footing in &profile.footings {
            assert!(footing.stands(), "{}: {}", profile.slug, footing.path);
            for id in &footing.claims {
                assert!(library().claim(id).is_some(), "{}: {} names {id}", profile.slug, footing.path);
            }
        }
    }
}

#[test]
fn a_number_without_footing_is_refused() {
    let broken = with_change("saturnia-pavonia", |text| {
        once(
            text,
            "days = { value = 12.0, low = 10, high = 14, claims = [\"stage-days/pavonia-egg\"] }",
            "days = { value = 12.0 }",
        )
    });
    assert!(says(&broken, "egg.days stands on nothing"));
    assert!(broken.profile("Saturnia pavonia").is_none());
}

#[test]
fn a_profile_cannot_point_at_a_claim_that_is_not_there() {
    let broken = with_change("saturnia-pavonia", |text| {
        once(text, "stage-days/pavonia-egg", "stage-days/pavonia-ova")
    });
    assert!(says(&broken, "names the claim `stage-days/pavonia-ova`"));
}

#[test]
fn disagreement_is_said_from_both_sides() {
    let library_now = library();
    for claim in &library_now.claims {
        for id in &claim.disagrees_with {
            let other = library_now.claim(id).expect("the other side exists");
            assert!(other.disagrees_with.contains(&claim.id), "{} and {id}", claim.id);
        }
    }
    let broken = with_change("leaf", |text| once(text, "disagrees_with = [\"leaf/per-larva-high\"]", ""));
    assert!(says(&broken, "`leaf/per-larva-low` does not say so of it"));
}

#[test]
fn the_two_leaf_traditions_are_one_disagreement_and_never_one_number() {
    let all = library().disagreements();
    let both = ["leaf/per-larva-high", "leaf/per-larva-low"];
    let group = all.iter().find(|group| group.claims.iter().any(|id| id == both[0])).unwrap();
    assert_eq!(group.claims, both);
    assert_eq!(group.basis.as_deref(), Some("not stated"));
    assert_eq!((group.lowest, group.highest), (Some(35.0), Some(80.0)));
    for id in both {
        let claim = library().claim(id).unwrap();
        assert!(!claim.basis_is_stated());
        assert_eq!(claim.grade, Grade::Hearsay);
    }
    // No profile may take a number from a claim that does not say what was measured; in words it may quote it.
    for profile in &library().profiles {
        for footing in profile.footings.iter().filter(|footing| footing.path != "leaf.said") {
            assert!(both.iter().all(|id| !footing.claims.iter().any(|own| own == id)), "{}", footing.path);
        }
    }
    let pernyi = library().profile("Antheraea pernyi").unwrap();
    for need in [&pernyi.leaf.eaten_fresh_g, &pernyi.leaf.offered_fresh_g] {
        let median = need.as_ref().unwrap().median;
        // The middle of the two traditions, (77.5 + 37.5) / 2, must appear nowhere.
        assert!((median - 57.5).abs() > 5.0, "{median}");
    }
}

#[test]
fn days_to_hatch_cecropia() {
    let question = library().question("cecropia-hatch").unwrap();
    let ends = |side: usize| {
        let claims = &question.sides[side].claims;
        claims
            .iter()
            .map(|id| library().claim(id).unwrap())
            .map(|claim| (claim.figure, claim.outlier.clone()))
    };
    assert!(ends(0).any(|(figure, _)| figure == Figure::Range { low: 11.0, high: 16.0 }));
    let (figure, outlier) = ends(question.sides.len() - 1).next().unwrap();
    assert_eq!(figure, Figure::Range { low: 28.0, high: 42.0 });
    assert!(outlier.unwrap().contains("no data shown"));
    assert_eq!(library().claim("stage-days/cecropia-egg-weeks").unwrap().grade, Grade::Hearsay);
    let prior = library().profile("cecropia").unwrap().stage("egg".parse().unwrap()).unwrap();
    assert!(prior.days.high.unwrap() <= 16.0, "the outlier must not stretch the prior");
}

#[test]
fn the_fourteen_questions_load() {
    assert_eq!(library().questions.len(), 14);
    for question in &library().questions {
        let mut sides: Vec<&str> = question.sides.iter().map(|side| side.says.as_str()).collect();
        sides.dedup();
        assert!(sides.len() >= 2, "{} has one side only", question.id);
    }
}

#[test]
fn authors_only_for_published_works() {
    for source in &library().sources {
        if source.key.starts_with("practice-") {
            assert_eq!((source.author.as_ref(), source.year.as_ref()), (None, None), "{}", source.key);
            assert!(
                source.title == "public web page (practice)" || source.key == "practice-keepers",
                "{}",
                source.key
            );
        }
    }
    for key in ["memory", "common-practice", "arithmetic", "judgement"] {
        assert_eq!(library().source(key).unwrap().author, None);
    }
}

#[test]
fn a_grade_fits_its_source() {
    for claim in &library().claims {
        let from = |key: &str| claim.sources.iter().any(|own| own == key);
        match claim.grade {
            Grade::Judgement => assert!(from("judgement"), "{}", claim.id),
            Grade::Derived => assert!(from("arithmetic"), "{}", claim.id),
            Grade::Measured | Grade::Review | Grade::Practice | Grade::Hearsay => {
                assert!(!from("judgement") && !from("arithmetic"), "{}", claim.id);
            }
        }
        if from("memory") || from("common-practice") {
            assert_eq!(claim.grade, Grade::Hearsay, "{}", claim.id);
        }
    }
}

#[test]
fn claims_that_differ_only_in_their_air_may_both_be_true() {
    let all = library().disagreements();
    let together = |one: &str, other: &str| {
        all.iter().any(|group| [one, other].iter().all(|id| group.claims.iter().any(|own| own == id)))
    };
    assert!(!together("stage-days/yamamai-pupa-20", "stage-days/yamamai-pupa-25"));
    assert!(!together("stage-days/luna-egg-cool", "stage-days/luna-egg-warm"));
    assert!(together("stage-days/atlas-cycle-stated", "stage-days/atlas-cycle-sum"));
}
