//! Sex, with "not yet known" as a value.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// The sex of an animal, as far as anybody has looked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Sex {
    /// Female (ZW, or Z0 in some kinds).
    Female,
    /// Male (ZZ).
    Male,
    /// Nobody has told the sex yet.
    #[default]
    Unknown,
}

/// A word that names no sex.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no sex: write F, M, or leave it empty")]
pub struct NotASex(pub String);

impl FromStr for Sex {
    type Err = NotASex;
    fn from_str(word: &str) -> Result<Self, NotASex> {
        match word.trim().to_ascii_lowercase().as_str() {
            "f" | "female" => Ok(Sex::Female),
            "m" | "male" => Ok(Sex::Male),
            "" | "?" | "unknown" => Ok(Sex::Unknown),
            _ => Err(NotASex(word.to_owned())),
        }
    }
}

impl fmt::Display for Sex {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Sex::Female => "female",
            Sex::Male => "male",
            Sex::Unknown => "sex not known",
        })
    }
}
