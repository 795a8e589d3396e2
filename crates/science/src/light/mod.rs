//! Sun and day length: what a larva counts as day, and when it is dark.
//!
//! Positions and event times come from a well-kept library; here are the
//! day's boundaries, the polar cases in words, and the length of the day.

use crate::numerics::Unfit;
use solar_positioning::{Horizon, Location, SolarEvents, delta_t};

/// Julian day of the beginning of 1970 in universal time.
const EPOCH_JD: f64 = 2_440_587.5;

/// Something that the sun does once a day, or does not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SunEvent {
    /// When, in days since 1970 in universal time.
    At(f64),
    /// It stays above all day.
    UpAllDay,
    /// It stays below all day.
    DownAllDay,
}

/// One solar day at one place, from one local mean midnight to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunDay {
    /// The upper edge of the sun rises.
    pub sunrise: SunEvent,
    /// The upper edge of the sun sets.
    pub sunset: SunEvent,
    /// The sun comes to 6 degrees below the horizon: it begins to be light.
    pub civil_dawn: SunEvent,
    /// The sun goes to 6 degrees below the horizon: it begins to be dark.
    pub civil_dusk: SunEvent,
}

impl SunDay {
    /// Hours from sunrise to sunset; 24 and 0 where there is none.
    #[must_use]
    pub fn day_length_h(&self) -> f64 {
        span_h(self.sunrise, self.sunset)
    }

    /// Hours from civil dawn to civil dusk; 24 and 0 where there is none.
    #[must_use]
    pub fn light_h(&self) -> f64 {
        span_h(self.civil_dawn, self.civil_dusk)
    }
}

fn span_h(from: SunEvent, to: SunEvent) -> f64 {
    match (from, to) {
        (SunEvent::At(from_d), SunEvent::At(to_d)) => 24.0 * (to_d - from_d).rem_euclid(1.0),
        (SunEvent::UpAllDay, _) | (_, SunEvent::UpAllDay) => 24.0,
        _ => 0.0,
    }
}

/// Sunrise, sunset and civil twilight of one day at one place.
///
/// # Formula
/// Altitude of the sun's centre by the solar position algorithm of Reda & Andreas 2004; sunrise and sunset where
/// it is -0.8333 degrees (34' refraction, 16' radius), civil twilight where it is -6 degrees.
/// # Units
/// Degrees, north and east positive; `midnight_d` is the universal midnight that begins the *date* meant, in days
/// since 1970. The day runs from that date's local mean midnight to the next.
/// # Holds for
/// A flat horizon at sea level, years 1900 to 2100. Hills and weather move sunrise by minutes.
/// # Errors
/// [`Unfit`] names a latitude, longitude or date that cannot be.
/// # Source
/// Reda & Andreas 2004 (the algorithm); the standard altitudes are those of the almanacs.
/// # Checked against
/// `reference/oracles/07_sun.csv`: another engine's times at 9 places on 5 dates, polar cases among them.
/// # Example
/// ```
/// use science::light::{SunEvent, sun_day};
/// // 21 June 2025 at 52.3 N 1.1 W: some 16 h 45 min of sun.
/// let day = sun_day(52.3, -1.1, 20_260.0)?;
/// assert!((day.day_length_h() - 16.75).abs() < 5.0 / 60.0);
/// assert_eq!(sun_day(78.2, 15.6, 20_260.0)?.sunset, SunEvent::UpAllDay);
/// # Ok::<(), science::numerics::Unfit>(())
/// ```
pub fn sun_day(latitude_deg: f64, longitude_deg: f64, midnight_d: f64) -> Result<SunDay, Unfit> {
    within("latitude_deg", latitude_deg, -90.0, 90.0)?;
    within("longitude_deg", longitude_deg, -180.0, 180.0)?;
    within("date", midnight_d, -25_567.0, 47_847.0)?;
    let location = Location { latitude: latitude_deg, longitude: longitude_deg };
    let start_jd = EPOCH_JD + midnight_d - longitude_deg / 360.0;
    let year = 1970.0 + midnight_d / 365.2425;
    let behind_s = delta_t::estimate(year)
        .map_err(|_| Unfit::outside("date", midnight_d, "a year from 1900 to 2100"))?;
    let sun = SolarEvents::new();
    let events = |horizon: Horizon| {
        sun.for_interval_from_julian(start_jd, start_jd + 1.0, location, behind_s, horizon)
            .map_err(|_| Unfit::outside("date", midnight_d, "a day on which the sun can be computed"))
    };
    let pair = |horizon: Horizon| -> Result<(SunEvent, SunEvent), Unfit> {
        let found = events(horizon)?;
        let none = if found.always_below() { SunEvent::DownAllDay } else { SunEvent::UpAllDay };
        let at = |list: &[f64]| list.first().map_or(none, |jd| SunEvent::At(jd - EPOCH_JD));
        Ok((at(&found.rises), at(&found.sets)))
    };
    let (sunrise, sunset) = pair(Horizon::SunriseSunset)?;
    let (civil_dawn, civil_dusk) = pair(Horizon::CivilTwilight)?;
    Ok(SunDay { sunrise, sunset, civil_dawn, civil_dusk })
}

fn within(name: &'static str, value: f64, low: f64, high: f64) -> Result<(), Unfit> {
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(Unfit::outside(name, value, format!("from {low} to {high}")))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn a_place_that_cannot_be_is_refused_by_name() {
        for (latitude, longitude, date, name) in [
            (91.0, 0.0, 0.0, "latitude_deg"),
            (0.0, 181.0, 0.0, "longitude_deg"),
            (f64::NAN, 0.0, 0.0, "latitude_deg"),
            (0.0, 0.0, 1e9, "date"),
        ] {
            let refused = sun_day(latitude, longitude, date).unwrap_err();
            assert!(refused.to_string().contains(name), "{refused}");
        }
    }

    #[test]
    fn the_equator_has_twelve_hours_and_a_little() {
        for month in 0..12 {
            let day = sun_day(0.0, 30.0, 20_000.0 + 30.0 * f64::from(month)).unwrap();
            assert!((day.day_length_h() - 12.12).abs() < 0.03, "{}", day.day_length_h());
            assert!(day.light_h() > day.day_length_h());
        }
    }
}
