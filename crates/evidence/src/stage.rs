//! The stages a profile speaks of, with as many larval instars as the species has.
//!
//! A keeper sees a cocoon; the clock needs to know whether a larva or a pupa lies in it. That is why these
//! stages are finer than [`terms::Stage`], which holds only what can be seen.

use std::fmt;
use std::str::FromStr;

/// A stage as the files and the forecast write it: `egg`, `L1`, `L2` ..., `spinning`, `pupa`, `moth`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum StageName {
    /// From laying to hatching.
    Egg,
    /// A larval instar, counted from 1.
    Larva(u8),
    /// From the first thread of the cocoon to the pupa's skin.
    Spinning,
    /// From the pupa's skin to the moth.
    Pupa,
    /// The moth.
    Moth,
}

impl StageName {
    /// Every stage of a species with this many instars, egg to pupa, in order.
    ///
    /// ```
    /// use evidence::StageName;
    /// let words: Vec<String> = StageName::before_moth(2).iter().map(ToString::to_string).collect();
    /// assert_eq!(words, ["egg", "L1", "L2", "spinning", "pupa"]);
    /// ```
    pub fn before_moth(instars: u8) -> Vec<StageName> {
        let mut stages = vec![StageName::Egg];
        stages.extend((1..=instars).map(StageName::Larva));
        stages.extend([StageName::Spinning, StageName::Pupa]);
        stages
    }

    /// What a keeper sees of it: spinning and pupa are both a cocoon.
    ///
    /// ```
    /// use evidence::StageName;
    /// assert_eq!(StageName::Pupa.seen(), terms::Stage::Cocoon);
    /// ```
    pub fn seen(self) -> terms::Stage {
        match self {
            StageName::Egg => terms::Stage::Egg,
            StageName::Larva(instar) => terms::Stage::Larva(instar),
            StageName::Spinning | StageName::Pupa => terms::Stage::Cocoon,
            StageName::Moth => terms::Stage::Moth,
        }
    }

    /// Is this a feeding, moulting stage?
    pub fn is_larva(self) -> bool {
        matches!(self, StageName::Larva(_))
    }
}

impl fmt::Display for StageName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            StageName::Egg => f.write_str("egg"),
            StageName::Larva(instar) => write!(f, "L{instar}"),
            StageName::Spinning => f.write_str("spinning"),
            StageName::Pupa => f.write_str("pupa"),
            StageName::Moth => f.write_str("moth"),
        }
    }
}

impl FromStr for StageName {
    type Err = String;

    fn from_str(word: &str) -> Result<Self, Self::Err> {
        match word.trim() {
            "egg" => Ok(StageName::Egg),
            "spinning" => Ok(StageName::Spinning),
            "pupa" => Ok(StageName::Pupa),
            "moth" => Ok(StageName::Moth),
            other => other
                .strip_prefix('L')
                .and_then(|digits| digits.parse::<u8>().ok())
                .filter(|instar| (1..=terms::stage::INSTARS_MAX).contains(instar))
                .map(StageName::Larva)
                .ok_or_else(|| {
                    format!("`{other}` is no stage; the stages are egg, L1, L2 ..., spinning, pupa, moth")
                }),
        }
    }
}
