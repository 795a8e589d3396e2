//! Sun and day length by date and place.

use jiff::Timestamp;
use jiff::civil::Date;
use science::light::{SunEvent, sun_day};
use serde_json::{Value, json};

use super::asked::Asked;
use super::{Quantity, Refused, figure, needed};

pub(super) const QUANTITIES: &[Quantity] = &[Quantity {
    name: "sun",
    inputs: &[
        needed("latitude_deg", "degrees, north positive"),
        needed("longitude_deg", "degrees, east positive"),
        needed("date", "year-month-day at that place"),
    ],
    result: "object: sunrise_utc, sunset_utc, civil_dawn_utc, civil_dusk_utc, day_length_h",
    unit: "instants in universal time, or `up all day` / `down all day`; h",
    source: "Reda & Andreas 2004; standard altitudes -0.8333 and -6 degrees",
    compute: sun,
}];

fn sun(asked: &Asked<'_>) -> Result<Value, Refused> {
    let words = asked.text("date")?;
    let date: Date = words
        .parse()
        .map_err(|_| Refused::WrongKind { name: "date", must: "a day such as 2025-06-21".to_owned() })?;
    let midnight =
        jiff::tz::Offset::UTC.to_timestamp(date.at(0, 0, 0, 0)).map_err(|_| Refused::NoFiniteAnswer)?;
    let midnight_d = midnight.as_second() as f64 / 86_400.0;
    let day = sun_day(asked.number("latitude_deg")?, asked.number("longitude_deg")?, midnight_d)?;
    Ok(json!({
        "sunrise_utc": words_of(day.sunrise)?,
        "sunset_utc": words_of(day.sunset)?,
        "civil_dawn_utc": words_of(day.civil_dawn)?,
        "civil_dusk_utc": words_of(day.civil_dusk)?,
        "day_length_h": figure(day.day_length_h())?,
    }))
}

fn words_of(event: SunEvent) -> Result<String, Refused> {
    match event {
        SunEvent::UpAllDay => Ok("up all day".to_owned()),
        SunEvent::DownAllDay => Ok("down all day".to_owned()),
        SunEvent::At(at_d) => {
            let at = Timestamp::from_second((at_d * 86_400.0).round() as i64);
            at.map(|it| it.to_string()).map_err(|_| Refused::NoFiniteAnswer)
        }
    }
}
