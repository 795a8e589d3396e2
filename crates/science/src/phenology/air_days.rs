//! A day's lowest and highest temperature, turned into hours.

use super::air::{AirFault, AirSeries, hour_of, is_instant};
use super::air_notes::{AirNote, Suspicion};

/// What a minimum-maximum thermometer says of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayRange {
    /// The local midnight that begins the day, days since the caller's epoch.
    pub midnight_d: f64,
    /// Lowest, degrees Celsius.
    pub low_c: f64,
    /// Highest, degrees Celsius.
    pub high_c: f64,
    /// Mean of the day where somebody knows it, degrees Celsius.
    pub mean_c: Option<f64>,
}

/// The coldest hour of the day, by local time (common practice, no source).
const COLDEST_H: f64 = 5.0;
/// The warmest hour of the day, by local time (common practice, no source).
const WARMEST_H: f64 = 15.0;

impl AirSeries {
    /// Hours from daily lowest and highest: coldest at 05:00, warmest at 15:00, half cosine waves between, and
    /// the night falls to the next day's lowest. A known mean bends the day's curve until its mean agrees.
    ///
    /// Days without a range are bridged by straight lines between their neighbours' and reported.
    ///
    /// ```
    /// use science::phenology::{AirSeries, DayRange};
    /// let day = DayRange { midnight_d: 0.0, low_c: 10.0, high_c: 20.0, mean_c: Some(14.0) };
    /// let air = AirSeries::from_days(&[day])?;
    /// let mean = air.hourly_c().iter().sum::<f64>() / 24.0;
    /// assert!((mean - 14.0).abs() < 1e-6);
    /// # Ok::<(), science::phenology::AirFault>(())
    /// ```
    pub fn from_days(days: &[DayRange]) -> Result<AirSeries, AirFault> {
        let (mut kept, mut notes) = weed(days);
        let (Some(first), Some(last)) = (kept.first().copied(), kept.last().copied()) else {
            return Err(AirFault::Empty);
        };
        if last.midnight_d - first.midnight_d > 40.0 * 365.25 {
            return Err(AirFault::TooLong);
        }
        kept = without_gaps(&kept, &mut notes);
        let mut hourly_c = Vec::with_capacity(kept.len() * 24);
        for place in 0..kept.len() {
            let today = kept[place];
            let yesterday = if place > 0 { kept[place - 1] } else { today };
            let tomorrow = kept.get(place + 1).copied().unwrap_or(today);
            let frame: Vec<Swing> = (0..24).map(|hour| swing(hour, &yesterday, &today, &tomorrow)).collect();
            let bend = today.mean_c.map_or(Some(1.0), |mean_c| bend_to(&frame, mean_c));
            // A sudden warm or cold spell can leave no bend that fits; that is no fault of the mean.
            if let (None, Some(air_c)) =
                (bend, today.mean_c.filter(|it| !(today.low_c..=today.high_c).contains(it)))
            {
                notes.push(AirNote::LeftOut { at_d: today.midnight_d, air_c, why: Suspicion::MeanOutside });
            }
            hourly_c.extend(frame.iter().map(|it| it.at(bend.unwrap_or(1.0))));
        }
        Ok(AirSeries { first_hour: hour_of(first.midnight_d), hourly_c, notes })
    }
}

/// One hour's place between a night's lowest and a day's highest.
struct Swing {
    low_c: f64,
    high_c: f64,
    up: f64,
}

impl Swing {
    /// The hour's temperature; `bend` above 1 lowers the curve without moving its ends.
    fn at(&self, bend: f64) -> f64 {
        self.low_c + (self.high_c - self.low_c) * self.up / (self.up + bend * (1.0 - self.up))
    }
}

/// The middle of an hour between the turning points that enclose it.
fn swing(hour: u32, yesterday: &DayRange, today: &DayRange, tomorrow: &DayRange) -> Swing {
    let at_h = f64::from(hour) + 0.5;
    let fall_h = 24.0 - WARMEST_H + COLDEST_H;
    let wave = |part: f64| 0.5 * (1.0 + libm::cos(std::f64::consts::PI * part));
    if at_h < COLDEST_H {
        let up = wave((at_h + 24.0 - WARMEST_H) / fall_h);
        Swing { low_c: today.low_c, high_c: yesterday.high_c, up }
    } else if at_h < WARMEST_H {
        let up = 1.0 - wave((at_h - COLDEST_H) / (WARMEST_H - COLDEST_H));
        Swing { low_c: today.low_c, high_c: today.high_c, up }
    } else {
        let up = wave((at_h - WARMEST_H) / fall_h);
        Swing { low_c: tomorrow.low_c, high_c: today.high_c, up }
    }
}

/// The bend at which the day's mean is `mean_c`; `None` if no bend reaches it.
fn bend_to(frame: &[Swing], mean_c: f64) -> Option<f64> {
    let mean = |bend: f64| frame.iter().map(|it| it.at(bend)).sum::<f64>() / frame.len() as f64;
    let flat = frame.iter().all(|it| (it.high_c - it.low_c).abs() < 1e-9);
    if flat && (mean(1.0) - mean_c).abs() < 0.05 {
        return Some(1.0);
    }
    // The mean falls as the bend grows; the two ends are nearly all day at the highest and at the lowest.
    let (mut low, mut high) = (1e-4, 1e4);
    if mean_c.is_nan() || mean_c > mean(low) || mean_c < mean(high) {
        return None;
    }
    for _ in 0..60 {
        let middle = (low * high).sqrt();
        if mean(middle) > mean_c { low = middle } else { high = middle }
    }
    Some((low * high).sqrt())
}

/// Sorts, and leaves out days that cannot be.
fn weed(days: &[DayRange]) -> (Vec<DayRange>, Vec<AirNote>) {
    let mut notes = Vec::new();
    let mut kept: Vec<DayRange> = Vec::with_capacity(days.len());
    for it in days {
        let plausible = |air_c: f64| (-40.0..=60.0).contains(&air_c);
        let (air_c, why) = if !is_instant(it.midnight_d) || !it.low_c.is_finite() || !it.high_c.is_finite() {
            (it.low_c, Suspicion::NotANumber)
        } else if !plausible(it.low_c) {
            (it.low_c, Suspicion::Implausible)
        } else if !plausible(it.high_c) {
            (it.high_c, Suspicion::Implausible)
        } else if it.low_c > it.high_c {
            (it.low_c, Suspicion::LowAboveHigh)
        } else {
            kept.push(*it);
            continue;
        };
        notes.push(AirNote::LeftOut { at_d: it.midnight_d, air_c, why });
    }
    kept.sort_by(|a, b| a.midnight_d.total_cmp(&b.midnight_d));
    kept.reverse();
    kept.dedup_by(|a, b| (a.midnight_d - b.midnight_d).abs() < 0.5);
    kept.reverse();
    (kept, notes)
}

/// Puts a day between neighbours that are further than a day apart.
fn without_gaps(kept: &[DayRange], notes: &mut Vec<AirNote>) -> Vec<DayRange> {
    let mut filled: Vec<DayRange> = Vec::with_capacity(kept.len());
    for it in kept {
        if let Some(before) = filled.last().copied() {
            // Rounded, because a day in which the clocks change has 23 or 25 hours.
            let apart = (it.midnight_d - before.midnight_d).round() as usize;
            if apart > 1 {
                notes.push(AirNote::Bridged { from_d: before.midnight_d + 1.0, to_d: it.midnight_d });
            }
            filled.extend((1..apart).map(|day| {
                let part = day as f64 / apart as f64;
                DayRange {
                    midnight_d: before.midnight_d + day as f64,
                    low_c: before.low_c + (it.low_c - before.low_c) * part,
                    high_c: before.high_c + (it.high_c - before.high_c) * part,
                    mean_c: None,
                }
            }));
        }
        filled.push(*it);
    }
    filled
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    fn day(midnight_d: f64, low_c: f64, high_c: f64, mean_c: Option<f64>) -> DayRange {
        DayRange { midnight_d, low_c, high_c, mean_c }
    }

    #[test]
    fn turns_at_five_and_at_three() {
        let days: Vec<DayRange> = (0..5).map(|it| day(f64::from(it), 8.0, 20.0, None)).collect();
        let air = AirSeries::from_days(&days).unwrap();
        assert_eq!(air.hourly_c().len(), 120);
        let today = &air.hourly_c()[48..72];
        let coldest = today.iter().copied().fold(f64::INFINITY, f64::min);
        let warmest = today.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        assert!((today[4] - coldest).abs() < 0.1 || (today[5] - coldest).abs() < 0.1);
        assert!(coldest < 8.1 && warmest > 19.9);
        // Half cosine waves spend equal time above and below the middle.
        let mean = today.iter().sum::<f64>() / 24.0;
        assert!((mean - 14.0).abs() < 0.02, "{mean}");
    }

    #[test]
    fn the_night_falls_to_the_next_days_lowest() {
        let air = AirSeries::from_days(&[day(0.0, 10.0, 20.0, None), day(1.0, 2.0, 12.0, None)]).unwrap();
        let hours = air.hourly_c();
        assert!((hours[29] - 2.0).abs() < 0.1 && hours[23] < 15.0 && hours[23] > 2.0);
        let steps = hours.windows(2).map(|it| (it[1] - it[0]).abs()).fold(0.0, f64::max);
        assert!(steps < 2.1, "no jump at midnight: {steps}");
    }

    #[test]
    fn a_known_mean_is_kept_and_an_impossible_one_is_said() {
        for mean_c in [11.0, 13.0, 14.5, 18.0] {
            let days =
                [day(0.0, 10.0, 19.0, None), day(1.0, 10.0, 19.0, Some(mean_c)), day(2.0, 10.0, 19.0, None)];
            let air = AirSeries::from_days(&days).unwrap();
            let mean = air.hourly_c()[24..48].iter().sum::<f64>() / 24.0;
            assert!((mean - mean_c).abs() < 1e-6);
            assert!(air.hourly_c().iter().all(|it| (10.0..=19.0).contains(it)));
        }
        let air = AirSeries::from_days(&[day(0.0, 10.0, 19.0, Some(25.0))]).unwrap();
        assert!(matches!(air.notes(), [AirNote::LeftOut { why: Suspicion::MeanOutside, .. }]));
    }

    #[test]
    fn missing_days_are_bridged_and_bad_ones_left_out() {
        let days = [day(0.0, 10.0, 20.0, None), day(4.0, 14.0, 24.0, None), day(2.0, 30.0, 20.0, None)];
        let air = AirSeries::from_days(&days).unwrap();
        assert_eq!(air.hourly_c().len(), 120);
        assert!((air.hourly_c()[2 * 24 + 15] - 22.0).abs() < 0.2);
        assert!(air.notes().contains(&AirNote::Bridged { from_d: 1.0, to_d: 4.0 }));
        assert_eq!(AirSeries::from_days(&[]), Err(AirFault::Empty));
    }
}
