//! The physiological clock: development that adds up with warmth, and its inverse.

use super::rate::RateCurve;

/// Development added up over hourly temperatures.
///
/// # Formula
/// ```text
/// Phi(t) = integral of r(T(u)) du,   r constant within an hour
/// ```
/// # Units
/// Units of the curve: shares of a stage, or degree-days for a straight curve with a constant of 1.
/// # Holds for
/// The stretch it was made for; outside, nothing is added.
/// # Cost
/// Making it is one pass over the hours; both look-ups cost the same however long the readings are.
/// # Example
/// ```
/// use science::phenology::{Clock, RateCurve};
/// let curve = RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 1.0 };
/// let clock = Clock::new(&curve, 0.0, &[20.0; 48]);
/// assert!((clock.units_at(1.5) - 15.0).abs() < 1e-12);
/// assert!((clock.when(15.0).unwrap_or(f64::NAN) - 1.5).abs() < 1e-12);
/// assert_eq!(clock.when(21.0), None);
/// ```
#[derive(Debug, Clone)]
pub struct Clock {
    start_d: f64,
    /// Units at the beginning of each hour, and at the end of the last.
    units: Vec<f64>,
    /// For equal slices of the units: the hour in which the slice begins.
    guide: Vec<u32>,
    slices_per_unit: f64,
}

/// Slices of the guide for each hour: so fine that a look-up lands in its hour or the one before.
const SLICES_PER_HOUR: usize = 2;

impl Clock {
    /// A clock over hourly means from an instant on.
    pub fn new(curve: &RateCurve, start_d: f64, hourly_c: &[f64]) -> Self {
        Clock::from_rates(start_d, hourly_c.iter().map(|air_c| curve.per_day(*air_c)))
    }

    /// A clock over hourly rates in 1/day.
    pub(super) fn from_rates(start_d: f64, per_day: impl ExactSizeIterator<Item = f64>) -> Self {
        let mut units = Vec::with_capacity(per_day.len() + 1);
        let mut sum = 0.0;
        units.push(sum);
        for rate in per_day {
            sum += rate / 24.0;
            units.push(sum);
        }
        let hours = units.len() - 1;
        let slices = hours * SLICES_PER_HOUR;
        let slices_per_unit = if sum > 0.0 { slices as f64 / sum } else { 0.0 };
        let mut guide = Vec::with_capacity(slices + 1);
        let mut hour = 0_usize;
        for slice in 0..=slices {
            // The first hour that ends beyond the beginning of the slice.
            let begins = slice as f64 / slices_per_unit.max(f64::MIN_POSITIVE);
            while hour + 1 < hours && units[hour + 1] <= begins {
                hour += 1;
            }
            guide.push(hour as u32);
        }
        Clock { start_d, units, guide, slices_per_unit }
    }

    /// The beginning, days.
    pub fn start_d(&self) -> f64 {
        self.start_d
    }

    /// The end, days.
    pub fn end_d(&self) -> f64 {
        self.start_d + (self.units.len() - 1) as f64 / 24.0
    }

    /// All that is added up to the end.
    pub fn total(&self) -> f64 {
        self.units.last().copied().unwrap_or(0.0)
    }

    /// Units added up from the beginning to an instant; level before the beginning and after the end.
    #[inline]
    pub fn units_at(&self, at_d: f64) -> f64 {
        let place = (at_d - self.start_d) * 24.0;
        if place.is_nan() || place <= 0.0 {
            return 0.0;
        }
        if place >= (self.units.len() - 1) as f64 {
            return self.total();
        }
        let hour = place as usize;
        let (low, high) = (self.units[hour], self.units[hour + 1]);
        low + (high - low) * (place - hour as f64)
    }

    /// Units added up to an instant, and how many are added per day there; none outside.
    #[inline]
    pub(super) fn reading(&self, at_d: f64) -> (f64, f64) {
        let place = (at_d - self.start_d) * 24.0;
        if place.is_nan() || place < 0.0 {
            return (0.0, 0.0);
        }
        if place >= (self.units.len() - 1) as f64 {
            return (self.total(), 0.0);
        }
        let hour = place as usize;
        let (low, high) = (self.units[hour], self.units[hour + 1]);
        (low + (high - low) * (place - hour as f64), (high - low) * 24.0)
    }

    /// The earliest instant by which the units have added up; `None` if that lies beyond the end.
    #[inline]
    pub fn when(&self, units: f64) -> Option<f64> {
        if units <= 0.0 {
            return Some(self.start_d);
        }
        if units.is_nan() || units > self.total() {
            return None;
        }
        let slice = ((units * self.slices_per_unit) as usize).min(self.guide.len() - 1);
        let mut hour = self.guide[slice] as usize;
        // Rounding may put the guide one slice too far.
        while hour > 0 && self.units[hour] >= units {
            hour -= 1;
        }
        // Nearly always no step or one: taken without asking, because no processor can guess which.
        hour += usize::from(hour + 2 < self.units.len() && self.units[hour + 1] < units);
        let near = hour + 8;
        while hour < near && hour + 2 < self.units.len() && self.units[hour + 1] < units {
            hour += 1;
        }
        if self.units[hour + 1] < units {
            // A cold stretch packs many hours into one slice: halve instead of walking.
            let rest = &self.units[hour + 1..];
            hour += rest.partition_point(|it| *it < units).min(rest.len() - 1);
        }
        let (low, high) = (self.units[hour], self.units[hour + 1]);
        let part = if high > low { (units - low) / (high - low) } else { 1.0 };
        Some(self.start_d + (hour as f64 + part) / 24.0)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use crate::dice::Dice;

    /// The slow twin: walk the hours one by one.
    fn when_by_walking(curve: &RateCurve, hourly_c: &[f64], units: f64) -> Option<f64> {
        let mut sum = 0.0;
        for (hour, air_c) in hourly_c.iter().enumerate() {
            let add = curve.per_day(*air_c) / 24.0;
            if sum + add >= units {
                return Some((hour as f64 + (units - sum) / add) / 24.0);
            }
            sum += add;
        }
        None
    }

    fn season(hours: usize, seed: u64) -> Vec<f64> {
        let mut dice = Dice::seeded(seed);
        let day = |it: usize| (it as f64 / 24.0 * std::f64::consts::TAU).sin();
        let year = |it: usize| (it as f64 / 8766.0 * std::f64::consts::TAU).cos();
        (0..hours).map(|it| 9.0 + 12.0 * year(it) + 6.0 * day(it) + 2.0 * dice.normal()).collect()
    }

    #[test]
    fn the_inverse_agrees_with_walking() {
        for (seed, lower_c) in [(1, 5.0), (2, 12.0), (3, 20.0), (4, 27.5)] {
            let curve = RateCurve::Linear { lower_c, upper_c: 30.0, constant_dd: 1.0 };
            let hourly_c = season(9000, seed);
            let clock = Clock::new(&curve, 0.0, &hourly_c);
            let mut dice = Dice::seeded(seed + 10);
            for _ in 0..3000 {
                let units = dice.unit() * clock.total() * 1.02;
                match (clock.when(units), when_by_walking(&curve, &hourly_c, units)) {
                    (Some(fast), Some(slow)) => assert!((fast - slow).abs() < 1e-6, "{units}: {fast} {slow}"),
                    (None, None) => {}
                    // At the very end the two sums may differ in the last place.
                    both => assert!((units / clock.total() - 1.0).abs() < 1e-9, "{both:?}"),
                }
            }
        }
    }

    #[test]
    fn there_and_back_again() {
        let curve = RateCurve::Briere1 { scale: 7.86e-5, lower_c: 11.36, upper_c: 39.17 };
        let clock = Clock::new(&curve, 100.0, &season(5000, 5));
        for step in 1..500 {
            let units = clock.total() * f64::from(step) / 500.0;
            let back = clock.units_at(clock.when(units).unwrap());
            assert!((back - units).abs() < 1e-9 * clock.total());
        }
        assert!((clock.when(clock.total()).unwrap()) <= clock.end_d());
    }

    #[test]
    fn a_flat_stretch_is_left_at_its_beginning() {
        let curve = RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 1.0 };
        let mut hourly_c = vec![20.0; 24];
        hourly_c.extend([0.0; 2400]);
        hourly_c.extend([20.0; 24]);
        let clock = Clock::new(&curve, 0.0, &hourly_c);
        assert!((clock.when(10.0 - 1e-9).unwrap() - 1.0).abs() < 1e-6);
        assert!((clock.when(10.001).unwrap() - 101.0001).abs() < 1e-6);
        assert!((clock.units_at(50.0) - 10.0).abs() < 1e-9);
        // Exactly what the stretch shows: done when it began, not when it ended.
        assert!((clock.when(clock.units_at(50.0)).unwrap() - 1.0).abs() < 1e-9);
    }

    /// Whatever the clock shows at the end of an hour was reached in the first hour that ends on it.
    #[test]
    fn what_an_hour_shows_is_dated_to_its_first_hour() {
        let mut hourly_c = [vec![5.0; 40], vec![20.0; 40]].concat().repeat(6);
        hourly_c.extend(season(500, 8));
        for lower_c in [10.0, 12.0, 15.0] {
            let clock =
                Clock::new(&RateCurve::Linear { lower_c, upper_c: 30.0, constant_dd: 1.0 }, 0.0, &hourly_c);
            for units in &clock.units {
                let first = clock.units.iter().position(|it| it >= units).unwrap();
                let dated = clock.when(*units).unwrap();
                assert!((dated - first as f64 / 24.0).abs() < 1e-9, "{units}: hour {first}, dated {dated}");
            }
        }
    }

    #[test]
    fn nothing_ripens_in_the_cold_and_nan_is_no_date() {
        let curve = RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 1.0 };
        let clock = Clock::new(&curve, 0.0, &[5.0; 100]);
        assert_eq!(clock.when(0.1), None);
        assert_eq!(clock.when(f64::NAN), None);
        assert_eq!(clock.when(0.0), Some(0.0));
        assert!(clock.units_at(f64::NAN) == 0.0);
        let empty = Clock::new(&curve, 0.0, &[]);
        assert_eq!((empty.when(1.0), empty.when(0.0)), (None, Some(0.0)));
    }
}
