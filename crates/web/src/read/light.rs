//! The form of the light at a place.

use crate::typed::{Complaint, Typed};
use crate::words;
use keeper::rearing::deed::LightTold;
use terms::bounds::{Bounds, LATITUDE_DEG, LIGHT_H, LONGITUDE_DEG};

/// Reads the form of the light: where on earth, and whether lamps burn.
///
/// # Errors
/// Everything that is missing or cannot be read, each with what to do.
pub fn read(typed: &Typed) -> Result<LightTold, Vec<Complaint>> {
    let mut complaints = Vec::new();
    let mut complain =
        |field: &str, says: String| complaints.push(Complaint { field: field.to_owned(), says });
    let place =
        terms::label::label("place", typed.word("light_place")).map(str::to_owned).unwrap_or_else(|bad| {
            complain("light_place", format!("{}.", words::upper_first(&bad.to_string())));
            String::new()
        });
    let mut number =
        |field: &str, letters: (char, Option<char>), bounds: &'static Bounds| match typed.word(field) {
            "" => None,
            word => signed(word, letters, bounds).map_err(|says| complain(field, says)).ok(),
        };
    let latitude_deg = number("latitude", ('N', Some('S')), &LATITUDE_DEG);
    let longitude_deg = number("longitude", ('E', Some('W')), &LONGITUDE_DEG);
    let lamps_h = number("lamps", ('H', None), &LIGHT_H);
    let told = LightTold { place, latitude_deg, longitude_deg, lamps_h };
    if complaints.is_empty() { Ok(told) } else { Err(complaints) }
}

/// A number with a decimal point or comma and a sign, or a letter behind it; the second letter makes it negative. No
/// thousands exist here, so `52.300` can be read one way only.
fn signed(
    word: &str,
    (letter, negative): (char, Option<char>),
    bounds: &'static Bounds,
) -> Result<f64, String> {
    let no = || {
        let shown: String = word.chars().take(24).collect();
        format!("\u{201c}{shown}\u{201d} is no number for {}. Write it such as 52.3.", bounds.what)
    };
    let upper = word.trim().to_uppercase();
    let (number, side) = match negative.and_then(|it| upper.strip_suffix(it)) {
        Some(number) => (number, -1.0),
        None => (upper.strip_suffix(letter).unwrap_or(&upper), 1.0),
    };
    let number = number.trim_end().trim_end_matches('\u{b0}').replace(',', ".").replace('\u{2212}', "-");
    let plain = number.bytes().all(|it| it.is_ascii_digit() || it == b'.' || it == b'-' || it == b'+');
    let value = number.trim().parse::<f64>().ok().filter(|_| plain).ok_or_else(no)?;
    bounds.check(side * value).map_err(|it| format!("{}.", words::upper_first(&it.to_string())))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    fn of(latitude: &str, longitude: &str, lamps: &str) -> Result<LightTold, Vec<Complaint>> {
        let typed =
            [("light_place", "the shed"), ("latitude", latitude), ("longitude", longitude), ("lamps", lamps)];
        read(&Typed::from(typed))
    }

    #[test]
    fn degrees_are_read_with_signs_letters_and_commas() {
        for (latitude, longitude) in [("52.3", "-1.1"), ("52,300 N", "1.1 W"), ("52.3\u{b0}", "\u{2212}1.1")]
        {
            let told = of(latitude, longitude, "16 h").unwrap();
            assert_eq!(
                (told.latitude_deg, told.longitude_deg),
                (Some(52.3), Some(-1.1)),
                "{latitude} {longitude}"
            );
            assert_eq!(told.lamps_h, Some(16.0));
        }
        let sky = of("", "", "").unwrap();
        assert_eq!((sky.latitude_deg, sky.longitude_deg, sky.lamps_h), (None, None, None));
    }

    #[test]
    fn what_is_no_number_is_said_with_its_field() {
        for (latitude, longitude, lamps, field) in [
            ("north", "1", "", "latitude"),
            ("1e1", "1", "", "latitude"),
            ("52", "200", "", "longitude"),
            ("", "", "25", "lamps"),
            ("", "", "NaN", "lamps"),
        ] {
            let said = of(latitude, longitude, lamps).unwrap_err();
            assert_eq!(said[0].field, field, "{said:?}");
        }
    }
}
