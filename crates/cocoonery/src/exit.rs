//! Exit codes, documented and never reused.

use std::process::ExitCode;

/// How a command ended. 7 (not allowed) is kept free for what has still to
/// come; a number is never given a second meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exit {
    /// All is well.
    Ok = 0,
    /// It did not work; the sentence says why.
    Failed = 1,
    /// The call's words are off (clap says so itself).
    Usage = 2,
    /// Only part of it was done; the rest is named.
    Partly = 3,
    /// A check found something.
    Found = 4,
    /// The book was made by a newer program.
    Newer = 5,
    /// The book is open elsewhere.
    Locked = 6,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(exit as u8)
    }
}

/// Words of a call that cannot be understood, where clap could not see it.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub(crate) struct BadWords(pub String);

impl Exit {
    /// The code that belongs to an error.
    pub(crate) fn of(error: &anyhow::Error) -> Exit {
        let store = error.chain().find_map(|it| {
            it.downcast_ref::<store::Failure>().or_else(|| match it.downcast_ref::<keeper::Failure>() {
                Some(keeper::Failure::Store(failure)) => Some(failure),
                _ => match it.downcast_ref::<keeper::NotNoted>() {
                    Some(keeper::NotNoted::Failed(keeper::Failure::Store(failure))) => Some(failure),
                    _ => None,
                },
            })
        });
        match store {
            Some(failure) if failure.is_locked() => Exit::Locked,
            Some(failure) if failure.is_newer() => Exit::Newer,
            _ if error.is::<BadWords>() => Exit::Usage,
            _ => Exit::Failed,
        }
    }
}

/// Says an error on stderr: what happened, what was saved, what to do.
pub(crate) fn say(error: &anyhow::Error, json: bool) {
    if json {
        let problem = serde_json::json!({ "error": format!("{error:#}"), "exit": Exit::of(error) as u8 });
        eprintln!("{problem}");
    } else {
        eprintln!("cocoonery: {error:#}");
    }
}
