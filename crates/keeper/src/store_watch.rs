//! The air that cocoons lay in: day by day, from readings that may stand for a month.

use crate::book::Look;
use crate::say;
use crate::view::cocoons::Store;
use jiff::ToSpan;
use jiff::civil::Date;
use rearing::House;
use rearing::deed::AirRead;
use science::wintering::{AirDay, SpellAsk, warm_spells};
use std::collections::{BTreeMap, BTreeSet};

/// A thermometer that is read and reset stands for so many days before it at most.
const STANDS_FOR_D: i64 = 45;
/// A thermometer read so many days before or after a weighing was read at it.
const READ_ABOUT_D: i64 = 10;
/// So long a warm spell is spoken of.
const SPOKEN_OF_D: i64 = 60;

/// The readings of a place, with those that are a warm spell of a cold store.
pub(crate) struct StoreAir<'a> {
    readings: &'a BTreeMap<Date, AirRead>,
    spells: Vec<Date>,
}

impl<'a> StoreAir<'a> {
    /// The air of a place; `None` where nobody reads a thermometer.
    pub(crate) fn of(house: &'a House, place: &str, advised_c: Option<f64>) -> Option<StoreAir<'a>> {
        let readings = house.air.get(place)?;
        let maxima: Vec<f64> = readings.values().map(|it| it.air_c_max).collect();
        let rings = advised_c.map_or_else(Vec::new, |advised| warm_spells(&maxima, advised, SpellAsk::USUAL));
        let spells = readings.keys().zip(rings).filter(|(_, rings)| *rings).map(|(day, _)| *day).collect();
        Some(StoreAir { readings, spells })
    }

    /// The air of one day: what was read then, or what the next reading stands for, or the last one.
    pub(crate) fn on(&self, day: Date) -> Option<AirDay> {
        self.reading(day).map(|it| AirDay { low_c: it.air_c_min, high_c: it.air_c_max })
    }

    /// Mean temperature of one day.
    pub(crate) fn mean_c(&self, day: Date) -> Option<f64> {
        self.reading(day).map(|it| it.air_c_mean.unwrap_or(0.5 * (it.air_c_min + it.air_c_max)))
    }

    fn reading(&self, day: Date) -> Option<&'a AirRead> {
        if let Some(own) = self.readings.get(&day) {
            return Some(own);
        }
        let calm = |it: &(&'a Date, &'a AirRead)| !self.spells.contains(it.0);
        let after = self.readings.range(day..).find(calm).filter(|(at, _)| days(day, **at) <= STANDS_FOR_D);
        let before = || self.readings.range(..day).rev().find(calm);
        let near = || before().filter(|(at, _)| days(**at, day) <= STANDS_FOR_D);
        after.or_else(near).map(|(_, it)| it)
    }

    /// The place as the page says it.
    pub(crate) fn in_words(&self, look: &Look, place: &str, n: usize) -> Option<Store> {
        let today = look.today();
        let (last_day, last) = self.readings.range(..=today).next_back()?;
        let spells: Vec<(Date, f64)> = self
            .spells
            .iter()
            .filter(|day| days(**day, today) <= SPOKEN_OF_D)
            .filter_map(|day| Some((*day, self.readings.get(day)?.air_c_max)))
            .collect();
        let rings = self.spells.last() == Some(last_day);
        let mut says =
            format!("{}: {:.1} to {:.1} \u{b0}C", say::day(*last_day), last.air_c_min, last.air_c_max);
        if let Some((day, max_c)) = spells.last() {
            says.push_str(&match rings {
                true => format!(
                    ". Too warm: {max_c:.1} \u{b0}C, far above what this store holds. Look at its door and its switch today"
                ),
                false => {
                    format!(". It was too warm on {} ({max_c:.1} \u{b0}C) and is as before again", say::day(*day))
                }
            });
        }
        says.push('.');
        Some(Store { place: place.to_owned(), n, says, spells, rings })
    }
}

/// The place whose air is read that a keeper's words mean: `shed puparium` is the puparium on the north wall if that is
/// where a thermometer was read about then. `None` where no place shares a word with them, or several do alike.
pub(crate) fn place_meant<'a>(house: &'a House, said: &str, on: Date) -> Option<&'a str> {
    if let Some((own, _)) = house.air.get_key_value(said) {
        return Some(own);
    }
    let said: BTreeSet<String> = words(said).collect();
    let read_near =
        |readings: &BTreeMap<Date, AirRead>| readings.keys().any(|day| days(*day, on).abs() <= READ_ABOUT_D);
    let fit =
        |place: &str, readings| (words(place).filter(|it| said.contains(it)).count(), read_near(readings));
    let fits: Vec<_> = house.air.iter().map(|(place, readings)| (fit(place, readings), place)).collect();
    let best = fits.iter().map(|(fit, _)| *fit).max().filter(|(shared, _)| *shared > 0)?;
    let mut fitting = fits.iter().filter(|(fit, _)| *fit == best);
    let (_, place) = fitting.next()?;
    fitting.next().is_none().then_some(place.as_str())
}

fn words(text: &str) -> impl Iterator<Item = String> + '_ {
    text.split(|it: char| !it.is_alphabetic()).map(str::to_lowercase).filter(|it| it.chars().count() > 2)
}

/// Whole days from one date to another.
pub(crate) fn days(from: Date, to: Date) -> i64 {
    from.duration_until(to).as_hours().div_euclid(24)
}

/// All days from one to another, both included; nothing if they do not follow.
pub(crate) fn each_day(from: Date, to: Date) -> impl Iterator<Item = Date> {
    let n = days(from, to);
    (0..=n).filter_map(move |it| from.checked_add(it.days()).ok())
}
