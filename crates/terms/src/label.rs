//! Names that people write on lids: boxes, lines, lots, cocoons.

/// The longest name that still fits on a lid.
pub const LABEL_CHARS_MAX: usize = 40;

/// A name that cannot stand on a lid.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BadLabel {
    /// Nothing was written.
    #[error("the name of the {what} is empty: write what stands on the lid")]
    Empty {
        /// What was to be named.
        what: &'static str,
    },
    /// Too long to print.
    #[error("the name of the {what} has {chars} letters; {LABEL_CHARS_MAX} fit on a lid")]
    TooLong {
        /// What was to be named.
        what: &'static str,
        /// How many letters it has.
        chars: usize,
    },
    /// Line breaks, tabs or other signs that cannot be printed.
    #[error("the name of the {what} holds a sign that cannot be printed: use letters, digits, - and .")]
    Unprintable {
        /// What was to be named.
        what: &'static str,
    },
}

/// The name without outer blanks, if it can stand on a lid.
///
/// # Errors
/// [`BadLabel`] says what is wrong with it.
pub fn label<'a>(what: &'static str, name: &'a str) -> Result<&'a str, BadLabel> {
    let name = name.trim();
    let chars = name.chars().count();
    if name.is_empty() {
        Err(BadLabel::Empty { what })
    } else if chars > LABEL_CHARS_MAX {
        Err(BadLabel::TooLong { what, chars })
    } else if name
        .chars()
        .any(|it| it.is_control() || matches!(it, '\u{2028}'..='\u{202e}' | '/' | '?' | '#' | '%'))
    {
        Err(BadLabel::Unprintable { what })
    } else {
        Ok(name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_stand_on_a_lid() {
        assert_eq!(label("box", "  H07 "), Ok("H07"));
        assert_eq!(label("box", " "), Err(BadLabel::Empty { what: "box" }));
        assert!(matches!(label("box", &"x".repeat(41)), Err(BadLabel::TooLong { .. })));
        for name in ["H\u{0}7", "a\nb", "a/b", "\u{202e}70H"] {
            assert_eq!(label("box", name), Err(BadLabel::Unprintable { what: "box" }), "{name:?}");
        }
    }
}
