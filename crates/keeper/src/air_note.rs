//! Noting the thermometer, and which days nobody read it.

use crate::book::{Keeper, Look};
use crate::failure::{Failure, NotNoted};
use crate::note::BY;
use crate::say;
use crate::view::air::{Air, AirDay, AirSeen};
use crate::view::round::Saved;
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan};
use rearing::deed::{AirRead, LightTold};
use rearing::{Deed, Entry, House};
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// How many days the page looks back.
const LOOK_BACK_DAYS: i64 = 14;
/// A whole day's lowest and highest stand in the book at this hour of their day.
const EVENING_HOUR: i8 = 20;
/// Before this hour the day that is asked for is yesterday: today has hardly begun.
const FORENOON_ENDS: i8 = 12;

/// What was read.
#[derive(Debug, Clone, PartialEq)]
pub struct AirNote {
    /// Made with the page on which it was filled in.
    pub id: Option<Uuid>,
    /// Where.
    pub place: String,
    /// The day whose air it is.
    pub on: Date,
    /// Lowest of the day.
    pub air_c_min: f64,
    /// Highest of the day.
    pub air_c_max: f64,
    /// Lowest relative humidity.
    pub humidity_percent_min: Option<f64>,
    /// Highest relative humidity.
    pub humidity_percent_max: Option<f64>,
}

impl Keeper {
    /// The air of a place; of the place last read if none is named.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn air_page(&self, asked: Option<&str>) -> Result<Air, Failure> {
        let look = self.look();
        let places = places(&look.house);
        let place = asked
            .map(str::to_owned)
            .filter(|it| places.contains(it))
            .or_else(|| places.first().cloned())
            .unwrap_or_default();
        let ids = ids_of_place(&self.entries(), &look.house, &place);
        let readings = look.house.air.get(&place);
        let days: Vec<AirDay> = days_back(&look)
            .map(|on| AirDay {
                on,
                read: readings.and_then(|it| it.get(&on)).map(|it| AirSeen {
                    id: ids.get(&on).copied(),
                    air_c_min: it.air_c_min,
                    air_c_max: it.air_c_max,
                    humidity_percent: (it.humidity_percent_min, it.humidity_percent_max),
                }),
            })
            .collect();
        let day_to_note = days
            .iter()
            .take(2)
            .filter(|it| it.read.is_none())
            .map(|it| it.on)
            .max_by_key(|on| (look.wall.hour() < FORENOON_ENDS) == (*on != look.today()))
            .unwrap_or_else(|| look.today());
        Ok(Air {
            now: look.wall,
            notice: self.notice(),
            gaps: gaps(&days, readings.and_then(|it| it.keys().next().copied())),
            light: look
                .house
                .light
                .get(&place)
                .and_then(|it| it.values().next_back())
                .map_or_else(String::new, |it| Deed::LightTold(it.clone()).in_words()),
            places,
            place,
            days,
            day_to_note,
        })
    }

    /// Notes where on earth a place lies, or that lamps burn there; it holds from now on.
    ///
    /// # Errors
    /// A rule that says no, or a failure of the store; nothing was saved then.
    pub fn note_light(&self, told: LightTold) -> Result<Saved, NotNoted> {
        let entries = self.note(vec![Deed::LightTold(told)], None, BY)?;
        Ok(Saved {
            says: entries.iter().map(|it| it.deed.in_words()).collect(),
            ids: entries.iter().map(|it| it.id).collect(),
            misfit: false,
        })
    }

    /// Notes the air of one day at one place. A second reading of a day takes the place of the first.
    ///
    /// # Errors
    /// A rule that says no, or a failure of the store; nothing was saved then.
    pub fn note_air(&self, note: &AirNote, happened: Option<Timestamp>) -> Result<Saved, NotNoted> {
        let now = happened.unwrap_or_else(|| self.noting_at());
        let today = self.on_the_wall(now).date();
        let at = if note.on == today { now } else { self.instant(note.on.at(EVENING_HOUR, 0, 0, 0)) };
        let read = AirRead {
            place: note.place.trim().to_owned(),
            air_c_min: note.air_c_min,
            air_c_max: note.air_c_max,
            air_c_mean: None,
            humidity_percent_min: note.humidity_percent_min,
            humidity_percent_max: note.humidity_percent_max,
            source: "read by hand".to_owned(),
        };
        let says = format!("{}: {}", say::day(note.on), in_words(&read));
        let entries = self.note_at(at, vec![Deed::AirRead(read)], note.id, BY)?;
        Ok(Saved { says: vec![says], ids: entries.iter().map(|it| it.id).collect(), misfit: false })
    }
}

/// `9.5 to 18.5 °C, 60 to 80 % humidity`.
#[must_use]
pub(crate) fn in_words(it: &AirRead) -> String {
    let mut words = format!("{} to {} \u{b0}C", it.air_c_min, it.air_c_max);
    match (it.humidity_percent_min, it.humidity_percent_max) {
        (Some(min), Some(max)) => words.push_str(&format!(", {min} to {max} % humidity")),
        (Some(one), None) | (None, Some(one)) => words.push_str(&format!(", {one} % humidity")),
        (None, None) => {}
    }
    words
}

/// Neither today's nor yesterday's air is in the book of a house that has boxes.
pub(crate) fn thermometer_waits(look: &Look) -> bool {
    let house = &look.house;
    let has_boxes = house.boxes.values().any(|it| it.closed.is_none());
    let read = house.air.values().any(|it| days_back(look).take(2).any(|day| it.contains_key(&day)));
    has_boxes && !read
}

/// Where air was read, the last read first, then where boxes stand.
pub(crate) fn places(house: &House) -> Vec<String> {
    let mut read: Vec<(&Date, &String)> =
        house.air.iter().filter_map(|(place, days)| Some((days.keys().next_back()?, place))).collect();
    read.sort_by(|a, b| b.cmp(a));
    let mut places: Vec<String> = read.into_iter().map(|(_, place)| place.clone()).collect();
    let standing: BTreeSet<&String> =
        house.boxes.values().filter(|it| it.closed.is_none()).map(|it| &it.place).collect();
    for place in standing {
        if !place.is_empty() && !places.contains(place) {
            places.push(place.clone());
        }
    }
    places
}

/// Today and the days before it.
fn days_back(look: &Look) -> impl Iterator<Item = Date> + use<> {
    let today = look.today();
    (0..LOOK_BACK_DAYS).filter_map(move |back| today.checked_sub(back.days()).ok())
}

/// The entry behind each day's reading: the last of the day counts.
fn ids_of_place(entries: &[Entry], house: &House, place: &str) -> BTreeMap<Date, Uuid> {
    let mut counted: Vec<&Entry> = entries.iter().filter(|it| house.knows(it.id)).collect();
    counted.sort_by_key(|it| it.happened.at);
    counted
        .into_iter()
        .filter(|it| matches!(&it.deed, Deed::AirRead(read) if read.place == place))
        .map(|it| (it.happened.wall.date(), it.id))
        .collect()
}

/// `28 to 30 May and 25 May`: days that nobody read, from the first reading on;
/// today may still be read.
fn gaps(days: &[AirDay], first: Option<Date>) -> String {
    let Some(first) = first else { return String::new() };
    let missing: Vec<Date> =
        days.iter().skip(1).filter(|it| it.read.is_none() && it.on > first).map(|it| it.on).collect();
    let mut runs: Vec<(Date, Date)> = Vec::new();
    for day in missing {
        match runs.last_mut() {
            Some((from, _)) if from.yesterday().ok() == Some(day) => *from = day,
            _ => runs.push((day, day)),
        }
    }
    let words: Vec<String> = runs
        .into_iter()
        .map(|(from, to)| match (from == to, from.month() == to.month()) {
            (true, _) => say::day(from),
            (false, true) => format!("{} to {}", from.day(), say::day(to)),
            (false, false) => format!("{} to {}", say::day(from), say::day(to)),
        })
        .collect();
    say::list(&words)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use jiff::civil::date;

    #[test]
    fn days_that_nobody_read_are_named_in_runs() {
        let read = |on: Date| AirDay { on, read: None };
        let mut days: Vec<AirDay> =
            (0..8).map(|back| read(date(2025, 6, 2).checked_sub(i64::from(back).days()).unwrap())).collect();
        let seen = AirSeen { id: None, air_c_min: 9.5, air_c_max: 18.0, humidity_percent: (None, None) };
        days[3].read = Some(seen);
        assert_eq!(gaps(&days, Some(date(2025, 5, 1))), "31 May to 1 June and 26 to 29 May");
        // Before the first reading nothing is missing.
        assert_eq!(gaps(&days, Some(date(2025, 5, 30))), "31 May to 1 June");
        assert_eq!(gaps(&days, None), "");
    }
}
