//! The forms of a box as a whole.

use super::numbers;
use crate::round_fields::or_field;
use crate::typed::{Complaint, Typed};
use keeper::view::boxes::{BoxWork, Group};
use keeper::{Part, Split};

/// The field of a group's number in the form of a split.
#[must_use]
pub fn part_field(place: usize) -> String {
    format!("part_{place}")
}

/// Reads who leaves the box and where to.
///
/// # Errors
/// Everything that cannot be read or cannot be meant, each with what to do.
pub fn split(view: &BoxWork, typed: &Typed) -> Result<Split, Vec<Complaint>> {
    let mut complaints = Vec::new();
    let mut complain =
        |field: &str, says: String| complaints.push(Complaint { field: field.to_owned(), says });
    let mut parts = Vec::new();
    for (place, group) in view.groups.iter().enumerate() {
        let field = part_field(place);
        let written = typed.word(&or_field(&field));
        let word = if written.is_empty() { typed.word(&field) } else { written };
        let n = match word {
            "" => 0,
            word => numbers::animals(word).unwrap_or_else(|says| {
                complain(&field, says);
                0
            }),
        };
        // The box may have changed since the page was opened: the group travels with its number.
        match typed.word(&format!("{field}_is")) {
            "" => {}
            said if said == is(group) => {}
            _ => complain(
                &field,
                "The box has changed since this page was opened. Look at the numbers again.".to_owned(),
            ),
        }
        parts.push(Part { line: Some(group.line.clone()), stage: group.stage, n });
    }
    if parts.iter().all(|it| it.n == 0) && complaints.is_empty() {
        complaints.push(Complaint {
            field: part_field(0),
            says: format!(
                "It is not said how many leave {}. Tap a number first, then the box.",
                view.standing.name
            ),
        });
    }
    let word = typed.word("into");
    let (into, into_is_new) = match (word.strip_prefix("box:"), word.strip_prefix("fresh:")) {
        (Some(name), _) => (name.to_owned(), false),
        (_, Some(name)) => (name.to_owned(), true),
        _ => {
            complaints.push(Complaint {
                field: "into".to_owned(),
                says: "It is not said into which box they go. Tap one.".to_owned(),
            });
            (String::new(), false)
        }
    };
    let id = typed.word("id").parse().ok();
    if complaints.is_empty() { Ok(Split { id, parts, into, into_is_new }) } else { Err(complaints) }
}

/// A group as it travels in a form.
#[must_use]
pub fn is(group: &Group) -> String {
    format!("{}:{}", group.stage, group.line)
}
