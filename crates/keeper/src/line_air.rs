//! The air that a line has had: that of the places where most of it lay, day by day.

use crate::book::{Keeper, Look};
use crate::state::day_number;
use jiff::civil::Date;
use rearing::{Happened, House, Trail};
use science::phenology::{AirSeries, DayRange};
use std::collections::BTreeMap;

/// With no reading at all, a room is taken to be like this. Common practice, no source.
const ROOM_C: f64 = 20.0;

/// The air that a line has had, and whether any was read.
pub(crate) struct Air {
    pub series: AirSeries,
    /// The place whose thermometer was used last.
    pub place: Option<String>,
    pub days: usize,
}

impl Keeper {
    /// The air at the places where most of a line lay, one after the other: what stands in the winter store now had
    /// its summer in the shed.
    pub(crate) fn air_of(&self, look: &Look, line: &str) -> Option<Air> {
        let house = &look.house;
        let places = self.places_of(house, line);
        let mut place = None;
        let mut days: Vec<DayRange> = Vec::new();
        let mut read: Vec<Date> = house.air.values().flat_map(BTreeMap::keys).copied().collect();
        read.sort_unstable();
        read.dedup();
        for day in read {
            let by_then = places.range(..=day).next_back().or_else(|| places.first_key_value());
            let Some((_, by_number)) = by_then else { continue };
            let reading = by_number.iter().find_map(|it| Some((*it, house.air.get(*it)?.get(&day)?)));
            if let Some((at, it)) = reading {
                place = Some(at.to_owned());
                days.push(DayRange {
                    midnight_d: self.midnight(day),
                    low_c: it.air_c_min,
                    high_c: it.air_c_max,
                    mean_c: it.air_c_mean,
                });
            }
        }
        if let Ok(series) = AirSeries::from_days(&days) {
            return Some(Air { series, place, days: days.len() });
        }
        let start_d = day_number(look.at) - 200.0;
        AirSeries::constant(start_d, 200.0, ROOM_C).ok().map(|series| Air { series, place: None, days: 0 })
    }

    /// From which day on the animals of a line lay at which places that have a thermometer, those with most of them
    /// first; the first place with a thermometer if their boxes name none.
    fn places_of<'a>(&self, house: &'a House, line: &str) -> BTreeMap<Date, Vec<&'a str>> {
        let of_line = |it: &&Trail| house.lots.get(&it.lot).is_some_and(|lot| lot.told.line == line);
        let mut moves: BTreeMap<Date, Vec<(usize, Option<&str>)>> = BTreeMap::new();
        for (animal, trail) in house.trails.iter().filter(of_line).enumerate() {
            for mark in &trail.marks {
                let into = match &mark.what {
                    Happened::Seen { into, .. } | Happened::Carried { into } => house.boxes.get(into),
                    Happened::Left { .. } => None,
                };
                let day = self.on_the_wall(mark.at).date();
                moves.entry(day).or_default().push((animal, into.map(|it| it.place.as_str())));
            }
        }
        let mut lies_at: BTreeMap<usize, &str> = BTreeMap::new();
        let mut places = BTreeMap::new();
        for (day, moved) in moves {
            for (animal, place) in moved {
                match place.filter(|it| house.air.contains_key(*it)) {
                    Some(place) => lies_at.insert(animal, place),
                    None => lies_at.remove(&animal),
                };
            }
            let mut n: BTreeMap<&str, usize> = BTreeMap::new();
            lies_at.values().for_each(|it| *n.entry(it).or_default() += 1);
            let mut by_number: Vec<&str> = n.keys().copied().collect();
            by_number.sort_by_key(|it| std::cmp::Reverse(n[it]));
            // When the last has left, the place stays what it was.
            if !by_number.is_empty() {
                places.insert(day, by_number);
            }
        }
        if places.is_empty()
            && let Some(first) = house.air.keys().next()
        {
            places.insert(Date::MIN, vec![first.as_str()]);
        }
        places
    }
}
