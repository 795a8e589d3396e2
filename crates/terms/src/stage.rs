//! The stages of a life, and the only order in which they may follow.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// The most larval instars that any entry may name. Most wild silkmoths have
/// five, some six; the limit only keeps a slip of the finger out of the book.
pub const INSTARS_MAX: u8 = 9;

/// Where an animal stands between egg and moth, as a keeper can see it.
///
/// Spinning larva and pupa are one stage here, because nobody can tell them
/// apart through the cocoon. The order of the variants is the order of life.
///
/// ```
/// use terms::Stage;
/// let fourth: Stage = "L4".parse()?;
/// assert!(Stage::Egg < fourth && fourth < Stage::Cocoon);
/// assert_eq!(fourth.after_moult(), Some(Stage::Larva(5)));
/// # Ok::<(), terms::stage::NotAStage>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Stage {
    /// Not hatched yet.
    Egg,
    /// A larva of the given instar, counted from 1.
    Larva(u8),
    /// Spun: a spinning larva or a pupa inside its cocoon.
    Cocoon,
    /// Out of the cocoon.
    Moth,
}

/// A word that names no stage.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no stage: write egg, L1 to L9, cocoon or moth")]
pub struct NotAStage(pub String);

impl Stage {
    /// The instar that a larva of this stage moults into; `None` if it is no larva.
    #[must_use]
    pub fn after_moult(self) -> Option<Stage> {
        match self {
            Stage::Larva(instar) if instar < INSTARS_MAX => Some(Stage::Larva(instar + 1)),
            _ => None,
        }
    }

    /// Is this a feeding or moulting larva?
    #[must_use]
    pub fn is_larva(self) -> bool {
        matches!(self, Stage::Larva(_))
    }
}

impl fmt::Display for Stage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stage::Egg => f.pad("egg"),
            Stage::Larva(instar) => f.pad(&format!("L{instar}")),
            Stage::Cocoon => f.pad("cocoon"),
            Stage::Moth => f.pad("moth"),
        }
    }
}

impl FromStr for Stage {
    type Err = NotAStage;

    fn from_str(word: &str) -> Result<Self, NotAStage> {
        let lower = word.trim().to_ascii_lowercase();
        let instar = lower.strip_prefix('l').and_then(|digits| digits.parse::<u8>().ok());
        match (lower.as_str(), instar) {
            ("egg" | "eggs", _) => Ok(Stage::Egg),
            ("cocoon" | "cocoons", _) => Ok(Stage::Cocoon),
            ("moth" | "moths" | "adult", _) => Ok(Stage::Moth),
            (_, Some(instar)) if (1..=INSTARS_MAX).contains(&instar) => Ok(Stage::Larva(instar)),
            _ => Err(NotAStage(word.to_owned())),
        }
    }
}

impl TryFrom<String> for Stage {
    type Error = NotAStage;
    fn try_from(word: String) -> Result<Self, NotAStage> {
        word.parse()
    }
}

impl From<Stage> for String {
    fn from(stage: Stage) -> String {
        stage.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_stages_agree() {
        for word in ["egg", "L1", "L9", "cocoon", "moth"] {
            assert_eq!(word.parse::<Stage>().map(|it| it.to_string()).as_deref(), Ok(word));
        }
        for word in ["", "L0", "L10", "L", "pupae?", "4"] {
            assert!(word.parse::<Stage>().is_err(), "{word} was taken for a stage");
        }
    }

    #[test]
    fn only_larvae_moult() {
        assert_eq!(Stage::Egg.after_moult(), None);
        assert_eq!(Stage::Cocoon.after_moult(), None);
        assert_eq!(Stage::Larva(INSTARS_MAX).after_moult(), None);
    }
}
