//! The air that was measured, as one curve of hourly means.

use super::air_notes::{AirNote, Suspicion};

/// One reading of a thermometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// When, in days since the caller's epoch.
    pub at_d: f64,
    /// Air temperature, degrees Celsius.
    pub air_c: f64,
}

/// Why a series of readings cannot be used at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum AirFault {
    /// Nothing usable was left.
    #[error("there is no usable temperature reading; note at least one")]
    Empty,
    /// First and last reading are implausibly far apart.
    #[error("the readings span more than 40 years; look for a wrong date")]
    TooLong,
}

/// Hourly means of the air temperature over an unbroken stretch of time.
///
/// Hour `h` covers the days from `h / 24` to `(h + 1) / 24` since the caller's epoch.
#[derive(Debug, Clone, PartialEq)]
pub struct AirSeries {
    pub(super) first_hour: i64,
    pub(super) hourly_c: Vec<f64>,
    pub(super) notes: Vec<AirNote>,
}

/// A gap longer than this is told to the keeper, days.
pub(super) const GAP_TOLD_D: f64 = 0.26;
/// Longest series that is accepted, hours.
const LONGEST_H: i64 = 40 * 8766;
/// What a room or a shed can be, degrees Celsius.
const PLAUSIBLE_C: std::ops::RangeInclusive<f64> = -40.0..=60.0;

impl AirSeries {
    /// Hourly means of readings in any order; straight lines between neighbours.
    ///
    /// Readings that cannot be air (outside -40 to 60 degrees, the 85 degrees of a sensor that lost its supply,
    /// a lone jump and back) are left out and reported; gaps are bridged by a straight line and reported; a
    /// logger that repeats one figure for two days while it varies elsewhere is reported but believed.
    ///
    /// ```
    /// use science::phenology::{AirSeries, Reading};
    /// let readings = [Reading { at_d: 0.0, air_c: 10.0 }, Reading { at_d: 0.25, air_c: 16.0 }];
    /// let air = AirSeries::from_readings(&readings)?;
    /// assert!((air.at(0.5 / 24.0).unwrap_or(f64::NAN) - 10.5).abs() < 1e-9);
    /// # Ok::<(), science::phenology::AirFault>(())
    /// ```
    pub fn from_readings(readings: &[Reading]) -> Result<AirSeries, AirFault> {
        let (kept, mut notes) = weed(readings);
        let (Some(first), Some(last)) = (kept.first(), kept.last()) else {
            return Err(AirFault::Empty);
        };
        let first_hour = hour_of(first.at_d);
        let hours = hour_of(last.at_d) - first_hour + 1;
        if hours > LONGEST_H {
            return Err(AirFault::TooLong);
        }
        notes.extend(
            kept.windows(2)
                .filter(|it| it[1].at_d - it[0].at_d > GAP_TOLD_D)
                .map(|it| AirNote::Bridged { from_d: it[0].at_d, to_d: it[1].at_d }),
        );
        let hourly_c = hourly_means(&kept, first_hour, hours as usize);
        Ok(AirSeries { first_hour, hourly_c, notes })
    }

    /// The same temperature for a number of days, for a room with a thermostat or a worked example.
    pub fn constant(start_d: f64, days: f64, air_c: f64) -> Result<AirSeries, AirFault> {
        let hours = (days * 24.0).ceil().max(1.0);
        if !is_instant(start_d) || !PLAUSIBLE_C.contains(&air_c) || hours.is_nan() {
            return Err(AirFault::Empty);
        }
        if hours > LONGEST_H as f64 {
            return Err(AirFault::TooLong);
        }
        Ok(AirSeries {
            first_hour: hour_of(start_d),
            hourly_c: vec![air_c; hours as usize],
            notes: Vec::new(),
        })
    }

    /// The beginning of the first hour, days.
    pub fn start_d(&self) -> f64 {
        self.first_hour as f64 / 24.0
    }

    /// The end of the last hour, days.
    pub fn end_d(&self) -> f64 {
        (self.first_hour + self.hourly_c.len() as i64) as f64 / 24.0
    }

    /// The mean of the hour that holds an instant, degrees Celsius; `None` outside the series.
    pub fn at(&self, at_d: f64) -> Option<f64> {
        self.hour(hour_of(at_d))
    }

    /// The hourly means, from [`start_d`](Self::start_d) on, degrees Celsius.
    pub fn hourly_c(&self) -> &[f64] {
        &self.hourly_c
    }

    /// What was left out, bridged or doubted on the way.
    pub fn notes(&self) -> &[AirNote] {
        &self.notes
    }

    /// The part before an instant; `None` if there is none.
    pub fn before(&self, at_d: f64) -> Option<AirSeries> {
        let hours =
            hour_of(at_d).saturating_sub(self.first_hour).clamp(0, self.hourly_c.len() as i64) as usize;
        let hourly_c = self.hourly_c.get(..hours)?.to_vec();
        let notes = self.notes.iter().filter(|it| it.from_d() < at_d).cloned().collect();
        (hours > 0).then_some(AirSeries { first_hour: self.first_hour, hourly_c, notes })
    }

    /// The part from an instant on; `None` if there is none.
    pub fn from(&self, at_d: f64) -> Option<AirSeries> {
        let skip =
            hour_of(at_d).saturating_sub(self.first_hour).clamp(0, self.hourly_c.len() as i64) as usize;
        let hourly_c = self.hourly_c.get(skip..)?.to_vec();
        let notes = self.notes.iter().filter(|it| it.to_d() >= at_d).cloned().collect();
        (!hourly_c.is_empty()).then_some(AirSeries {
            first_hour: self.first_hour + skip as i64,
            hourly_c,
            notes,
        })
    }

    /// Fills what this series bridged, and what lies before or after it, from a second thermometer.
    ///
    /// A stretch that neither covers is bridged by a straight line and reported.
    pub fn filled_from(&self, other: &AirSeries) -> AirSeries {
        let first_hour = self.first_hour.min(other.first_hour);
        let end = (self.first_hour + self.hourly_c.len() as i64)
            .max(other.first_hour + other.hourly_c.len() as i64);
        let bridged = |series: &AirSeries, hour: i64| {
            let middle_d = (hour as f64 + 0.5) / 24.0;
            series.notes.iter().any(|it| it.is_bridge() && it.from_d() < middle_d && middle_d < it.to_d())
        };
        let hours: Vec<Option<f64>> = (first_hour..end)
            .map(|hour| {
                let own = self.hour(hour).filter(|_| !bridged(self, hour));
                own.or_else(|| other.hour(hour).filter(|_| !bridged(other, hour)))
            })
            .collect();
        let both = self.notes.iter().chain(&other.notes);
        let mut notes: Vec<AirNote> = both.filter(|it| !it.is_bridge()).cloned().collect();
        let hourly_c = bridge(&hours, first_hour, &mut notes);
        AirSeries { first_hour, hourly_c, notes }
    }

    pub(super) fn hour(&self, hour: i64) -> Option<f64> {
        let place = usize::try_from(hour.saturating_sub(self.first_hour)).ok()?;
        self.hourly_c.get(place).copied()
    }
}

/// An instant within 27,000 years of the epoch: anything else is no date, and would not fit in hours.
pub(super) fn is_instant(at_d: f64) -> bool {
    at_d.abs() < 1e7
}

/// The hour that holds an instant.
pub(super) fn hour_of(at_d: f64) -> i64 {
    // A millionth of an hour of grace, so that a local midnight written as a fraction stays in its own hour.
    (at_d * 24.0 + 1e-6).floor() as i64
}

/// Straight lines over the hours that nobody measured.
fn bridge(hours: &[Option<f64>], first_hour: i64, notes: &mut Vec<AirNote>) -> Vec<f64> {
    let mut filled: Vec<f64> = Vec::with_capacity(hours.len());
    for (place, value) in hours.iter().enumerate() {
        if let Some(air_c) = value {
            filled.push(*air_c);
            continue;
        }
        let next = hours.iter().enumerate().skip(place).find_map(|(at, it)| it.map(|air_c| (at, air_c)));
        let last = filled.last().copied();
        let air_c = match (last, next) {
            (Some(before), Some((at, after))) => before + (after - before) / (at - place + 1) as f64,
            (Some(only), None) | (None, Some((_, only))) => only,
            (None, None) => f64::NAN,
        };
        if place == 0 || hours[place - 1].is_some() {
            let until = next.map_or(hours.len(), |(at, _)| at);
            let day = |hour: usize| (first_hour + hour as i64) as f64 / 24.0;
            notes.push(AirNote::Bridged { from_d: day(place), to_d: day(until) });
        }
        filled.push(air_c);
    }
    filled
}

/// Sorts, and leaves out what cannot be air.
fn weed(readings: &[Reading]) -> (Vec<Reading>, Vec<AirNote>) {
    let mut notes = Vec::new();
    let mut doubt = |it: &Reading, why| notes.push(AirNote::LeftOut { at_d: it.at_d, air_c: it.air_c, why });
    let mut kept: Vec<Reading> = Vec::with_capacity(readings.len());
    for it in readings {
        if !is_instant(it.at_d) || !it.air_c.is_finite() {
            doubt(it, Suspicion::NotANumber);
        } else if (it.air_c - 85.0).abs() < 0.05 {
            doubt(it, Suspicion::LostSupply);
        } else if !PLAUSIBLE_C.contains(&it.air_c) {
            doubt(it, Suspicion::Implausible);
        } else {
            kept.push(*it);
        }
    }
    kept.sort_by(|a, b| a.at_d.total_cmp(&b.at_d));
    // Of two readings at one instant the later-written one stands.
    kept.reverse();
    kept.dedup_by(|a, b| (a.at_d - b.at_d).abs() < 1e-9);
    kept.reverse();
    let jumps: Vec<usize> = (1..kept.len().saturating_sub(1)).filter(|it| is_jump(&kept, *it)).collect();
    for place in &jumps {
        doubt(&kept[*place], Suspicion::Jump);
    }
    let mut place = 0;
    kept.retain(|_| {
        place += 1;
        jumps.binary_search(&(place - 1)).is_err()
    });
    notes.extend(super::air_notes::stuck(&kept));
    (kept, notes)
}

/// A lone reading far from both neighbours, which agree with each other and are close in time.
fn is_jump(kept: &[Reading], place: usize) -> bool {
    let (before, it, after) = (&kept[place - 1], &kept[place], &kept[place + 1]);
    let near = after.at_d - before.at_d <= 3.0 / 24.0;
    let (up, down) = (it.air_c - before.air_c, it.air_c - after.air_c);
    near && up * down > 0.0 && up.abs() > 12.0 && down.abs() > 12.0 && (up - down).abs() < 4.0
}

/// The mean of the broken line through the readings over each hour.
fn hourly_means(kept: &[Reading], first_hour: i64, hours: usize) -> Vec<f64> {
    let mut area = vec![0.0; hours];
    let mut covered = vec![0.0; hours];
    for pair in kept.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let slope = (b.air_c - a.air_c) / (b.at_d - a.at_d);
        let mut from_d = a.at_d;
        let mut hour = hour_of(a.at_d);
        while from_d < b.at_d {
            let to_d = b.at_d.min((hour + 1) as f64 / 24.0);
            let middle_c = a.air_c + slope * (0.5 * (from_d + to_d) - a.at_d);
            if let (Ok(place), true) = (usize::try_from(hour - first_hour), to_d > from_d)
                && place < hours
            {
                area[place] += middle_c * (to_d - from_d);
                covered[place] += to_d - from_d;
            }
            from_d = from_d.max(to_d);
            hour += 1;
        }
    }
    let alone_c = kept.last().map_or(f64::NAN, |it| it.air_c);
    let mean = |(area, covered): (&f64, &f64)| if *covered > 1e-9 { area / covered } else { alone_c };
    area.iter().zip(&covered).map(mean).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    fn hourly(air_c: impl Fn(usize) -> f64, hours: usize) -> Vec<Reading> {
        (0..hours).map(|it| Reading { at_d: it as f64 / 24.0, air_c: air_c(it) }).collect()
    }

    #[test]
    fn a_straight_line_keeps_its_hourly_means() {
        let air = AirSeries::from_readings(&hourly(|it| it as f64, 30)).unwrap();
        assert_eq!(air.hourly_c().len(), 30);
        for (hour, air_c) in air.hourly_c().iter().take(29).enumerate() {
            assert!((air_c - (hour as f64 + 0.5)).abs() < 1e-9);
        }
        assert!(air.notes().is_empty());
    }

    #[test]
    fn order_does_not_matter_and_the_later_entry_stands() {
        let mut readings = hourly(|it| 15.0 + (it % 7) as f64, 50);
        let air = AirSeries::from_readings(&readings).unwrap();
        readings.reverse();
        assert_eq!(AirSeries::from_readings(&readings).unwrap(), air);
        let doubled = [Reading { at_d: 0.0, air_c: 10.0 }, Reading { at_d: 0.0, air_c: 20.0 }];
        assert!((AirSeries::from_readings(&doubled).unwrap().at(0.0).unwrap() - 20.0).abs() < 1e-12);
    }

    #[test]
    fn impossible_air_is_left_out_and_said() {
        let mut readings = hourly(|_| 20.0, 40);
        readings[5].air_c = 85.0;
        readings[9].air_c = f64::NAN;
        readings[14].air_c = -55.0;
        readings[20].air_c = 43.0;
        let air = AirSeries::from_readings(&readings).unwrap();
        assert!(air.hourly_c().iter().all(|it| (it - 20.0).abs() < 1e-9));
        let why: Vec<Suspicion> = air
            .notes()
            .iter()
            .filter_map(|it| match it {
                AirNote::LeftOut { why, .. } => Some(*why),
                _ => None,
            })
            .collect();
        let expect = [Suspicion::LostSupply, Suspicion::NotANumber, Suspicion::Implausible, Suspicion::Jump];
        assert_eq!(why, expect);
    }

    #[test]
    fn a_gap_is_bridged_and_said() {
        let readings = [Reading { at_d: 0.0, air_c: 10.0 }, Reading { at_d: 1.0, air_c: 22.0 }];
        let air = AirSeries::from_readings(&readings).unwrap();
        assert!((air.at(0.5).unwrap() - 16.25).abs() < 1e-9);
        assert_eq!(air.notes(), [AirNote::Bridged { from_d: 0.0, to_d: 1.0 }]);
    }

    #[test]
    fn nothing_usable_is_a_fault() {
        assert_eq!(AirSeries::from_readings(&[]), Err(AirFault::Empty));
        assert_eq!(AirSeries::from_readings(&[Reading { at_d: 0.0, air_c: 85.0 }]), Err(AirFault::Empty));
        let far = [Reading { at_d: 0.0, air_c: 20.0 }, Reading { at_d: 2e4, air_c: 20.0 }];
        assert_eq!(AirSeries::from_readings(&far), Err(AirFault::TooLong));
    }

    #[test]
    fn a_second_thermometer_fills_the_gap() {
        let own = AirSeries::from_readings(&[
            Reading { at_d: 0.0, air_c: 10.0 },
            Reading { at_d: 0.1, air_c: 10.0 },
            Reading { at_d: 2.0, air_c: 10.0 },
            Reading { at_d: 2.2, air_c: 10.0 },
        ])
        .unwrap();
        let other = AirSeries::constant(0.0, 4.0, 20.0).unwrap();
        let both = own.filled_from(&other);
        assert!((both.at(0.05).unwrap() - 10.0).abs() < 1e-9);
        assert!((both.at(1.0).unwrap() - 20.0).abs() < 1e-9);
        assert!((both.at(3.5).unwrap() - 20.0).abs() < 1e-9);
        assert!(both.notes().is_empty());
        let early = own.before(0.05).unwrap();
        assert!(early.end_d() <= 0.05 && own.from(5.0).is_none());
    }
}
