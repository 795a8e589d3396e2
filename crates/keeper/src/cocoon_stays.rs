//! Where a cocoon lay, day by day, and what it weighed there.

use crate::book::Keeper;
use crate::store_watch::{days, place_meant};
use jiff::ToSpan;
use jiff::civil::Date;
use rearing::House;
use rearing::house::{Cocoon, CocoonGone};
use std::collections::BTreeMap;

/// A stretch of days that a cocoon lay at one place.
pub(crate) struct Stay<'a> {
    pub from: Date,
    pub until: Date,
    pub place: &'a str,
}

/// Where it lay since it was described. The box says the place, unless weighings there name another that is read.
pub(crate) fn stays<'a>(keeper: &Keeper, house: &'a House, it: &'a Cocoon, today: Date) -> Vec<Stay<'a>> {
    let end = match &it.gone {
        Some(CocoonGone::CameOut(on) | CocoonGone::Left(on, _)) => *on,
        None => today,
    };
    let on = |index: usize| it.lay_in.get(index).map(|(at, _)| keeper.on_the_wall(*at).date());
    let mut stays = Vec::new();
    for (index, (_, name)) in it.lay_in.iter().enumerate() {
        let Some(from) = on(index) else { continue };
        // The day on which it was carried belongs to the new place, and so does a weighing on it.
        let until = on(index + 1).map_or(end, |next| next.yesterday().unwrap_or(next));
        let weighed = it.weights.iter().filter(|row| (from..=until).contains(&row.on));
        let named: Vec<(Date, &str)> =
            weighed.filter_map(|row| Some((row.on, place_meant(house, &row.place, row.on)?))).collect();
        let first = named.first().map_or_else(|| place_of(house, name), |(_, place)| place);
        stays.push(Stay { from, until, place: first });
        for pair in named.windows(2) {
            // Between two weighings that mean two places, the nearer one holds.
            let half = days(pair[0].0, pair[1].0) / 2;
            if pair[0].1 != pair[1].1
                && let (Some(last), Ok(turn)) = (stays.last_mut(), pair[0].0.checked_add((half + 1).days()))
            {
                last.until = turn.yesterday().unwrap_or(turn);
                stays.push(Stay { from: turn, until, place: pair[1].1 });
            }
        }
    }
    stays
}

/// Its weighings with the place it lay at; the first is that of the day on which it was described.
pub(crate) fn weighings<'a>(
    keeper: &Keeper,
    house: &'a House,
    it: &'a Cocoon,
    today: Date,
) -> Vec<(Date, f64, &'a str)> {
    let stays = stays(keeper, house, it, today);
    let lay = |on: Date| {
        let by_then = stays.iter().rev().find(|it| it.from <= on);
        by_then.or(stays.first()).map_or("", |it| it.place)
    };
    let first = it.told.cocoon_fresh_g.map(|g| (it.on, g));
    let mut all: BTreeMap<Date, f64> = first.into_iter().collect();
    // The last of several weighings of one day holds.
    all.extend(it.weights.iter().map(|row| (row.on, row.cocoon_fresh_g)));
    all.into_iter().map(|(on, g)| (on, g, lay(on))).collect()
}

/// The place of a box; empty if it is not said.
pub(crate) fn place_of<'a>(house: &'a House, name: &str) -> &'a str {
    house.boxes.get(name).map_or("", |it| it.place.as_str())
}
