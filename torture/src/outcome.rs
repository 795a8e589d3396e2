//! What a trial found, as a line of the table.

use std::fmt;

/// The outcome of one trial.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// What was tried.
    pub name: &'static str,
    /// How much of it was done, in words.
    pub did: String,
    /// What went wrong; empty if nothing was lost.
    pub wrong: Vec<String>,
    /// Why it could not be tried here.
    pub skipped: Option<String>,
}

impl Outcome {
    /// A trial that was carried out.
    #[must_use]
    pub fn of(name: &'static str, did: String, wrong: Vec<String>) -> Outcome {
        Outcome { name, did, wrong, skipped: None }
    }

    /// A trial that this machine does not allow.
    #[must_use]
    pub fn skipped(name: &'static str, why: &str) -> Outcome {
        Outcome { name, did: String::new(), wrong: Vec::new(), skipped: Some(why.to_owned()) }
    }

    /// Was nothing lost?
    #[must_use]
    pub fn is_well(&self) -> bool {
        self.wrong.is_empty()
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match (&self.skipped, self.is_well()) {
            (Some(_), _) => "skipped",
            (None, true) => "held",
            (None, false) => "LOST",
        };
        write!(f, "{:<22} {word:<8} {}", self.name, self.skipped.as_ref().unwrap_or(&self.did))?;
        for wrong in self.wrong.iter().take(10) {
            write!(f, "\n{:<31} {wrong}", "")?;
        }
        if self.wrong.len() > 10 {
            write!(f, "\n{:<31} and {} more", "", self.wrong.len() - 10)?;
        }
        Ok(())
    }
}
