//! The form of the thermometer.

use super::numbers;
use crate::typed::{Complaint, Typed};
use jiff::civil::Date;
use keeper::AirNote;

/// Reads the form of the thermometer.
///
/// # Errors
/// Everything that is missing or cannot be read, each with what to do.
pub fn read(typed: &Typed, today: Date) -> Result<AirNote, Vec<Complaint>> {
    let mut complaints = Vec::new();
    let mut complain =
        |field: &str, says: String| complaints.push(Complaint { field: field.to_owned(), says });
    let written = typed.word("place_or");
    let place =
        match terms::label::label("place", if written.is_empty() { typed.word("place") } else { written }) {
            Ok(place) => place.to_owned(),
            Err(_) if written.is_empty() && typed.word("place").is_empty() => {
                complain(
                    "place_or",
                    "It is not said where the thermometer hangs. Tap a place, or write a new one.".to_owned(),
                );
                String::new()
            }
            Err(bad) => {
                complain("place_or", format!("{}.", crate::words::upper_first(&bad.to_string())));
                String::new()
            }
        };
    let other = typed.word("other_day");
    let word = if other.is_empty() { typed.word("on") } else { other };
    let on = match word {
        "" => today,
        word => word.parse::<Date>().unwrap_or_else(|_| {
            complain(
                "other_day",
                format!(
                    "\u{201c}{}\u{201d} is no day. Write it like {today}.",
                    word.chars().take(24).collect::<String>()
                ),
            );
            today
        }),
    };
    let mut degrees = |field: &str, what: &str| match typed.word(field) {
        "" => {
            complain(field, format!("The {what} of the day is missing. Write it in degrees Celsius."));
            0.0
        }
        word => numbers::air_c(word).unwrap_or_else(|says| {
            complain(field, says);
            0.0
        }),
    };
    let (air_c_min, air_c_max) = (degrees("min", "lowest"), degrees("max", "highest"));
    let mut percent = |field: &str| match typed.word(field) {
        "" => None,
        word => numbers::humidity_percent(word).map_err(|says| complain(field, says)).ok(),
    };
    let (humidity_percent_min, humidity_percent_max) = (percent("damp_min"), percent("damp_max"));
    if complaints.is_empty() {
        let id = typed.word("id").parse().ok();
        Ok(AirNote { id, place, on, air_c_min, air_c_max, humidity_percent_min, humidity_percent_max })
    } else {
        Err(complaints)
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::float_cmp,
        reason = "a test may panic, and what is read is kept as it is"
    )]
    use super::*;
    use jiff::civil::date;

    const TODAY: Date = date(2026, 6, 10);

    #[test]
    fn a_comma_is_read_and_what_can_be_read_two_ways_is_asked_about() {
        let note = read(
            &Typed::from([("place", "the shed"), ("min", "9,5"), ("max", "18.5"), ("damp_max", "80%")]),
            TODAY,
        )
        .unwrap();
        assert_eq!((note.air_c_min, note.air_c_max, note.humidity_percent_max), (9.5, 18.5, Some(80.0)));
        assert_eq!(note.on, TODAY);
        let complaints =
            read(&Typed::from([("place", "the shed"), ("min", "1.000"), ("max", "18")]), TODAY).unwrap_err();
        assert!(
            complaints[0].field == "min" && complaints[0].says.contains("Write 1 or 1000"),
            "{complaints:?}"
        );
    }

    #[test]
    fn what_is_missing_is_named_all_at_once() {
        let complaints = read(&Typed::from([("on", "soon"), ("damp_min", "x")]), TODAY).unwrap_err();
        let fields: Vec<&str> = complaints.iter().map(|it| it.field.as_str()).collect();
        assert_eq!(fields, ["place_or", "other_day", "min", "max", "damp_min"]);
    }
}
