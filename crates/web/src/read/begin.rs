//! The form of a beginning.

use super::numbers;
use crate::typed::{Complaint, Typed};
use jiff::civil::Date;
use keeper::BeginNote;
use terms::Stage;

/// The longest free word.
const WORD_CHARS_MAX: usize = 200;

/// Reads the form of a beginning.
///
/// # Errors
/// Everything that is missing or cannot be read, each with what to do.
pub fn read(typed: &Typed, today: Date) -> Result<BeginNote, Vec<Complaint>> {
    let mut complaints = Vec::new();
    let mut complain =
        |field: &str, says: String| complaints.push(Complaint { field: field.to_owned(), says });
    let free = |name: &str| typed.word(name).chars().take(WORD_CHARS_MAX).collect::<String>();

    let id = typed.word("id").parse().ok();
    let (chosen, written) = (free("species"), free("species_or"));
    let species = match (chosen.as_str(), written.as_str()) {
        ("", "") => {
            complain("species", "It is not said which kind they are. Tap one, or write what the label says; \u{201c}unknown\u{201d} will do.".to_owned());
            String::new()
        }
        ("", word) => word.to_owned(),
        (word, "") => word.to_owned(),
        (tapped, wrote) if tapped.eq_ignore_ascii_case(wrote) => tapped.to_owned(),
        (tapped, wrote) => {
            complain(
                "species_or",
                format!("You tapped {tapped} and wrote {wrote}. Which is it? Clear one of them."),
            );
            String::new()
        }
    };
    let n = match typed.word("n") {
        "" => {
            complain(
                "n",
                "It is not said how many they are. A guess will do: write it and tick \u{201c}about\u{201d}."
                    .to_owned(),
            );
            0
        }
        word => numbers::animals(word).unwrap_or_else(|says| {
            complain("n", says);
            0
        }),
    };
    let stage = match typed.word("stage") {
        "" => {
            complain(
                "stage",
                "It is not said in which stage they came. Tap eggs, an instar, or cocoons.".to_owned(),
            );
            Stage::Egg
        }
        word => word.parse::<Stage>().unwrap_or_else(|it| {
            complain("stage", format!("{it}."));
            Stage::Egg
        }),
    };
    let mut day = |field: &str| match typed.word(field) {
        "" => None,
        word => match word.parse::<Date>() {
            Ok(date) => Some(date),
            Err(_) => {
                complain(
                    field,
                    format!(
                        "\u{201c}{}\u{201d} is no day. Write it like {today}.",
                        word.chars().take(24).collect::<String>()
                    ),
                );
                None
            }
        },
    };
    let arrived = match typed.word("came") {
        "yesterday" => today.yesterday().ok(),
        "earlier" => day("arrived"),
        _ => day("arrived").filter(|it| *it != today),
    };
    let earlier_unsaid = typed.word("came") == "earlier" && typed.word("arrived").is_empty();
    let laid = day("laid");
    if earlier_unsaid {
        complain("arrived", "It is not said when they came. Choose the day, or tap today.".to_owned());
    }
    let mut name =
        |field: &'static str, what: &'static str| match terms::label::label(what, typed.word(field)) {
            Ok(name) => name.to_owned(),
            Err(bad) => {
                complain(field, format!("{}.", crate::words::upper_first(&bad.to_string())));
                String::new()
            }
        };
    let (line, box_name) = (name("line", "line"), name("box", "box"));
    let place = free("place");
    if complaints.is_empty() {
        let about = typed.word("about") == "yes";
        let (origin, permit) = (free("origin"), free("permit"));
        Ok(BeginNote { id, species, n, about, stage, arrived, laid, origin, permit, line, box_name, place })
    } else {
        Err(complaints)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use jiff::civil::date;
    use proptest::prelude::*;

    const TODAY: Date = date(2026, 6, 10);

    fn form(changes: &[(&str, &str)]) -> Typed {
        let mut fields: Vec<(String, String)> = Typed::from([
            ("species", "Saturnia pavonia"),
            ("species_or", ""),
            ("n", "30"),
            ("about", "yes"),
            ("stage", "egg"),
            ("came", "today"),
            ("arrived", ""),
            ("laid", ""),
            ("line", "A"),
            ("box", "A01"),
        ])
        .0;
        fields.retain(|(name, _)| !changes.iter().any(|(it, _)| it == name));
        fields.extend(changes.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
        Typed(fields)
    }

    #[test]
    fn about_thirty_eggs_of_any_kind_at_any_day() {
        let note = read(&form(&[]), TODAY).unwrap();
        assert_eq!((note.n, note.about, note.arrived), (30, true, None));
        let note =
            read(&form(&[("species", ""), ("species_or", "brown thing from the fair")]), TODAY).unwrap();
        assert_eq!(note.species, "brown thing from the fair");
        let note =
            read(&form(&[("came", "earlier"), ("arrived", "2026-05-20"), ("stage", "L6")]), TODAY).unwrap();
        assert_eq!((note.arrived, note.stage), (Some(date(2026, 5, 20)), Stage::Larva(6)));
        assert_eq!(read(&form(&[("came", "yesterday")]), TODAY).unwrap().arrived, Some(date(2026, 6, 9)));
    }

    #[test]
    fn what_is_missing_is_named_all_at_once() {
        let complaints = read(&Typed::default(), TODAY).unwrap_err();
        let fields: Vec<&str> = complaints.iter().map(|it| it.field.as_str()).collect();
        assert_eq!(fields, ["species", "n", "stage", "line", "box"]);
        for (field, value) in [
            ("n", "1.000"),
            ("n", "many"),
            ("stage", "L12"),
            ("laid", "last week"),
            ("box", "a/b"),
            ("came", "earlier"),
            ("species_or", "Samia ricini"),
        ] {
            assert_eq!(read(&form(&[(field, value)]), TODAY).unwrap_err().len(), 1, "{field}={value}");
        }
    }

    proptest! {
        #[test]
        fn nothing_typed_ever_panics(field in "species|n|stage|came|arrived|laid|line|box|place", value in ".{0,60}") {
            let _ = read(&form(&[(&field, &value)]), TODAY);
        }
    }
}
