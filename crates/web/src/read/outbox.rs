//! Notes that waited on a phone, read from the file that the phone saved.

use crate::typed::Typed;
use serde::Deserialize;

/// The word that says what the file is.
const FORM: &str = "cocoonery-outbox";
/// More notes than this do not wait on one phone.
pub const NOTES_MAX: usize = 2_000;

/// The file.
#[derive(Debug, Deserialize)]
struct File {
    form: String,
    notes: Vec<Waiting>,
}

/// One note that waited.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Waiting {
    /// The address that it was to go to.
    pub action: String,
    /// Its fields.
    pub fields: Vec<(String, String)>,
}

/// Where a note goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Goes {
    /// To a box.
    Round(String),
    /// To the thermometer.
    Air,
}

impl Waiting {
    /// Where it goes; `None` if that is no place for a note.
    #[must_use]
    pub fn goes(&self) -> Option<Goes> {
        match self.action.strip_prefix("/round/") {
            Some(name) if !name.contains('/') => crate::url::unsegment(name).map(Goes::Round),
            None if self.action == "/air" => Some(Goes::Air),
            _ => None,
        }
    }

    /// Its fields as they were typed.
    #[must_use]
    pub fn typed(&self) -> Typed {
        Typed(self.fields.clone())
    }
}

/// Reads the file.
///
/// # Errors
/// A sentence that says why it is none of ours.
pub fn read(text: &str) -> Result<Vec<Waiting>, String> {
    let none = "This is no file of notes that waited: bring in the one that the phone saved, whole.";
    let file: File =
        serde_json::from_str(text.trim().trim_start_matches('\u{feff}')).map_err(|_| none.to_owned())?;
    if file.form != FORM {
        return Err(none.to_owned());
    }
    if file.notes.len() > NOTES_MAX {
        return Err(format!(
            "The file holds {} notes; {NOTES_MAX} can be brought in at once.",
            file.notes.len()
        ));
    }
    Ok(file.notes)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn notes_go_to_boxes_and_to_the_thermometer_and_nowhere_else() {
        let text = r#"{"form":"cocoonery-outbox","notes":[{"action":"/round/H%2007","fields":[["id","x"],["left","expected"]],"seq":3}]}"#;
        let notes = read(text).unwrap();
        assert_eq!(notes[0].goes(), Some(Goes::Round("H 07".to_owned())));
        assert_eq!(notes[0].typed().word("left"), "expected");
        for action in
            ["/round/H07/undo", "/theme", "http://evil.example/round/H07", "", "/round/%zz", "/begin"]
        {
            assert_eq!(Waiting { action: action.to_owned(), fields: vec![] }.goes(), None, "{action}");
        }
        for text in [
            "",
            "[]",
            "{}",
            r#"{"form":"other","notes":[]}"#,
            "\u{0}",
            r#"{"form":"cocoonery-outbox","notes":[1]}"#,
        ] {
            assert!(read(text).is_err(), "{text:?}");
        }
    }
}
