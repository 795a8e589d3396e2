//! Which pupae of a line rest over winter, where not all of its kind do: the days that the larvae had, what the
//! profile says of them, and the answer in words.

use crate::book::{Keeper, Look};
use crate::forecasts::LineForecast;
use crate::line_air::Air;
use crate::model::spring_of;
use crate::rests;
use crate::say;
use crate::state::{OUTLOOK_DAYS, noon};
use crate::view::RestsOn;
use crate::view::brood::{Peak, RestForecast};
use evidence::{DayResponse, Library, Profile, Rest, StageName};
use jiff::ToSpan;
use jiff::civil::{Date, DateTime};
use rearing::House;
use rearing::house::{Lot, Passage};
use science::phenology::{
    BetaPrior, BroodModel, CameOut, DayCurve, Diapause, LarvalDay, LarvalDays, RestBy, StageEntry, Warmth,
};
use terms::Stage;

/// What is known of cocoons that came in winter.
const WINTER_COCOONS: (&str, f64) = ("judgements/rest-share-winter", 5.0);
/// From this month on, until moths fly again, a living cocoon has most likely begun to rest.
const WINTER_BEGINS: i8 = 10;
/// How far ahead days are laid out: no larva of these kinds feeds longer.
const DAYS_AHEAD: i64 = 200;
/// The sun is asked every so many days; between them its day changes evenly, to a few seconds.
const SUN_EVERY_D: usize = 4;
/// A peak that fewer moths than this belong to is not told apart.
const WORTH_A_PEAK: f64 = 0.03;

/// On what the share that rests was built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ground {
    /// The days of the sensitive stages.
    Days,
    /// The hours that decide are known, but not where on earth the larvae stand.
    NoPlace,
    /// Nobody has said at how many hours pupae of this kind rest.
    NoHours,
    /// They came as cocoons, and nobody knows the days of their larvae.
    CameAsCocoons,
    /// They came as cocoons in winter.
    WinterCocoons,
}

impl Keeper {
    /// Which pupae of a line rest; `None` for kinds of which all or none do, or of which nobody knows.
    pub(crate) fn resting_of(
        &self,
        look: &Look,
        (profile, line): (&Profile, &str),
        model: &BroodModel,
        air: &Air,
        from_d: f64,
    ) -> Option<(Diapause, Ground)> {
        let house = &look.house;
        if profile.winter.rest != Rest::Facultative {
            return None;
        }
        let came = house.lots.values().filter(|it| it.told.line == line).min_by_key(|it| it.at)?;
        let winter = spring_of(profile, came, |day| self.midnight(day))?;
        let prior = profile.winter.rest_share.as_ref()?;
        let share = |mean, weight| RestBy::Share(BetaPrior { mean, weight });
        let unknown = share(prior.mean, prior.weight);
        let (by, ground) = if matches!(came.told.stage, Stage::Cocoon | Stage::Moth) {
            match winter_share(self.library(), profile, came) {
                Some((mean, weight)) => (share(mean, weight), Ground::WinterCocoons),
                None => (unknown, Ground::CameAsCocoons),
            }
        } else {
            match &profile.winter.day {
                None => (unknown, Ground::NoHours),
                Some(day) => {
                    let days = self.larval_days(look, line, air, from_d);
                    match days.zip(curve(day, model)) {
                        Some((days, curve)) => (RestBy::Day(curve, days), Ground::Days),
                        None => (unknown, Ground::NoPlace),
                    }
                }
            }
        };
        Some((Diapause { by, winter }, ground))
    }

    /// Day after day where the larvae of a line stand; `None` where nobody has said where that is.
    fn larval_days(&self, look: &Look, line: &str, air: &Air, from_d: f64) -> Option<LarvalDays> {
        let house = &look.house;
        let place = light_place(house, line)?;
        let first = self.on_the_wall(crate::state::instant_of(from_d)).date().checked_sub(2.days()).ok()?;
        let last = look.today().checked_add(DAYS_AHEAD.days()).ok()?;
        let n = usize::try_from(first.until(last).ok()?.get_days()).ok()? + 1;
        let on_earth = on_earth(house, &place);
        let sky = |at: usize| -> Option<LarvalDay> {
            let (north, east) = on_earth?;
            let date = first.checked_add(i64::try_from(at).ok()?.days()).ok()?;
            LarvalDay::under_the_sky(north, east, universal_midnight(date), 0.0).ok()
        };
        // The sun only where the sky is what lights the place, and then every few days.
        let knots: Vec<Option<LarvalDay>> =
            (0..n.div_ceil(SUN_EVERY_D) + 1).map(|it| sky(it * SUN_EVERY_D)).collect();
        let mut days = Vec::with_capacity(n);
        for at in 0..n {
            let date = first.checked_add(i64::try_from(at).ok()?.days()).ok()?;
            let air_c = self.mean_air(look, air, date);
            days.push(match lamps_on(house, &place, date) {
                Some(lamps_h) => LarvalDay::under_lamps(lamps_h, air_c),
                None => {
                    let (low, high) = (knots[at / SUN_EVERY_D]?, knots[at / SUN_EVERY_D + 1]?);
                    let part = (at % SUN_EVERY_D) as f64 / SUN_EVERY_D as f64;
                    let between = |low: f64, high: f64| low + (high - low) * part;
                    LarvalDay {
                        sun_h: between(low.sun_h, high.sun_h),
                        twilight_h: between(low.twilight_h, high.twilight_h),
                        air_c,
                    }
                }
            });
        }
        LarvalDays::new(self.midnight(first), &days)
    }

    /// Mean temperature of a day; of the last days known for one that is still to come.
    fn mean_air(&self, look: &Look, air: &Air, date: Date) -> f64 {
        let mean = |from_d: f64, to_d: f64| {
            let hours: Vec<f64> = (0..)
                .map(|hour| from_d + f64::from(hour) / 24.0)
                .take_while(|it| *it < to_d)
                .filter_map(|it| air.series.at(it))
                .collect();
            (!hours.is_empty()).then(|| hours.iter().sum::<f64>() / hours.len() as f64)
        };
        let midnight_d = self.midnight(date);
        let now_d = self.midnight(look.today());
        let ahead = || mean(now_d - f64::from(OUTLOOK_DAYS), now_d);
        let here = (midnight_d < now_d).then(|| mean(midnight_d, midnight_d + 1.0)).flatten();
        here.or_else(ahead).unwrap_or(20.0)
    }

    /// How many rest, in words and numbers.
    pub(crate) fn rest_forecast(&self, look: &Look, made: &LineForecast) -> Option<RestForecast> {
        let (scope, ground) = (made.answer.brood.resting.as_ref()?, made.ground?);
        let of_twenty = |share: f64| (share * 20.0).round().clamp(0.0, 20.0) as u32;
        let (low, about, high) =
            (of_twenty(scope.share.q05), of_twenty(scope.mean), of_twenty(scope.share.q95));
        let mut peaks = Vec::new();
        let said = [
            (&scope.going_on, "of those that go on", 1.0 - scope.mean),
            (&scope.after_rest, "of those that rest", scope.mean),
        ];
        for (entry, name, share) in said {
            if let Some(entry) = entry.as_ref().filter(|_| share >= WORTH_A_PEAK) {
                let forecast = self.stage_forecast(made, entry);
                let says = peak_in_words(look.today(), name, &forecast);
                peaks.push(Peak { name: name.to_owned(), says, forecast });
            }
        }
        let mut says = share_in_words(low, about, high);
        let over = made.answer.brood.lying_over;
        if over >= 0.5 {
            says.push_str(&format!(" About {} of them lie over to the spring after.", over.round()));
        }
        Some(RestForecast {
            mean: scope.mean,
            share: (scope.share.q05, scope.share.q50, scope.share.q95),
            of_twenty: (low, about, high),
            n: (scope.n.q05.round() as u32, scope.n.q50.round() as u32, scope.n.q95.round() as u32),
            lying_over: over,
            says,
            why: self.ground_in_words(look, made, ground),
            peaks,
            rests_on: self.rest_rests_on(made, ground),
        })
    }

    fn ground_in_words(&self, look: &Look, made: &LineForecast, ground: Ground) -> String {
        match ground {
            Ground::Days => {
                let place = light_place(&look.house, &made.line).unwrap_or_default();
                let light = match lamps_on(&look.house, &place, look.today()) {
                    Some(lamps_h) => format!("lamps at {place} burn {lamps_h} h a day"),
                    None => match self.day_now(look, &place) {
                        Some(day) => format!(
                            "at {place} today has {:.1} h of sun and {:.1} h of twilight",
                            day.sun_h, day.twilight_h
                        ),
                        None => format!("the light of {place}"),
                    },
                };
                let day = made.profile.winter.day.as_ref();
                let rule = day.map_or_else(String::new, |it| {
                    let stages = if it.from == it.to { it.from.clone() } else { format!("{} to {}", it.from, it.to) };
                    format!(
                        "What decides is the day of {stages}: at {} h, give or take {}, half of them rest",
                        it.critical_h.mean, it.critical_h.sd
                    )
                });
                format!("{rule}; {light}.")
            }
            Ground::NoPlace => format!(
                "The length of the day decides in this kind, but the book does not say where on earth the larvae stand, so any share is held possible. Note it once, on the page of the thermometer or with cocoonery note light \"{}\" --latitude 52.3 --longitude=-1.1 (or --lamps 16).",
                place_to_name(&look.house, &made.line)
            ),
            Ground::NoHours => "Some pupae of this kind rest, but nobody has published at how many hours of day, so any share is held possible until the pupae themselves show it.".to_owned(),
            Ground::CameAsCocoons => "They came as cocoons: nobody knows the days that their larvae had, so any share is held possible until the pupae themselves show it.".to_owned(),
            Ground::WinterCocoons => "They came as cocoons in winter, and most living pupae of that time rest.".to_owned(),
        }
    }

    /// The day of today under the sky of a place.
    fn day_now(&self, look: &Look, place: &str) -> Option<LarvalDay> {
        let (north, east) = on_earth(&look.house, place)?;
        LarvalDay::under_the_sky(north, east, universal_midnight(look.today()), 0.0).ok()
    }

    fn rest_rests_on(&self, made: &LineForecast, ground: Ground) -> Vec<RestsOn> {
        let parts: &[&str] = match ground {
            Ground::Days => &["winter.day", "winter.set_by"],
            _ => &["winter.rest_share", "winter.set_by"],
        };
        let mut rests = rests::on_profile(self.library(), made.profile, parts);
        if ground == Ground::WinterCocoons {
            rests.extend(rests::on_claim(self.library(), WINTER_COCOONS.0));
        }
        rests
    }
}

/// `About 6 in 20 pupae rest until spring (2 to 12 in 20).` Never none and never all.
fn share_in_words(low: u32, about: u32, high: u32) -> String {
    match about {
        0 if high == 0 => "Fewer than 1 in 20 pupae rest until spring.".to_owned(),
        0 => format!("Fewer than 1 in 20 pupae rest until spring (up to {high} in 20)."),
        20 if low == 20 => "More than 19 in 20 pupae rest until spring.".to_owned(),
        20 => format!("More than 19 in 20 pupae rest until spring (at the least {low} in 20)."),
        _ => format!("About {about} in 20 pupae rest until spring ({low} to {high} in 20)."),
    }
}

/// The share of cocoons that came in winter, and the animals it is worth.
fn winter_share(library: &Library, profile: &Profile, came: &Lot) -> Option<(f64, f64)> {
    let month = came.received.month();
    let flies = profile.winter.emergence_month.as_ref().map_or(5.0, |it| it.low);
    let winter = month >= WINTER_BEGINS || f64::from(month) < flies;
    let share = library.claim(WINTER_COCOONS.0)?.figure.low()?;
    winter.then_some((share / 100.0, WINTER_COCOONS.1))
}

fn curve(day: &DayResponse, model: &BroodModel) -> Option<DayCurve> {
    let (from, to) = day.sensitive()?;
    let index = |stage: StageName| model.stages.iter().position(|it| it.name == stage.to_string());
    Some(DayCurve {
        from_stage: index(from)?,
        to_stage: index(to)?,
        critical_h: day.critical_h.mean,
        critical_sd_h: day.critical_h.sd,
        width_h: day.width_h.median,
        width_log_sd: day.width_h.log_sd,
        twilight_share: day.twilight_share.mean,
        twilight_share_sd: day.twilight_share.sd,
        warmth: day.warmth.as_ref().map(|it| Warmth {
            at_c: it.at_c.value,
            h_per_c: it.h_per_c.mean,
            h_per_c_sd: it.h_per_c.sd,
        }),
        exception: day.exception.value,
    })
}

/// Moths of a line that are out, named or not.
pub(crate) fn came_out(house: &House, line: &str) -> Vec<CameOut> {
    let bought = |it: &Passage| {
        house
            .lots
            .values()
            .any(|lot| lot.told.line == line && lot.told.stage == Stage::Moth && lot.at == it.seen_at)
    };
    let out = house.passages.iter().filter(|it| it.line == line && it.stage == Stage::Moth && !bought(it));
    out.flat_map(|it| {
        let one = CameOut { at_d: crate::state::day_number(it.seen_at), sex: None };
        std::iter::repeat_n(one, it.n as usize)
    })
    .collect()
}

/// Where a line's larvae stand or stood, as far as the light is told: the place of the box in which they moulted
/// last, else of most of its boxes, else the only one.
fn light_place(house: &House, line: &str) -> Option<String> {
    let place = |name: &String| house.boxes.get(name).map(|it| it.place.clone()).filter(|it| !it.is_empty());
    let fed = house.passages.iter().filter(|it| it.line == line && it.stage.is_larva());
    let fed_in = fed.max_by_key(|it| it.seen_at).and_then(|it| place(&it.name));
    let boxes = house.living_boxes().filter(|it| it.lines().contains(line) && !it.place.is_empty());
    match fed_in.or_else(|| boxes.max_by_key(|it| it.total()).map(|it| it.place.clone())) {
        // A house lies in one spot on earth, so another place's latitude will do; another place's lamps will not.
        Some(place) => {
            (house.light.contains_key(&place) || on_earth(house, &place).is_some()).then_some(place)
        }
        None => house.light.keys().next().cloned(),
    }
}

/// A place that a sentence can name.
fn place_to_name(house: &House, line: &str) -> String {
    let of_line = house.living_boxes().filter(|it| it.lines().contains(line)).map(|it| it.place.clone());
    let known = of_line.chain(house.air.keys().cloned()).find(|it| !it.is_empty());
    known.unwrap_or_else(|| "the room".to_owned())
}

/// Latitude and longitude of a place, else of any other place of the house.
pub(crate) fn on_earth(house: &House, place: &str) -> Option<(f64, f64)> {
    let last = |place: &str| {
        let told = house.light.get(place)?;
        told.values().rev().find_map(|it| it.latitude_deg.zip(it.longitude_deg))
    };
    last(place).or_else(|| house.light.keys().find_map(|it| last(it)))
}

/// The hours that lamps burn at a place on a day, if they do. Before it was first told it was as it was then.
fn lamps_on(house: &House, place: &str, date: Date) -> Option<f64> {
    let told = house.light.get(place)?;
    let before = told.range(..=date).next_back().or_else(|| told.iter().next());
    before.and_then(|(_, it)| it.lamps_h)
}

/// The universal midnight that begins a date, as the sun wants it.
pub(crate) fn universal_midnight(date: Date) -> f64 {
    crate::state::day_number(noon(date)) - 0.5
}

/// The larger of the two peaks, where there are two; any one date in between is nobody's.
pub(crate) fn main_peak(made: &LineForecast, stage: usize) -> Option<&StageEntry> {
    let scope = &made.answer.brood;
    let peaks = scope.resting.as_ref().filter(|_| stage == made.model.moth());
    let peak = peaks.and_then(|it| if it.mean < 0.5 { it.going_on.as_ref() } else { it.after_rest.as_ref() });
    peak.or_else(|| scope.stage(stage))
}

/// `Of those that rest, half have come out by 28 May 2026, 9 in 10 by 9 June 2026.`
fn peak_in_words(today: Date, name: &str, it: &crate::view::brood::StageForecast) -> String {
    let mut days = say::Days::seen_from(today);
    let mut day = |at: DateTime| days.say(at.date());
    format!(
        "{}{}, half have come out by {}, 9 in 10 by {}. In 1 of 20 cases later than {}.",
        name[..1].to_uppercase(),
        &name[1..],
        day(it.entering.q50),
        day(it.entering.q90),
        day(it.entering.q95)
    )
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]
    use super::*;
    use crate::model::{HouseNumbers, brood_model};

    fn curve_of(species: &str) -> DayCurve {
        let library = evidence::library();
        let profile = library.profile(species).unwrap();
        let model = brood_model(profile, &HouseNumbers::of(library), None).unwrap();
        curve(profile.winter.day.as_ref().unwrap(), &model).unwrap()
    }

    fn claimed(id: &str) -> f64 {
        evidence::library().claim(id).unwrap_or_else(|| panic!("{id}")).figure.low().unwrap()
    }

    /// What is printed of each kind, against the share that the profile gives on that day. The days are read from the
    /// claims: mylitta, paper 33 (grade A); polyphemus, one keeper's page (C); pernyi, from memory (D), where two
    /// hours to either side of the critical day are ours.
    #[test]
    fn each_kind_rests_on_the_day_that_is_claimed() {
        let pernyi = claimed("diapause/pernyi-critical-day");
        let rests = [
            ("Antheraea mylitta", claimed("diapause/mylitta-rest-day"), 24.0),
            ("Antheraea polyphemus", claimed("diapause/polyphemus-l4-short"), 20.0),
            ("Antheraea pernyi", pernyi - 2.0, 20.0),
        ];
        for (species, light_h, air_c) in rests {
            let share = curve_of(species).expected_share(&LarvalDay::under_lamps(light_h, air_c));
            assert!((0.8..1.0).contains(&share), "{species} at {light_h} h: {share}");
        }
        let goes_on = [
            ("Antheraea mylitta", claimed("diapause/mylitta-develop-day"), 26.0),
            ("Antheraea polyphemus", claimed("diapause/polyphemus-l4-long"), 20.0),
            ("Antheraea pernyi", pernyi + 2.0, 20.0),
        ];
        for (species, light_h, air_c) in goes_on {
            let share = curve_of(species).expected_share(&LarvalDay::under_lamps(light_h, air_c));
            assert!(share <= 0.2 && share > 0.0, "{species} at {light_h} h: {share}");
        }
        let half = curve_of("Antheraea pernyi").expected_share(&LarvalDay::under_lamps(pernyi, 20.0));
        assert!((half - 0.5).abs() < 0.05, "{half}");
    }

    #[test]
    fn a_share_is_never_yes_or_no() {
        for (low, about, high) in [(0, 0, 0), (0, 0, 3), (2, 6, 12), (15, 20, 20), (20, 20, 20)] {
            let says = share_in_words(low, about, high);
            assert!(
                says.contains("in 20") && !says.contains("About 0") && !says.contains("About 20"),
                "{says}"
            );
        }
        assert!(!share_in_words(0, 0, 0).contains("up to 0"));
        assert_eq!(share_in_words(2, 6, 12), "About 6 in 20 pupae rest until spring (2 to 12 in 20).");
    }

    /// Takeda & Masaki 1979 (grade A, another family): 40 minutes before sunrise and 20 after sunset count as day.
    /// Civil twilight at 36 degrees north, where such work is done, is that hour, to a sixth.
    #[test]
    fn civil_twilight_is_the_hour_that_was_measured() {
        let claimed_h = (claimed("diapause/twilight-before") + claimed("diapause/twilight-after")) / 60.0;
        for month in [5, 6, 7, 8, 9] {
            let midnight_d = universal_midnight(jiff::civil::date(2025, month, 15));
            let day = LarvalDay::under_the_sky(36.0, 137.0, midnight_d, 20.0).unwrap();
            assert!((day.twilight_h - claimed_h).abs() < claimed_h / 6.0, "{month}: {} h", day.twilight_h);
        }
    }
}
