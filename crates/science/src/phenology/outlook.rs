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

impl OutlookError {
    /// An outlook that is taken at its word.
    pub const NONE: OutlookError = OutlookError { next_day_c: 0.0, limit_c: 0.0, days_to_limit: 1.0 };

    /// What is used where the keeper says nothing.
    ///
    /// The last days: their mean, held against the mean of the 1, 3, 7, 14, 30, 45 and 60 days that followed, was off by
    /// 2.5, 2.3, 2.1, 2.1, 2.5, 3.1 and 3.8 degrees outdoors (root mean square, May to September 2012 to 2015, daily
    /// record of the airport of Seattle, public domain). A room that nobody heats follows its weather by about six
    /// parts in ten; that share is judgement. The line below, averaged up to the same days, gives 0.65, 1.1, 1.3, 1.4,
    /// 1.7, 1.9 and 2.1. A thermostat is trusted more, by judgement. A series that was handed in is taken at its
    /// word, for whoever made it knows better how far it can be off.
    pub fn usual(outlook: &Outlook) -> OutlookError {
        match outlook {
            Outlook::Thermostat { .. } => OutlookError { next_day_c: 0.3, limit_c: 0.7, days_to_limit: 10.0 },
            Outlook::LastDays { .. } => OutlookError { next_day_c: 1.3, limit_c: 3.0, days_to_limit: 60.0 },
            Outlook::Series(_) => OutlookError::NONE,
        }
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
