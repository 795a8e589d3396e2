//! The forms of the pairing board.

use super::numbers;
use crate::typed::{Complaint, Typed};
use keeper::PairingNote;

/// What one of the small forms says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Told {
    /// A female and a male were put together.
    Pair(PairingNote),
    /// Whether a pairing took.
    Took(String, bool),
    /// Eggs that were found.
    Laid(String, u32),
    /// How many hatched in all.
    Hatched(String, u32),
}

/// Reads one form of the board; `Ok(None)` for a deed that the board does not know.
///
/// # Errors
/// What is missing or cannot be read, with what to do.
pub fn read(deed: &str, typed: &Typed) -> Result<Option<Told>, Vec<Complaint>> {
    let complain =
        |field: &str, says: &str| vec![Complaint { field: field.to_owned(), says: says.to_owned() }];
    let pairing = || match typed.word("pairing") {
        "" => Err(complain("pairing", "It is not said which pairing is meant.")),
        name => Ok(name.to_owned()),
    };
    let number = |field: &str| match typed.word(field) {
        "" => Err(complain(field, "The number is missing. Write how many.")),
        word => numbers::animals(word).map_err(|says| complain(field, &says)),
    };
    Ok(Some(match deed {
        "pair" => {
            let written = typed.word("male_or");
            let male = if written.is_empty() { typed.word("male") } else { written };
            if male.is_empty() {
                return Err(complain("male", "It is not said which male. Tap one, or write who he was."));
            }
            let took = match typed.word("took") {
                "yes" => Some(true),
                "no" => Some(false),
                _ => None,
            };
            Told::Pair(PairingNote {
                id: typed.word("id").parse().ok(),
                female: typed.word("female").to_owned(),
                male: male.to_owned(),
                method: typed.word("method").to_owned(),
                took,
            })
        }
        "took" => match typed.word("took") {
            "yes" => Told::Took(pairing()?, true),
            "no" => Told::Took(pairing()?, false),
            _ => return Err(complain("took", "It is not said whether they took.")),
        },
        "laid" => Told::Laid(pairing()?, number("eggs")?),
        "hatched" => Told::Hatched(pairing()?, number("hatched")?),
        _ => return Ok(None),
    }))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn each_form_is_read_and_what_is_missing_is_named() {
        let pair = Typed::from([("female", "F1"), ("male", "M1"), ("method", "by hand"), ("took", "no")]);
        let Some(Told::Pair(note)) = read("pair", &pair).unwrap() else { unreachable!("a pairing") };
        assert_eq!((note.male.as_str(), note.took), ("M1", Some(false)));
        let wild = Typed::from([("female", "F1"), ("male", "M1"), ("male_or", "wild, unknown")]);
        assert!(
            matches!(read("pair", &wild), Ok(Some(Told::Pair(it))) if it.male == "wild, unknown" && it.took.is_none())
        );
        let eggs = Typed::from([("pairing", "P26-1"), ("eggs", "97")]);
        assert_eq!(read("laid", &eggs).unwrap(), Some(Told::Laid("P26-1".to_owned(), 97)));
        for (deed, typed) in [
            ("pair", Typed::from([("female", "F1")])),
            ("took", Typed::from([("pairing", "P26-1")])),
            ("took", Typed::from([("took", "yes")])),
            ("laid", Typed::from([("pairing", "P26-1"), ("eggs", "many")])),
            ("hatched", Typed::from([("pairing", "P26-1")])),
        ] {
            assert_eq!(read(deed, &typed).unwrap_err().len(), 1, "{deed}");
        }
        assert_eq!(read("fly", &Typed::default()).unwrap(), None);
    }
}
