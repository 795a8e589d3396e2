//! The library that is built into the program: every file under `reference/claims` and `reference/species`.

use std::sync::OnceLock;

use crate::check::cross_check;
use crate::{
    Claim, Complaint, Disagreement, Profile, Question, Source, disagreements, read_claims, read_profile,
    read_questions, read_sources,
};

/// Claims, sources, questions and profiles, read and checked against each other.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Library {
    /// Every claim, in the order of the files.
    pub claims: Vec<Claim>,
    /// Every source.
    pub sources: Vec<Source>,
    /// Questions on which the sources disagree.
    pub questions: Vec<Question>,
    /// Species profiles; `generic` stands for a species that has none.
    pub profiles: Vec<Profile>,
    /// What could not be used. The built-in library has none, and a test says so.
    pub complaints: Vec<Complaint>,
}

/// One file: its name and its text.
pub(crate) type File<'a> = (&'a str, &'a str);

impl Library {
    /// Reads a library from its texts. Never fails as a whole; what it could not use is in `complaints`.
    pub fn read(
        sources: File<'_>,
        claims: &[File<'_>],
        questions: File<'_>,
        species: &[File<'_>],
    ) -> Library {
        let mut library = Library::default();
        let (found, complaints) = read_sources(sources.0, sources.1);
        library.sources = found;
        library.complaints.extend(complaints);
        for (file, text) in claims {
            let (found, complaints) = read_claims(file, text);
            library.claims.extend(found);
            library.complaints.extend(complaints);
        }
        let (found, complaints) = read_questions(questions.0, questions.1);
        library.questions = found;
        library.complaints.extend(complaints);
        for (file, text) in species {
            let (found, complaints) = read_profile(file, text);
            library.profiles.extend(found);
            library.complaints.extend(complaints);
        }
        let crossed = cross_check(&library);
        library.complaints.extend(crossed);
        library
    }

    /// The claim of this id.
    pub fn claim(&self, id: &str) -> Option<&Claim> {
        self.claims.iter().find(|claim| claim.id == id)
    }

    /// The source of this key.
    pub fn source(&self, key: &str) -> Option<&Source> {
        self.sources.iter().find(|source| source.key == key)
    }

    /// The question of this id.
    pub fn question(&self, id: &str) -> Option<&Question> {
        self.questions.iter().find(|question| question.id == id)
    }

    /// The profile of a species by Latin name, English name or slug; `None` where there is none.
    pub fn profile(&self, name: &str) -> Option<&Profile> {
        self.profiles.iter().find(|profile| profile.is_called(name))
    }

    /// Every claim on one quantity, species and stage (`None` asks for claims that name none).
    pub fn claims_on<'a>(
        &'a self,
        quantity: &'a str,
        species: Option<&'a str>,
        stage: Option<&'a str>,
    ) -> impl Iterator<Item = &'a Claim> {
        self.claims.iter().filter(move |claim| {
            claim.quantity == quantity
                && claim.species.as_deref() == species
                && claim.stage.as_deref() == stage
        })
    }

    /// Every group of claims of which at least two cannot both be true.
    pub fn disagreements(&self) -> Vec<Disagreement> {
        disagreements(&self.claims)
    }
}

macro_rules! claims {
    ($($name:literal),* $(,)?) => {
        &[$((
            concat!("reference/claims/", $name, ".toml"),
            include_str!(concat!("../../../reference/claims/", $name, ".toml")),
        )),*]
    };
}

macro_rules! species {
    ($($name:literal),* $(,)?) => {
        &[$((
            concat!("reference/species/", $name, ".toml"),
            include_str!(concat!("../../../reference/species/", $name, ".toml")),
        )),*]
    };
}

const SOURCES: File<'static> = ("reference/sources.bib", include_str!("../../../reference/sources.bib"));
const QUESTIONS: File<'static> =
    ("reference/claims/questions.toml", include_str!("../../../reference/claims/questions.toml"));

/// The claim files by subject. A file that is not listed here is not read, and a test compares the folder.
pub(crate) const CLAIMS: &[File<'static>] = claims![
    "stage-days",
    "temperature",
    "air",
    "species",
    "diapause",
    "leaf",
    "leaves",
    "weights",
    "moths",
    "survival",
    "disease",
    "disinfection",
    "practice",
    "head-width",
    "crosses",
    "cautions",
    "judgements",
];

/// The species files; the same holds.
pub(crate) const SPECIES: &[File<'static>] = species![
    "actias-luna",
    "actias-selene",
    "antheraea-mylitta",
    "antheraea-pernyi",
    "antheraea-polyphemus",
    "antheraea-yamamai",
    "attacus-atlas",
    "automeris-io",
    "callosamia-promethea",
    "generic",
    "hyalophora-cecropia",
    "samia-cynthia",
    "samia-ricini",
    "saturnia-pavonia",
];

/// The built-in library, read once.
pub fn library() -> &'static Library {
    static LIBRARY: OnceLock<Library> = OnceLock::new();
    LIBRARY.get_or_init(|| Library::read(SOURCES, CLAIMS, QUESTIONS, SPECIES))
}
