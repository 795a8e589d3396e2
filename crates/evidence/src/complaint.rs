//! What a reader could not use, said in plain words.

use std::fmt;

/// One thing that a reader could not use: which file, which line if known, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaint {
    /// The file as the caller named it.
    pub file: String,
    /// The line on which the trouble starts, counted from 1, where it is known.
    pub line: Option<usize>,
    /// What is wrong and what would be right.
    pub says: String,
}

impl Complaint {
    pub(crate) fn at(file: &str, line: usize, says: impl Into<String>) -> Self {
        Complaint { file: file.to_owned(), line: Some(line), says: says.into() }
    }

    pub(crate) fn in_file(file: &str, says: impl Into<String>) -> Self {
        Complaint { file: file.to_owned(), line: None, says: says.into() }
    }
}

impl fmt::Display for Complaint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "{} line {line}: {}", self.file, self.says),
            None => write!(f, "{}: {}", self.file, self.says),
        }
    }
}
