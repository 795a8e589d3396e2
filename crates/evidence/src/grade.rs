//! How well a figure is known.

use std::fmt;

/// How a figure came to be known, from an original measurement down to our own judgement.
///
/// The grade says nothing about whether the figure is right; it says what a doubter could look up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Grade {
    /// A: an original measurement (at least the authors' own abstract was seen).
    Measured,
    /// B: a review, handbook, encyclopaedia or extension sheet.
    Review,
    /// C: practice, one keeper's page or diary.
    Practice,
    /// D: hearsay, repetition without a trail, or memory.
    Hearsay,
    /// Worked out by arithmetic from other claims, which are named.
    Derived,
    /// Our own choice where nothing is known; always with its reason.
    Judgement,
}

impl Grade {
    /// Every grade, best trail first.
    pub const ALL: [Grade; 6] =
        [Grade::Measured, Grade::Review, Grade::Practice, Grade::Hearsay, Grade::Derived, Grade::Judgement];

    /// The word that stands in the claim files.
    pub fn letter(self) -> &'static str {
        match self {
            Grade::Measured => "A",
            Grade::Review => "B",
            Grade::Practice => "C",
            Grade::Hearsay => "D",
            Grade::Derived => "derived",
            Grade::Judgement => "judgement",
        }
    }

    /// The grade in words a keeper reads beside the figure.
    pub fn words(self) -> &'static str {
        match self {
            Grade::Measured => "measured",
            Grade::Review => "review or handbook",
            Grade::Practice => "practice",
            Grade::Hearsay => "hearsay or memory",
            Grade::Derived => "worked out from other figures",
            Grade::Judgement => "our judgement",
        }
    }

    /// Reads a grade as it stands in a claim file; `None` if the word is none of ours.
    ///
    /// ```
    /// use evidence::Grade;
    /// assert_eq!(Grade::read("A"), Some(Grade::Measured));
    /// assert_eq!(Grade::read("A+"), None);
    /// ```
    pub fn read(word: &str) -> Option<Grade> {
        Grade::ALL.into_iter().find(|grade| grade.letter() == word.trim())
    }
}

impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.letter())
    }
}
