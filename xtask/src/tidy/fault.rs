//! One thing that is not as it should be, and where.

use std::fmt;

/// Names the place first, as compilers do, so that an editor can jump there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    path: String,
    line: Option<usize>,
    says: String,
}

impl Fault {
    /// A fault of a whole file or folder.
    pub fn of(path: &str, says: impl Into<String>) -> Self {
        Self { path: path.to_owned(), line: None, says: says.into() }
    }

    /// A fault of one line, counted from 1.
    pub fn at(path: &str, line: usize, says: impl Into<String>) -> Self {
        Self { path: path.to_owned(), line: Some(line), says: says.into() }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(out, "{}:{line}: {}", self.path, self.says),
            None => write!(out, "{}: {}", self.path, self.says),
        }
    }
}

/// The text of faults, for the tests of the rules.
#[cfg(test)]
pub fn told(faults: &[Fault]) -> Vec<String> {
    faults.iter().map(ToString::to_string).collect()
}
