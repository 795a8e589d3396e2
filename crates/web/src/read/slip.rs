//! What every form brings besides its words: its id, when it happened, what its page had seen.

use crate::typed::{Complaint, Typed};
use keeper::{Keeper, NotNoted, Slip};
use uuid::Uuid;

/// More notes than this are not made on one page.
const OWN_MAX: usize = 400;

/// Reads the slip of a form.
///
/// # Errors
/// A complaint about the moment, or about a page that came through damaged.
pub fn read(keeper: &Keeper, typed: &Typed) -> Result<Slip, Complaint> {
    let damaged = |field: &str| Complaint {
        field: field.to_owned(),
        says: "This page came through damaged. Open it again and note it once more.".to_owned(),
    };
    let id = optional(typed.word("id"), |it| it.parse::<Uuid>().ok()).map_err(|()| damaged("id"))?;
    let seen_entries = optional(typed.word("seen_entries"), |it| it.parse::<u64>().ok())
        .map_err(|()| damaged("seen_entries"))?;
    let own: Option<Vec<Uuid>> = typed
        .word("own")
        .split(',')
        .filter(|it| !it.is_empty())
        .take(OWN_MAX)
        .map(|it| it.trim().parse().ok())
        .collect();
    let own = own.ok_or_else(|| damaged("own"))?;
    let moment = match (typed.word("happened"), typed.word("day"), typed.word("hour")) {
        ("", "", "") => None,
        ("", "", hour) => Some((format!("{}T{hour}", keeper.look().today()), "hour")),
        ("", day, "") => Some((format!("{day}T12:00"), "day")),
        ("", day, hour) => Some((format!("{day}T{hour}"), "day")),
        (happened, _, _) => Some((happened.to_owned(), "happened")),
    };
    let happened = match moment {
        None => None,
        Some((words, field)) => Some(keeper.moment_of_note(&words).map_err(|it| Complaint {
            field: field.to_owned(),
            says: match it {
                NotNoted::Refused(why) => format!("{}.", crate::words::upper_first(&why)),
                NotNoted::Failed(failure) => failure.to_string(),
            },
        })?),
    };
    Ok(Slip { id, happened, seen_entries, own })
}

fn optional<T>(word: &str, read: impl Fn(&str) -> Option<T>) -> Result<Option<T>, ()> {
    if word.is_empty() { Ok(None) } else { read(word).map(Some).ok_or(()) }
}
