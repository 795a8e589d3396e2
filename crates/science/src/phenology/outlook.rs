//! What the air will be: an assumption with an error that grows with lead time.

use super::air::AirSeries;
use crate::dice::inverse_normal;

/// How the room is expected to go on.
#[derive(Debug, Clone, PartialEq)]
pub enum Outlook {
    /// As the last days were, hour by hour, over and over.
    LastDays {
        /// How many days are repeated.
        days: u32,
    },
    /// A room that is held at one temperature.
    Thermostat {
        /// Degrees Celsius.
        air_c: f64,
    },
    /// A series from elsewhere; its last week is repeated after its end.
    Series(AirSeries),
}

/// How wrong the outlook may be: the standard deviation of a shift of the whole curve.
///
/// The shift of one run is one normal number times this, so a warm run stays warm. A keeper's own record of past
/// outlooks should replace these.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutlookError {
    /// One day ahead, degrees.
    pub next_day_c: f64,
    /// The most it grows to, degrees.
    pub limit_c: f64,
    /// After how many days it has grown to that.
    pub days_to_limit: f64,
}

/// How far a place of which nothing is known follows the weather outdoors.
const USUAL_PART: f64 = 0.8;
/// How many weeks of a record that is worth.
const USUAL_WEEKS: f64 = 2.0;
/// How far a week is from the week before it outdoors, root mean square.
const OUTDOORS_WEEK_C: f64 = 2.1;
/// Hours of a week.
const WEEK_H: u32 = 168;

impl OutlookError {
    /// An outlook that is taken at its word.
    pub const NONE: OutlookError = OutlookError { next_day_c: 0.0, limit_c: 0.0, days_to_limit: 1.0 };

    /// What is used where there is no record of the place.
    ///
    /// The last days: their mean, held against the mean of the 1, 3, 7, 14, 30, 45 and 60 days that followed, was off by
    /// 2.5, 2.3, 2.1, 2.1, 2.5, 3.1 and 3.8 degrees outdoors (root mean square, May to September 2012 to 2015, daily
    /// record of the airport of Seattle, public domain). A shed follows its weather, a room that nobody heats by about
    /// six parts in ten: eight parts are taken for a place of which nothing is known (judgement). A thermostat is
    /// trusted more, by judgement. A series that was handed in is taken at its word, for whoever made it knows better
    /// how far it can be off.
    pub fn usual(outlook: &Outlook) -> OutlookError {
        match outlook {
            Outlook::Thermostat { .. } => OutlookError { next_day_c: 0.3, limit_c: 0.7, days_to_limit: 10.0 },
            Outlook::LastDays { .. } => OutlookError::in_parts(USUAL_PART),
            Outlook::Series(_) => OutlookError::NONE,
        }
    }

    /// What the place's own record says, where the last days are taken to go on.
    ///
    /// # Formula
    /// Every week of the record is held against the week before it. With `v` the mean square difference over that of
    /// the outdoor record above, and `n` how many weeks there are, the place follows the weather in
    /// `sqrt((2 * 0.8^2 + n v) / (2 + n))` parts: what is usual counts as two weeks.
    /// # Units
    /// Degrees Celsius; `asof_d` days since the epoch of the series.
    /// # Holds for
    /// A record that goes on as it was: a heater that is switched off tomorrow is not in it.
    /// # Errors
    /// None: weeks with gaps that were bridged are left out, and without any other the usual error stands.
    /// # Source
    /// As for [`OutlookError::usual`]; the shrinkage is the mean of a scaled inverse chi-square, roughly.
    /// # Checked against
    /// A still room, the record's own spread, and a shed of made weather (tests below).
    /// # Example
    /// ```
    /// use science::phenology::{AirSeries, Outlook, OutlookError};
    /// let cellar = AirSeries::constant(0.0, 60.0, 12.0)?;
    /// let outlook = Outlook::LastDays { days: 7 };
    /// let learned = OutlookError::of_record(&outlook, &cellar, 60.0);
    /// assert!(learned.at(7.0) < 0.6 * OutlookError::usual(&outlook).at(7.0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of_record(outlook: &Outlook, air: &AirSeries, asof_d: f64) -> OutlookError {
        let usual = OutlookError::usual(outlook);
        if !matches!(outlook, Outlook::LastDays { .. }) {
            return usual;
        }
        let days = (air.end_d().min(asof_d) - air.start_d()).floor().max(0.0) as usize;
        let end_d = air.start_d() + days as f64;
        let bridged = |from_d: f64, to_d: f64| {
            air.notes().iter().any(|it| it.is_bridge() && it.from_d() < to_d && it.to_d() > from_d)
        };
        let week = |ends_d: f64| {
            let hours = (0..WEEK_H).filter_map(|it| air.at(ends_d - (f64::from(it) + 0.5) / 24.0));
            let (sum, n) = hours.fold((0.0, 0), |(sum, n), it| (sum + it, n + 1));
            (n == WEEK_H).then(|| sum / f64::from(n))
        };
        let mut squares = Vec::new();
        for back in 0..days.saturating_sub(13) {
            let ends_d = end_d - back as f64;
            if bridged(ends_d - 14.0, ends_d) {
                continue;
            }
            if let (Some(now), Some(before)) = (week(ends_d), week(ends_d - 7.0)) {
                squares.push((now - before) * (now - before));
            }
        }
        if squares.is_empty() {
            return usual;
        }
        // Weeks that overlap tell little that is new.
        let weeks = squares.len() as f64 / 7.0;
        let mean = squares.iter().sum::<f64>() / squares.len() as f64;
        let known = mean / (OUTDOORS_WEEK_C * OUTDOORS_WEEK_C);
        let parts = ((USUAL_WEEKS * USUAL_PART * USUAL_PART + weeks * known) / (USUAL_WEEKS + weeks)).sqrt();
        OutlookError::in_parts(parts)
    }

    /// For a place that follows the weather outdoors in so many parts. Averaged up to 1, 3, 7, 14, 30, 45 and 60 days
    /// the line gives 1.1, 1.8, 2.1, 2.4, 2.8, 3.2 and 3.6 degrees outdoors.
    fn in_parts(parts: f64) -> OutlookError {
        OutlookError { next_day_c: 2.2 * parts, limit_c: 5.0 * parts, days_to_limit: 60.0 }
    }

    /// The standard deviation at a lead time, degrees: from nothing to `next_day_c` over the first day, then in
    /// a straight line to `limit_c`.
    ///
    /// ```
    /// use science::phenology::OutlookError;
    /// let error = OutlookError { next_day_c: 0.5, limit_c: 2.0, days_to_limit: 10.0 };
    /// assert!((error.at(1.0) - 0.5).abs() < 1e-12 && (error.at(30.0) - 2.0).abs() < 1e-12);
    /// ```
    pub fn at(&self, lead_d: f64) -> f64 {
        if lead_d < 1.0 {
            return self.next_day_c * lead_d.max(0.0);
        }
        let span = self.days_to_limit - 1.0;
        let part = if span > 0.0 { ((lead_d - 1.0) / span).min(1.0) } else { 1.0 };
        self.next_day_c + (self.limit_c - self.next_day_c) * part
    }

    /// Usable: finite and not negative.
    pub(super) fn is_sound(&self) -> bool {
        [self.next_day_c, self.limit_c, self.days_to_limit].iter().all(|it| it.is_finite() && *it >= 0.0)
    }

    /// The shifts for which clocks are laid out, in standard deviations.
    ///
    /// The middles of equally likely slices of the normal distribution, stretched to unit variance, so that
    /// picking one of them evenly is as good as drawing the shift. One, 0, if there is no error.
    pub(super) fn nodes(&self) -> Vec<f64> {
        if self.next_day_c <= 0.0 && self.limit_c <= 0.0 {
            return vec![0.0];
        }
        let middles: Vec<f64> =
            (0..NODES).map(|it| inverse_normal((f64::from(it) + 0.5) / f64::from(NODES))).collect();
        let variance = middles.iter().map(|it| it * it).sum::<f64>() / f64::from(NODES);
        middles.iter().map(|it| it / variance.sqrt()).collect()
    }
}

/// Clocks laid out for the error of the outlook.
const NODES: u32 = 9;

/// The central assumption for the hours from `known_end` on.
pub(super) struct Ahead<'a> {
    known: &'a [f64],
    known_end: i64,
    outlook: &'a Outlook,
}

impl<'a> Ahead<'a> {
    /// `known` are the hourly means up to hour `known_end` (not included).
    pub(super) fn new(known: &'a [f64], known_end: i64, outlook: &'a Outlook) -> Self {
        Ahead { known, known_end, outlook }
    }

    /// The assumed mean of an hour, degrees Celsius.
    pub(super) fn hour(&self, hour: i64) -> f64 {
        match self.outlook {
            Outlook::Thermostat { air_c } => *air_c,
            Outlook::LastDays { days } => repeated(self.known, self.known_end, *days, hour),
            Outlook::Series(series) => {
                let end = series.first_hour + series.hourly_c.len() as i64;
                if hour >= end {
                    repeated(&series.hourly_c, end, 7, hour)
                } else if let Some(air_c) = series.hour(hour) {
                    air_c
                } else {
                    // Between the last reading and the first hour of the series: a straight line.
                    let last_c = self.known.last().copied().unwrap_or(f64::NAN);
                    let next_c = series.hourly_c.first().copied().unwrap_or(last_c);
                    let span = (series.first_hour - self.known_end + 1) as f64;
                    last_c + (next_c - last_c) * (hour - self.known_end + 1) as f64 / span
                }
            }
        }
    }
}

/// The hour of the same time of day in the last `days` days before `end`.
fn repeated(known: &[f64], end: i64, days: u32, hour: i64) -> f64 {
    let whole_days = (known.len() / 24).min(days.max(1) as usize);
    if whole_days == 0 {
        // Less than a day is known: its mean, because its hours may be all noon or all night.
        return known.iter().sum::<f64>() / known.len().max(1) as f64;
    }
    let period = whole_days * 24;
    let step = (hour - end).rem_euclid(period as i64) as usize;
    known[known.len() - period + step]
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn last_days_keep_the_time_of_day() {
        let known: Vec<f64> = (0..24 * 9).map(|it| f64::from(it % 24) + 100.0 * f64::from(it / 24)).collect();
        let outlook = Outlook::LastDays { days: 3 };
        let ahead = Ahead::new(&known, 216, &outlook);
        for hour in 216..400 {
            let air_c = ahead.hour(hour);
            assert!((air_c % 100.0 - (hour % 24) as f64).abs() < 1e-9);
            assert!(air_c >= 600.0);
        }
    }

    #[test]
    fn a_series_is_reached_by_a_straight_line_and_repeated_after_its_end() {
        let series = AirSeries::constant(2.0, 10.0, 20.0).unwrap();
        let outlook = Outlook::Series(series);
        let ahead = Ahead::new(&[10.0; 24], 24, &outlook);
        assert!((ahead.hour(35) - (10.0 + 10.0 * 12.0 / 25.0)).abs() < 1e-9);
        assert!((ahead.hour(48) - 20.0).abs() < 1e-9 && (ahead.hour(5000) - 20.0).abs() < 1e-9);
    }

    /// Hourly readings of made weather: a first-order chain from day to day with the spread that is asked for.
    fn weather(sd_c: f64, days: u32) -> AirSeries {
        let mut dice = crate::dice::Dice::seeded(11);
        let (mut all, mut today_c) = (Vec::new(), 0.0);
        for hour in 0..days * 24 {
            if hour % 24 == 0 {
                today_c = 0.75 * today_c + (1.0 - 0.75_f64 * 0.75).sqrt() * sd_c * dice.normal();
            }
            all.push(crate::phenology::Reading { at_d: f64::from(hour) / 24.0, air_c: 18.0 + today_c });
        }
        AirSeries::from_readings(&all).unwrap()
    }

    /// Of a chain with correlation 0.75 the means of two successive weeks differ with variance
    /// `sd^2 (2 V - 2 C)`, `V` and `C` the mean correlation within a week and between the two, summed here.
    #[test]
    fn a_long_record_says_how_far_the_place_follows_the_weather() {
        let mean = |gap: i32| {
            let all = (0..49).map(|it| 0.75_f64.powi((it / 7 - it % 7 - gap).abs()));
            all.sum::<f64>() / 49.0
        };
        let off_c = 2.0 * (2.0 * mean(0) - 2.0 * mean(7)).sqrt();
        let outlook = Outlook::LastDays { days: 7 };
        let learned = OutlookError::of_record(&outlook, &weather(2.0, 3000), 3000.0);
        let parts = learned.limit_c / OutlookError::in_parts(1.0).limit_c;
        // 428 weeks that are not independent: a tenth is some three standard errors.
        assert!((parts - off_c / OUTDOORS_WEEK_C).abs() < 0.1, "{parts} {off_c}");
        let short = OutlookError::of_record(&outlook, &weather(2.0, 10), 10.0);
        assert_eq!(short, OutlookError::usual(&outlook));
        let thermostat = Outlook::Thermostat { air_c: 20.0 };
        let told = OutlookError::of_record(&thermostat, &weather(2.0, 100), 100.0);
        assert_eq!(told, OutlookError::usual(&thermostat));
    }

    /// A logger that was silent for half of the time teaches nothing by the straight line over its silence.
    #[test]
    fn a_bridged_week_teaches_nothing() {
        let all: Vec<_> = (0..20 * 24)
            .filter(|hour| !(3 * 24..12 * 24).contains(hour))
            .map(|hour| crate::phenology::Reading { at_d: f64::from(hour) / 24.0, air_c: 20.0 })
            .collect();
        let air = AirSeries::from_readings(&all).unwrap();
        let outlook = Outlook::LastDays { days: 7 };
        assert_eq!(OutlookError::of_record(&outlook, &air, 20.0), OutlookError::usual(&outlook));
    }

    #[test]
    fn nodes_have_mean_zero_and_variance_one() {
        let error = OutlookError::usual(&Outlook::LastDays { days: 7 });
        let nodes = error.nodes();
        let n = nodes.len() as f64;
        assert!(nodes.iter().sum::<f64>().abs() < 1e-12);
        assert!((nodes.iter().map(|it| it * it).sum::<f64>() / n - 1.0).abs() < 1e-12);
        assert_eq!(OutlookError::NONE.nodes().len(), 1);
    }
}
