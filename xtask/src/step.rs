//! The steps of `cargo xtask check`, in the order in which they run: cheap ones first, so that a slip is told early.

/// One step; `check` stops at the first that fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// The programs that tests call from outside.
    Tools,
    /// Layout of the source.
    Fmt,
    /// Lints, as errors.
    Clippy,
    /// Documentation builds without a warning.
    Doc,
    /// Unit, integration and documentation tests.
    Tests,
    /// The rules that read text.
    Tidy,
    /// Licences and origins of what we build on.
    Deny,
    /// The binary as a keeper gets it.
    Release,
}

impl Step {
    /// Every step, in order.
    pub const ALL: [Self; 8] =
        [Self::Tools, Self::Fmt, Self::Clippy, Self::Doc, Self::Tests, Self::Tidy, Self::Deny, Self::Release];

    /// The word for `--only`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Tools => "tools",
            Self::Fmt => "fmt",
            Self::Clippy => "clippy",
            Self::Doc => "doc",
            Self::Tests => "tests",
            Self::Tidy => "tidy",
            Self::Deny => "deny",
            Self::Release => "release",
        }
    }

    /// What the step looks at.
    pub const fn about(self) -> &'static str {
        match self {
            Self::Tools => "a browser and its driver for the page tests",
            Self::Fmt => "layout of the source",
            Self::Clippy => "lints of every crate and its tests, warnings refused",
            Self::Doc => "documentation, private items included, warnings refused",
            Self::Tests => "unit, integration and documentation tests of every crate",
            Self::Tidy => "arrows, map, sizes, words, guide",
            Self::Deny => "licences and origins of the crates we build on",
            Self::Release => "the binary as a keeper gets it, and one question to it",
        }
    }

    /// What to do when it failed, in one line.
    pub const fn remedy(self) -> &'static str {
        match self {
            Self::Tools => "install what is missing",
            Self::Fmt => "run `cargo fmt --all`",
            Self::Clippy => "mend what the lints name above, or expect it with a reason",
            Self::Doc => "mend the documentation lines named above",
            Self::Tests => "mend the tests that failed above; never loosen a bound to get past one",
            Self::Tidy => "mend the lines named above",
            Self::Deny => "drop the crate named above, or argue for its licence in deny.toml",
            Self::Release => "mend the build or the command named above",
        }
    }
}
